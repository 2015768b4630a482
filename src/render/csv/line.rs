//! One line of the tidy table of a report.

use crate::answer::cautions::PROPOSAL;
use crate::answer::record::cells::{cell, number};
use crate::quantity::Unit;

/// Names of the columns, in order.
pub const HEADER: [&str; 9] =
    ["part", "name", "figure", "value", "unit", "wanted", "margin", "slack", "standing"];

/// One line, its cells by column.
#[derive(Default)]
pub struct Line {
    /// The part of the report.
    pub part: &'static str,
    /// What it is about.
    pub name: String,
    /// Which figure of it.
    pub figure: String,
    /// Its value.
    pub value: Option<f64>,
    /// Its unit.
    pub unit: String,
    /// What is asked.
    pub wanted: Option<f64>,
    /// The margin on it.
    pub margin: Option<f64>,
    /// What is left.
    pub slack: Option<f64>,
    /// Where it stands.
    pub standing: String,
}

impl Line {
    /// Its cells, in the order of the columns.
    pub fn cells(&self) -> [String; 9] {
        [
            cell(self.part),
            cell(&self.name),
            cell(&self.figure),
            number(self.value),
            cell(&self.unit),
            number(self.wanted),
            number(self.margin),
            number(self.slack),
            cell(&self.standing),
        ]
    }
}

/// A figure in base units, told in a unit.
pub fn figure(part: &'static str, name: &str, figure: &str, base: f64, unit: &Unit) -> Line {
    Line {
        part,
        name: name.to_owned(),
        figure: figure.to_owned(),
        value: Some(unit.from_base(base)),
        unit: unit.text.clone(),
        ..Line::default()
    }
}

/// A table with the caution in a column of its own, last on every line: no cell holds a line end.
pub fn cautioned(table: &str) -> String {
    let end = if table.contains("\r\n") { "\r\n" } else { "\n" };
    let with = |(at, line): (usize, &str)| {
        let last = if at == 0 { "caution".to_owned() } else { cell(PROPOSAL) };
        format!("{line},{last}{end}")
    };
    table.lines().enumerate().map(with).collect()
}
