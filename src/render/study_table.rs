//! What tables of sweeps and fronts share: rows of answers with what changes marked, in text, CSV and JSON.

use std::fmt::Write;

use serde::Serialize;

use super::text::{align_numbers, push_table, table, wrapped};
use crate::answer::record::cells::{cell, number};
use crate::answer::study_points::percent_of;
use crate::answer::units::Units;
use crate::finding::clean;
use crate::problem::convert;
use crate::quantity::{Unit, significant};
use crate::study::{Answer, Figure};

/// One row of a table.
pub struct Row<'r> {
    /// What leads it: its number and values, in the order of the leading columns.
    pub leading: Vec<String>,
    /// The answer.
    pub answer: &'r Answer,
    /// Materials that come in.
    pub enters: Vec<String>,
    /// Materials that go out.
    pub leaves: Vec<String>,
}

/// What tables of answers are made of.
pub struct AnswerTable<'r> {
    /// Heads of the leading columns.
    pub leading: Vec<String>,
    /// The rows.
    pub rows: Vec<Row<'r>>,
    /// The figures of every answer.
    pub figures: &'r [Figure],
    /// The reader's units.
    pub units: Units,
    /// The currency.
    pub currency: &'r str,
}

/// Figures in one table of a terminal.
const FIGURES: usize = 6;

impl AnswerTable<'_> {
    fn shown(&self, figure: &Figure) -> Unit {
        self.units.shown(&figure.unit, self.currency)
    }

    fn figure(&self, answer: &Answer, at: usize) -> Option<f64> {
        let figure = &self.figures[at];
        let value = answer.figures.get(at).copied().flatten()?;
        Some(convert(value, &figure.unit, &self.shown(figure)))
    }

    /// Materials of all rows, in the order in which they first appear.
    fn materials(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for name in self.rows.iter().flat_map(|row| row.answer.used()) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }

    /// Materials that every mix uses.
    fn common(&self) -> Vec<&str> {
        let with_mix = || self.rows.iter().filter(|row| row.answer.outcome.has_mix());
        self.materials()
            .into_iter()
            .filter(|name| with_mix().all(|row| row.answer.used().contains(name)))
            .collect()
    }

    /// What every mix stands at.
    fn common_binding(&self) -> Vec<&str> {
        let mut mixes = self.rows.iter().map(|row| row.answer).filter(|answer| answer.outcome.has_mix());
        let Some(first) = mixes.next() else { return Vec::new() };
        let rest: Vec<&Answer> = mixes.collect();
        let everywhere = |name: &&String| rest.iter().all(|answer| answer.binding.contains(name));
        first.binding.iter().filter(everywhere).map(String::as_str).collect()
    }

    /// For a terminal.
    pub fn text(&self, text: &mut String) {
        let (common, everywhere) = (self.common(), self.common_binding());
        let mut header = self.leading.clone();
        header.extend(["gap", "materials besides", "stands besides at"].map(str::to_owned));
        let mut shown = table(header);
        for row in &self.rows {
            let mut cells: Vec<String> = row.leading.iter().map(|text| clean(text)).collect();
            if !row.answer.outcome.has_mix() {
                cells.extend([String::new(), row.answer.outcome.words().to_owned(), String::new()]);
                shown.add_row(cells);
                continue;
            }
            let mut besides: Vec<String> = row
                .answer
                .used()
                .into_iter()
                .filter(|name| !common.contains(name))
                .map(|name| {
                    if row.enters.iter().any(|new| new == name) {
                        format!("+{name}")
                    } else {
                        name.to_owned()
                    }
                })
                .collect();
            besides.extend(row.leaves.iter().map(|name| format!("-{name}")));
            let names = row.answer.binding.iter().map(String::as_str);
            let at: Vec<&str> = names.filter(|name| !everywhere.contains(name)).collect();
            cells.extend([
                row.answer.gap.map_or_else(|| "not proven".to_owned(), percent_of),
                clean(&besides.join(", ")),
                clean(&at.join(", ")),
            ]);
            shown.add_row(cells);
        }
        align_numbers(&mut shown, 0, self.leading.len() + 1);
        push_table(text, &shown);
        for (what, names) in [("In every mix", &common), ("Every mix stands at", &everywhere)] {
            if !names.is_empty() && 1 < self.rows.len() {
                let _ = writeln!(text, "{}", wrapped(&format!("{what}: {}.", clean(&names.join(", "))), 0));
            }
        }
        if self.rows.iter().any(|row| !row.enters.is_empty() || !row.leaves.is_empty()) {
            text.push_str("+ comes in from the line before, - goes out.\n");
        }
        self.figures_text(text);
    }

    fn figures_text(&self, text: &mut String) {
        let all: Vec<usize> = (0..self.figures.len()).collect();
        for part in all.chunks(FIGURES) {
            let mut header = vec![self.leading.first().cloned().unwrap_or_default()];
            header.extend(part.iter().map(|at| {
                let figure = &self.figures[*at];
                let unit = self.shown(figure).text;
                if unit.is_empty() {
                    clean(&figure.name)
                } else {
                    format!("{}\n{}", clean(&figure.name), clean(&unit))
                }
            }));
            let mut shown = table(header);
            for row in self.rows.iter().filter(|row| row.answer.outcome.has_mix()) {
                let mut cells = vec![row.leading.first().cloned().unwrap_or_default()];
                cells.extend(part.iter().map(|at| {
                    self.figure(row.answer, *at)
                        .map_or_else(|| "none".to_owned(), |value| significant(value, 4))
                }));
                shown.add_row(cells);
            }
            align_numbers(&mut shown, 0, part.len() + 1);
            text.push('\n');
            push_table(text, &shown);
        }
    }

    /// For spreadsheets: a line for each row, a column for each figure and material; `bound` heads the column of bounds.
    pub fn csv(&self, bound: &str) -> String {
        let materials = self.materials();
        let content = self.units.content();
        let mut header: Vec<String> =
            self.leading.iter().map(|head| cell(&head.replace('\n', " "))).collect();
        header.extend(["state".to_owned(), cell(bound), "gap".to_owned()]);
        header.extend(self.figures.iter().map(|figure| cell(&with_unit(&figure.name, &self.shown(figure)))));
        header.extend(materials.iter().map(|name| cell(&with_unit(name, &content))));
        header.extend(["enters", "leaves", "stands at"].map(str::to_owned));
        let mut text = header.join(",") + "\r\n";
        for row in &self.rows {
            let answer = row.answer;
            let mut cells: Vec<String> = row.leading.iter().map(|text| cell(text)).collect();
            cells.extend([cell(answer.outcome.words()), number(answer.bound), number(answer.gap)]);
            cells.extend((0..self.figures.len()).map(|at| number(self.figure(answer, at))));
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

    /// One row for programs.
    pub fn json<'a>(&'a self, row: &'a Row<'_>) -> AnswerOut<'a> {
        let answer = row.answer;
        let content = self.units.content();
        AnswerOut {
            state: answer.outcome.words(),
            bound: answer.bound,
            gap: answer.gap,
            mix: answer
                .mix
                .iter()
                .map(|(material, amount)| AmountOut {
                    material,
                    amount: content.from_base(*amount),
                    unit: content.text.clone(),
                })
                .collect(),
            enters: &row.enters,
            leaves: &row.leaves,
            stands_at: &answer.binding,
            figures: self
                .figures
                .iter()
                .enumerate()
                .map(|(at, figure)| FigureOut {
                    name: &figure.name,
                    value: self.figure(answer, at),
                    unit: self.shown(figure).text,
                })
                .collect(),
            told: (!answer.told.is_empty()).then_some(&answer.told),
        }
    }
}

/// An answer for programs.
#[derive(Serialize)]
pub struct AnswerOut<'a> {
    state: &'static str,
    bound: Option<f64>,
    gap: Option<f64>,
    mix: Vec<AmountOut<'a>>,
    enters: &'a [String],
    leaves: &'a [String],
    stands_at: &'a [String],
    figures: Vec<FigureOut<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    told: Option<&'a String>,
}

#[derive(Serialize)]
struct AmountOut<'a> {
    material: &'a str,
    amount: f64,
    unit: String,
}

#[derive(Serialize)]
struct FigureOut<'a> {
    name: &'a str,
    value: Option<f64>,
    unit: String,
}

/// A name with its unit behind it.
pub fn with_unit(name: &str, unit: &Unit) -> String {
    if unit.text.is_empty() { name.to_owned() } else { format!("{name}, {}", unit.text) }
}
