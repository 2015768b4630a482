//! What trial batches or a submittal have approved: ranges of amounts, quantities and responses.
//!
//! What enters: `approved` as written. What leaves: an [`Approved`]. It limits
//! nothing: a mix beyond it may be the best there is, and needs a new trial.

use super::context::Context;
use super::limits::subject;
use super::requirement::Subject;
use crate::finding::{Finding, Findings, Place};
use crate::listed::Id;
use crate::material::Material;
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
    pub materials: Vec<Id<Material>>,
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
