//! From material entries to the shelf: states converted, what a role needs checked.

use super::bounds_of_use::use_bounds;
use super::catalogue::{Catalogue, Material, Priced};
use super::grading::grading;
use super::stated::stated_mass;
use super::{Role, State};
use crate::finding::{Finding, Findings};
use crate::quantity::{Dimension, Scalar, Unit, trimmed};
use crate::statement::{Located, MaterialEntry};

/// Builds the shelf; what cannot be used is left out with a finding.
pub fn catalogue(entries: &[MaterialEntry], findings: &mut Findings) -> Catalogue {
    Catalogue { materials: entries.iter().filter_map(|entry| material(entry, findings)).collect() }
}

fn material(entry: &MaterialEntry, findings: &mut Findings) -> Option<Material> {
    let role = Role::named(&entry.role.as_ref()?.value)?;
    let name = &entry.name.value;
    check_water(entry, role, findings);
    let mut material = Material {
        name: name.clone(),
        place: entry.name.place,
        role,
        density: 0.0,
        absorption: if role.is_aggregate() { value(entry.absorption.as_ref()).unwrap_or(0.0) } else { 0.0 },
        desorption: value(entry.desorption.as_ref()).unwrap_or(0.0),
        moisture: value(entry.moisture.as_ref()),
        mixing_water: mixing_water(entry, role),
        price: 0.0,
        priced: Priced { unit: Unit::number(), state: None, factor: 1.0 },
        carbon: None,
        aspect: aspect(entry, role, findings),
        contents: entry.contents.iter().map(|(word, share)| (word.value.clone(), share.value)).collect(),
        bulk_density: entry.bulk_density.as_ref().map(|density| density.value),
        grading: grading(entry, role, findings),
        constituents: constituents(entry, role, findings),
        bounds: Vec::new(),
        if_used: None,
    };
    let density = entry.density.as_ref()?;
    if role.is_aggregate() && density.value.unit.is_relative_density() && density.value.words.is_empty() {
        findings.push(
            Finding::error(
                density.place,
                format!("the relative density of aggregate `{name}` does not say its state"),
            )
            .note("oven-dry and surface-dry (SSD) relative densities differ by the absorption (ASTM C127, C128)")
            .help("write `2.65 SG SSD` or `2.62 SG oven-dry`"),
        );
        return None;
    }
    material.density = density.value.base / stated_mass(&material, density, "density", findings)?;
    if !(20.0..=23_000.0).contains(&material.density) {
        let unit = &density.value.unit;
        let shown = |density: f64| unit.with_number(&trimmed(unit.from_base(density), 3));
        findings.push(
            Finding::error(
                density.place,
                format!("`density` of material `{name}` is {}", shown(material.density)),
            )
            .note(format!("allowed: {} .. {}", trimmed(unit.from_base(20.0), 3), shown(23_000.0)))
            .help(format!("check the number and its unit: sand has about {}", shown(2650.0))),
        );
        return None;
    }
    let price = entry.price.as_ref()?;
    let factor = per_mass(&material, price, "price", Dimension::PRICE_BY_VOLUME, findings)?;
    material.price = price.value.base * factor;
    material.priced =
        Priced { unit: price.value.unit.clone(), state: State::named(&price.value.words), factor };
    if let Some(carbon) = &entry.carbon {
        let factor = per_mass(&material, carbon, "carbon", Dimension::DENSITY, findings)?;
        material.carbon = Some(carbon.value.base * factor);
    }
    for (key, bounds) in [("amount", &entry.amount), ("dose", &entry.dose), ("share", &entry.share)] {
        if let Some(bounds) = bounds {
            material.bounds.extend(use_bounds(&material, bounds, key, findings));
        }
    }
    material.if_used =
        entry.if_used.as_ref().and_then(|bounds| use_bounds(&material, bounds, "if used", findings));
    if let Some(only) = &material.if_used
        && only.low.is_none_or(|low| low <= 0.0)
    {
        findings.push(
            Finding::error(only.place, format!("`if used` of material `{name}` has no lower end above zero"))
                .note("it says how much is the least worth batching")
                .help("write a range such as `60 .. 250 kg/m3`, or use `amount: at most ...`"),
        );
    }
    Some(material)
}

fn value(share: Option<&Located<f64>>) -> Option<f64> {
    share.map(|share| share.value)
}

fn check_water(entry: &MaterialEntry, role: Role, findings: &mut Findings) {
    let name = &entry.name.value;
    let place = entry.name.place;
    if role.is_lightweight() {
        if entry.absorption.is_none() {
            findings.push(
                Finding::error(place, format!("lightweight aggregate `{name}` has no `absorption`"))
                    .note("it is batched prewetted: dry mass and curing water follow from the absorption")
                    .help("add `absorption: 18 %`, the share of the dry mass at prewetting"),
            );
        } else if entry.desorption.is_none() {
            findings.push(
                Finding::error(
                    place,
                    format!("lightweight aggregate `{name}` has `absorption` without `desorption`"),
                )
                .note("desorption is the share of the absorbed water given to the paste; 0 % counts none")
                .help("add `desorption: 90 %`"),
            );
        }
    }
    if let (Some(desorption), None, false) = (&entry.desorption, &entry.absorption, role.is_lightweight()) {
        findings.push(
            Finding::error(
                desorption.place,
                format!("material `{name}` has `desorption` without `absorption`"),
            )
            .note("desorption is a share of the absorbed water")
            .help("add `absorption: ... %`, or take it out"),
        );
    }
    if !role.is_aggregate() {
        for (key, share) in [("absorption", &entry.absorption), ("moisture", &entry.moisture)] {
            if let Some(share) = share {
                findings.push(
                    Finding::error(share.place, format!("material `{name}` is no aggregate and has `{key}`"))
                        .help("take it out; for liquids use `solids` or `mixing water`"),
                );
            }
        }
    }
    if role.is_admixture() && entry.solids.is_none() && entry.mixing_water.is_none() {
        findings.push(
            Finding::error(place, format!("admixture `{name}` does not say how much of it is water"))
                .note("its water counts as mixing water, its solids do not; 100 % solids for a powder")
                .help("add `solids: 35 %` or `mixing water: 65 %`"),
        );
    }
}

fn mixing_water(entry: &MaterialEntry, role: Role) -> f64 {
    match (role, value(entry.mixing_water.as_ref()), value(entry.solids.as_ref())) {
        (_, Some(share), _) => share,
        (_, None, Some(solids)) => 1.0 - solids,
        (Role::Water, None, None) => 1.0,
        _ => 0.0,
    }
}

fn aspect(entry: &MaterialEntry, role: Role, findings: &mut Findings) -> Option<f64> {
    match (&entry.length, &entry.diameter) {
        (Some(length), Some(diameter)) if role == Role::Fibre => Some(length.value / diameter.value),
        (None, None) => None,
        (Some(one), _) | (None, Some(one)) => {
            let finding = if role == Role::Fibre {
                Finding::error(
                    one.place,
                    format!("fibre `{}` needs both `length` and `diameter`, or neither", entry.name.value),
                )
                .note("the fibre factor is volume times length over diameter")
                .help("add the other one, or take this one out")
            } else {
                Finding::error(
                    one.place,
                    format!("material `{}` is no fibre and has a length or diameter", entry.name.value),
                )
                .help("take it out, or give it `role: fibre`")
            };
            findings.push(finding);
            None
        }
    }
}

fn constituents(entry: &MaterialEntry, role: Role, findings: &mut Findings) -> Vec<(Role, f64)> {
    let Some((first, _)) = entry.constituents.first() else { return Vec::new() };
    let name = &entry.name.value;
    if role != Role::Cement {
        findings.push(
            Finding::error(first.place, format!("material `{name}` is no cement and has `constituents`"))
                .help("take them out, or give it `role: cement`"),
        );
    }
    let mut list = Vec::new();
    for (word, share) in &entry.constituents {
        match Role::named(&word.value) {
            Some(role) => list.push((role, share.value)),
            None => findings.push(
                Finding::error(
                    word.place,
                    format!("unknown constituent `{}` of cement `{name}`", word.value),
                )
                .known("roles", &word.value, crate::statement::ROLES.iter().copied()),
            ),
        }
    }
    let sum: f64 = list.iter().map(|(_, share)| share).sum();
    if 1.0 + 1e-9 < sum {
        findings.push(
            Finding::error(
                first.place,
                format!("the constituents of cement `{name}` add up to {:.1} %", 100.0 * sum),
            )
            .note("allowed: up to 100 %")
            .help("give each as a share of the cement's mass; what is left is clinker and gypsum"),
        );
    }
    list
}

/// What turns a price or carbon figure as written into one per kg of the reference state.
fn per_mass(
    material: &Material,
    value: &Located<Scalar>,
    key: &str,
    by_volume: Dimension,
    findings: &mut Findings,
) -> Option<f64> {
    let mass = stated_mass(material, value, key, findings)?;
    if value.value.unit.dimension != by_volume {
        return Some(mass);
    }
    if material.role.is_aggregate() || material.role == Role::Fibre {
        findings.push(
            Finding::error(value.place, format!("`{key}` of material `{}` is by volume", material.name))
                .note("a bulk volume holds an unknown mass")
                .help("give it by mass"),
        );
        return None;
    }
    Some(1.0 / material.density)
}
