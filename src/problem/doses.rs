//! Doses: a mass per volume of concrete turned into its share of binder, cement or powder, by mass or as a volume of
//! liquid. What is limited, and why, is not known here.

use crate::finding::{Finding, Findings, Place};
use crate::material::Base;
use crate::mixture::{Measure, Mixture, Quantity, Ratio};
use crate::quantity::{Dimension, Unit};

/// The base with this word, or a finding.
pub fn base_named(word: &str, place: Place, owner: &str, findings: &mut Findings) -> Option<Base> {
    let base = Base::named(word);
    if base.is_none() {
        findings.push(Finding::error(place, format!("unknown base `{word}` in {owner}")).known(
            "bases",
            word,
            ["binder", "cement", "powder"],
        ));
    }
    base
}

/// A quantity as a dose by mass or by volume.
pub fn dosed(quantity: &Quantity, base: Base, dimension: Dimension, mixture: &Mixture) -> Option<Quantity> {
    match dimension {
        Dimension::NONE => over_base(quantity, base, mixture),
        Dimension::VOLUME_BY_MASS => volume_over_base(quantity, base, mixture),
        _ => None,
    }
}

/// A mass per volume over a base, both linear.
fn over_base(quantity: &Quantity, base: Base, mixture: &Mixture) -> Option<Quantity> {
    let Measure::Linear(numerator) = &quantity.measure else { return None };
    (quantity.dimension == Dimension::DENSITY).then(|| Quantity {
        label: format!("{} of {}", quantity.label, base.word()),
        measure: Measure::Ratio(Ratio { numerator: numerator.clone(), denominator: mixture.base(base) }),
        dimension: Dimension::NONE,
        unit: Unit::known("%"),
    })
}

/// A sum of liquids by volume over a base; none for anything but materials counted whole.
fn volume_over_base(quantity: &Quantity, base: Base, mixture: &Mixture) -> Option<Quantity> {
    mixture.dose_by_volume(&over_base(quantity, base, mixture)?)
}
