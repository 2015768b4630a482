//! What sweeps and fronts share: rows of answers with what changes from one to the next, in the reader's units.
//!
//! What enters: answers of a study. What leaves: rows, from which programs are served, and parts for people.

use super::block::{Cell, Column, Need, Part, Table};
use super::phrase::{Digits, Figure, Phrase};
use super::units::Units;
use crate::problem::convert;
use crate::quantity::Unit;
use crate::study::{Answer, Figure as Wanted, Outcome};

/// One row.
#[derive(Debug)]
pub struct StudyRow<'r> {
    /// What leads it: its number, then its values, in the order of the leading columns.
    pub leading: Vec<Phrase>,
    /// The answer.
    pub answer: &'r Answer,
    /// Materials that come in.
    pub enters: Vec<String>,
    /// Materials that go out.
    pub leaves: Vec<String>,
}

/// Rows of answers.
#[derive(Debug)]
pub struct StudyRows<'r> {
    /// The leading columns.
    pub leading: Vec<Column>,
    /// The rows.
    pub rows: Vec<StudyRow<'r>>,
    /// The figures of every answer.
    pub figures: &'r [Wanted],
    /// The reader's units.
    pub units: Units,
    /// The currency.
    pub currency: &'r str,
}

/// Figures in one table for people.
const FIGURES: usize = 6;

impl StudyRows<'_> {
    /// The unit in which a figure is told.
    pub fn shown(&self, figure: &Wanted) -> Unit {
        self.units.shown(&figure.unit, self.currency)
    }

    /// A figure of an answer, in that unit.
    pub fn figure(&self, answer: &Answer, at: usize) -> Option<f64> {
        let figure = &self.figures[at];
        let value = answer.figures.get(at).copied().flatten()?;
        Some(convert(value, &figure.unit, &self.shown(figure)))
    }

    /// Materials of all rows, in the order in which they first appear.
    pub fn materials(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for name in self.rows.iter().flat_map(|row| row.answer.used()) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }

    fn mixes(&self) -> impl Iterator<Item = &Answer> {
        self.rows.iter().map(|row| row.answer).filter(|answer| answer.outcome.has_mix())
    }

    /// Materials that every mix uses.
    fn common(&self) -> Vec<&str> {
        let everywhere = |name: &&str| self.mixes().all(|answer| answer.used().contains(name));
        self.materials().into_iter().filter(everywhere).collect()
    }

    /// What every mix stands at.
    fn common_binding(&self) -> Vec<&str> {
        let Some(first) = self.mixes().next() else { return Vec::new() };
        let everywhere = |name: &&String| self.mixes().all(|answer| answer.binding.contains(name));
        first.binding.iter().filter(everywhere).map(String::as_str).collect()
    }

    /// The rows as blocks of a part.
    pub fn within(&self, part: Part) -> Vec<Part> {
        let (common, everywhere) = (self.common(), self.common_binding());
        let mut table = Table::new(self.leading.iter().cloned().chain([
            Column::figures("gap"),
            Column::words("materials besides"),
            Column::words("stands besides at"),
        ]));
        for row in &self.rows {
            let leading = row.leading.iter().cloned().map(Cell::from);
            if !row.answer.outcome.has_mix() {
                let words = [Cell::empty(), row.answer.outcome.words().into()];
                table.row(leading.chain(words));
                continue;
            }
            let names = row.answer.binding.iter().map(String::as_str);
            let at: Vec<&str> = names.filter(|name| !everywhere.contains(name)).collect();
            let gap: Phrase =
                row.answer.gap.map_or_else(|| "not proven".into(), |gap| Figure::gap(gap).into());
            table.row(leading.chain([gap.into(), besides(row, &common).into(), at.join(", ").into()]));
        }
        let mut part = part.with(table);
        for (what, names) in [("In every mix", &common), ("Every mix stands at", &everywhere)] {
            if !names.is_empty() && 1 < self.rows.len() {
                part = part.saying(format!("{what}: {}.", names.join(", ")));
            }
        }
        if self.rows.iter().any(|row| !row.enters.is_empty() || !row.leaves.is_empty()) {
            part = part.saying("+ comes in from the line before, - goes out.");
        }
        let has = |outcome: Outcome| self.rows.iter().any(|row| row.answer.outcome == outcome);
        if has(Outcome::NothingFound) {
            part = part.saying(
                "Nothing found: no mix was found that meets everything, and it is not proven that none exists.",
            );
        }
        if !self.rows.iter().any(|row| row.answer.outcome.has_mix()) {
            return vec![part];
        }
        let all: Vec<usize> = (0..self.figures.len()).collect();
        std::iter::once(part).chain(all.chunks(FIGURES).map(|some| self.figures_of(some))).collect()
    }

    /// Some of the figures of every mix.
    fn figures_of(&self, some: &[usize]) -> Part {
        let names =
            some.iter().map(|at| Column::of(&self.figures[*at].name, &self.shown(&self.figures[*at])));
        let first =
            self.leading.iter().take(1).cloned().map(|column| Column { need: Need::Always, ..column });
        let mut table = Table::new(first.chain(names));
        for row in self.rows.iter().filter(|row| row.answer.outcome.has_mix()) {
            let figure = |at: &usize| -> Phrase {
                self.figure(row.answer, *at)
                    .map_or_else(|| "none".into(), |value| Figure::new(value, Digits::Significant(4)).into())
            };
            let first = row.leading.iter().take(1).cloned();
            table.row(first.chain(some.iter().map(figure)));
        }
        Part::default().with(table)
    }
}

/// The materials of a row that not all have, with what comes in and goes out.
fn besides(row: &StudyRow<'_>, common: &[&str]) -> String {
    let names = row.answer.used().into_iter().filter(|name| !common.contains(name));
    let told = names.map(|name| {
        if row.enters.iter().any(|new| new == name) { format!("+{name}") } else { name.to_owned() }
    });
    told.chain(row.leaves.iter().map(|name| format!("-{name}"))).collect::<Vec<_>>().join(", ")
}
