//! A front as rows: a row for each point, goals first, with the materials that change along it.

use super::block::{Column, Part, Table};
use super::doubt::{is_doubtful, point_doubt};
use super::phrase::{Digits, Figure, Phrase};
use super::study::{StudyRow, StudyRows};
use super::units::Units;
use crate::finding::numbered;
use crate::problem::convert;
use crate::quantity::Unit;
use crate::study::{Answer, Front, FrontGoal, FrontPoint};

/// The unit of each goal for this reader.
pub fn goal_units(front: &Front, currency: &str, units: Units) -> Vec<Unit> {
    front.goals.iter().map(|goal| units.shown(&goal.unit, currency)).collect()
}

/// The direction of a goal.
pub fn side(goal: &FrontGoal) -> &'static str {
    if goal.most { "most" } else { "least" }
}

/// The answers of all points with goal and bound in the reader's unit.
pub fn shown(front: &Front, shown: &[Unit]) -> Vec<Answer> {
    let one = |point: &FrontPoint| {
        let (from, to) = (&front.goals[point.best].unit, &shown[point.best]);
        let mut answer = point.answer.clone();
        answer.goal = answer.goal.map(|value| convert(value, from, to));
        answer.bound = answer.bound.map(|value| convert(value, from, to));
        answer
    };
    front.points.iter().map(one).collect()
}

/// The rows of these answers, which [`shown`] gave.
pub fn rows<'f>(
    front: &'f Front,
    answers: &'f [Answer],
    shown: &[Unit],
    (units, currency): (Units, &'f str),
) -> StudyRows<'f> {
    let mut leading = vec![Column::figures("point")];
    let named = front.goals.iter().zip(shown);
    leading.extend(named.map(|(goal, unit)| Column::of(format!("{} {}", side(goal), goal.name), unit)));
    let value = |at: usize, value: f64| -> Phrase {
        let (goal, unit) = (&front.goals[at], &shown[at]);
        match goal.last.filter(|_| value.is_infinite()) {
            Some(last) => {
                Phrase::from("none by ").and(Figure::new(convert(last, &goal.unit, unit), Digits::Trimmed(4)))
            }
            None => Figure::new(convert(value, &goal.unit, unit), Digits::Significant(5)).into(),
        }
    };
    let row = |(number, answer): (usize, &'f Answer)| {
        let point = &front.points[number];
        let mut leading: Vec<Phrase> = vec![(number + 1).to_string().into()];
        leading.extend(point.values.iter().enumerate().map(|(at, number)| value(at, *number)));
        StudyRow { leading, answer, enters: point.enters.clone(), leaves: point.leaves.clone() }
    };
    let rows = answers.iter().enumerate().map(row).collect();
    StudyRows { leading, rows, figures: &front.figures, units, currency }
}

/// What uncertainty about fitted responses does to each point.
fn doubts(front: &Front, shown: &[Unit]) -> Option<Part> {
    let mut table = Table::new([
        Column::figures("point"),
        Column::words("made best"),
        Column::figures("value"),
        Column::figures("paid for uncertainty"),
        Column::figures("without the regions it stands at"),
    ]);
    for (number, point) in front.points.iter().enumerate() {
        let (goal, unit) = (&front.goals[point.best], &shown[point.best]);
        let told = point_doubt(point, front, shown);
        let figure = |value: Option<f64>, digits: usize| -> Phrase {
            value.map(|value| Figure::new(value, Digits::Significant(digits))).into()
        };
        table.row([
            Phrase::from((number + 1).to_string()),
            format!("{}, {}", goal.name, unit.text).trim_end_matches(", ").into(),
            figure(Some(convert(point.values[point.best], &goal.unit, unit)), 4),
            figure(told.paid, 3),
            figure(told.beyond, 4),
        ]);
    }
    is_doubtful(front).then(|| {
        Part::new("Uncertainty", "of fitted responses")
            .saying(
                "Paid because coefficients are estimates, the scatter of batches and the regions not counted. Without the \
                 regions that a mix stands at the goal would be as told: no proposal, the responses are not known there; \
                 try it.",
            )
            .with(table.without_empty_columns())
    })
}

/// The front for people.
pub fn parts(front: &Front, rows: &StudyRows<'_>, shown: &[Unit]) -> Vec<Part> {
    let goals: Vec<String> = front.goals.iter().map(|goal| format!("{} {}", side(goal), goal.name)).collect();
    let count = front.points.len();
    let part = Part::new("Front", format!("between {}: {}", goals.join(" and "), numbered("point", count)));
    if count == 0 {
        return vec![part.saying(if front.stopped {
            "Stopped before any point was found; whether a mix meets everything is not known."
        } else {
            "No mix meets everything: there is no front. `mixbound solve` tells why."
        })];
    }
    let part = part.saying(if front.stopped {
        "Stopped before its end: more points may lie between these, or beyond."
    } else if !front.conflict {
        "The goals do not conflict: this mix is the best in each of them, within what was asked for."
    } else {
        "No mix is as good as one of these in every goal and better in one, within the gaps told."
    });
    let mut parts = rows.within(part);
    if front.conflict {
        let gaps = "The gap of a point is that of the goal which was made best while the others were held at levels.";
        parts.push(Part::default().saying(gaps));
    }
    parts.extend(doubts(front, shown));
    parts
}
