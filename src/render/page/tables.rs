//! Tables and drawings as the template takes them.

use minijinja::Value;
use serde::Serialize;

/// A table with a caption.
#[derive(Debug, Serialize)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// Columns.
    pub header: Vec<Head>,
    /// Rows; the first cell names the row.
    pub rows: Vec<Row>,
}

/// A column.
#[derive(Clone, Debug, Serialize)]
pub struct Head {
    /// Its name.
    pub text: String,
    /// Its unit.
    pub unit: String,
    /// Alignment and purpose.
    pub class: &'static str,
}

/// A row.
#[derive(Debug, Serialize)]
pub struct Row {
    /// What distinguishes it: `total`, `bad`, or nothing.
    pub class: &'static str,
    /// Cells.
    pub cells: Vec<Cell>,
}

/// A cell.
#[derive(Debug, Default, Serialize)]
pub struct Cell {
    /// Its text.
    pub text: String,
    /// Id of the place it points to.
    pub link: String,
    /// A drawing in it.
    pub drawing: Option<Value>,
    /// Whether it names its row; the first of a full row does anyway.
    pub heading: Heading,
    /// Rows that it stands for, if more than its own.
    pub rows: usize,
}

/// What a cell is to its row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Heading {
    /// A figure of it, or its name if it is the first of a full row.
    #[default]
    Usual,
    /// Its name.
    Row,
}

/// A chart with its caption.
#[derive(Debug, Serialize)]
pub struct Drawn {
    /// Its id.
    pub id: String,
    /// Its caption.
    pub caption: String,
    /// The SVG text, marked as safe: the chart escaped its texts.
    pub svg: Value,
}

impl Drawn {
    /// A chart for the page.
    pub fn new(id: &str, caption: String, svg: String) -> Self {
        Self { id: id.to_owned(), caption, svg: Value::from_safe_string(svg) }
    }
}

impl Row {
    /// A plain row of texts.
    pub fn of<Text: Into<Cell>>(cells: impl IntoIterator<Item = Text>) -> Self {
        Self { class: "", cells: cells.into_iter().map(Into::into).collect() }
    }

    /// The same row, distinguished.
    pub fn class(mut self, class: &'static str) -> Self {
        self.class = class;
        self
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self { text, ..Self::default() }
    }
}

impl Cell {
    /// A text that points to a place on the page.
    pub fn linked(text: String, link: String) -> Self {
        Self { text, link, ..Self::default() }
    }

    /// A cell that stands for this and following rows; those have one cell less.
    pub fn over(text: String, rows: usize, heading: Heading) -> Self {
        Self { text, heading, rows, ..Self::default() }
    }

    /// A drawing.
    pub fn drawn(svg: String) -> Self {
        Self { drawing: Some(Value::from_safe_string(svg)), ..Self::default() }
    }
}

/// A column of texts.
pub fn words(text: impl Into<String>) -> Head {
    Head { text: text.into(), unit: String::new(), class: "" }
}

/// A column of words that are not broken.
pub fn short(text: impl Into<String>) -> Head {
    Head { text: text.into(), unit: String::new(), class: "short" }
}

/// A column of numbers of a unit.
pub fn numbers(text: impl Into<String>, unit: impl Into<String>) -> Head {
    Head { text: text.into(), unit: unit.into(), class: "number" }
}
