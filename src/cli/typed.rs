//! Words and numbers that several commands take behind their options, and what they stand for.

use clap::ValueEnum;

use crate::answer::units::Units;
use crate::problem::Problem;
use crate::render::Format;

/// `0.1` or `0.1%`, in per cent, as a share.
pub fn gap(text: &str) -> Result<f64, String> {
    let number = text
        .trim()
        .trim_end_matches('%')
        .trim()
        .parse::<f64>()
        .map_err(|_| "a number of per cent is needed".to_owned())?;
    if (1e-4..=50.0).contains(&number) {
        Ok(number / 100.0)
    } else {
        Err("allowed: 0.0001 .. 50 %".to_owned())
    }
}

/// `30` or `0.5`.
pub fn seconds(text: &str) -> Result<std::time::Duration, String> {
    let number = text
        .trim()
        .trim_end_matches('s')
        .trim()
        .parse::<f64>()
        .map_err(|_| "a number of seconds is needed".to_owned())?;
    if 0.0 < number && number <= 1e6 {
        Ok(std::time::Duration::from_secs_f64(number))
    } else {
        Err("allowed: above 0, up to 1000000 s".to_owned())
    }
}

/// Formats by their words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FormatWord {
    /// Tables for a terminal.
    Text,
    /// For programs, full digits.
    Json,
    /// For spreadsheets: one tidy table, full digits.
    Csv,
    /// The same with semicolons between values and decimal commas.
    CsvSemicolon,
    /// For pages and issues.
    Markdown,
}

/// What is exported, by its words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ExportWord {
    /// The last linear program, in free MPS.
    Lp,
    /// The whole problem with its polynomials, in PIP.
    Full,
}

/// What has a schema, by its words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SchemaWord {
    /// A statement.
    Statement,
    /// The report of one statement; `solve` with several leaves such reports in its folder.
    Solve,
    /// The summary of several statements.
    SolveSeveral,
    /// Given mixes.
    Predict,
    /// Given mixes in short.
    PredictShort,
    /// How tight each limit is.
    Limits,
    /// Prices of materials.
    Prices,
    /// A sweep.
    Sweep,
    /// Each line of a results file of a sweep.
    SweepLine,
    /// A front.
    Front,
    /// Fitted responses.
    Fit,
    /// The next trial batches.
    Plan,
    /// A fit judged by other batches.
    Confirm,
    /// A law corrected by own results.
    Calibrate,
    /// A batch sheet.
    BatchSheet,
    /// A mix in whole steps.
    Round,
    /// Risks of a mix.
    Risk,
    /// Several mixes on one plant.
    Plant,
}

/// Units by their words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsWord {
    /// kg, m3, MPa.
    Si,
    /// lb, yd3, psi.
    Us,
}

/// The form that was asked for.
pub fn format_of(word: FormatWord) -> Format {
    match word {
        FormatWord::Text => Format::Text,
        FormatWord::Json => Format::Json,
        FormatWord::Csv => Format::Csv,
        FormatWord::CsvSemicolon => Format::Semicolons,
        FormatWord::Markdown => Format::Markdown,
    }
}

/// The units asked for, or those of the statement.
pub fn units_of(units: Option<UnitsWord>, problem: &Problem) -> Units {
    match units {
        Some(UnitsWord::Si) => Units::Si,
        Some(UnitsWord::Us) => Units::Customary,
        None => Units::from(problem.system),
    }
}
