//! Several answers in one table: a line per statement.
//!
//! What enters: a [`Report`] for each statement that was solved, or what was wrong with it. What leaves: text in any of
//! the formats.

use comfy_table::ColumnConstraint;
use serde::Serialize;

use super::Format;
use super::answer::{Report, Standing};
use super::csv::{cell, number};
use super::json::written;
use super::markdown::escaped;
use super::previous::{Previous, Since};
use super::study_table::percent_of;
use super::text::{align_numbers, push_table, table};
use crate::finding::clean;
use crate::quantity::significant;

/// One statement of several.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SummaryLine {
    /// The file.
    pub file: String,
    /// What it came to, in words.
    pub state: String,
    /// The goal in words.
    pub goal: Option<String>,
    /// Its value in `unit`.
    pub value: Option<f64>,
    /// The goal's unit.
    pub unit: Option<String>,
    /// Relative gap between the goal and its proven bound.
    pub gap: Option<f64>,
    /// Its change since an earlier run, in `unit`.
    pub change: Option<f64>,
    /// Names of the limits that the mix stands at.
    pub stands_at: Vec<String>,
    /// The file that holds the whole report.
    pub report: Option<String>,
}

impl SummaryLine {
    /// The line of a solved statement; figures only where the mix is a proposal.
    pub fn solved(file: String, report: &Report) -> Self {
        let proposal = report.state.is_proposal();
        Self {
            file,
            state: report.state.words().to_owned(),
            goal: Some(report.goal.clone()),
            value: report.goal_value.filter(|_| proposal),
            unit: Some(report.goal_unit.text.clone()),
            gap: report.certainty.and_then(|certainty| certainty.gap).filter(|_| proposal),
            change: None,
            stands_at: (report.limits.iter())
                .filter(|line| proposal && line.standing == Standing::Binding)
                .map(|line| line.name.clone())
                .collect(),
            report: None,
        }
    }

    /// The line of a statement that was not solved.
    pub fn not_solved(file: String, state: &str) -> Self {
        Self {
            file,
            state: state.to_owned(),
            goal: None,
            value: None,
            unit: None,
            gap: None,
            change: None,
            stands_at: Vec::new(),
            report: None,
        }
    }

    /// The same with its change since an earlier run; what cannot be compared has none.
    #[must_use]
    pub fn since(mut self, previous: &Previous) -> Self {
        if let (Some(goal), Some(unit), Some(value)) = (&self.goal, &self.unit, self.value)
            && let Since::Value(then) = previous.since(&self.file, goal, unit)
        {
            self.change = Some(value - then);
        }
        self
    }

    fn cells(
        &self,
        words: fn(&str) -> String,
        value: fn(f64) -> String,
        gap: fn(f64) -> String,
        change: fn(f64) -> String,
    ) -> Vec<String> {
        let plain = |text: &Option<String>| text.as_deref().map_or_else(String::new, words);
        let number = |number: Option<f64>, told: fn(f64) -> String| number.map_or_else(String::new, told);
        vec![
            words(&self.file),
            words(&self.state),
            plain(&self.goal),
            number(self.value, value),
            plain(&self.unit),
            number(self.gap, gap),
            number(self.change, change),
            words(&self.stands_at.join("; ")),
            plain(&self.report),
        ]
    }
}

const HEADER: [&str; 9] = ["file", "state", "goal", "value", "unit", "gap", "change", "stands at", "report"];
/// Columns that are left out of tables for people where no line has them.
const OPTIONAL: [usize; 2] = [6, 8];

/// Writes the table.
pub fn render_summary(lines: &[SummaryLine], format: Format) -> String {
    match format {
        Format::Json => written(lines),
        Format::Csv => {
            let mut text = HEADER.join(",") + "\r\n";
            for line in lines {
                let exact = |value| number(Some(value));
                text.push_str(&line.cells(cell, exact, exact, exact).join(","));
                text.push_str("\r\n");
            }
            text
        }
        Format::Text => {
            let (header, rows) = shown(lines, clean);
            let mut table = table(header.iter().map(|word| (*word).to_owned()).collect());
            for row in rows {
                table.add_row(row);
            }
            for (at, name) in header.iter().enumerate() {
                // A file name broken over two lines is no file name; what a mix stands at takes what is left.
                if let (true, Some(column)) = (*name != "stands at", table.column_mut(at)) {
                    column.set_constraint(ColumnConstraint::ContentWidth);
                }
                if ["value", "gap", "change"].contains(name) {
                    align_numbers(&mut table, at, at + 1);
                }
            }
            let mut text = String::new();
            push_table(&mut text, &table);
            text
        }
        Format::Markdown => {
            let (header, rows) = shown(lines, escaped);
            let rules: Vec<&str> = (header.iter())
                .map(|name| if ["value", "gap", "change"].contains(name) { "---:" } else { "---" })
                .collect();
            let mut text = format!("| {} |\n| {} |\n", header.join(" | "), rules.join(" | "));
            for row in rows {
                text.push_str(&format!("| {} |\n", row.join(" | ")));
            }
            text
        }
    }
}

/// For people: rounded, without columns that hold nothing.
fn shown(lines: &[SummaryLine], words: fn(&str) -> String) -> (Vec<&'static str>, Vec<Vec<String>>) {
    let rows: Vec<Vec<String>> = lines
        .iter()
        .map(|line| line.cells(words, |value| significant(value, 5), percent_of, signed))
        .collect();
    let kept: Vec<usize> = (0..HEADER.len())
        .filter(|at| !OPTIONAL.contains(at) || rows.iter().any(|row| !row[*at].is_empty()))
        .collect();
    let pick = |row: Vec<String>| kept.iter().map(|at| row[*at].clone()).collect();
    (kept.iter().map(|at| HEADER[*at]).collect(), rows.into_iter().map(pick).collect())
}

/// A change with its sign; what rounding leaves of none is none.
fn signed(change: f64) -> String {
    let text = significant(change, 3);
    if change.abs() < 1e-6 {
        "0".to_owned()
    } else if 0.0 < change {
        format!("+{text}")
    } else {
        text
    }
}
