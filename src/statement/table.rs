//! Tables of separated values with the place of every cell.
//!
//! What enters: the text of a file. What leaves: rows of words; commas, semicolons or tabs part them, and cells in double
//! quotes may hold what parts. What the columns mean is for the readers of such files to say.

use super::word::Word;
use crate::finding::Place;

/// What parts the values: a semicolon or a tab if the first line holds one, else a comma.
pub fn between(text: &str) -> char {
    let first = text.lines().next().unwrap_or("");
    [';', '\t'].into_iter().find(|mark| first.contains(*mark)).unwrap_or(',')
}

/// A number with a decimal comma, with a point in its place; with both signs, or several commas, it stays as it is.
pub fn with_point(number: &str) -> String {
    if number.matches(',').count() == 1 && !number.contains('.') {
        return number.replace(',', ".");
    }
    number.to_owned()
}

/// The rows of a table, empty lines left out.
pub fn rows(text: &str, source: usize) -> Vec<Vec<Word>> {
    let between = between(text);
    let mut rows: Vec<Vec<Word>> = Vec::new();
    let mut row: Vec<Word> = Vec::new();
    let (mut start, mut quoted) = (0, false);
    let letters = text.char_indices().chain(std::iter::once((text.len(), '\n')));
    for (at, letter) in letters {
        let at_end = at == text.len();
        if letter == '"' {
            quoted = !quoted;
        } else if at_end || !quoted && (letter == between || letter == '\n') {
            row.push(cell(&text[start..at], source, start));
            start = at + letter.len_utf8();
            if letter == '\n' {
                let line = std::mem::take(&mut row);
                if line.iter().any(|word| !word.value.is_empty()) {
                    rows.push(line);
                }
            }
        }
    }
    rows
}

/// One value without the quotes and the spaces around it.
fn cell(piece: &str, source: usize, start: usize) -> Word {
    let trimmed = piece.trim();
    let start = start + (piece.len() - piece.trim_start().len());
    let bare = trimmed.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    let value = bare.map_or_else(|| trimmed.to_owned(), |text| text.replace("\"\"", "\"").trim().to_owned());
    let (start, end) = match bare {
        Some(text) => (start + 1, start + 1 + text.len()),
        None => (start, start + trimmed.len()),
    };
    Word { value, place: Place { source, start, end } }
}
