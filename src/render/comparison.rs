//! Several mixes side by side for a terminal, each change against the first with its better direction.
//!
//! What enters: rows of figures, and the reports of the mixes. What leaves: one table.

use std::fmt::Write;

use super::text::{align_numbers, push_table, table, wrapped};
use crate::answer::changes::Direction;
use crate::answer::compare::{Change, Row, rows};
use crate::answer::report::{Report, Standing};
use crate::finding::clean;
use crate::problem::{FULL, Problem};
use crate::quantity::{significant, trimmed};

/// The table of several mixes, the first being the reference; empty for one mix.
pub fn comparison(problem: &Problem, mixes: &[(String, Report)]) -> String {
    let mut text = String::new();
    let [(reference, first), others @ ..] = mixes else { return text };
    if others.is_empty() {
        return text;
    }
    let _ = writeln!(text, "\nCHANGES from `{}`", clean(reference));
    for (title, report) in mixes {
        if let Some(remark) = remark(report) {
            let _ = writeln!(text, "{}", wrapped(&format!("`{}` {remark}", clean(title)), 2));
        }
    }
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
        "better and worse: the goal, responses limited on one side, and quantities whose limit a mix misses."
    );
    text
}

/// Most names of missed limits that are told.
const NAMED: usize = 6;

/// Why the figures of a mix are not those of one that is asked for: what it misses, and what it fills.
fn remark(report: &Report) -> Option<String> {
    let mut missed: Vec<String> = Vec::new();
    let violated = report.limits.iter().filter(|line| line.standing == Standing::Violated);
    for name in violated.map(|line| &line.name).chain(report.broken_choices.iter().map(|choice| &choice.name))
    {
        if !missed.contains(name) {
            missed.push(name.clone());
        }
    }
    let mut told = Vec::new();
    if !missed.is_empty() {
        let more = missed.len().saturating_sub(NAMED);
        missed.truncate(NAMED);
        let more = if 0 < more { format!(" and {more} more") } else { String::new() };
        told.push(format!("misses: {}{more}.", clean(&missed.join(", "))));
    }
    if let Some(fills) = report.fills.filter(|fills| FULL < (fills - 1.0).abs()) {
        let unit = report.units.body();
        told.push(format!("fills {} {unit}, not 1 {unit}.", significant(fills, 4)));
    }
    (!told.is_empty()).then(|| told.join(" It "))
}

/// A figure with its change from the reference.
pub fn cell(value: Option<f64>, reference: Option<f64>, at: usize, row: &Row) -> String {
    let none = || {
        row.last.map_or_else(
            || "none".to_owned(),
            |last| format!("none by {}", row.unit.with_number(&trimmed(last, 4))),
        )
    };
    let figure = value.map_or_else(none, |value| significant(value, 4));
    if at == 0 {
        return figure;
    }
    let direction = Direction::of(reference, value, row);
    let by = match (value, reference) {
        _ if direction == Direction::Same => String::new(),
        (Some(value), Some(reference)) => {
            let change = value - reference;
            if reference == 0.0 || row.change == Change::Absolute {
                format!("{}{}", if change < 0.0 { "" } else { "+" }, significant(change, 3))
            } else {
                format!("{:+.1} %", 100.0 * change / reference.abs())
            }
        }
        _ => String::new(),
    };
    let words = [by.as_str(), direction.word()].into_iter().filter(|word| !word.is_empty());
    let words = words.collect::<Vec<_>>().join(", ");
    if words.is_empty() { figure } else { format!("{figure} ({words})") }
}
