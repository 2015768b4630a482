//! A sweep as points: the goal over the key that varies fastest as a number, a line for each choice of everything else.

use super::curve::{Curve, CurveFigure, CurvePoint, Exchange, Joined};
use super::study_points::{SIGNS, figures, state};
use super::units::Units;
use crate::finding::numbered;
use crate::problem::convert;
use crate::quantity::Unit;
use crate::study::{Axis, CaseResult, Sweep, changes};

/// The cases of a sweep.
pub fn sweep_curve(sweep: &Sweep, currency: &str, units: Units) -> Curve {
    let unit = units.shown(&sweep.unit, currency);
    let across = across(sweep);
    let axis = &sweep.axes[across];
    let mut lines: Vec<(String, Vec<&CaseResult>)> = Vec::new();
    for case in &sweep.cases {
        let name = line_of(sweep, case, across);
        match lines.iter_mut().find(|(known, _)| *known == name) {
            Some((_, cases)) => cases.push(case),
            None => lines.push((name, vec![case])),
        }
    }
    let mut points = Vec::new();
    for (group, cases) in &mut lines {
        cases.sort_by(|a, b| place(axis, a.at[across]).total_cmp(&place(axis, b.at[across])));
        for (at, case) in cases.iter().enumerate() {
            let before = at.checked_sub(1).map(|at| cases[at]).filter(|_| axis.numbers.is_some());
            let change = before.map(|before| Exchange::of(changes(&before.answer, &case.answer)));
            let mut told = vec![goal(sweep, case, &unit)];
            told.extend(figures(&case.answer, &sweep.figures, &[&sweep.goal_name], (units, currency)));
            let values: Vec<&str> = sweep.values(case);
            points.push(CurvePoint {
                name: format!("case {}: {}", case.number + 1, values.join(", ")),
                x: place(axis, case.at[across]),
                y: told[0].value.unwrap_or(f64::NAN),
                group: group.clone(),
                state: Some(state(&case.answer)),
                figures: told,
                mix: case.answer.mix.clone(),
                binding: case.answer.binding.clone(),
                change: change.unwrap_or_default(),
            });
        }
    }
    let names: Vec<&str> = sweep.axes.iter().map(|axis| axis.name.as_str()).collect();
    let numeric = axis.numbers.is_some();
    Curve {
        id: "sweep".to_owned(),
        word: "Sweep",
        heading: format!("Sweep over {}", names.join(" and ")),
        remarks: remarks(sweep, &points),
        across: (axis.name.clone(), Unit { text: axis.unit.clone(), ..Unit::number() }),
        names: if numeric { Vec::new() } else { axis.values.clone() },
        up: (sweep.goal_name.clone(), unit),
        joined: if numeric { Joined::Groups } else { Joined::Apart },
        first: 1,
        points,
    }
}

/// Which axis runs across: the last one of numbers, or the last.
fn across(sweep: &Sweep) -> usize {
    let numeric = sweep.axes.iter().rposition(|axis| axis.numbers.is_some());
    numeric.unwrap_or(sweep.axes.len() - 1)
}

fn place(axis: &Axis, at: usize) -> f64 {
    axis.numbers.as_ref().map_or(at as f64, |numbers| numbers[at])
}

/// The line to which a case belongs: the values of everything that does not run across.
fn line_of(sweep: &Sweep, case: &CaseResult, across: usize) -> String {
    let others = sweep.axes.iter().zip(&case.at).enumerate().filter(|(axis, _)| *axis != across);
    let said = others.map(|(_, (axis, at))| {
        if axis.is_of_scenarios() {
            axis.values[*at].clone()
        } else {
            format!("{} {}", axis.name, axis.values[*at])
        }
    });
    said.collect::<Vec<_>>().join(", ")
}

fn goal(sweep: &Sweep, case: &CaseResult, unit: &Unit) -> CurveFigure {
    let value = case.answer.goal.map(|value| convert(value, &sweep.unit, unit));
    CurveFigure { otherwise: String::new(), ..CurveFigure::new(sweep.goal_name.clone(), value, unit.clone()) }
}

fn remarks(sweep: &Sweep, points: &[CurvePoint]) -> Vec<String> {
    let mut list =
        vec![format!("{}, each solved as a statement of its own.", numbered("case", sweep.cases.len()))];
    let all: usize = sweep.axes.iter().map(|axis| axis.values.len()).product();
    if sweep.cases.len() < all {
        list.push(format!("Stopped before its end: {all} cases were asked for."));
    }
    let without = points.iter().filter(|point| point.mix.is_empty()).count();
    if 0 < without {
        list.push(format!("No mix for {}: these stand in the table alone.", numbered("case", without)));
    }
    if points.iter().any(|point| !point.change.is_empty()) {
        list.push(SIGNS.to_owned());
    }
    list
}
