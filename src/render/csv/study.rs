//! Rows of a sweep or of a front as comma-separated values.

use crate::answer::phrase::{Phrase, Piece};
use crate::answer::record::cells::{cell, number};
use crate::answer::study::StudyRows;
use crate::render::figures::told;

/// For spreadsheets: a line for each row, a column for each figure and material; `bound` heads the column of bounds.
pub fn csv(rows: &StudyRows<'_>, bound: &str) -> String {
    let materials = rows.materials();
    let content = rows.units.content();
    let mut header: Vec<String> =
        rows.leading.iter().map(|head| cell(&with_unit(&head.name, &head.unit))).collect();
    header.extend(["state".to_owned(), cell(bound), "gap".to_owned()]);
    header.extend(rows.figures.iter().map(|figure| cell(&with_unit(&figure.name, &rows.shown(figure).text))));
    header.extend(materials.iter().map(|name| cell(&with_unit(name, &content.text))));
    header.extend(["enters", "leaves", "stands at"].map(str::to_owned));
    let mut text = header.join(",") + "\r\n";
    for row in &rows.rows {
        let answer = row.answer;
        let mut cells: Vec<String> = row.leading.iter().map(exactly).collect();
        cells.extend([cell(answer.outcome.words()), number(answer.bound), number(answer.gap)]);
        cells.extend((0..rows.figures.len()).map(|at| number(rows.figure(answer, at))));
        cells.extend(materials.iter().map(|name| {
            let amount = answer.mix.iter().find(|(used, _)| used == name).map(|(_, amount)| *amount);
            number(amount.map(|amount| content.from_base(amount)))
        }));
        cells.extend([&row.enters, &row.leaves, &answer.binding].map(|names| cell(&names.join("; "))));
        text.push_str(&cells.join(","));
        text.push_str("\r\n");
    }
    text
}

/// A leading cell: words as they are, a figure alone with all its digits.
fn exactly(phrase: &Phrase) -> String {
    match phrase.pieces.as_slice() {
        [Piece::Figure(figure)] => number(Some(figure.value)),
        _ => cell(&told(phrase, str::to_owned, ' ')),
    }
}

/// A name with its unit behind it.
pub fn with_unit(name: &str, unit: &str) -> String {
    if unit.is_empty() { name.to_owned() } else { format!("{name}, {unit}") }
}
