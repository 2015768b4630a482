//! Given mixes beside the one that was found: bars of relative change, and points to choose from.
//!
//! What enters: reports of mixes of one problem. What leaves: charts and points.

use super::chart::{Bar, Bars, Chart, Filling};
use super::compare::{Change, Row, SAME, rows};
use super::curve::{Curve, CurveFigure, CurvePoint, Exchange, Joined};
use super::phrase::{Digits, Figure, Phrase};
use super::report::{Report, Standing};
use crate::problem::Problem;

/// Id of the chart whose points can be chosen.
pub const CHOSEN: &str = "given-mixes";

/// The points to choose from, then bars of the changes of each mix from the first. `drawn` names the properties that are
/// drawn, in their order, the first two as the axes of the points; without any, those that tell most.
pub fn beside(
    problem: &Problem,
    mixes: &[(String, Report)],
    drawn: &[String],
) -> (Option<Curve>, Vec<Chart>) {
    let Some((reference, first)) = mixes.first() else { return (None, Vec::new()) };
    let reports: Vec<&Report> = mixes.iter().map(|(_, report)| report).collect();
    let all = rows(problem, &reports, first);
    let asked: Vec<&Row> = drawn.iter().filter_map(|name| all.iter().find(|row| row.name == *name)).collect();
    let shown: Vec<&Row> =
        if drawn.is_empty() { all.iter().filter(|row| tells(row)).collect() } else { asked.clone() };
    let others = mixes.iter().enumerate().skip(1);
    let charts = others.filter_map(|(at, (name, _))| change_bars(&shown, at, name, reference)).collect();
    let axes = match asked.as_slice() {
        [] => usual_axes(&all),
        [one] => all.first().filter(|goal| goal.name != one.name).map(|goal| (goal, *one)),
        [across, up, ..] => Some((*across, *up)),
    };
    let axes =
        axes.filter(|(across, up)| [across, up].iter().all(|row| row.values.iter().all(Option::is_some)));
    (axes.map(|axes| mixes_over_two_figures(&all, axes, mixes)), charts)
}

/// Names of the properties that can be drawn of mixes like these.
pub fn names(problem: &Problem, mixes: &[(String, Report)]) -> Vec<String> {
    let Some((_, first)) = mixes.first() else { return Vec::new() };
    let reports: Vec<&Report> = mixes.iter().map(|(_, report)| report).collect();
    rows(problem, &reports, first).into_iter().map(|row| row.name).collect()
}

/// Whether a change of a property in per cent tells something: of most materials it does not.
fn tells(property: &Row) -> bool {
    property.change == Change::Relative || property.better.is_some()
}

/// Bars of the relative changes of one mix from the reference.
fn change_bars(properties: &[&Row], at: usize, name: &str, reference: &str) -> Option<Chart> {
    let bar = |property: &&Row| {
        let (value, reference) = (property.values[at]?, property.values[0]?);
        let change = 100.0 * (value - reference) / reference.abs();
        if !change.is_finite() {
            return None;
        }
        let same = change.abs() <= 100.0 * SAME;
        let (filling, word) = match property.better {
            Some(side) if !same && 0.0 < side.sign() * change => (Filling::Solid, ", better"),
            Some(_) if !same => (Filling::Hatched, ", worse"),
            _ => (Filling::Open, ""),
        };
        let told = if same {
            "same".into()
        } else {
            let change = Figure::percent(0.01 * change, Digits::Trimmed(2)).signed();
            Phrase::from(change).and(word)
        };
        Some(Bar { name: (&property.name).into(), value: change, told, filling })
    };
    let list: Vec<Bar> = properties.iter().filter_map(bar).collect();
    (!list.is_empty()).then(|| {
        Chart::Bars(Bars {
            id: format!("change-{at}"),
            title: format!("Change of {name} from {reference}").into(),
            axis: "change, %; full: better, hatched: worse, open: no direction".to_owned(),
            bars: list,
            mark: None,
        })
    })
}

/// The goal, and the figure in which mixes differ that tells most.
fn usual_axes(properties: &[Row]) -> Option<(&Row, &Row)> {
    let all = |property: &&Row| property.values.iter().all(Option::is_some);
    let varies = |property: &&Row| {
        let first = property.values[0].unwrap_or_default();
        property.values.iter().flatten().any(|value| SAME * first.abs() < (value - first).abs())
    };
    let goal = properties.first().filter(all)?;
    let up = properties[1..]
        .iter()
        .filter(all)
        .filter(varies)
        .max_by_key(|property| (property.better.is_some(), property.change == Change::Relative))?;
    Some((goal, up))
}

/// All mixes over two figures that each of them has.
fn mixes_over_two_figures(properties: &[Row], (goal, up): (&Row, &Row), mixes: &[(String, Report)]) -> Curve {
    let figure = |property: &Row, at: usize| {
        CurveFigure::new(property.name.clone(), property.values[at], property.unit.clone())
    };
    let others = |at: usize| {
        (properties.iter())
            .filter(|property| property.change == Change::Relative)
            .filter(|property| property.name != goal.name && property.name != up.name)
            .map(move |property| figure(property, at))
    };
    let figures = |at: usize| [figure(goal, at), figure(up, at)].into_iter().chain(others(at)).collect();
    let points = mixes.iter().enumerate().map(|(at, (name, report))| CurvePoint {
        name: name.clone(),
        x: goal.values[at].unwrap_or(f64::NAN),
        y: up.values[at].unwrap_or(f64::NAN),
        group: name.clone(),
        state: None,
        figures: figures(at),
        mix: report.amounts.iter().map(|line| (line.material.clone(), line.amount)).collect(),
        binding: report
            .limits
            .iter()
            .filter(|line| line.standing == Standing::Binding)
            .map(|line| line.name.clone())
            .collect(),
        change: Exchange::default(),
    });
    Curve {
        id: CHOSEN.to_owned(),
        word: "Mixes",
        heading: "Mixes beside one another".to_owned(),
        remarks: Vec::new(),
        across: (goal.name.clone(), goal.unit.clone()),
        names: Vec::new(),
        up: (up.name.clone(), up.unit.clone()),
        first: 2,
        joined: Joined::Apart,
        points: points.collect(),
    }
}
