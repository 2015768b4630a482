//! The forms that a user can ask for.

/// How an answer is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// For a terminal.
    Text,
    /// For programs.
    Json,
    /// For spreadsheets: one tidy table.
    Csv,
    /// The same with semicolons between cells and decimal commas.
    Semicolons,
    /// For pages and issues.
    Markdown,
}
