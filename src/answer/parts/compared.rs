//! Several mixes side by side, each change against the first with its better direction.

use crate::answer::block::{Cell, Column, Part, Table};
use crate::answer::changes::Worth;
use crate::answer::compare::{Change, Row, rows, worth};
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::report::Report;
use crate::problem::{FULL, Problem};

/// Most names of missed limits that are told.
const NAMED: usize = 6;

/// The mixes beside one another, the first being the reference; none for one mix.
pub fn compared(problem: &Problem, mixes: &[(String, Report)]) -> Option<Part> {
    let [(reference, first), _, ..] = mixes else { return None };
    let mut part = Part::new("Changes", format!("from {reference}"));
    for (title, report) in mixes {
        part = part.remarking(remark(report).map(|remark| Phrase::from(format!("{title} ")).and(remark)));
    }
    let columns = [Column::words("property"), Column::words("unit")];
    let mut table =
        Table::new(columns.into_iter().chain(mixes.iter().map(|(title, _)| Column::figures(title))));
    let reports: Vec<&Report> = mixes.iter().map(|(_, report)| report).collect();
    for row in rows(problem, &reports, first) {
        let figures =
            row.values.iter().enumerate().map(|(at, value)| changed(*value, row.values[0], at, &row));
        let names = [Cell::from(&row.name), (&row.unit.text).into()];
        table.row(names.into_iter().chain(figures.map(Cell::from)));
    }
    Some(part.with(table).saying(
        "better and worse: the goal, responses limited on one side, and quantities whose limit a mix misses.",
    ))
}

/// Why the figures of a mix are not those of one that is asked for: what it misses, and what it fills.
pub fn remark(report: &Report) -> Option<Phrase> {
    let mut missed = report.misses();
    let mut told: Vec<Phrase> = Vec::new();
    if !missed.is_empty() {
        let more = missed.len().saturating_sub(NAMED);
        missed.truncate(NAMED);
        let more = if 0 < more { format!(" and {more} more") } else { String::new() };
        told.push(format!("misses: {}{more}.", missed.join(", ")).into());
    }
    if let Some(fills) = report.fills.filter(|fills| FULL < (fills - 1.0).abs()) {
        let unit = report.units.body();
        told.push(
            Phrase::from("fills ")
                .and(Figure::new(fills, Digits::Significant(4)))
                .and(format!(" {unit}, not 1 {unit}.")),
        );
    }
    (!told.is_empty()).then(|| Phrase::joined(told, " It "))
}

/// A figure with its change from the reference.
pub fn changed(value: Option<f64>, reference: Option<f64>, at: usize, row: &Row) -> Phrase {
    let none = || {
        row.last.map_or_else(
            || "none".into(),
            |last| Phrase::from("none by ").and(Figure::new(last, Digits::Trimmed(4)).of(&row.unit)),
        )
    };
    let figure = value.map_or_else(none, |value| Figure::new(value, Digits::Significant(4)).into());
    if at == 0 {
        return figure;
    }
    let worth = worth(reference, value, row);
    let by: Option<Phrase> = match (value, reference) {
        _ if worth == Worth::Same => None,
        (Some(value), Some(reference)) if reference == 0.0 || row.change == Change::Absolute => {
            Some(Figure::new(value - reference, Digits::Significant(3)).signed().into())
        }
        (Some(value), Some(reference)) => {
            let share = (value - reference) / reference.abs();
            Some(Figure::percent(share, Digits::Decimals(1)).signed().into())
        }
        _ => None,
    };
    let word = Some(worth.word()).filter(|word| !word.is_empty()).map(Phrase::from);
    let words: Vec<Phrase> = by.into_iter().chain(word).collect();
    if words.is_empty() { figure } else { figure.and(" (").and(Phrase::joined(words, ", ")).and(")") }
}
