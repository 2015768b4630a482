//! Parts made of blocks as the page's template takes them.
//!
//! What enters: parts. What leaves: sections with tables, figures, paragraphs and lists; texts are escaped by the template.

use minijinja::Value;
use serde::Serialize;

use crate::answer::block::{Block, Cell, Column, Kind, Level, Mark, Part, RowKind, Shape, Table};
use crate::answer::chart::Chart;
use crate::answer::parts::limits::filling;
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::finding::clean;
use crate::render::chart::{gauge, position};
use crate::render::figures::told;
use crate::render::svg;

/// A section.
#[derive(Debug, Serialize)]
pub struct Section {
    /// Id of its heading.
    pub id: String,
    /// Its heading.
    pub heading: String,
    /// What stands in it.
    pub items: Vec<Item>,
}

/// A piece of a section.
#[derive(Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Item {
    /// A paragraph.
    Paragraph(String),
    /// A list.
    List(Vec<String>),
    /// A table.
    Table(Shown),
    /// Names, each with one figure.
    Figures(Vec<(String, String)>),
    /// Charts beside one another.
    Charts(Vec<Drawn>),
}

/// A table with a caption.
#[derive(Debug, Serialize)]
pub struct Shown {
    /// What it shows; empty where the heading before it says that.
    pub caption: String,
    /// Its name for a reader who does not see it; no section is called so.
    pub label: String,
    /// Columns.
    pub header: Vec<Head>,
    /// Rows; the first cell names the row.
    pub rows: Vec<Line>,
}

/// A column.
#[derive(Debug, Serialize)]
pub struct Head {
    text: String,
    unit: String,
    class: &'static str,
}

/// A row.
#[derive(Debug, Serialize)]
pub struct Line {
    class: &'static str,
    cells: Vec<Place>,
}

/// A cell.
#[derive(Debug, Serialize)]
pub struct Place {
    text: String,
    link: String,
    drawing: Option<Value>,
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

    /// A chart of blocks.
    pub fn of(chart: &Chart) -> Self {
        let drawing = svg::drawing(chart);
        Self::new(&drawing.id, drawing.caption, drawing.svg)
    }
}

fn plain(phrase: &Phrase) -> String {
    told(phrase, clean, '\u{a0}')
}

/// The id of a line of the statement.
pub fn line_id(source: usize, line: usize) -> String {
    format!("file-{source}-line-{line}")
}

/// An id for a heading: its letters, joined by hyphens.
fn id_of(heading: &str) -> String {
    let words: Vec<&str> = heading
        .split(|letter: char| !letter.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    words.join("-").to_lowercase()
}

/// The files whose lines can be pointed to, in the order of their listings; none where the page does not show them.
pub type Files = [String];

/// A part as a section; `number` tells it from other parts of the same page.
pub fn section(part: &Part, number: usize, files: &Files) -> Section {
    let heading = clean(part.heading.trim_end_matches([',', ':']));
    let about = plain(&Phrase::joined([part.heading.as_str().into(), part.about.clone()], " "));
    let mut items: Vec<Item> = Vec::new();
    for (at, block) in part.blocks.iter().enumerate() {
        match block {
            Block::Paragraph(paragraph) => {
                let text = plain(&paragraph.text);
                match (paragraph.shape, items.last_mut()) {
                    (Shape::Item, Some(Item::List(list))) => list.push(text),
                    (Shape::Item, _) => items.push(Item::List(vec![text])),
                    (Shape::Plain | Shape::Remark, _) => items.push(Item::Paragraph(text)),
                }
            }
            Block::Table(table) => {
                if let Some(list) = figures(table) {
                    items.push(Item::Figures(list));
                    continue;
                }
                let mut table = shown(table, &about, &format!("{number}-{at}"), files);
                if table.caption == heading {
                    table.caption.clear();
                }
                items.push(Item::Table(table));
            }
            Block::Chart(chart) => match items.last_mut() {
                Some(Item::Charts(list)) => list.push(Drawn::of(chart)),
                _ => items.push(Item::Charts(vec![Drawn::of(chart)])),
            },
        }
    }
    Section { id: id_of(&part.heading), heading, items }
}

/// A table of names with one figure each needs no lines.
fn figures(table: &Table) -> Option<Vec<(String, String)>> {
    let [_, Column { kind: Kind::Figures, unit, .. }] = table.columns.as_slice() else { return None };
    (unit.is_empty() && table.caption.is_empty()).then(|| {
        let row = |cells: &[Cell]| cells.iter().map(|cell| plain(&cell.text)).collect::<Vec<_>>();
        let pairs = table.rows.iter().map(|row_of| row(&row_of.cells));
        pairs
            .filter_map(|cells| <[String; 2]>::try_from(cells).ok())
            .map(|[name, figure]| (name, figure))
            .collect()
    })
}

/// A table; where it has no caption of its own, `about` is its caption. `id` tells its drawings from others.
pub fn shown(table: &Table, about: &str, id: &str, files: &Files) -> Shown {
    let head = |column: &Column| Head {
        text: clean(&column.name),
        unit: clean(&column.unit),
        class: match column.kind {
            Kind::Words => "",
            Kind::Figures => "number",
        },
    };
    let line = |(at, row): (usize, &crate::answer::block::Row)| Line {
        class: match (row.kind, row.level) {
            (RowKind::Total, _) => "total",
            (RowKind::Missed, Level::Under) => "bad under",
            (RowKind::Missed, _) => "bad",
            (RowKind::Binding, Level::Under) => "binding under",
            (RowKind::Binding, _) => "binding",
            (RowKind::Usual, Level::Head) => "first",
            (RowKind::Usual, Level::Under) => "under",
            (RowKind::Usual, Level::Even) => "",
        },
        cells: row.cells.iter().map(|cell| place(cell, &format!("{id}-{at}"), files)).collect(),
    };
    let caption = if table.caption.is_empty() { about.to_owned() } else { plain(&table.caption) };
    Shown {
        label: format!("{caption}, table"),
        caption,
        header: table.columns.iter().map(head).collect(),
        rows: table.rows.iter().enumerate().map(line).collect(),
    }
}

fn place(cell: &Cell, id: &str, files: &Files) -> Place {
    let text = plain(&cell.text);
    let drawing = cell.mark.map(|mark| match mark {
        Mark::Used { share, standing } => {
            let used = Figure::percent(share, Digits::Trimmed(3));
            let words = plain(&Phrase::from(used).and(" of the limit is used"));
            gauge(&format!("used-{id}"), share, svg::filling(filling(standing)), &words)
        }
        Mark::Within { low, high, value } => {
            let value_told = Phrase::from(Figure::new(value, Digits::Significant(3)));
            position(low, high, value, &format!("{} in {text}", plain(&value_told)))
        }
    });
    let link = cell.spot.as_ref().and_then(|spot| {
        let listing = match &spot.file {
            None => (!files.is_empty()).then_some(0),
            Some(file) => files.iter().position(|name| name == file),
        };
        Some(line_id(listing?, spot.line))
    });
    let link = link.unwrap_or_default();
    Place { text, link, drawing: drawing.map(Value::from_safe_string) }
}
