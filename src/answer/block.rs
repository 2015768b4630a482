//! What every form of an answer is made of: paragraphs, tables and charts under headings.
//!
//! What enters: facts in the reader's units, unrounded. What leaves: [`Part`]s, which `render` writes as text, Markdown,
//! HTML or comma-separated values. Neither a rounded number nor a mark of any form stands in a block.

use super::chart::Chart;
use super::phrase::Phrase;
use super::state::Standing;
use crate::quantity::Unit;

/// Blocks under a heading.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Part {
    /// The heading, in our words; empty for none.
    pub heading: String,
    /// What the heading goes on with: `for 1 m3 of concrete`.
    pub about: Phrase,
    /// The blocks.
    pub blocks: Vec<Block>,
}

/// One block.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// Sentences.
    Paragraph(Paragraph),
    /// A table.
    Table(Table),
    /// A chart.
    Chart(Box<Chart>),
}

/// Sentences that stand together.
#[derive(Clone, Debug, PartialEq)]
pub struct Paragraph {
    /// What it says.
    pub text: Phrase,
    /// What it is among others.
    pub shape: Shape,
}

/// What a paragraph is among others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A paragraph of its own.
    Plain,
    /// One of a list.
    Item,
    /// A remark on what stands before it.
    Remark,
}

/// A table. Each row has a cell for each column; the first cell names the row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// What it shows; empty where the heading says it.
    pub caption: Phrase,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows.
    pub rows: Vec<Row>,
}

/// A column.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its name, which may be the author's.
    pub name: String,
    /// The unit of its figures; empty where each figure has its own, or none.
    pub unit: String,
    /// What stands in it.
    pub kind: Kind,
    /// Whether a form may leave it out.
    pub need: Need,
}

/// Whether a form may leave a column out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It always stands.
    Always,
    /// It stands where the lines are long enough.
    Room,
}

/// What stands in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words: set to the left, and broken between words where they do not fit.
    Words,
    /// Figures: set to the right, never broken.
    Figures,
}

/// A row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// The cells.
    pub cells: Vec<Cell>,
    /// What distinguishes it.
    pub kind: RowKind,
    /// Where it stands among others.
    pub level: Level,
}

/// Where a row stands among others.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Level {
    /// As all do.
    #[default]
    Even,
    /// At the head of rows that belong to it.
    Head,
    /// Under a row to which it belongs.
    Under,
}

/// What distinguishes a row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RowKind {
    /// Nothing.
    #[default]
    Usual,
    /// It sums the others up.
    Total,
    /// The mix stands at what it tells.
    Binding,
    /// What it tells is not met.
    Missed,
}

/// A cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    /// What it says.
    pub text: Phrase,
    /// Where in the statement that stands.
    pub spot: Option<Spot>,
    /// A small drawing of the figure, for forms that can draw.
    pub mark: Option<Mark>,
}

/// A line of the statement or of a file that it includes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spot {
    /// The included file; none for the statement itself.
    pub file: Option<String>,
    /// The line, counted from 1.
    pub line: usize,
}

/// A figure within what surrounds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Mark {
    /// The share of a limit that is used: one at the limit.
    Used {
        /// The share.
        share: f64,
        /// Where the limit stands.
        standing: Standing,
    },
    /// Where a value lies in a range.
    Within {
        /// The lower end.
        low: f64,
        /// The upper end.
        high: f64,
        /// The value.
        value: f64,
    },
}

impl Part {
    /// A heading.
    pub fn new(heading: &str, about: impl Into<Phrase>) -> Self {
        Self { heading: heading.to_owned(), about: about.into(), blocks: Vec::new() }
    }

    /// The same with one more block.
    #[must_use]
    pub fn with(mut self, block: impl Into<Block>) -> Self {
        self.blocks.push(block.into());
        self
    }

    /// The same with a paragraph, unless it says nothing.
    #[must_use]
    pub fn saying(self, text: impl Into<Phrase>) -> Self {
        let text = text.into();
        if text.is_empty() { self } else { self.with(Paragraph { text, shape: Shape::Plain }) }
    }

    /// The same with a remark on what stands before it, unless it says nothing.
    #[must_use]
    pub fn remarking(self, text: impl Into<Phrase>) -> Self {
        let text = text.into();
        if text.is_empty() { self } else { self.with(Paragraph { text, shape: Shape::Remark }) }
    }

    /// The same with a list.
    #[must_use]
    pub fn listing<Text: Into<Phrase>>(mut self, items: impl IntoIterator<Item = Text>) -> Self {
        let item = |text: Text| Block::Paragraph(Paragraph { text: text.into(), shape: Shape::Item });
        self.blocks.extend(items.into_iter().map(item));
        self
    }
}

impl Table {
    /// A table without rows yet.
    pub fn new(columns: impl IntoIterator<Item = Column>) -> Self {
        Self { caption: Phrase::empty(), columns: columns.into_iter().collect(), rows: Vec::new() }
    }

    /// Adds a row; where cells are missing at its end they are empty.
    pub fn row<Content: Into<Cell>>(&mut self, cells: impl IntoIterator<Item = Content>) {
        self.row_of(RowKind::Usual, cells);
    }

    /// Adds a row that differs from others.
    pub fn row_of<Content: Into<Cell>>(&mut self, kind: RowKind, cells: impl IntoIterator<Item = Content>) {
        self.push(kind, Level::Even, cells);
    }

    /// Adds a row to which those that follow belong.
    pub fn head<Content: Into<Cell>>(&mut self, cells: impl IntoIterator<Item = Content>) {
        self.push(RowKind::Usual, Level::Head, cells);
    }

    /// Adds a row that belongs to the one at its head.
    pub fn under<Content: Into<Cell>>(&mut self, kind: RowKind, cells: impl IntoIterator<Item = Content>) {
        self.push(kind, Level::Under, cells);
    }

    fn push<Content: Into<Cell>>(
        &mut self,
        kind: RowKind,
        level: Level,
        cells: impl IntoIterator<Item = Content>,
    ) {
        let mut cells: Vec<Cell> = cells.into_iter().map(Into::into).collect();
        cells.resize(self.columns.len(), Cell::default());
        self.rows.push(Row { cells, kind, level });
    }

    /// The same without columns in which no row says anything.
    #[must_use]
    pub fn without_empty_columns(self) -> Self {
        let kept: Vec<bool> = (0..self.columns.len())
            .map(|at| {
                at == 0
                    || self.rows.iter().any(|row| row.cells.get(at).is_some_and(|cell| !cell.text.is_empty()))
            })
            .collect();
        let rows =
            self.rows.into_iter().map(|row| Row { cells: those_kept(row.cells, &kept), ..row }).collect();
        Self { caption: self.caption, columns: those_kept(self.columns, &kept), rows }
    }
}

fn those_kept<Item>(list: Vec<Item>, kept: &[bool]) -> Vec<Item> {
    list.into_iter().zip(kept).filter(|(_, kept)| **kept).map(|(item, _)| item).collect()
}

impl Column {
    /// A column of words.
    pub fn words(name: impl Into<String>) -> Self {
        Self { name: name.into(), unit: String::new(), kind: Kind::Words, need: Need::Always }
    }

    /// A column of figures that have a unit each, or none.
    pub fn figures(name: impl Into<String>) -> Self {
        Self { name: name.into(), unit: String::new(), kind: Kind::Figures, need: Need::Always }
    }

    /// A column of figures of one unit.
    pub fn of(name: impl Into<String>, unit: &Unit) -> Self {
        Self { name: name.into(), unit: unit.text.clone(), kind: Kind::Figures, need: Need::Always }
    }

    /// The same, left out where lines are too short for it.
    #[must_use]
    pub fn where_room(self) -> Self {
        Self { need: Need::Room, ..self }
    }
}

impl Spot {
    /// The line as a cell, behind the last part of the file's name if that is an included one.
    pub fn cell(file: Option<&String>, line: usize) -> Cell {
        let text = match file {
            Some(file) => format!("{}:{line}", file.rsplit(['/', '\\']).next().unwrap_or(file)),
            None => line.to_string(),
        };
        Cell::from(text).at(Self { file: file.cloned(), line })
    }
}

impl Cell {
    /// Nothing.
    pub fn empty() -> Self {
        Self::default()
    }

    /// The same, pointing to a line of the statement.
    #[must_use]
    pub fn at(self, spot: Spot) -> Self {
        Self { spot: Some(spot), ..self }
    }

    /// The same with a small drawing.
    #[must_use]
    pub fn marked(self, mark: Option<Mark>) -> Self {
        Self { mark, ..self }
    }
}

impl<Content: Into<Phrase>> From<Content> for Cell {
    fn from(content: Content) -> Self {
        Self { text: content.into(), ..Self::default() }
    }
}

impl From<Paragraph> for Block {
    fn from(paragraph: Paragraph) -> Self {
        Self::Paragraph(paragraph)
    }
}

impl From<Table> for Block {
    fn from(table: Table) -> Self {
        Self::Table(table)
    }
}

impl From<Chart> for Block {
    fn from(chart: Chart) -> Self {
        Self::Chart(Box::new(chart))
    }
}
