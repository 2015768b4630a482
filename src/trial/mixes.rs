//! Trials written as mixes, as `predict` reads them, many in one file: the same table as separated values make.
//!
//! What enters: batches as read, and what their names may refer to. What leaves: [`Trials`], or findings at the author's own
//! values. Every value becomes a cell of a column with its unit; rows are read where those of separated values are.

use super::batch::Trials;
use super::header::{Column, Header, Known, result_column, unit_of_entry};
use super::row::Decimal;
use super::rows::{Repeats, Sheet, taken};
use crate::finding::{Finding, Findings, Place, Sources};
use crate::listed::Id;
use crate::material::{Material, State};
use crate::quantity::{Dimension, Scalar, Unit};
use crate::statement::{
    Bounds, Located, ResponseEntry, TrialBatchEntry, TrialResultEntry, Word, read_trial_batches,
};

/// Reads trials from a file of mixes; a file of one mix is one batch, named `name`.
///
/// # Errors
/// All findings, if any of them forbids using the file.
pub fn read_mixes_of_trials(
    sources: &Sources,
    source: usize,
    known: Known<'_>,
    repeats: Repeats,
    (currency, name): (&str, &str),
) -> Result<(Trials, Findings), Findings> {
    let batches = read_trial_batches(sources, source, (currency, name))?;
    let mut findings = Findings::default();
    let mut table = Table { known, header: Header::default(), names: Vec::new(), cells: Vec::new() };
    for fixed in
        [Fixed::Row, Fixed::Mix, Fixed::Batch, Fixed::Block, Fixed::Date, Fixed::Specimen, Fixed::Curing]
    {
        table.fixed(fixed);
    }
    for batch in &batches {
        table.batch(batch, &mut findings);
    }
    let Table { header, names, cells, .. } = table;
    let rows = cells.into_iter().map(|row| row.padded(names.len())).collect();
    if findings.has_errors() {
        return Err(findings);
    }
    taken(sources, source, known, repeats, &Sheet { header, names, rows, point: Decimal::Point }, findings)
}

/// Columns that every table has, in this order.
#[derive(Clone, Copy)]
enum Fixed {
    Row,
    Mix,
    Batch,
    Block,
    Date,
    Specimen,
    Curing,
}

struct Row {
    place: Place,
    cells: Vec<(usize, Word)>,
}

impl Row {
    /// A cell for each column; what stands in the first and the last tells where the row stands.
    fn padded(self, columns: usize) -> Vec<Word> {
        let mut cells = vec![Word { value: String::new(), place: self.place }; columns];
        for (column, word) in self.cells {
            cells[column] = word;
        }
        cells
    }
}

struct Table<'a> {
    known: Known<'a>,
    header: Header,
    names: Vec<Word>,
    cells: Vec<Row>,
}

const NOWHERE: Place = Place { source: 0, start: 0, end: 0 };

impl Table<'_> {
    fn fixed(&mut self, fixed: Fixed) {
        let (name, column) = match fixed {
            Fixed::Row => ("", Column::Other),
            Fixed::Mix => ("mix", Column::Mix),
            Fixed::Batch => ("batch", Column::Batch),
            Fixed::Block => ("block", Column::Block),
            Fixed::Date => ("date", Column::Date),
            Fixed::Specimen => ("specimen", Column::Specimen),
            Fixed::Curing => ("curing", Column::Curing),
        };
        self.names.push(Word { value: name.to_owned(), place: NOWHERE });
        self.header.columns.push(column);
    }

    /// The column of this name, made where it is new.
    fn column(&mut self, name: String, make: impl FnOnce(&mut Header) -> Column) -> usize {
        if let Some(known) = self.names.iter().position(|known| known.value == name) {
            return known;
        }
        let column = make(&mut self.header);
        self.header.columns.push(column);
        self.names.push(Word { value: name, place: NOWHERE });
        self.names.len() - 1
    }

    fn batch(&mut self, batch: &TrialBatchEntry, findings: &mut Findings) {
        let mut first: Vec<(usize, Word)> = Vec::new();
        for (fixed, word) in [(Fixed::Block, &batch.block), (Fixed::Date, &batch.date)] {
            first.extend(word.clone().map(|word| (fixed as usize, word)));
        }
        self.amounts(batch, &mut first, findings);
        for (name, moisture) in &batch.moistures {
            let Some(material) = self.material(name, "moisture", findings) else { continue };
            let unit = moisture.value.unit.clone();
            let heading = format!("moisture of {} ({})", name.value, unit.text);
            let at = self.column(heading, |_| Column::Moisture(material, unit));
            first.push((at, cell(&moisture.value, moisture.place)));
        }
        if let Some(volume) = &batch.volume {
            let unit = volume.value.unit.clone();
            let at = self.column(format!("batch volume ({})", unit.text), |_| Column::Volume(unit));
            first.push((at, cell(&volume.value, volume.place)));
        }
        if let Some(air) = &batch.air {
            let at = self.column("air".to_owned(), |_| Column::Air(Unit::number()));
            first.push((at, Word { value: number(air.value), place: air.place }));
        }
        let mut rows: Vec<Row> =
            batch.results.iter().flat_map(|result| self.rows(result, findings)).collect();
        if rows.is_empty() {
            rows.push(Row { place: batch.name.place, cells: Vec::new() });
        }
        for (at, mut row) in rows.into_iter().enumerate() {
            row.cells.push((Fixed::Batch as usize, batch.name.clone()));
            row.cells.extend(batch.mix.clone().map(|mix| (Fixed::Mix as usize, mix)));
            if at == 0 {
                row.cells.append(&mut first);
            }
            self.cells.push(row);
        }
    }

    fn amounts(&mut self, batch: &TrialBatchEntry, cells: &mut Vec<(usize, Word)>, findings: &mut Findings) {
        let (mut per_volume, mut weighed) = (None, None);
        for (name, amount) in &batch.amounts {
            let Some(material) = self.material(name, "amounts", findings) else { continue };
            let words = amount.value.words.as_str();
            let state = State::named(words);
            if state.is_none() && !words.is_empty() {
                findings.push(
                    Finding::error(amount.place, format!("`{words}` is no state of `{}`", name.value))
                        .note("states: dry, surface-dry, prewetted, as delivered"),
                );
                continue;
            }
            let unit = amount.value.unit.clone();
            let is_content = unit.dimension == Dimension::DENSITY || amount.value.is_volume_by_volume();
            if is_content { &mut per_volume } else { &mut weighed }.get_or_insert(amount.place);
            let heading = format!("{} ({})", name.value, format!("{} {words}", unit.text).trim_end());
            let at = self.column(heading, |_| {
                if is_content {
                    Column::Content(material, unit, state)
                } else {
                    Column::Weighed(material, unit, state)
                }
            });
            cells.push((at, cell(&amount.value, amount.place)));
        }
        if let (Some(_), Some(weighed)) = (per_volume, weighed) {
            findings.push(
                Finding::error(
                    weighed,
                    format!(
                        "some amounts of batch `{}` are as weighed, others per volume of concrete",
                        batch.name.value
                    ),
                )
                .help("give all of them in one way"),
            );
        }
    }

    fn material(&self, name: &Word, key: &str, findings: &mut Findings) -> Option<Id<Material>> {
        let shelf = &self.known.mixture.catalogue;
        let found = shelf.find(&name.value);
        if found.is_none() {
            findings.push(
                Finding::error(name.place, format!("unknown material `{}` in `{key}`", name.value)).known(
                    "materials",
                    &name.value,
                    shelf.names(),
                ),
            );
        }
        found
    }

    /// A row for each specimen.
    fn rows(&mut self, result: &TrialResultEntry, findings: &mut Findings) -> Vec<Row> {
        let specimens = result.values.iter().map(|(_, list)| list.len()).max().unwrap_or(0);
        let mut rows: Vec<Row> = (0..specimens)
            .map(|specimen| {
                let mut cells = Vec::new();
                if 1 < specimens {
                    let word = Word { value: (specimen + 1).to_string(), place: result.place };
                    cells.push((Fixed::Specimen as usize, word));
                }
                cells.extend(result.curing.clone().map(|curing| (Fixed::Curing as usize, curing)));
                Row { place: result.place, cells }
            })
            .collect();
        if let Some(age) = &result.age {
            let unit = age.value.unit.clone();
            let at = self.column(format!("age ({})", unit.text), |_| Column::Age(unit));
            for row in &mut rows {
                row.cells.push((at, cell(&age.value, age.place)));
            }
        }
        for (name, values) in &result.values {
            for (value, row) in values.iter().zip(&mut rows) {
                row.cells.extend(self.value(name, value, findings));
            }
        }
        rows
    }

    /// A result, or a ratio to be compared.
    fn value(
        &mut self,
        name: &Word,
        value: &Located<Bounds>,
        findings: &mut Findings,
    ) -> Option<(usize, Word)> {
        let known = self.known;
        let end = value.value.any()?;
        let entry = known.responses.iter().find(|entry| entry.name.value == name.value);
        let own = entry.and_then(unit_of_entry);
        let quantity = if entry.is_none() { known.quantities.phrase(name).ok() } else { None };
        let wanted = own.as_ref().map(|unit| unit.dimension).or(quantity.as_ref().map(|one| one.dimension));
        let before = self.header.measured.iter().find(|column| column.name.value == name.value);
        let wanted = wanted.or(before.map(|column| column.unit.dimension)).unwrap_or(end.unit.dimension);
        if wanted != end.unit.dimension {
            let written = if end.unit.text.is_empty() {
                "the value has no unit".to_owned()
            } else {
                format!("not in `{}`", end.unit.text)
            };
            findings.push(
                Finding::error(value.place, format!("`{}` is {wanted}, and {written}", name.value))
                    .note(format!("allowed units: {}", crate::quantity::accepted(&[wanted]))),
            );
            return None;
        }
        if let Some(quantity) = quantity {
            let unit = end.unit.clone();
            let heading = format!("{} ({})", name.value, unit.text);
            let at = self.column(heading, |_| Column::Check(Box::new(quantity), unit));
            return Some((at, cell(end, value.place)));
        }
        let written = before.map_or_else(|| end.unit.clone(), |column| column.unit.clone());
        let at = self.column(name.value.clone(), |header| {
            result_column(name.clone(), written.clone(), entry, &mut header.measured)
        });
        let text = in_words(name, value, &written, entry, findings)?;
        Some((at, Word { value: text, place: value.place }))
    }
}

/// A value as a cell in this unit; ends of ranges for rings alone.
fn in_words(
    name: &Word,
    value: &Located<Bounds>,
    unit: &Unit,
    entry: Option<&ResponseEntry>,
    findings: &mut Findings,
) -> Option<String> {
    let told = |scalar: &Scalar| number(unit.from_base(scalar.base));
    match (&value.value.low, &value.value.high) {
        (Some(low), Some(high)) if low.base == high.base => Some(told(low)),
        ends if entry.is_some_and(|entry| entry.cracking.is_some()) => Some(match ends {
            (Some(low), Some(high)) => format!("{} .. {}", told(low), told(high)),
            (Some(low), None) => format!("at least {}", told(low)),
            (None, Some(high)) => format!("at most {}", told(high)),
            (None, None) => return None,
        }),
        _ => {
            findings.push(
                Finding::error(value.place, format!("`{}` is a range", name.value))
                    .note("only an age at cracking is known to lie between two readings")
                    .help("give the value that was measured"),
            );
            None
        }
    }
}

fn cell(scalar: &Scalar, place: Place) -> Word {
    Word { value: number(scalar.unit.from_base(scalar.base)), place }
}

/// A number as it was written, without what conversion to base units and back leaves behind.
fn number(value: f64) -> String {
    let rounded: f64 = format!("{value:.13e}").parse().unwrap_or(value);
    rounded.to_string()
}
