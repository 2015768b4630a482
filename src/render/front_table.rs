//! A front as a table: a line for each point, goals first, with the materials that change along it.

use std::fmt::Write;

use serde::Serialize;

use super::TableFormat;
use super::study_table::{AnswerOut, AnswerTable, Row, with_unit};
use super::text::wrapped;
use crate::answer::record::json::written;
use crate::answer::units::Units;
use crate::finding::{clean, numbered};
use crate::problem::convert;
use crate::quantity::{Unit, significant, trimmed};
use crate::study::{Answer, Front, FrontGoal, FrontPoint};

#[derive(Serialize)]
struct FrontOut<'f> {
    goals: Vec<GoalOut<'f>>,
    conflict: bool,
    proven: bool,
    questions: usize,
    unmet: usize,
    points: Vec<PointOut<'f>>,
}

#[derive(Serialize)]
struct GoalOut<'f> {
    name: &'f str,
    wanted: &'static str,
    unit: String,
}

#[derive(Serialize)]
struct PointOut<'f> {
    point: usize,
    /// An age at cracking that there is none of by the last day is absent.
    values: Vec<Option<f64>>,
    none_by: Vec<Option<f64>>,
    best: &'f str,
    #[serde(flatten)]
    answer: AnswerOut<'f>,
}

/// Writes a front.
pub fn front_table(front: &Front, currency: &str, units: Units, format: TableFormat) -> String {
    let shown: Vec<Unit> = front.goals.iter().map(|goal| units.shown(&goal.unit, currency)).collect();
    let answers: Vec<Answer> = front.points.iter().map(|point| in_unit(point, front, &shown)).collect();
    let mut leading = vec!["point".to_owned()];
    for (goal, unit) in front.goals.iter().zip(&shown) {
        let name = format!("{} {}", side(goal), goal.name);
        leading.push(match format {
            TableFormat::Text if unit.text.is_empty() => clean(&name),
            TableFormat::Text => format!("{}\n{}", clean(&name), clean(&unit.text)),
            TableFormat::Csv | TableFormat::Json => with_unit(&name, unit),
        });
    }
    let made_best =
        |at: usize| with_unit(&format!("{} {}", side(&front.goals[at]), front.goals[at].name), &shown[at]);
    if format == TableFormat::Csv {
        leading.push("made best".to_owned());
    }
    let value = |at: usize, value: f64| {
        let (goal, unit) = (&front.goals[at], &shown[at]);
        match (goal.last, format) {
            (Some(last), _) if value.is_infinite() => {
                format!("none by {}", trimmed(convert(last, &goal.unit, unit), 4))
            }
            (_, TableFormat::Text) => significant(convert(value, &goal.unit, unit), 5),
            (_, TableFormat::Csv | TableFormat::Json) => convert(value, &goal.unit, unit).to_string(),
        }
    };
    let row = |(number, (point, answer)): (usize, (&FrontPoint, _))| {
        let mut leading = vec![(number + 1).to_string()];
        leading.extend(point.values.iter().enumerate().map(|(at, number)| value(at, *number)));
        if format == TableFormat::Csv {
            leading.push(made_best(point.best));
        }
        Row { leading, answer, enters: point.enters.clone(), leaves: point.leaves.clone() }
    };
    let rows = AnswerTable {
        leading,
        rows: front.points.iter().zip(&answers).enumerate().map(row).collect(),
        figures: &front.figures,
        units,
        currency,
    };
    match format {
        TableFormat::Text => text(front, &rows),
        TableFormat::Csv => rows.csv("bound on what was made best"),
        TableFormat::Json => written(&json(front, &rows, &shown)),
    }
}

fn json<'f>(front: &'f Front, rows: &'f AnswerTable<'_>, shown: &[Unit]) -> FrontOut<'f> {
    let finite = |at: usize, value: f64| {
        Some(convert(value, &front.goals[at].unit, &shown[at])).filter(|value| value.is_finite())
    };
    let none_by = |at: usize, value: f64| {
        let last = front.goals[at].last.filter(|_| value.is_infinite())?;
        Some(convert(last, &front.goals[at].unit, &shown[at]))
    };
    FrontOut {
        goals: front
            .goals
            .iter()
            .zip(shown)
            .map(|(goal, unit)| GoalOut { name: &goal.name, wanted: side(goal), unit: unit.text.clone() })
            .collect(),
        conflict: front.conflict,
        proven: front.is_proven(),
        questions: front.asked,
        unmet: front.unmet,
        points: front
            .points
            .iter()
            .zip(&rows.rows)
            .enumerate()
            .map(|(number, (point, row))| PointOut {
                point: number + 1,
                values: point.values.iter().enumerate().map(|(at, value)| finite(at, *value)).collect(),
                none_by: point.values.iter().enumerate().map(|(at, value)| none_by(at, *value)).collect(),
                best: &front.goals[point.best].name,
                answer: rows.json(row),
            })
            .collect(),
    }
}

fn side(goal: &FrontGoal) -> &'static str {
    if goal.most { "most" } else { "least" }
}

/// The answer of a point with goal and bound in the reader's unit.
fn in_unit(point: &FrontPoint, front: &Front, shown: &[Unit]) -> Answer {
    let (from, to) = (&front.goals[point.best].unit, &shown[point.best]);
    let mut answer = point.answer.clone();
    answer.goal = answer.goal.map(|value| convert(value, from, to));
    answer.bound = answer.bound.map(|value| convert(value, from, to));
    answer
}

fn text(front: &Front, rows: &AnswerTable<'_>) -> String {
    let mut text = String::new();
    let goals: Vec<String> = front.goals.iter().map(|goal| format!("{} {}", side(goal), goal.name)).collect();
    let count = front.points.len();
    let headline = format!("FRONT between {}: {}", goals.join(" and "), numbered("point", count));
    let _ = writeln!(text, "{}", wrapped(&clean(&headline), 0));
    if count == 0 {
        text.push_str("No mix meets everything: there is no front. `mixbound solve` tells why.\n");
        return text;
    }
    let told = if !front.conflict {
        "The goals do not conflict: this mix is the best in each of them, within what was asked for."
    } else if front.stopped {
        "Stopped before its end: more points lie between these."
    } else {
        "No mix is as good as one of these in every goal and better in one, within the gaps told."
    };
    let _ = writeln!(text, "{}", wrapped(told, 0));
    rows.text(&mut text);
    if front.conflict {
        let gaps = "The gap of a point is that of the goal which was made best while the others were held at levels.";
        let _ = writeln!(text, "\n{}", wrapped(gaps, 0));
    }
    text
}
