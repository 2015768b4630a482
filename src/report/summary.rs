//! Several answers in one table: a line per statement.
//!
//! What enters: a [`Report`] for each statement that was solved, or what was wrong with it. What leaves: text in any of
//! the formats.

use comfy_table::ContentArrangement;
use serde::Serialize;

use super::Format;
use super::answer::Report;
use super::csv::{cell, number};
use super::json::written;
use super::markdown::escaped;
use super::text::{align_numbers, push_table, table};
use crate::finding::clean;
use crate::quantity::{significant, trimmed};

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
            report: None,
        }
    }

    /// The line of a statement that was not solved.
    pub fn not_solved(file: String, state: &str) -> Self {
        Self { file, state: state.to_owned(), goal: None, value: None, unit: None, gap: None, report: None }
    }
}

const HEADER: [&str; 7] = ["file", "state", "goal", "value", "unit", "gap", "report"];

/// Writes the table.
pub fn render_summary(lines: &[SummaryLine], format: Format) -> String {
    let plain = |text: &Option<String>| text.clone().unwrap_or_default();
    match format {
        Format::Text => {
            let mut text = String::new();
            let with_reports = lines.iter().any(|line| line.report.is_some());
            let columns = HEADER.len() - usize::from(!with_reports);
            let mut shown = table(HEADER[..columns].iter().map(|word| (*word).to_owned()).collect());
            // A file name broken over two lines is no file name.
            shown.set_content_arrangement(ContentArrangement::Disabled);
            for line in lines {
                let mut row = vec![
                    clean(&line.file),
                    line.state.clone(),
                    clean(&plain(&line.goal)),
                    line.value.map_or_else(String::new, |value| significant(value, 5)),
                    clean(&plain(&line.unit)),
                    line.gap.map_or_else(String::new, percent),
                    clean(&plain(&line.report)),
                ];
                row.truncate(columns);
                shown.add_row(row);
            }
            align_numbers(&mut shown, 3, 4);
            align_numbers(&mut shown, 5, 6);
            push_table(&mut text, &shown);
            text
        }
        Format::Json => written(lines),
        Format::Csv => {
            let mut text = HEADER.join(",") + "\r\n";
            for line in lines {
                let cells = [
                    cell(&line.file),
                    cell(&line.state),
                    cell(&plain(&line.goal)),
                    number(line.value),
                    cell(&plain(&line.unit)),
                    number(line.gap),
                    cell(&plain(&line.report)),
                ];
                text.push_str(&cells.join(","));
                text.push_str("\r\n");
            }
            text
        }
        Format::Markdown => {
            let mut text =
                format!("| {} |\n| --- | --- | --- | ---: | --- | ---: | --- |\n", HEADER.join(" | "));
            for line in lines {
                let cells = [
                    escaped(&line.file),
                    escaped(&line.state),
                    escaped(&plain(&line.goal)),
                    line.value.map_or_else(String::new, |value| significant(value, 5)),
                    escaped(&plain(&line.unit)),
                    line.gap.map_or_else(String::new, percent),
                    escaped(&plain(&line.report)),
                ];
                text.push_str(&format!("| {} |\n", cells.join(" | ")));
            }
            text
        }
    }
}

fn percent(gap: f64) -> String {
    format!("{} %", trimmed(100.0 * gap, 2))
}
