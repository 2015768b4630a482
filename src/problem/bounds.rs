//! Bounds of materials and regions of responses as requirements.

use super::context::Context;
use super::requirement::{Margin, Origin, Requirement, Subject, Wanted};
use super::switch::Used;
use crate::finding::{Finding, Findings, Place};
use crate::listed::Id;
use crate::material::{Material, Use};
use crate::mixture::{Affine, Measure, PER_THOUSAND, Quantity, Ratio};
use crate::quantity::{Dimension, Unit};
use crate::response::Source;
use crate::standard::Side;
use crate::statement::Located;

/// Bounds of materials as requirements.
pub fn material_bounds(context: &Context<'_>, findings: &mut Findings) -> Vec<Requirement> {
    let mut list = Vec::new();
    for (index, material) in context.mixture.catalogue.materials.named() {
        for bounds in &material.bounds {
            let owner = format!("`share` of material `{}`", material.name);
            let Some((label, quantity)) =
                used_by(index, &bounds.by, (bounds.place, &owner), context, findings)
            else {
                continue;
            };
            // A liquid bounded by volume stays so: its column over its density, for a dose over the base.
            let by_volume = matches!(
                (&bounds.by, bounds.unit.dimension),
                (Use::Amount, Dimension::NONE) | (Use::Dose(_), Dimension::VOLUME_BY_MASS)
            );
            let (quantity, per) = if by_volume {
                (of_volume(&quantity, material.density, bounds.unit.dimension), material.density)
            } else {
                (quantity, 1.0)
            };
            for (side, end) in [(Side::AtLeast, bounds.low), (Side::AtMost, bounds.high)] {
                let Some(end) = end.filter(|end| side == Side::AtMost || 0.0 < *end) else { continue };
                let unit = bounds.unit.clone();
                list.push(Requirement {
                    name: label.clone(),
                    place: bounds.place,
                    origin: Origin::Material(index),
                    subject: Subject::Quantity(quantity.clone()),
                    side,
                    wanted: Wanted::Value(unit.from_base(end / per)),
                    margin: Margin::default(),
                    unit,
                    note: None,
                    in_place_of: Vec::new(),
                });
            }
        }
    }
    list
}

/// An amount or dose by mass as a volume of liquid: by volume of concrete, or by mass of the base.
fn of_volume(quantity: &Quantity, density: f64, dimension: Dimension) -> Quantity {
    let measure = match &quantity.measure {
        Measure::Linear(affine) => Measure::Linear(affine.times(1.0 / density)),
        Measure::Ratio(ratio) => Measure::Ratio(Ratio {
            numerator: ratio.numerator.times(PER_THOUSAND / density),
            denominator: ratio.denominator.times(PER_THOUSAND),
        }),
    };
    let unit = Unit::known(if dimension == Dimension::NONE { "L/m3" } else { "mL/kg" });
    Quantity { measure, dimension, unit, label: quantity.label.clone() }
}

/// The quantity by which a material's use is bounded; findings name the owner.
pub fn used_by(
    material: Id<Material>,
    by: &Use,
    (place, owner): (Place, &str),
    context: &Context<'_>,
    findings: &mut Findings,
) -> Option<(String, Quantity)> {
    let name = &context.mixture.catalogue.materials[material].name;
    match by {
        Use::Amount => {
            let measure = Measure::Linear(Affine::amount(material));
            let quantity = Quantity {
                label: name.clone(),
                measure,
                dimension: Dimension::DENSITY,
                unit: Unit::known("kg/m3"),
            };
            Some((format!("amount of {name}"), quantity))
        }
        Use::Dose(base) => {
            let numerator = Affine::amount(material);
            let measure = Measure::Ratio(Ratio { numerator, denominator: context.mixture.base(*base) });
            let quantity = Quantity {
                label: format!("{name} of {}", base.word()),
                measure,
                dimension: Dimension::NONE,
                unit: Unit::known("%"),
            };
            Some((format!("dose of {name}, of {}", base.word()), quantity))
        }
        Use::Share(of) => {
            let word = Located { value: format!("{name} / {of}"), place };
            match context.quantities.phrase(&word) {
                Ok(quantity) => Some((format!("share of {name}, of {of}"), quantity)),
                Err(unknown) => {
                    findings.push(match context.quantities.named(of) {
                        Some(known) if !matches!(known.measure, Measure::Linear(_)) => {
                            Finding::error(place, format!("`{of}` in {owner} is a ratio"))
                                .note("a share is taken of a mass or a volume")
                                .help("name a mass or a volume, such as `binder` or `sand volume`")
                        }
                        _ => context.quantities.unknown(&unknown, &word, owner),
                    });
                    None
                }
            }
        }
    }
}

/// What is used of a material: the amount itself, or its part of a quantity; a finding where that is not known.
pub fn used(
    material: Id<Material>,
    by: &Use,
    (place, owner): (Place, &str),
    context: &Context<'_>,
    findings: &mut Findings,
) -> Option<Used> {
    let (_, quantity) = used_by(material, by, (place, owner), context, findings)?;
    Some(match quantity.measure {
        Measure::Linear(part) => Used { part, base: Affine::constant(1.0) },
        Measure::Ratio(ratio) => Used { part: ratio.numerator, base: ratio.denominator },
    })
}

/// Regions of validity and leverage limits as requirements.
pub fn regions(context: &Context<'_>) -> Vec<Requirement> {
    let mut list = Vec::new();
    for (index, response) in context.responses.named() {
        for (at, factor) in response.factors.iter().enumerate() {
            let (subject, label) = match &factor.source {
                Source::Quantity(quantity) => (Subject::Quantity(quantity.clone()), quantity.label.clone()),
                Source::Response(inner) => {
                    (Subject::Response(*inner), context.responses[*inner].name.clone())
                }
            };
            for (side, end) in [(Side::AtLeast, factor.region.low()), (Side::AtMost, factor.region.high())] {
                if side == Side::AtLeast && !factor.has_lower_edge() {
                    continue;
                }
                list.push(Requirement {
                    name: format!("region of {}: {label}", response.name),
                    place: factor.place,
                    origin: Origin::Region { response: index, factor: at },
                    subject: subject.clone(),
                    side,
                    wanted: Wanted::Value(end),
                    margin: Margin::default(),
                    unit: factor.unit.clone(),
                    note: None,
                    in_place_of: Vec::new(),
                });
            }
        }
        if let Some((most, place)) = response.leverage {
            list.push(Requirement {
                name: format!("leverage of {}", response.name),
                place,
                origin: Origin::Leverage(index),
                subject: Subject::Response(index),
                side: Side::AtMost,
                wanted: Wanted::Value(most),
                margin: Margin::default(),
                unit: Unit::number(),
                note: None,
                in_place_of: Vec::new(),
            });
        }
    }
    list
}
