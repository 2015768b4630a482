//! Lines over two axes drawn with letters, for a terminal.
//!
//! What enters: a chart of lines. What leaves: a drawing with a row of names below it; nothing where there is nothing to
//! draw.

use crate::number::Interval;
use std::fmt::Write;

use super::figures::told;
use super::layout::{FIRM, Width};
use crate::answer::chart::{Axis, Lines, Spread, Stroke};
use crate::finding::clean;
use crate::quantity::trimmed;

/// Columns and rows of the drawing; before it stand the numbers of the axis up.
const COLUMNS: usize = 66;
const ROWS: usize = 9;
const BEFORE: usize = 12;
/// One letter for each line.
const LETTERS: [char; 4] = ['*', 'o', '+', 'x'];
/// Numbers named below an axis of logarithms, besides those between decades.
const NAMED: [f64; 3] = [1.0, 2.0, 5.0];

/// The axis from its first to its last value.
struct Range<'a> {
    axis: &'a Axis,
    low: f64,
    high: f64,
}

impl<'a> Range<'a> {
    fn of(axis: &'a Axis, values: impl Iterator<Item = f64>) -> Option<Self> {
        let all: Vec<f64> =
            values.chain(axis.holds.iter().copied()).filter(|value| value.is_finite()).collect();
        let low = all.iter().copied().fold(f64::INFINITY, f64::min);
        let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let fits = low < high && (axis.spread == Spread::Linear || 0.0 < low);
        fits.then_some(Self { axis, low, high })
    }

    /// The place of a value: zero at the first, one at the last.
    fn share(&self, value: f64) -> f64 {
        match self.axis.spread {
            Spread::Linear => (value - self.low) / (self.high - self.low),
            Spread::Logarithmic => (value / self.low).ln() / (self.high / self.low).ln(),
        }
    }

    /// Round numbers within it.
    fn named(&self) -> Vec<f64> {
        let mut list = Vec::new();
        match self.axis.spread {
            Spread::Linear => {
                let rough = (self.high - self.low) / 5.0;
                let decade = 10_f64.powf(rough.log10().floor());
                let step =
                    [1.0, 2.0, 5.0, 10.0].map(|part| part * decade).into_iter().find(|step| rough <= *step);
                let step = step.unwrap_or(rough);
                let mut value = (self.low / step).ceil() * step;
                while value <= self.high && list.len() < 20 {
                    list.push(value);
                    value += step;
                }
            }
            Spread::Logarithmic => {
                let mut decade = 10_f64.powf(self.low.log10().floor());
                while decade <= self.high && list.len() < 60 {
                    list.extend(NAMED.map(|part| part * decade));
                    decade *= 10.0;
                }
                list.retain(|value| self.low <= *value && *value <= self.high);
            }
        }
        list
    }
}

/// The cell of a share of so many.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "rounding to cells is what a drawing is"
)]
fn cell(share: f64, count: usize) -> usize {
    (Interval::new(0.0, 1.0).nearest(share) * (count - 1) as f64).round() as usize
}

/// The chart in letters.
pub fn drawn(chart: &Lines, width: Width) -> String {
    let mut out = String::new();
    let points = || chart.lines.iter().flat_map(|line| &line.points);
    let across = Range::of(&chart.across, points().map(|point| point.0));
    let up = Range::of(&chart.up, points().map(|point| point.1));
    let (Some(across), Some(up)) = (across, up) else { return out };
    let columns = COLUMNS.min(width.columns().saturating_sub(BEFORE)).max(20);
    let mut cells = vec![vec![' '; columns]; ROWS];
    if chart.lines.iter().any(|line| line.stroke == Stroke::Points) {
        // Several charts of points stand below one heading.
        let _ = writeln!(out, "{}", told(&chart.title, clean, FIRM).replace(FIRM, " "));
    }
    // The first line lies on top of the others.
    for (line, letter) in chart.lines.iter().zip(LETTERS).rev() {
        if line.stroke == Stroke::Points {
            for point in &line.points {
                let (row, column) =
                    (cell(1.0 - up.share(point.1), ROWS), cell(across.share(point.0), columns));
                if let Some(place) = cells.get_mut(row).and_then(|row| row.get_mut(column)) {
                    *place = letter;
                }
            }
            continue;
        }
        for pair in line.points.windows(2) {
            let (from, to) = (cell(across.share(pair[0].0), columns), cell(across.share(pair[1].0), columns));
            for column in from.min(to)..=from.max(to) {
                let part =
                    if from == to { 1.0 } else { (column as f64 - from as f64) / (to as f64 - from as f64) };
                let row = cell(1.0 - up.share(pair[0].1 + part * (pair[1].1 - pair[0].1)), ROWS);
                if let Some(place) = cells.get_mut(row).and_then(|row| row.get_mut(column)) {
                    *place = letter;
                }
            }
        }
    }
    for (row, cells) in cells.iter().enumerate() {
        let value = up.high - (up.high - up.low) * row as f64 / (ROWS - 1) as f64;
        let named = if row % 4 == 0 { trimmed(value, 3) } else { String::new() };
        let drawn: String = cells.iter().collect();
        let _ = writeln!(out, "    {named:>6} |{}", drawn.trim_end());
    }
    let _ = writeln!(out, "    {:>6} +{}", clean(&chart.up.unit), "-".repeat(columns));
    let mut axis = vec![' '; columns + 8];
    for value in across.named() {
        let word = trimmed(value, 4);
        let at = cell(across.share(value), columns);
        let end = (at + word.len() + 1).min(axis.len());
        if axis[at.saturating_sub(1)..end].iter().all(|cell| *cell == ' ') {
            axis[at..].iter_mut().zip(word.chars()).for_each(|(cell, letter)| *cell = letter);
        }
    }
    let axis: String = axis.iter().collect();
    let _ = writeln!(out, "            {} {}", axis.trim_end(), clean(&chart.across.title()));
    let names: Vec<String> = chart
        .lines
        .iter()
        .zip(LETTERS)
        .filter(|(line, _)| !line.name.is_empty())
        .map(|(line, letter)| format!("{letter} {}", clean(&line.name)))
        .collect();
    if !names.is_empty() {
        let _ = writeln!(out, "            {}", names.join("   "));
    }
    for (value, words) in &chart.marks {
        let _ = writeln!(
            out,
            "            at {}: {}",
            trimmed(*value, 4),
            told(words, clean, FIRM).replace(FIRM, " ")
        );
    }
    out
}
