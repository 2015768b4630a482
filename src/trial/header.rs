//! What the columns of a trial file hold.
//!
//! What enters: the first line of the file, the materials, quantities and responses of a statement. What leaves: the
//! meaning of each column, its unit read once, or findings. Names come before units in brackets: `cement (kg/m3)`,
//! `sand (kg as delivered)`, `strength (MPa)`. The values below are for `rows` to read.

use crate::finding::{Finding, Findings, nearest};
use crate::listed::Id;
use crate::material::{Material, State};
use crate::mixture::{Mixture, Quantities, Quantity};
use crate::quantity::{Dimension, Unit, UnitError};
use crate::statement::{ResponseEntry, Word};

/// What one column holds.
#[derive(Clone, Debug)]
pub enum Column {
    /// Name of the mix.
    Mix,
    /// Name of the batch.
    Batch,
    /// Name of the specimen.
    Specimen,
    /// Curing.
    Curing,
    /// What several batches share beside their mix: a day, a delivery of cement.
    Block,
    /// Date of the batch.
    Date,
    /// Age at test.
    Age(Unit),
    /// Air, share of the volume.
    Air(Unit),
    /// Volume that was batched.
    Volume(Unit),
    /// Total water of an aggregate as weighed, share of its dry mass.
    Moisture(Id<Material>, Unit),
    /// Amount of a material per m3, in a state.
    Content(Id<Material>, Unit, Option<State>),
    /// Mass or volume of a material as weighed, in a state.
    Weighed(Id<Material>, Unit, Option<State>),
    /// A ratio or content that the amounts give anew, to be compared.
    Check(Box<Quantity>, Unit),
    /// A result, by its index among [`Header::measured`].
    Result(usize),
    /// When a ring cracked, by the index of its age among [`Header::measured`].
    Ring(usize),
    /// For other readers.
    Other,
}

/// A measured value's name and unit.
#[derive(Clone, Debug)]
pub struct MeasuredColumn {
    /// Its name.
    pub name: Word,
    /// Its unit.
    pub unit: Unit,
    /// Whether the statement holds a response of this name.
    pub is_known: bool,
    /// The values that it can have, in base units.
    pub possible: (f64, f64),
}

/// Strongest concrete that a result may tell of, Pa: beyond the strongest that was ever reported.
const STRONGEST: f64 = 900e6;
/// Largest stress of any other kind, a modulus say, Pa.
const STIFFEST: f64 = 300e9;

/// The columns of a file.
#[derive(Clone, Debug, Default)]
pub struct Header {
    /// Columns in file order.
    pub columns: Vec<Column>,
    /// The columns that are results.
    pub measured: Vec<MeasuredColumn>,
}

/// Names of columns that are neither amounts nor results.
pub const FIXED: &[&str] =
    &["mix", "batch", "specimen", "curing", "block", "date", "age", "air", "batch volume", "moisture of"];
/// Names of columns that are for other readers.
pub const FOR_OTHERS: &[&str] = &["note", "order", ""];

/// What the names in a header may refer to.
#[derive(Clone, Copy, Debug)]
pub struct Known<'a> {
    /// The space of mixes.
    pub mixture: &'a Mixture,
    /// Quantities.
    pub quantities: &'a Quantities<'a>,
    /// Responses of the statement.
    pub responses: &'a [ResponseEntry],
}

/// Reads the first line of a file.
pub fn header(words: &[Word], known: Known<'_>, findings: &mut Findings) -> Header {
    let mut header = Header::default();
    for (at, word) in words.iter().enumerate() {
        if words[..at].iter().any(|other| other.value.eq_ignore_ascii_case(&word.value)) {
            findings.push(
                Finding::error(word.place, format!("the column `{}` stands twice", word.value))
                    .note("which of the two holds would be a guess")
                    .help("take one of them out, or give it another name"),
            );
        }
        let column = column(word, known, &mut header.measured, findings);
        header.columns.push(column);
    }
    header
}

/// Name and text in the last brackets.
fn parted(text: &str) -> (&str, Option<&str>) {
    let text = text.trim();
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let Some(inner) = text.strip_suffix(close)
            && let Some((name, unit)) = inner.rsplit_once(open)
        {
            return (name.trim(), Some(unit.trim()));
        }
    }
    (text, None)
}

fn column(
    word: &Word,
    known: Known<'_>,
    measured: &mut Vec<MeasuredColumn>,
    findings: &mut Findings,
) -> Column {
    let (name, unit_text) = parted(&word.value);
    match name.to_lowercase().as_str() {
        "mix" => return Column::Mix,
        "batch" => return Column::Batch,
        "specimen" => return Column::Specimen,
        "curing" => return Column::Curing,
        "block" => return Column::Block,
        "date" => return Column::Date,
        "note" | "order" | "" => return Column::Other,
        "age" => return of(Dimension::TIME, word, unit_text, findings).map_or(Column::Other, Column::Age),
        "air" => return of(Dimension::NONE, word, unit_text, findings).map_or(Column::Other, Column::Air),
        "batch volume" => {
            return of(Dimension::VOLUME, word, unit_text, findings).map_or(Column::Other, Column::Volume);
        }
        _ => {}
    }
    let shelf = &known.mixture.catalogue;
    if let Some(material) = name.strip_prefix("moisture of ") {
        let Some(found) = shelf.find(material) else {
            findings.push(
                Finding::error(word.place, format!("unknown material `{material}` in `{}`", word.value))
                    .known("materials", material, shelf.names()),
            );
            return Column::Other;
        };
        return of(Dimension::NONE, word, unit_text, findings)
            .map_or(Column::Other, |unit| Column::Moisture(found, unit));
    }
    if let Some(material) = shelf.find(name) {
        return amount(word, material, unit_text, findings);
    }
    let entry = known.responses.iter().find(|response| response.name.value == name);
    if entry.is_none() {
        let named = Word { value: name.to_owned(), place: word.place };
        if let Ok(quantity) = known.quantities.phrase(&named) {
            let ones = vec![1.0; known.mixture.columns.len()];
            if quantity.dimension == Dimension::DENSITY && quantity.measure.at(&ones) == Some(0.0) {
                findings.push(
                    Finding::error(word.place, format!("no material of the statement is `{name}`"))
                        .note("its amounts cannot be counted: the volume and the ratios of these batches would be wrong")
                        .help("add the material to the statement, or name the one that stands there"),
                );
                return Column::Other;
            }
            let unit = match unit_text {
                Some(text) => unit_of(text, word, findings),
                None if quantity.dimension == Dimension::NONE => Some(Unit::number()),
                None => missing_unit(word, quantity.dimension, findings),
            };
            return unit
                .filter(|unit| fits(unit, quantity.dimension, word, findings))
                .map_or(Column::Other, |unit| Column::Check(Box::new(quantity), unit));
        }
    }
    if entry.is_none() && is_amount_of_no_material(word, name, unit_text, known, findings) {
        return Column::Other;
    }
    result(word, name, unit_text, entry, measured, findings)
}

/// Whether a column looks like the amount of a material that the statement does not hold under this name: it is told, as an
/// error where a material's name is near, else as a result that the author may have meant.
fn is_amount_of_no_material(
    word: &Word,
    name: &str,
    unit_text: Option<&str>,
    known: Known<'_>,
    findings: &mut Findings,
) -> bool {
    let amounts = |text: &str| {
        let bare = ["surface-dry", "prewetted", "as delivered", "dry"]
            .iter()
            .find_map(|state| text.strip_suffix(state))
            .unwrap_or(text)
            .trim();
        let unit = Unit::parse(bare, "").ok()?;
        Some((
            unit.dimension == Dimension::DENSITY || unit.dimension == Dimension::MASS,
            bare.len() < text.len(),
        ))
    };
    let Some((true, has_state)) = unit_text.and_then(amounts) else { return false };
    let names = || known.mixture.catalogue.names();
    if has_state || nearest(name, names()).is_some() {
        findings.push(
            Finding::error(word.place, format!("unknown material `{name}` in `{}`", word.value)).known(
                "materials",
                name,
                names(),
            ),
        );
        return true;
    }
    findings.push(
        Finding::warning(word.place, format!("the column `{}` is taken as a result", word.value))
            .note(format!("no material of the statement is called `{name}`"))
            .help("add the material to the statement if this is what was weighed of it"),
    );
    false
}

/// The unit of a response as stated; days where it is an age at cracking without one.
pub fn unit_of_entry(entry: &ResponseEntry) -> Option<Unit> {
    let stated = entry.unit.as_ref().map(|unit| unit.value.clone());
    stated.or_else(|| entry.cracking.as_ref().map(|_| Unit::known("d")))
}

fn result(
    word: &Word,
    name: &str,
    unit_text: Option<&str>,
    entry: Option<&ResponseEntry>,
    measured: &mut Vec<MeasuredColumn>,
    findings: &mut Findings,
) -> Column {
    let own = entry.and_then(unit_of_entry);
    let unit = match (unit_text, &own) {
        (Some(text), _) => unit_of(text, word, findings),
        (None, Some(own)) if own.text.is_empty() => Some(own.clone()),
        (None, Some(own)) => missing_unit(word, own.dimension, findings),
        // A column of words or of figures that nobody can read: it is for other readers.
        (None, None) => return Column::Other,
    };
    let Some(unit) = unit else { return Column::Other };
    if let Some(own) = &own
        && !fits(&unit, own.dimension, word, findings)
    {
        return Column::Other;
    }
    let name = Word { value: name.to_owned(), place: word.place };
    result_column(name, unit, entry, measured)
}

/// The column of a result, found by its name among those known or added to them.
pub fn result_column(
    name: Word,
    unit: Unit,
    entry: Option<&ResponseEntry>,
    measured: &mut Vec<MeasuredColumn>,
) -> Column {
    let of = |at: usize| {
        if entry.is_some_and(|entry| entry.cracking.is_some()) {
            Column::Ring(at)
        } else {
            Column::Result(at)
        }
    };
    if let Some(known) = measured.iter().position(|known| known.name.value == name.value) {
        return of(known);
    }
    let possible = if entry.is_some_and(|entry| entry.strength.is_some()) {
        (f64::MIN_POSITIVE, STRONGEST)
    } else if unit.dimension == Dimension::STRESS {
        (f64::MIN_POSITIVE, STIFFEST)
    } else if unit.dimension == Dimension::NONE || unit.dimension == Dimension::TEMPERATURE {
        (f64::NEG_INFINITY, f64::INFINITY)
    } else {
        (0.0, f64::INFINITY)
    };
    measured.push(MeasuredColumn { name, unit, is_known: entry.is_some(), possible });
    of(measured.len() - 1)
}

fn amount(word: &Word, material: Id<Material>, unit_text: Option<&str>, findings: &mut Findings) -> Column {
    let Some(text) = unit_text else {
        missing_unit(word, Dimension::DENSITY, findings);
        return Column::Other;
    };
    let words = ["surface-dry", "prewetted", "as delivered", "dry"];
    let state_word = words.iter().find(|state| text.ends_with(**state));
    let (unit_text, state) = match state_word {
        Some(state) => (text[..text.len() - state.len()].trim(), State::named(state)),
        None => (text, None),
    };
    let Some(unit) = unit_of(unit_text, word, findings) else { return Column::Other };
    if unit.dimension == Dimension::DENSITY || unit.text.contains('/') && unit.dimension == Dimension::NONE {
        Column::Content(material, unit, state)
    } else if unit.dimension == Dimension::MASS || unit.dimension == Dimension::VOLUME {
        Column::Weighed(material, unit, state)
    } else {
        findings.push(
            Finding::error(word.place, format!("the column `{}` is in `{}`", word.value, unit.text))
                .note("allowed: per m3 (`kg/m3`, `lb/yd3`, `L/m3`) or as weighed (`kg`, `lb`, `L`)"),
        );
        Column::Other
    }
}

fn of(dimension: Dimension, word: &Word, text: Option<&str>, findings: &mut Findings) -> Option<Unit> {
    let unit = match text {
        Some(text) => unit_of(text, word, findings),
        None => missing_unit(word, dimension, findings),
    };
    unit.filter(|unit| fits(unit, dimension, word, findings))
}

fn missing_unit(word: &Word, dimension: Dimension, findings: &mut Findings) -> Option<Unit> {
    findings.push(
        Finding::error(word.place, format!("the column `{}` has no unit", word.value))
            .note(if dimension == Dimension::DENSITY {
                format!(
                    "allowed units: {}, or as weighed `kg`, `lb`, `L`",
                    crate::quantity::accepted(&[dimension])
                )
            } else {
                format!("allowed units: {}", crate::quantity::accepted(&[dimension]))
            })
            .help("write it behind the name, in brackets: `cement (kg/m3)`"),
    );
    None
}

fn fits(unit: &Unit, dimension: Dimension, word: &Word, findings: &mut Findings) -> bool {
    if unit.dimension != dimension {
        findings.push(
            Finding::error(word.place, format!("the column `{}` is in `{}`", word.value, unit.text))
                .note(format!("allowed units: {}", crate::quantity::accepted(&[dimension]))),
        );
    }
    unit.dimension == dimension
}

fn unit_of(text: &str, word: &Word, findings: &mut Findings) -> Option<Unit> {
    match Unit::parse(text, "") {
        Ok(unit) => Some(unit),
        Err(UnitError::Unknown(unknown) | UnitError::OtherCurrency(unknown)) => {
            findings.push(
                Finding::error(
                    word.place,
                    format!("unknown unit `{unknown}` in the column `{}`", word.value),
                )
                .known("units", &unknown, Unit::words()),
            );
            None
        }
    }
}
