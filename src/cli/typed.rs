//! Words and numbers that several commands take behind their options, and what they stand for.

use clap::ValueEnum;
use clap::builder::PossibleValue;

use crate::answer::units::Units;
use crate::problem::Problem;
use crate::render::Format;
use crate::render::json::schemas::Written;

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

/// What has a schema, by its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SchemaWord {
    word: &'static str,
    help: &'static str,
    /// What a command writes; none for a statement.
    pub of: Option<Written>,
}

impl SchemaWord {
    /// A statement.
    pub const STATEMENT: Self = Self { word: "statement", help: "A statement", of: None };
}

const SCHEMA_WORDS: &[SchemaWord] = &[
    SchemaWord::STATEMENT,
    SchemaWord {
        word: "solve",
        help: "The report of one statement; `solve` with several leaves such reports in its folder",
        of: Some(Written::Report),
    },
    SchemaWord {
        word: "solve-several",
        help: "The summary of several statements",
        of: Some(Written::Summary),
    },
    SchemaWord { word: "predict", help: "Given mixes", of: Some(Written::Predictions) },
    SchemaWord { word: "predict-short", help: "Given mixes in short", of: Some(Written::Matrix) },
    SchemaWord { word: "limits", help: "How tight each limit is", of: Some(Written::Limits) },
    SchemaWord { word: "prices", help: "Prices of materials", of: Some(Written::Prices) },
    SchemaWord { word: "sweep", help: "A sweep", of: Some(Written::Sweep) },
    SchemaWord {
        word: "sweep-line",
        help: "Each line of a results file of a sweep",
        of: Some(Written::SweepLine),
    },
    SchemaWord { word: "front", help: "A front", of: Some(Written::Front) },
    SchemaWord { word: "fit", help: "Fitted responses", of: Some(Written::Fit) },
    SchemaWord { word: "plan", help: "The next trial batches", of: Some(Written::Plan) },
    SchemaWord { word: "confirm", help: "A fit judged by other batches", of: Some(Written::Confirm) },
    SchemaWord { word: "calibrate", help: "A law corrected by own results", of: Some(Written::Calibrate) },
    SchemaWord { word: "batch-sheet", help: "A batch sheet", of: Some(Written::BatchSheet) },
    SchemaWord { word: "round", help: "A mix in whole steps", of: Some(Written::Round) },
    SchemaWord { word: "risk", help: "Risks of a mix", of: Some(Written::Risk) },
    SchemaWord { word: "plant", help: "Several mixes on one plant", of: Some(Written::Plant) },
];

impl ValueEnum for SchemaWord {
    fn value_variants<'a>() -> &'a [Self] {
        SCHEMA_WORDS
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.word).help(self.help))
    }
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
