//! Several mixes side by side: amounts, totals, responses, each change against the first with its better direction.
//!
//! What enters: reports of mixes of one problem. What leaves: one table. Which direction is better is what the statement
//! asks for: a property that is only limited from above is better lower; one that nothing asks for is neither.

use std::fmt::Write;

use super::answer::{Report, ResponseLine};
use super::text::{align_numbers, push_table, table};
use crate::finding::clean;
use crate::problem::{Origin, Problem, Side, Subject};
use crate::quantity::{Unit, significant};

/// Change below which a figure counts as the same, relative.
pub(super) const SAME: f64 = 5e-4;

/// One row: name, unit, a value for each mix, and the side that is better.
pub(super) struct Row {
    pub name: String,
    pub unit: Unit,
    pub values: Vec<Option<f64>>,
    pub change: Change,
    pub better: Option<Side>,
}

/// How a change is told.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Change {
    /// In the row's unit: kilograms and money.
    Absolute,
    /// In per cent.
    Relative,
}

/// The table of several mixes, the first being the reference; empty for one mix.
pub fn comparison(problem: &Problem, mixes: &[(String, Report)]) -> String {
    let mut text = String::new();
    let [(reference, first), others @ ..] = mixes else { return text };
    if others.is_empty() {
        return text;
    }
    let _ = writeln!(text, "\nCHANGES from `{}`", clean(reference));
    let mut header = vec![String::new(), "unit".to_owned(), clean(reference)];
    header.extend(others.iter().map(|(title, _)| clean(title)));
    let mut table = table(header);
    let reports: Vec<&Report> = mixes.iter().map(|(_, report)| report).collect();
    for row in rows(problem, &reports, first) {
        let mut cells = vec![clean(&row.name), row.unit.text.clone()];
        let reference = row.values[0];
        cells.extend(row.values.iter().enumerate().map(|(at, value)| cell(*value, reference, at, &row)));
        table.add_row(cells);
    }
    align_numbers(&mut table, 2, 2 + mixes.len());
    push_table(&mut text, &table);
    let _ = writeln!(
        text,
        "better and worse are what the statement asks for; other properties have no direction."
    );
    text
}

pub(super) fn cell(value: Option<f64>, reference: Option<f64>, at: usize, row: &Row) -> String {
    let Some(value) = value else { return "none".to_owned() };
    let figure = significant(value, 4);
    let Some(reference) = reference.filter(|_| 0 < at) else { return figure };
    let change = value - reference;
    if change.abs() <= SAME * value.abs().max(reference.abs()) {
        return format!("{figure} (same)");
    }
    let by = if reference == 0.0 || row.change == Change::Absolute {
        format!("{}{}", if change < 0.0 { "" } else { "+" }, significant(change, 3))
    } else {
        format!("{:+.1} %", 100.0 * change / reference.abs())
    };
    let word = match row.better {
        None => "",
        Some(side) if 0.0 < side.sign() * change => ", better",
        Some(_) => ", worse",
    };
    format!("{figure} ({by}{word})")
}

pub(super) fn rows(problem: &Problem, reports: &[&Report], first: &Report) -> Vec<Row> {
    let content = first.units.content();
    let mut list = Vec::new();
    if first.goal_value.is_some() {
        list.push(Row {
            name: first.goal.trim_start_matches("least ").trim_start_matches("most ").to_owned(),
            unit: first.goal_unit.clone(),
            values: reports.iter().map(|report| report.goal_value).collect(),
            change: Change::Absolute,
            better: Some(if problem.goal.most { Side::AtLeast } else { Side::AtMost }),
        });
    }
    for material in &problem.mixture.catalogue.materials {
        let amount = |report: &&Report| {
            let line = report.amounts.iter().find(|line| line.material == material.name);
            Some(line.map_or(0.0, |line| content.from_base(line.amount)))
        };
        let values: Vec<Option<f64>> = reports.iter().map(amount).collect();
        if values.iter().flatten().any(|value| *value != 0.0) {
            let unit = content.clone();
            list.push(Row {
                name: material.name.clone(),
                unit,
                values,
                change: Change::Absolute,
                better: None,
            });
        }
    }
    for total in &first.totals {
        let of = |report: &&Report| report.totals.iter().find(|line| line.label == total.label)?.value;
        list.push(Row {
            name: total.label.clone(),
            unit: total.unit.clone(),
            values: reports.iter().map(of).collect(),
            change: Change::Relative,
            better: better(problem, &total.label),
        });
    }
    for response in &first.responses {
        let of = |report: &&Report| {
            let line: &ResponseLine = report.responses.iter().find(|line| line.name == response.name)?;
            Some(line.value).filter(|value| value.is_finite())
        };
        list.push(Row {
            name: response.name.clone(),
            unit: response.unit.clone(),
            values: reports.iter().map(of).collect(),
            change: Change::Relative,
            better: better(problem, &response.name),
        });
    }
    list
}

/// The side on which a property is better: the one it is limited on, if that is one alone.
fn better(problem: &Problem, name: &str) -> Option<Side> {
    let about = |subject: &Subject| match subject {
        Subject::Quantity(quantity) => quantity.label == name,
        Subject::Response(index) => problem.responses[*index].name == name,
    };
    let sides: Vec<Side> = problem
        .requirements
        .iter()
        .filter(|requirement| requirement.origin == Origin::Limit && about(&requirement.subject))
        .map(|requirement| requirement.side)
        .collect();
    let first = *sides.first()?;
    sides.iter().all(|side| *side == first).then_some(first)
}
