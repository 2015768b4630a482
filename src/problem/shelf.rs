//! Whether the materials together can make a concrete at all: names that mean one thing, water, binder, volume.

use crate::finding::{Finding, Findings, Place};
use crate::listed::Id;
use crate::material::{Catalogue, Material, Role};
use crate::mixture::{Air, BUILT_IN, Mixture, Total};
use crate::quantity::trimmed;

/// A material may bear the name of its own role, of no other role, and of no quantity.
pub fn names(catalogue: &Catalogue, findings: &mut Findings) {
    for material in &catalogue.materials {
        let name = material.name.as_str();
        if name == material.role.word() {
            continue;
        }
        let what = if BUILT_IN.iter().any(|known| known.name == name) {
            "a quantity"
        } else if Role::named(name).is_some() {
            "another role"
        } else {
            continue;
        };
        findings.push(
            Finding::error(material.place, format!("the material `{name}` has the name of {what}"))
                .note(format!(
                    "its role is {}; limits and responses that say `{name}` would mean it alone",
                    material.role.word()
                ))
                .help("choose another name"),
        );
    }
}

/// Whether there is water and binder, and whether the materials can fill one cubic metre and no more.
pub fn check(mixture: &Mixture, place: Place, findings: &mut Findings) {
    let has = |wanted: fn(&crate::material::Material) -> bool| mixture.catalogue.materials.iter().any(wanted);
    if !has(|material| material.role == Role::Water) {
        findings.push(
            Finding::error(place, "no material has the role water").help(
                "add a material with `role: water`, `density: 1000 kg/m3` (`62.4 lb/ft3`) and its price",
            ),
        );
    }
    if mixture.mass_total(Total::Binder).is_zero() {
        findings.push(
            Finding::error(place, "no material counts as binder")
                .note("roles that usually count: cement, fly ash, slag, silica fume, natural pozzolan, expansive agent")
                .help("add a cement, or say in `counting` what counts as binder"),
        );
    }
}

/// One cubic metre must lie between what the materials fill at least and at most.
pub fn fills(mixture: &Mixture, forbidden: &[(Id<Material>, Place)], place: Place, findings: &mut Findings) {
    let (mut least, mut most) = match mixture.air {
        Air::Fixed(share) => (share, share),
        Air::Variable(column) => (mixture.columns[column].low, mixture.columns[column].high),
    };
    for ((index, material), column) in mixture.catalogue.materials.named().zip(&mixture.columns) {
        if forbidden.iter().any(|(other, _)| *other == index) {
            continue;
        }
        least += column.low / material.density;
        most += column.high / material.density;
    }
    if mixture.catalogue.materials.is_empty() {
        return;
    }
    let litres = |share: f64| trimmed(1000.0 * share, 4);
    if most < 1.0 - 1e-9 {
        findings.push(
            Finding::error(
                place,
                format!("the materials and air fill {} L at most, of 1000 L", litres(most)),
            )
            .note("each material that is not forbidden at the upper end of its `amount`, or at its density where it has none")
            .help("add a material that fills the rest, such as sand, or raise an upper bound"),
        );
    } else if 1.0 + 1e-9 < least {
        findings.push(
            Finding::error(
                place,
                format!("the lower bounds of the materials and air fill {} L, of 1000 L", litres(least)),
            )
            .note("each material at the lower end of its `amount`")
            .help("lower one of them"),
        );
    }
}
