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

/// Both parts of a dose by volume are multiplied by this, so that its row holds numbers near one.
pub const PER_THOUSAND: f64 = 1000.0;

/// A sum of liquids by volume over a base; none for anything but materials counted whole.
fn volume_over_base(quantity: &Quantity, base: Base, mixture: &Mixture) -> Option<Quantity> {
    let mut ratio = over_base(quantity, base, mixture)?;
    let Measure::Ratio(Ratio { numerator, denominator }) = &mut ratio.measure else { return None };
    for (column, coefficient) in &mut numerator.terms {
        let material = mixture.catalogue.materials.get(*column)?;
        if *coefficient != 1.0 || material.role.is_aggregate() {
            return None;
        }
        *coefficient = PER_THOUSAND / material.density;
    }
    *denominator = denominator.times(PER_THOUSAND);
    ratio.dimension = Dimension::VOLUME_BY_MASS;
    ratio.unit = Unit::known("mL/kg");
    Some(ratio)
}
