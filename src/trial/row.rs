//! One row of a trial file at a time: a specimen of a batch at an age.

use super::batch::{Batch, LeftOut, Outcome, RingReading, Trials};
use super::cells::Cells;
use super::header::{Column, Header, Known};
use super::remarks::Remarks;
use super::ring_ages::ring_ages;
use super::weights::{Weights, amounts};
use crate::finding::{Finding, Findings, Place, Sources};
use crate::quantity::{Unit, trimmed};
use crate::statement::{Word, with_point};

/// Relative difference of amounts up to which two rows tell of the same weights.
const SAME: f64 = 1e-9;

/// Which decimal sign numbers may have beside the point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decimal {
    /// The point alone.
    Point,
    /// A comma too.
    Comma,
}

/// Where a row stands.
fn place_of(row: &[Word]) -> Place {
    Place { source: row[0].place.source, start: row[0].place.start, end: row[row.len() - 1].place.end }
}

/// Reads row by row.
pub struct Reader<'a> {
    /// See [`super::rows::read_trials`].
    pub known: Known<'a>,
    /// See [`super::rows::read_trials`].
    pub header: &'a Header,
    /// See [`super::rows::read_trials`].
    pub names: &'a [Word],
    /// See [`super::rows::read_trials`].
    pub sources: &'a Sources,
    /// Whether numbers may have a decimal comma.
    pub point: Decimal,
    /// See [`super::rows::read_trials`].
    pub trials: Trials,
    /// See [`super::rows::read_trials`].
    pub findings: &'a mut Findings,
    /// What is remarked once for each batch.
    pub remarks: Remarks,
}

impl Reader<'_> {
    fn leave_out(&mut self, row: &[Word], reason: impl Into<String>) {
        let line = self.sources.line(row[0].place);
        self.trials.left_out.push(LeftOut { file: None, line, reason: reason.into() });
    }

    /// Takes a row: one with too few or too many cells.
    pub fn ragged(&mut self, row: &[Word]) {
        self.findings.push(
            Finding::error(place_of(row), format!("{} values stand in this line", row.len()))
                .note(format!("the first line names {} columns", self.names.len()))
                .help("put a value that holds a comma or a semicolon into double quotes"),
        );
    }

    /// Takes a row: one that stood before.
    pub fn twin(&mut self, twin: &[Word], row: &[Word]) {
        let line = self.sources.line(twin[0].place);
        self.findings.push(
            Finding::warning(place_of(row), format!("this row is line {line} again, and counts once"))
                .help("if both were measured, say so with `--repeats confirmed`, or name the specimens"),
        );
        self.leave_out(row, format!("the same as line {line} in every cell"));
    }

    /// The number in a cell; nothing for an empty one.
    fn number(&mut self, row: &[Word], at: usize) -> Option<f64> {
        let word = &row[at];
        if word.value.is_empty() {
            return None;
        }
        let text = if self.point == Decimal::Comma { with_point(&word.value) } else { word.value.clone() };
        let number = text.parse::<f64>().ok().filter(|number| number.is_finite());
        if number.is_none() {
            self.findings.push(
                Finding::error(
                    word.place,
                    format!("`{}` in the column `{}` is no number", word.value, self.names[at].value),
                )
                .note(if self.point == Decimal::Comma {
                    "a number such as 38.2 or 38,2 is needed, without unit: that stands in the first line"
                } else {
                    "a number such as 38.2 is needed, without unit: that stands in the first line"
                })
                .help("correct it, or leave the cell empty if nothing was measured"),
            );
        }
        number
    }

    /// What stands in the cells of a row.
    fn cells(&mut self, row: &[Word]) -> Cells {
        let mut cells = Cells::default();
        for (at, column) in self.header.columns.iter().enumerate() {
            let word = (!row[at].value.is_empty()).then(|| row[at].clone());
            match column {
                Column::Mix => cells.mix = word,
                Column::Batch => cells.batch = word,
                Column::Block => cells.block = word,
                Column::Curing => cells.curing = word,
                Column::Date => {
                    let date = word.map(|word| word.value);
                    if self.trials.date < date {
                        self.trials.date = date;
                    }
                }
                Column::Specimen | Column::Other => {}
                Column::Age(unit) => {
                    cells.age = self.number(row, at).map(|age| (unit.to_base(age) / 86_400.0, row[at].place));
                }
                Column::Air(unit) => cells.weights.air = self.number(row, at).map(|air| unit.to_base(air)),
                Column::Volume(unit) => {
                    cells.weights.volume = self.number(row, at).map(|volume| unit.to_base(volume));
                    if cells.weights.volume.is_some_and(|volume| volume <= 0.0) {
                        self.refuse_yield(row, at, unit);
                    }
                }
                Column::Moisture(material, unit) => {
                    if let Some(moisture) = self.number(row, at) {
                        self.refuse_negative(moisture, row, at);
                        cells.weights.moistures.push((*material, unit.to_base(moisture)));
                    }
                }
                Column::Content(material, unit, state) | Column::Weighed(material, unit, state) => {
                    if let Some(number) = self.number(row, at) {
                        self.refuse_negative(number, row, at);
                        cells.weights.push(
                            *material,
                            unit.to_base(number),
                            unit.dimension,
                            *state,
                            row[at].place,
                        );
                        cells.weights.per_volume |= matches!(column, Column::Content(..));
                    }
                }
                Column::Check(quantity, unit) => {
                    if let Some(number) = self.number(row, at) {
                        cells.checks.push((at, quantity.as_ref().clone(), unit.to_base(number)));
                    }
                }
                Column::Ring(measured) => {
                    if let Some((whole_at, cracked_by)) = self.reading(row, at) {
                        cells.rings.push((*measured, whole_at, cracked_by, row[at].place));
                    }
                }
                Column::Result(measured) => {
                    if let Some(number) = self.number(row, at) {
                        self.refuse_impossible(number, *measured, row, at);
                        cells.results.push((*measured, number, row[at].place));
                    }
                }
            }
        }
        cells
    }

    /// Takes a row: a proper one.
    pub fn row(&mut self, row: &[Word]) {
        let before = self.findings.len();
        let Cells { mix, batch, block, curing, age, weights, results, checks, rings } = self.cells(row);
        if let Some((age, place)) = age.filter(|(age, _)| *age <= 0.0) {
            self.findings.push(
                Finding::error(place, format!("an age of {age} d"))
                    .note("allowed: above zero, from casting to test"),
            );
        }
        if before < self.findings.len() && self.findings.has_errors() {
            return;
        }
        let Some(batch) = self.batch_of(row, mix.as_ref(), batch, block, &weights) else { return };
        self.compare(batch, row, &checks);
        let ring = |(measured, whole_at, cracked_by, place)| RingReading {
            batch,
            measured,
            whole_at,
            cracked_by,
            place,
        };
        let is_without = results.is_empty() && rings.is_empty();
        self.trials.rings.extend(rings.into_iter().map(ring));
        if is_without {
            self.leave_out(row, "no result stands in it");
        }
        let age = age.map(|(age, _)| age);
        let curing = curing.map(|word: Word| word.value);
        for (measured, value, place) in results {
            self.trials.add_result(Outcome {
                batch,
                measured,
                age,
                curing: curing.clone(),
                values: vec![(value, place)],
            });
        }
    }

    /// When a ring cracked; nothing where the cell is empty.
    fn reading(&mut self, row: &[Word], at: usize) -> Option<(f64, f64)> {
        let word = &row[at];
        let text = word.value.trim();
        if text.is_empty() {
            return None;
        }
        let number = |text: &str| {
            let text =
                if self.point == Decimal::Comma { with_point(text.trim()) } else { text.trim().to_owned() };
            text.parse::<f64>().ok().filter(|age| age.is_finite() && 0.0 <= *age)
        };
        let ends = ring_ages(text, number);
        if ends.is_none() {
            self.findings.push(
                Finding::error(
                    word.place,
                    format!("`{}` in the column `{}` does not say when a ring cracked", word.value, self.names[at].value),
                )
                .note("allowed: `14 .. 17`, whole at the first reading and cracked at the second; `at least 56`, whole at the last reading; `at most 3`; `15`")
                .help("leave the cell empty where no ring was cast"),
            );
        }
        ends
    }

    fn refuse_negative(&mut self, number: f64, row: &[Word], at: usize) {
        if number < 0.0 {
            self.findings.push(
                Finding::error(row[at].place, format!("`{}` is negative", self.names[at].value))
                    .note("an amount is zero or more"),
            );
        }
    }

    fn refuse_yield(&mut self, row: &[Word], at: usize, unit: &Unit) {
        self.findings.push(
            Finding::error(row[at].place, format!("a batch volume of {}", unit.with_number(&row[at].value)))
                .note("allowed: above zero")
                .help("leave the cell empty if the volume was not measured: the weights give it"),
        );
    }

    fn refuse_impossible(&mut self, number: f64, measured: usize, row: &[Word], at: usize) {
        let column = &self.header.measured[measured];
        let (low, high) = column.possible;
        let base = column.unit.to_base(number);
        if !(low <= base && base <= high) {
            let range = if high < f64::INFINITY {
                format!(
                    "above 0, up to {}",
                    column.unit.with_number(&trimmed(column.unit.from_base(high), 4))
                )
            } else {
                "zero or more".to_owned()
            };
            let shown = column.unit.with_number(&row[at].value);
            self.findings.push(
                Finding::error(row[at].place, format!("`{}` of {shown} cannot be", column.name.value))
                    .note(format!("allowed: {range}"))
                    .help("check the figure and its unit"),
            );
        }
    }

    /// The batch of a row, found by its name or its weights, or made.
    fn batch_of(
        &mut self,
        row: &[Word],
        mix: Option<&Word>,
        batch: Option<Word>,
        block: Option<Word>,
        weights: &Weights,
    ) -> Option<usize> {
        let place = batch.as_ref().map_or_else(|| place_of(row), |word| word.place);
        let known = batch
            .as_ref()
            .and_then(|word| self.trials.batches.iter().position(|known| known.name == word.value));
        if let (Some(known), true) = (known, weights.is_empty()) {
            return Some(known);
        }
        if weights.is_empty() {
            self.leave_out(row, "no amounts stand in it");
            return None;
        }
        let (values, fills) = match amounts(self.known.mixture, weights, place) {
            Ok(found) => found,
            Err(finding) => {
                self.findings.push(*finding);
                return None;
            }
        };
        let same = |batch: &Batch| {
            batch
                .amounts
                .iter()
                .zip(&values)
                .all(|(a, b)| (a - b).abs() <= SAME * a.abs().max(b.abs()).max(1.0))
        };
        let mix_name = mix.map(|word| word.value.clone());
        if let Some(known) = known {
            let before = &self.trials.batches[known];
            let other_mix = mix_name.as_ref().is_some_and(|name| *name != self.trials.mixes[before.mix]);
            if !same(before) || other_mix {
                let line = self.sources.line(before.place);
                let what = if other_mix { "another mix" } else { "other weights" };
                let mut finding =
                    Finding::error(place, format!("batch `{}` returns with {what}", before.name))
                        .note(format!("it stands first in line {line}"))
                        .help("a batch may return at another age; give a batch of its own another name");
                if !other_mix && let Some(difference) = self.difference(&values, &before.amounts) {
                    finding = finding.note(format!("the largest difference: {difference}"));
                }
                self.findings.push(finding);
                return None;
            }
            return Some(known);
        }
        if batch.is_none() {
            let twin = self.trials.batches.iter().position(|known| {
                same(known) && mix_name.as_ref().is_none_or(|name| *name == self.trials.mixes[known.mix])
            });
            if twin.is_some() {
                return twin;
            }
        }
        let group = match &mix_name {
            Some(name) => self.trials.mixes.iter().position(|known| known == name),
            None => self.trials.batches.iter().find(|known| same(known)).map(|known| known.mix),
        };
        let group = group.unwrap_or_else(|| {
            let number = self.trials.mixes.len() + 1;
            self.trials.mixes.push(mix_name.unwrap_or_else(|| format!("mix {number}")));
            number - 1
        });
        let is_named = batch.is_some();
        let name =
            batch.map_or_else(|| format!("batch {}", self.trials.batches.len() + 1), |word| word.value);
        let block = block.map(|word| word.value);
        self.remarks.fills(&name, fills, place);
        self.tell_apart(group, &name, &values, place);
        self.trials.batches.push(Batch { name, is_named, mix: group, block, amounts: values, fills, place });
        Some(self.trials.batches.len() - 1)
    }
}
