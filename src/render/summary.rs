//! Several answers in one table: a line per statement.
//!
//! What enters: a [`Report`] for each statement that was solved, or what was wrong with it. What leaves: text in any of
//! the formats.

use comfy_table::ColumnConstraint;

use super::Format;
use super::markdown::escaped;
use super::text::{align_numbers, push_table, table};
use crate::answer::record::summary::{self, SummaryLine};
use crate::answer::study_points::percent_of;
use crate::finding::clean;
use crate::quantity::significant;

/// The cells of one line, for people.
fn cells(
    line: &SummaryLine,
    words: fn(&str) -> String,
    value: fn(f64) -> String,
    gap: fn(f64) -> String,
    change: fn(f64) -> String,
) -> Vec<String> {
    let plain = |text: &Option<String>| text.as_deref().map_or_else(String::new, words);
    let number = |number: Option<f64>, told: fn(f64) -> String| number.map_or_else(String::new, told);
    vec![
        words(&line.file),
        words(&line.state),
        plain(&line.goal),
        number(line.value, value),
        plain(&line.unit),
        number(line.gap, gap),
        number(line.change, change),
        words(&line.stands_at.join("; ")),
        plain(&line.report),
    ]
}

const HEADER: [&str; 9] = ["file", "state", "goal", "value", "unit", "gap", "change", "stands at", "report"];
/// Columns that are left out of tables for people where no line has them.
const OPTIONAL: [usize; 2] = [6, 8];

/// Writes the table.
pub fn render_summary(lines: &[SummaryLine], format: Format) -> String {
    match format {
        Format::Json => summary::json(lines),
        Format::Csv => summary::csv(lines),
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
        .map(|line| cells(line, words, |value| significant(value, 5), percent_of, signed))
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
