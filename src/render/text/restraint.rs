//! An age at cracking on a terminal: the outcome, its interval and class, and stress and strength drawn over age.

use std::fmt::Write;

use super::wrapped;
use crate::answer::restraint::CrackingLine;
use crate::finding::clean;
use crate::quantity::trimmed;

/// Columns and rows of the drawing.
const COLUMNS: usize = 66;
const ROWS: usize = 9;
/// Ages named below the drawing, d.
const NAMED: &[f64] = &[1.0, 2.0, 3.0, 7.0, 14.0, 28.0, 56.0, 90.0, 180.0, 365.0, 1000.0, 3650.0];

/// Writes everything below the response's own line.
pub fn cracking(text: &mut String, line: &CrackingLine) {
    let mut told = vec![line.interval_words(), clean(&line.restraint)];
    told.extend(line.classes.iter().cloned());
    if let (Some(age), Some(finer)) = (line.age, line.finer)
        && 0.01 * age < (age - finer).abs()
    {
        told.push(format!("with steps half as long {} d: take it as rough", trimmed(finer, 3)));
    }
    let _ = writeln!(text, "    {}", wrapped(&told.join("; "), 4));
    for remark in &line.remarks {
        let _ = writeln!(text, "    {}", wrapped(&clean(remark), 4));
    }
    draw(text, line);
}

/// Stress `*` and the level at which it cracks `o`, both in MPa, over age on a logarithmic axis.
fn draw(text: &mut String, line: &CrackingLine) {
    let history = &line.history;
    let (Some(first), Some(last)) = (history.ages.first(), history.ages.last()) else { return };
    let top = history.level.iter().chain(&history.stress).copied().fold(0.0, f64::max);
    let bottom = history.stress.iter().copied().fold(0.0, f64::min);
    if !(bottom < top && top.is_finite() && bottom.is_finite()) {
        return;
    }
    let mut cells = vec![vec![' '; COLUMNS]; ROWS];
    // Rounding to cells is what a drawing is.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let column_of = |age: f64| {
        (((age / first).ln() / (last / first).ln()) * (COLUMNS - 1) as f64).round().max(0.0) as usize
    };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let row_of =
        |value: f64| (((top - value) / (top - bottom)) * (ROWS - 1) as f64).round().max(0.0) as usize;
    for (values, mark) in [(&history.level, 'o'), (&history.stress, '*')] {
        for (pair, points) in history.ages.windows(2).zip(values.windows(2)) {
            let (from, to) = (column_of(pair[0]), column_of(pair[1]));
            for column in from..=to.min(COLUMNS - 1) {
                let part = if from == to { 1.0 } else { (column - from) as f64 / (to - from) as f64 };
                let row = row_of(points[0] + part * (points[1] - points[0]));
                if let Some(cell) = cells.get_mut(row).and_then(|row| row.get_mut(column)) {
                    *cell = mark;
                }
            }
        }
    }
    let label = |row: usize| top - (top - bottom) * row as f64 / (ROWS - 1) as f64;
    for (row, cells) in cells.iter().enumerate() {
        let named = if row % 4 == 0 { format!("{:.1}", label(row)) } else { String::new() };
        let drawn: String = cells.iter().collect();
        let _ = writeln!(text, "    {named:>6} |{}", drawn.trim_end());
    }
    let _ = writeln!(text, "    {:>6} +{}", "MPa", "-".repeat(COLUMNS));
    let mut axis = vec![' '; COLUMNS + 8];
    for age in NAMED.iter().filter(|age| *first <= **age && **age <= *last) {
        let word = trimmed(*age, 4);
        let at = column_of(*age);
        let free =
            axis[at.saturating_sub(1)..(at + word.len() + 1).min(axis.len())].iter().all(|cell| *cell == ' ');
        if free {
            for (cell, letter) in axis[at..].iter_mut().zip(word.chars()) {
                *cell = letter;
            }
        }
    }
    let axis: String = axis.iter().collect();
    let _ = writeln!(text, "            {} d since casting", axis.trim_end());
    let _ = writeln!(text, "            * stress under restraint   o stress at which it cracks");
}
