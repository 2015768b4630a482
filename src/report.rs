//! The answer as people and programs read it: one neutral [`Report`], then text, JSON, CSV or Markdown.
//!
//! What enters: a problem and its verdict. What leaves: text. Nothing is computed here that the audit has not
//! measured; figures are converted to the reader's units and rounded, nothing else.

mod answer;
mod cautions;
mod changes;
mod csv;
mod curing;
mod fill;
mod headline;
mod liquids;
mod json;
mod compare;
mod laws;
mod neutral;
mod predicted;
mod restraint;

mod markdown;
mod page;
mod reasons;
mod previous;
mod summary;
mod text;
mod tightness;
mod price_table;
mod study_table;
mod sweep_table;
mod sweep_lines;
mod front_table;
mod study_curve;
mod front_curve;
mod sweep_curve;
mod units;

pub use answer::{
    AmountLine, CertaintyLine, ChoiceLine, FactorLine, LimitLine, Report, ResponseLine, Standing, State,
    TotalLine,
};
pub use cautions::cautions;
pub use changes::{ChangeLine, Changes, Direction, changes};
pub use compare::comparison;
pub use curing::{CuringAggregate, CuringLine};
pub use fill::{report, report_given};
pub use front_curve::front_curve;
pub use front_table::front_table;
pub use laws::{law_example, law_list, law_matches, law_page};
pub use page::{Curve, Sheet, charts, page};
pub use previous::{Previous, Since};
pub use price_table::price_table;
pub use reasons::{ConflictLines, MemberLine, PriceLine};
pub use restraint::CrackingLine;
pub use summary::{SummaryLine, render_summary};
pub use sweep_curve::sweep_curve;
pub use sweep_lines::{SweepHeader, case_line, read_case};
pub use sweep_table::sweep_table;
pub use tightness::{TableFormat, tightness_report};
pub use units::Units;

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

pub use csv::render_all;

/// Writes a report.
pub fn render(report: &Report, format: Format) -> String {
    match format {
        Format::Text => text::render(report),
        Format::Json => json::render(report),
        Format::Csv => csv::render(report),
        Format::Markdown => markdown::render(report),
    }
}
