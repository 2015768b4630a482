//! Blocks in each of the forms: for a terminal, as Markdown, as comma-separated values; the page has its own.
//!
//! What enters: parts made of blocks. What leaves: text. A new form is one more function here or one more file beside it.

use std::fmt::Write;

use super::figures::told;
use super::layout::{FIRM, Set, TextColumn, Width, table, wrapped};
use super::lines::drawn;
use crate::answer::block::{Block, Cell, Column, Kind, Level, Part, Row, Shape, Table};
use crate::answer::chart::Chart;
use crate::answer::phrase::Phrase;
use crate::answer::record::cells::{cell, number};
use crate::finding::clean;

/// For a terminal.
pub fn text(parts: &[Part], width: Width) -> String {
    let mut out = String::new();
    for part in parts {
        let heading = part.heading.to_uppercase();
        let heading = told(&Phrase::joined([heading.into(), part.about.clone()], " "), clean, FIRM);
        if !heading.trim().is_empty() {
            let _ =
                writeln!(out, "{}{}", if out.is_empty() { "" } else { "\n" }, line(&heading, width, "", ""));
        }
        if heading.trim().is_empty() && !out.is_empty() {
            out.push('\n');
        }
        for block in &part.blocks {
            out.push_str(&block_text(block, width));
        }
    }
    out
}

fn line(text: &str, width: Width, first: &str, others: &str) -> String {
    wrapped(text.trim(), width.columns(), first, others)
}

fn block_text(block: &Block, width: Width) -> String {
    match block {
        Block::Paragraph(paragraph) => {
            let (first, others) = match paragraph.shape {
                Shape::Plain => ("", ""),
                Shape::Item => ("- ", "  "),
                Shape::Remark => ("  ", "  "),
            };
            format!("{}\n", line(&told(&paragraph.text, clean, FIRM), width, first, others))
        }
        Block::Table(shown) => {
            let caption = told(&shown.caption, clean, FIRM);
            let caption =
                if caption.is_empty() { caption } else { format!("{}\n", line(&caption, width, "", "")) };
            format!("{caption}{}", table(&text_columns(shown), width))
        }
        Block::Chart(chart) => match chart.as_ref() {
            // The figures of bars stand in a table beside them.
            Chart::Bars(_) => String::new(),
            Chart::Lines(lines) => drawn(lines, width),
        },
    }
}

fn text_columns(shown: &Table) -> Vec<TextColumn> {
    let one = |(at, column): (usize, &Column)| {
        let (name, unit) = (clean(&column.name), clean(&column.unit).replace(' ', &FIRM.to_string()));
        TextColumn {
            head: if unit.is_empty() { name.clone() } else { format!("{name}\n{unit}") },
            name: if unit.is_empty() { name } else { format!("{name}, {unit}") },
            set: match column.kind {
                Kind::Words => Set::Left,
                Kind::Figures => Set::Right,
            },
            need: column.need,
            cells: shown.rows.iter().map(|row| cell_text(row, at)).collect(),
        }
    };
    shown.columns.iter().enumerate().map(one).collect()
}

/// The name of a row that belongs to another one is indented.
fn cell_text(row: &Row, at: usize) -> String {
    let text = row.cells.get(at).map_or_else(String::new, |cell| told(&cell.text, clean, FIRM));
    if at == 0 && row.level == Level::Under { format!("{FIRM}{FIRM}{text}") } else { text }
}

/// For pages and issues.
pub fn markdown(parts: &[Part]) -> String {
    let mut out = String::new();
    for part in parts {
        let heading = Phrase::joined([part.heading.as_str().into(), part.about.clone()], " ");
        let heading = told(&heading, escaped, ' ');
        if !heading.trim().is_empty() {
            let _ = writeln!(out, "## {}\n", heading.trim());
        }
        let mut listed = false;
        for block in &part.blocks {
            let item = matches!(block, Block::Paragraph(paragraph) if paragraph.shape == Shape::Item);
            if listed && !item {
                out.push('\n');
            }
            listed = item;
            match block {
                Block::Paragraph(paragraph) if item => {
                    let _ = writeln!(out, "- {}", told(&paragraph.text, escaped, ' '));
                }
                Block::Paragraph(paragraph) => {
                    let _ = writeln!(out, "{}\n", told(&paragraph.text, escaped, ' '));
                }
                Block::Table(table) => markdown_table(&mut out, table),
                Block::Chart(_) => {}
            }
        }
        if listed {
            out.push('\n');
        }
    }
    out
}

fn markdown_table(out: &mut String, table: &Table) {
    if !table.caption.is_empty() {
        let _ = writeln!(out, "{}\n", told(&table.caption, escaped, ' '));
    }
    let head = |column: &Column| {
        let (name, unit) = (escaped(&column.name), escaped(&column.unit));
        if unit.is_empty() { name } else { format!("{name}, {unit}") }
    };
    let rule = |column: &Column| if column.kind == Kind::Figures { "---:" } else { "---" };
    let heads: Vec<String> = table.columns.iter().map(head).collect();
    let rules: Vec<&str> = table.columns.iter().map(rule).collect();
    let _ = writeln!(out, "| {} |\n| {} |", heads.join(" | "), rules.join(" | "));
    for row in &table.rows {
        let cells: Vec<String> = row.cells.iter().map(|cell| told(&cell.text, escaped, ' ')).collect();
        let _ = writeln!(out, "| {} |", cells.join(" | "));
    }
    out.push('\n');
}

/// A text that means nothing to a Markdown reader.
pub fn escaped(text: &str) -> String {
    let mut safe = String::new();
    for letter in clean(text).chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '#' | '!' | '~' => {
                safe.push('\\');
                safe.push(letter);
            }
            other => safe.push(other),
        }
    }
    safe
}

/// A table for spreadsheets: a cell that is one figure with all its digits, in the unit of its column or with its own.
pub fn csv(table: &Table) -> String {
    let head = |column: &Column| {
        cell(&if column.unit.is_empty() {
            column.name.clone()
        } else {
            format!("{}, {}", column.name, column.unit)
        })
    };
    let mut out = table.columns.iter().map(head).collect::<Vec<_>>().join(",") + "\r\n";
    for row in &table.rows {
        let one = |shown: &Cell| match shown.text.figure() {
            Some(figure) if figure.unit.is_empty() => number(Some(figure.value)),
            _ => cell(&told(&shown.text, str::to_owned, ' ')),
        };
        out.push_str(&row.cells.iter().map(one).collect::<Vec<_>>().join(","));
        out.push_str("\r\n");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::block::RowKind;
    use crate::answer::phrase::{Digits, Figure};
    use crate::quantity::Unit;

    fn example() -> Vec<Part> {
        let content = Unit::known("kg/m3");
        let mut table = Table::new([
            Column::words("material"),
            Column::of("amount", &content),
            Column::words("remark"),
            Column::words("never"),
        ]);
        table.row([Cell::from("sand|0/4"), Figure::new(712.345, Digits::Amount).into()]);
        let limit = Phrase::from("at most ").and(Figure::new(400.0, Digits::Written).of(&content));
        table.row_of(
            RowKind::Total,
            ["total".into(), Figure::new(1712.345, Digits::Amount).into(), Cell::from(limit)],
        );
        vec![
            Part::new("Mix", "for 1 m3")
                .with(table.without_empty_columns())
                .remarking("As weighed.")
                .listing(["one", "two"]),
        ]
    }

    #[test]
    fn one_part_is_written_in_every_form() {
        let shown = "MIX for 1 m3\n          amount\nmaterial   kg/m3  remark\n--------  ------  -----------------\nsand|0/4   712.3\ntotal     \
                     1712.3  at most 400 kg/m3\n  As weighed.\n- one\n- two\n";
        assert_eq!(text(&example(), Width::PIPED), shown);
        let shown = "## Mix for 1 m3\n\n| material | amount, kg/m3 | remark |\n| --- | ---: | --- |\n| sand\\|0/4 | 712.3 |  |\n\
                     | total | 1712.3 | at most 400 kg/m3 |\n\nAs weighed.\n\n- one\n- two\n\n";
        assert_eq!(markdown(&example()), shown);
        let Some(Block::Table(table)) = example()[0].blocks.first().cloned() else {
            panic!("it begins with a table")
        };
        let shown =
            "material,\"amount, kg/m3\",remark\r\nsand|0/4,712.345,\r\ntotal,1712.345,at most 400 kg/m3\r\n";
        assert_eq!(csv(&table), shown);
    }

    #[test]
    fn a_name_can_neither_break_a_table_nor_become_markup() {
        assert_eq!(escaped("a|b"), "a\\|b");
        assert_eq!(escaped("[x](y) <b> & `c`"), "\\[x\\](y) &lt;b&gt; &amp; \\`c\\`");
        assert_eq!(escaped("two\nlines"), "two lines");
    }
}
