//! Facts as people and programs read them: text, JSON, CSV, Markdown, and the page.
//!
//! What enters: facts of [`answer`](crate::answer). What leaves: text. Figures are rounded here, nothing else.

pub mod figures;
pub mod layout;
pub mod lines;
pub mod blocks;
pub mod chart;
pub mod text;
pub mod markdown;
pub mod csv;
pub mod json;
pub mod comparison;
pub mod laws;
pub mod tightness;
pub mod price_table;
pub mod study_table;
pub mod sweep_table;
pub mod front_table;
pub mod summary;
pub mod page;

use serde::Serialize;

use crate::answer::block::{Part, Table};
use crate::answer::report::Report;
use layout::Width;

/// How a report is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// For a terminal.
    Text,
    /// For programs.
    Json,
    /// For spreadsheets: one tidy table.
    Csv,
    /// For pages and issues.
    Markdown,
}

/// How a table of limits is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TableFormat {
    /// For a terminal.
    Text,
    /// Comma-separated.
    Csv,
    /// For programs.
    Json,
}

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
        Format::Csv => blocks::csv(table),
    }
}

/// Writes a report.
pub fn render(report: &Report, format: Format) -> String {
    match format {
        Format::Text => text::render(report),
        Format::Json => json::render(report),
        Format::Csv => csv::render(report),
        Format::Markdown => markdown::render(report),
    }
}
