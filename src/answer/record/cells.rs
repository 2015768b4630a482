//! One cell of comma-separated values, written and read.
//!
//! Quoting follows RFC 4180. A text that a spreadsheet would take for a formula gets an apostrophe in front, so that a
//! hostile name stays a name; figures are written as plain numbers with all their digits.

use crate::finding::clean;

/// What a spreadsheet takes for the beginning of a formula, also in full width.
const FORMULA: [char; 8] = ['=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];

/// A text as one cell: control characters made visible, formulas disarmed, quoted where it must be.
pub fn cell(text: &str) -> String {
    let mut shown = clean(text);
    if shown.trim_start().starts_with(FORMULA) {
        shown.insert(0, '\'');
    }
    // Whole numbers are the same with either decimal sign.
    let looks_like_a_number = shown.contains('.') && shown.parse::<f64>().is_ok();
    if looks_like_a_number || shown.contains(['"', ',', '\'', ';', '\n', '\r']) || shown.trim() != shown {
        format!("\"{}\"", shown.replace('"', "\"\""))
    } else {
        shown
    }
}

/// A figure with all its digits; nothing where there is none.
pub fn number(value: Option<f64>) -> String {
    value.filter(|value| value.is_finite()).map_or_else(String::new, |value| format!("{value:?}"))
}

/// What parts the cells of a table, and the sign of its decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Marks {
    /// Commas between cells, decimal points.
    Commas,
    /// Semicolons between cells, decimal commas.
    Semicolons,
}

impl Marks {
    /// Those of a table that this program wrote: whichever mark ends the first cell.
    pub fn of(text: &str) -> Self {
        let end = text.find([',', ';', '\n']).map(|at| &text[at..=at]);
        if end == Some(";") { Self::Semicolons } else { Self::Commas }
    }

    fn between(self) -> char {
        match self {
            Self::Commas => ',',
            Self::Semicolons => ';',
        }
    }
}

/// The rows of a table as this program writes it, each with its line, empty ones left out; a quote before a formula is taken
/// away again.
pub fn rows(text: &str, marks: Marks) -> Vec<(usize, Vec<String>)> {
    let lines = text.lines().enumerate().map(|(at, line)| (at + 1, cells(line, marks.between())));
    lines.filter(|(_, cells)| cells.iter().any(|cell| !cell.is_empty())).collect()
}

fn cells(line: &str, between: char) -> Vec<String> {
    let mut list = vec![String::new()];
    let (mut quoted, mut letters) = (false, line.chars().peekable());
    while let Some(letter) = letters.next() {
        let cell = list.last_mut().expect("it begins with one");
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                letters.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            letter if letter == between && !quoted => list.push(String::new()),
            letter => cell.push(letter),
        }
    }
    for cell in &mut list {
        if let Some(rest) = cell.strip_prefix('\'') {
            *cell = rest.to_owned();
        }
    }
    list
}

/// A table with commas as one with semicolons and decimal commas, as offices read it that write numbers so. It begins with
/// the mark by which spreadsheets know that it is UTF-8.
pub fn with_semicolons(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 3);
    out.push('\u{feff}');
    let (mut quoted, mut start) = (false, 0);
    // Quotes, commas and line ends are single bytes in UTF-8, and no part of another letter.
    for (at, letter) in text.bytes().enumerate() {
        match letter {
            b'"' => quoted = !quoted,
            b',' | b'\r' | b'\n' if !quoted => {
                out.push_str(&with_comma(&text[start..at]));
                out.push(if letter == b',' { ';' } else { char::from(letter) });
                start = at + 1;
            }
            _ => {}
        }
    }
    out.push_str(&with_comma(&text[start..]));
    out
}

/// A cell with a decimal comma if it is a number: texts that look like one stand in quotes.
fn with_comma(cell: &str) -> String {
    if cell.parse::<f64>().is_ok() { cell.replace('.', ",") } else { cell.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::{Marks, cell, rows, with_semicolons};

    #[test]
    fn a_name_that_looks_like_a_formula_stays_a_name() {
        assert_eq!(cell("=1+1"), "\"'=1+1\"");
        assert_eq!(cell("  @SUM(A1)"), "\"'  @SUM(A1)\"");
        assert_eq!(cell("-2"), "\"'-2\"");
        assert_eq!(cell("% of binder"), "% of binder");
        assert_eq!(cell("\t=1"), "\"' =1\"");
    }

    #[test]
    fn quotes_commas_and_line_ends_cannot_leave_their_cell() {
        assert_eq!(cell("a \"b\", c"), "\"a \"\"b\"\", c\"");
        assert_eq!(cell("two\nlines"), "two lines");
        assert_eq!(cell("plain"), "plain");
    }

    #[test]
    fn semicolons_and_decimal_commas_part_the_same_cells() {
        let names = ["a, b; \"c\"", "1.5", "=1", "Fließmittel"];
        let line = names.map(cell).join(",") + ",1.5,-0.25,1e-7,\r\n";
        let text = format!("file,b,c,d,e,f,g,h\r\n{line}");
        let office = with_semicolons(&text);
        assert!(office.ends_with(";Fließmittel;1,5;-0,25;1e-7;\r\n"), "{office}");
        let plain = office.trim_start_matches('\u{feff}');
        assert_eq!(Marks::of(plain), Marks::Semicolons);
        assert_eq!(Marks::of(&text), Marks::Commas);
        assert_eq!(rows(plain, Marks::Semicolons)[1].1[..4], rows(&text, Marks::Commas)[1].1[..4]);
        assert_eq!(rows(plain, Marks::Semicolons)[1].1[..4], names);
    }
}
