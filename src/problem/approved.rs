//! What trial batches or a submittal have approved: ranges of amounts, quantities and responses.
//!
//! What enters: `approved` as written. What leaves: an [`Approved`], which tells of any mix what lies beyond it. It limits
//! nothing: a mix beyond it may be the best there is, and needs a new trial.

use super::limits::{Context, subject};
use super::requirement::Subject;
use super::{Problem, convert};
use crate::finding::{Finding, Findings, Place};
use crate::quantity::Unit;
use crate::statement::{ApprovedEntry, QuantityRef};

/// What was approved.
#[derive(Clone, Debug)]
pub struct Approved {
    /// What approved it, in the author's words.
    pub note: Option<String>,
    /// The ranges in file order.
    pub ranges: Vec<ApprovedRange>,
    /// Materials that it names. Where there are none, it says nothing of materials.
    pub materials: Vec<usize>,
}

/// One approved range.
#[derive(Clone, Debug)]
pub struct ApprovedRange {
    /// What it is about, in the author's words.
    pub name: String,
    /// The same, resolved.
    pub subject: Subject,
    /// Its lower end in `unit`, if it has one.
    pub low: Option<f64>,
    /// Its upper end in `unit`, if it has one.
    pub high: Option<f64>,
    /// The author's unit.
    pub unit: Unit,
    /// Where it stands.
    pub place: Place,
}

/// What of a mix is not approved.
#[derive(Clone, Debug, PartialEq)]
pub enum Beyond {
    /// A range by its number, and the mix's value in its unit; no value where nothing stands below a ratio.
    Range(usize, Option<f64>),
    /// A material that the approved mix does not have.
    Material(usize),
}

/// Share of an end by which a value may lie beyond it: what a mix that stands at a bound is off by.
const ROUNDING: f64 = 1e-6;

/// Resolves `approved`.
pub fn approved(entry: &ApprovedEntry, context: &Context<'_>, findings: &mut Findings) -> Approved {
    let mut all = Approved {
        note: entry.note.as_ref().map(|note| note.value.clone()),
        ranges: Vec::new(),
        materials: Vec::new(),
    };
    for (word, bounds) in &entry.ranges {
        let owner = format!("the approved range of `{}`", word.value);
        let Some(subject) = subject(&QuantityRef::Phrase(word.clone()), &owner, context, findings) else {
            continue;
        };
        let Some(written) = bounds.value.any() else { continue };
        let dimension = match &subject {
            Subject::Quantity(quantity) => quantity.dimension,
            Subject::Response(index) => context.responses[*index].unit.dimension,
        };
        if dimension != written.unit.dimension {
            findings.push(
                Finding::error(bounds.place, format!("{owner} is {}", written.unit.dimension)).note(format!(
                    "`{}` is {dimension}; allowed units: {}",
                    word.value,
                    crate::quantity::accepted(&[dimension])
                )),
            );
            continue;
        }
        let unit = written.unit.clone();
        let end = |end: &Option<crate::quantity::Scalar>| end.as_ref().map(|end| unit.from_base(end.base));
        all.materials.extend(context.mixture.catalogue.find(&word.value));
        all.ranges.push(ApprovedRange {
            name: word.value.clone(),
            low: end(&bounds.value.low),
            high: end(&bounds.value.high),
            subject,
            place: bounds.place,
            unit,
        });
    }
    all
}

impl Problem {
    /// What of a mix lies beyond what was approved; nothing where nothing was, or all of it lies within. `used` tells which
    /// materials the mix has.
    pub fn beyond_approved(&self, mix: &[f64], used: &[bool]) -> Vec<Beyond> {
        let Some(approved) = &self.approved else { return Vec::new() };
        let mut list = Vec::new();
        for (at, range) in approved.ranges.iter().enumerate() {
            let value = match &range.subject {
                Subject::Quantity(quantity) => {
                    quantity.measure.at(mix).map(|base| range.unit.from_base(base))
                }
                Subject::Response(index) => {
                    let unit = &self.responses[*index].unit;
                    self.predict(*index, mix).map(|told| convert(told.value, unit, &range.unit))
                }
            };
            let within = value.is_some_and(|value| {
                let room = |end: f64| ROUNDING * end.abs().max(value.abs());
                range.low.is_none_or(|low| low - room(low) <= value)
                    && range.high.is_none_or(|high| value <= high + room(high))
            });
            if !within {
                list.push(Beyond::Range(at, value));
            }
        }
        if !approved.materials.is_empty() {
            let new = |at: &usize| used.get(*at) == Some(&true) && !approved.materials.contains(at);
            list.extend((0..self.mixture.materials()).filter(new).map(Beyond::Material));
        }
        list
    }
}
