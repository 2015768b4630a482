//! Answers in the form asked for.
//!
//! What enters: facts, and parts made of them. What leaves: text.

use serde::Serialize;

use super::csv::line::cautioned;
use super::format::Format;
use super::layout::Width;
use super::tables::separated;
use super::{blocks, csv, json, markdown, text};
use crate::answer::block::{Part, Table};
use crate::answer::parts::compared::compared;
use crate::answer::report::Report;
use crate::problem::Problem;

/// Writes facts in the form asked for: JSON from the facts themselves, spreadsheets from one table with full digits,
/// everything else from blocks.
pub fn written<Facts: Serialize + ?Sized>(
    facts: &Facts,
    parts: &[Part],
    table: &Table,
    format: Format,
    width: Width,
) -> String {
    match format {
        Format::Text => blocks::text(parts, width),
        Format::Markdown => blocks::markdown(parts),
        Format::Json => crate::answer::record::json::written(facts),
        Format::Csv | Format::Semicolons => separated(cautioned(&blocks::csv(table)), format),
    }
}

/// Writes a report.
pub fn render(report: &Report, format: Format, width: Width) -> String {
    render_with(report, &[], format, width)
}

/// Writes a report, for people followed by more parts.
pub fn render_with(report: &Report, more: &[Part], format: Format, width: Width) -> String {
    match format {
        Format::Text => text::render(report, more, width),
        Format::Json => json::report::render(report),
        Format::Csv | Format::Semicolons => separated(csv::report::render(report), format),
        Format::Markdown => markdown::render(report, more),
    }
}

/// Writes reports of several mixes of one problem, for people followed by what changes from the first to the others.
pub fn render_all(problem: &Problem, mixes: &[(String, Report)], format: Format, width: Width) -> String {
    if let [(_, report)] = mixes {
        return render(report, format, width);
    }
    let each: Vec<String> = mixes
        .iter()
        .filter(|_| !matches!(format, Format::Csv | Format::Semicolons))
        .map(|(_, report)| render(report, format, width).trim_end_matches('\n').to_owned())
        .collect();
    let changes: Vec<Part> = compared(problem, mixes).into_iter().collect();
    match format {
        Format::Text => format!("{}\n\n{}", each.join("\n\n"), blocks::text(&changes, width)),
        Format::Json => format!("[\n{}\n]\n", each.join(",\n")),
        Format::Csv | Format::Semicolons => separated(csv::report::render_all(mixes), format),
        Format::Markdown => format!("{}\n\n{}\n", each.join("\n\n"), blocks::markdown(&changes).trim_end()),
    }
}
