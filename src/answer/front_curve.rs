//! A front as points over two of its goals; of three goals the third is told by the marker.

use super::curve::{Curve, CurveFigure, CurvePoint, Exchange, Joined};
use super::doubt::{is_doubtful, point_doubt};
use super::study_points::{SIGNS, figures, state, with_unit};
use super::units::Units;
use crate::finding::numbered;
use crate::problem::convert;
use crate::quantity::{Unit, trimmed};
use crate::study::{Front, FrontGoal, FrontPoint};

/// Most kinds of mixes that get markers of their own.
const KINDS: usize = 8;

/// The points of a front.
pub fn front_curve(front: &Front, currency: &str, units: Units) -> Curve {
    let shown: Vec<Unit> = front.goals.iter().map(|goal| units.shown(&goal.unit, currency)).collect();
    let groups = match front.goals.len() {
        2 => kinds(front),
        _ => bands(front, &shown),
    };
    let names: Vec<&str> = front.goals.iter().map(|goal| goal.name.as_str()).collect();
    let two = front.goals.len() == 2;
    let points = front.points.iter().zip(groups).enumerate().map(|(number, (point, group))| {
        let mut list: Vec<CurveFigure> =
            (0..names.len()).map(|at| goal_figure(&front.goals[at], point.values[at], &shown[at])).collect();
        list.extend(figures(&point.answer, &front.figures, &names, (units, currency)));
        if is_doubtful(front) {
            let told = point_doubt(point, front, &shown);
            let unit = shown[point.best].clone();
            list.push(CurveFigure::new("paid for uncertainty".to_owned(), told.paid, unit.clone()));
            list.push(CurveFigure::new("without the regions it stands at".to_owned(), told.beyond, unit));
        }
        let change = if two {
            Exchange { enters: point.enters.clone(), leaves: point.leaves.clone() }
        } else {
            Exchange::default()
        };
        CurvePoint {
            name: format!("point {}", number + 1),
            x: placed(front, point, 0, &shown),
            y: placed(front, point, 1, &shown),
            group,
            state: Some(state(&point.answer)),
            figures: list,
            mix: point.answer.mix.clone(),
            binding: point.answer.binding.clone(),
            change,
        }
    });
    let points: Vec<CurvePoint> = points.collect();
    Curve {
        id: "front".to_owned(),
        word: "Front",
        heading: format!("Front between {}", in_a_row(&goals(front))),
        remarks: remarks(front, &shown, &points),
        across: (front.goals[0].name.clone(), shown[0].clone()),
        names: Vec::new(),
        up: (front.goals[1].name.clone(), shown[1].clone()),
        joined: if two { Joined::All } else { Joined::Apart },
        first: names.len(),
        points,
    }
}

fn goals(front: &Front) -> Vec<String> {
    let side = |goal: &FrontGoal| if goal.most { "most" } else { "least" };
    front.goals.iter().map(|goal| format!("{} {}", side(goal), goal.name)).collect()
}

/// `a, b and c`.
fn in_a_row(names: &[String]) -> String {
    match names {
        [names @ .., last] if !names.is_empty() => format!("{} and {last}", names.join(", ")),
        _ => names.concat(),
    }
}

fn goal_figure(goal: &FrontGoal, value: f64, shown: &Unit) -> CurveFigure {
    let number = Some(convert(value, &goal.unit, shown)).filter(|value| value.is_finite());
    let mut figure = CurveFigure::new(goal.name.clone(), number, shown.clone());
    if let Some(last) = goal.last {
        figure.otherwise = none_by(goal, last, shown);
    }
    figure
}

fn none_by(goal: &FrontGoal, last: f64, shown: &Unit) -> String {
    format!("none by {}", shown.with_number(&trimmed(convert(last, &goal.unit, shown), 4)))
}

/// Where a goal stands on its axis: an age that there is none of, at the last day.
fn placed(front: &Front, point: &FrontPoint, at: usize, shown: &[Unit]) -> f64 {
    let goal = &front.goals[at];
    let value = point.values[at];
    convert(if value.is_infinite() { goal.last.unwrap_or(value) } else { value }, &goal.unit, &shown[at])
}

fn remarks(front: &Front, shown: &[Unit], points: &[CurvePoint]) -> Vec<String> {
    if points.is_empty() {
        let told = if front.stopped {
            "Stopped before any point was found; whether a mix meets everything is not known."
        } else {
            "No mix meets everything: there is no front."
        };
        return vec![told.to_owned()];
    }
    let mut list = vec![
        if front.stopped {
            "Stopped before its end: more points may lie between these, or beyond."
        } else if !front.conflict {
            "The goals do not conflict: this mix is the best in each of them, within what was asked for."
        } else {
            "No mix is as good as one of these in every goal and better in one, within the gaps told."
        }
        .to_owned(),
    ];
    if front.conflict {
        list.push(
            "The gap of a point is that of the goal which was made best while the others were held at levels. What lies \
             between two points was not asked."
                .to_owned(),
        );
    }
    for (goal, unit) in front.goals.iter().zip(shown) {
        let beyond = front.points.iter().filter(|point| {
            point.values[front.goals.iter().position(|one| one.name == goal.name).unwrap_or(0)].is_infinite()
        });
        if let (Some(last), count) = (goal.last, beyond.count())
            && 0 < count
        {
            let day = unit.with_number(&trimmed(convert(last, &goal.unit, unit), 4));
            list.push(format!(
                "{}: for {} there is none by {day}, the last age looked at; drawn there.",
                goal.name,
                numbered("point", count)
            ));
        }
    }
    if points.iter().any(|point| !point.change.is_empty()) {
        list.push(SIGNS.to_owned());
    }
    list
}

/// Points with the same materials have the same marker.
fn kinds(front: &Front) -> Vec<String> {
    let used: Vec<Vec<&str>> = front.points.iter().map(|point| point.answer.used()).collect();
    let besides = |names: &Vec<&str>| -> Vec<String> {
        let common = |name: &&&str| used.iter().all(|other| other.contains(*name));
        names.iter().filter(|name| !common(name)).map(|name| (*name).to_owned()).collect()
    };
    let groups: Vec<String> = used
        .iter()
        .map(|names| match besides(names).as_slice() {
            [] => "none of those that differ".to_owned(),
            names => format!("with {}", names.join(" + ")),
        })
        .collect();
    let mut kinds: Vec<&String> = Vec::new();
    for group in &groups {
        if !kinds.contains(&group) {
            kinds.push(group);
        }
    }
    if (2..=KINDS).contains(&kinds.len()) { groups } else { vec![String::new(); groups.len()] }
}

/// Thirds of the range of the third goal.
fn bands(front: &Front, shown: &[Unit]) -> Vec<String> {
    let (goal, unit) = (&front.goals[2], &shown[2]);
    let values: Vec<f64> =
        front.points.iter().map(|point| convert(point.values[2], &goal.unit, unit)).collect();
    let finite = || values.iter().copied().filter(|value| value.is_finite());
    let low = finite().fold(f64::INFINITY, f64::min);
    let high = finite().fold(f64::NEG_INFINITY, f64::max);
    let edge = |third: f64| low + third / 3.0 * (high - low);
    values
        .iter()
        .map(|value| {
            if !value.is_finite() {
                let last = goal.last.unwrap_or(*value);
                return format!("{} {}", goal.name, none_by(goal, last, unit));
            }
            let third = if *value <= edge(1.0) {
                0.0
            } else if *value <= edge(2.0) {
                1.0
            } else {
                2.0
            };
            format!(
                "{} {} .. {}",
                goal.name,
                crate::quantity::significant(edge(third), 4),
                with_unit(edge(third + 1.0), unit)
            )
        })
        .collect()
}
