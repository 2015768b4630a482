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
    if shown.contains(['"', ',', '\'', ';', '\n', '\r']) || shown.trim() != shown {
        format!("\"{}\"", shown.replace('"', "\"\""))
    } else {
        shown
    }
}

/// A figure with all its digits; nothing where there is none.
pub fn number(value: Option<f64>) -> String {
    value.filter(|value| value.is_finite()).map_or_else(String::new, |value| format!("{value:?}"))
}

/// The cells of a line of CSV as this program writes it; a quote before a formula is taken away again.
pub fn cells(line: &str) -> Vec<String> {
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
            ',' if !quoted => list.push(String::new()),
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

#[cfg(test)]
mod tests {
    use super::cell;

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
}
