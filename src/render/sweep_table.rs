//! A sweep as a table: a line for each case, with the materials that change along it.

use std::fmt::Write;

use serde::Serialize;

use super::TableFormat;
use super::study_table::{AnswerOut, AnswerTable, Row, with_unit};
use super::text::wrapped;
use crate::answer::record::json::written;
use crate::answer::units::Units;
use crate::finding::{clean, numbered};
use crate::problem::convert;
use crate::quantity::{Unit, significant};
use crate::study::{CaseResult, Sweep};

#[derive(Serialize)]
struct SweepOut<'s> {
    goal: &'s str,
    unit: &'s str,
    axes: Vec<AxisOut<'s>>,
    cases: Vec<CaseOut<'s>>,
}

#[derive(Serialize)]
struct AxisOut<'s> {
    name: &'s str,
    values: &'s [String],
}

#[derive(Serialize)]
struct CaseOut<'s> {
    case: usize,
    values: Vec<&'s str>,
    goal: Option<f64>,
    #[serde(flatten)]
    answer: AnswerOut<'s>,
}

/// Writes a sweep.
pub fn sweep_table(sweep: &Sweep, currency: &str, units: Units, format: TableFormat) -> String {
    let unit = units.shown(&sweep.unit, currency);
    let shown: Vec<CaseResult> = sweep.cases.iter().map(|case| in_unit(case, &sweep.unit, &unit)).collect();
    let mut leading = vec!["case".to_owned()];
    leading.extend(sweep.axes.iter().map(|axis| axis.name.clone()));
    leading.push(match format {
        TableFormat::Text => format!("{}\n{}", clean(&sweep.goal), clean(&unit.text)),
        TableFormat::Csv | TableFormat::Json => with_unit(&sweep.goal, &unit),
    });
    let goal = |case: &CaseResult| match (format, case.answer.goal) {
        (_, None) => String::new(),
        (TableFormat::Text, Some(goal)) => significant(goal, 5),
        (TableFormat::Csv | TableFormat::Json, Some(goal)) => goal.to_string(),
    };
    let row = |case| {
        let case: &CaseResult = case;
        let (enters, leaves) = sweep.changes(case);
        let mut leading = vec![(case.number + 1).to_string()];
        leading.extend(sweep.values(case).into_iter().map(str::to_owned));
        leading.push(goal(case));
        Row { leading, answer: &case.answer, enters, leaves }
    };
    let rows = AnswerTable {
        leading,
        rows: shown.iter().map(row).collect(),
        figures: &sweep.figures,
        units,
        currency,
    };
    match format {
        TableFormat::Text => text(sweep, &rows),
        TableFormat::Csv => rows.csv(&with_unit("bound", &unit)),
        TableFormat::Json => written(&SweepOut {
            goal: &sweep.goal,
            unit: &unit.text,
            axes: sweep.axes.iter().map(|axis| AxisOut { name: &axis.name, values: &axis.values }).collect(),
            cases: shown
                .iter()
                .zip(&rows.rows)
                .map(|(case, row)| CaseOut {
                    case: case.number + 1,
                    values: sweep.values(case),
                    goal: case.answer.goal,
                    answer: rows.json(row),
                })
                .collect(),
        }),
    }
}

/// A case with goal and bound in the reader's unit.
fn in_unit(case: &CaseResult, from: &Unit, to: &Unit) -> CaseResult {
    let mut shown = case.clone();
    shown.answer.goal = shown.answer.goal.map(|value| convert(value, from, to));
    shown.answer.bound = shown.answer.bound.map(|value| convert(value, from, to));
    shown
}

fn text(sweep: &Sweep, rows: &AnswerTable<'_>) -> String {
    let mut text = String::new();
    let axes: Vec<String> = sweep
        .axes
        .iter()
        .map(|axis| format!("{} ({})", axis.name, numbered("value", axis.values.len())))
        .collect();
    let all: usize = sweep.axes.iter().map(|axis| axis.values.len()).product();
    let reached = if sweep.cases.len() == all {
        numbered("case", all)
    } else {
        format!("{} of {}", sweep.cases.len(), numbered("case", all))
    };
    let headline = format!("SWEEP, {}: {reached} over {}", sweep.goal, axes.join(" and "));
    let _ = writeln!(text, "{}", wrapped(&clean(&headline), 0));
    rows.text(&mut text);
    text
}
