//! Bounds on the use of a material, with its key: amounts, doses, shares.
//!
//! What enters: bounds with the words behind their unit, and the material they stand at. What leaves: what is bounded, and
//! its ends in base units, or findings. What a share is taken of is not looked up here.

use super::catalogue::{Base, Material, Use, UseBounds};
use super::stated::stated_mass;
use crate::finding::{Finding, Findings, Place};
use crate::quantity::{Dimension, Scalar, Unit, trimmed};
use crate::statement::{Bounds, Located};

/// A liquid dosed by ounces of weight: those who write it mostly mean fluid ounces.
fn ounces(material: &Material, unit: &Unit, key: &str, place: Place) -> Findings {
    let mut findings = Findings::default();
    if material.role.is_liquid() && unit.text.split('/').any(|part| part.trim() == "oz") {
        let name = &material.name;
        let weighs = material.density * Unit::known("fl oz").factor / Unit::known("oz").factor;
        findings.push(
            Finding::warning(
                place,
                format!("`{key}` of material `{name}` is in ounces of weight, `{}`", unit.text),
            )
            .note(format!("a fluid ounce of it weighs {} oz", trimmed(weighs, 3)))
            .help(format!("write `{}` if fluid ounces are meant", unit.text.replace("oz", "fl oz"))),
        );
    }
    findings
}

/// Bounds under a key of a material.
pub fn use_bounds(
    material: &Material,
    bounds: &Located<Bounds>,
    key: &str,
    findings: &mut Findings,
) -> Option<UseBounds> {
    let any = bounds.value.any()?;
    let name = &material.name;
    let place = bounds.place;
    let whole = Located { value: any.clone(), place };
    let unit = any.unit.clone();
    let (by, factor) = match any.words.strip_prefix("of ") {
        Some(of) if key == "share" => (Use::Share(of.trim().to_owned()), 1.0),
        Some(of) => {
            if let Some(base) = Base::named(of.trim()) {
                findings.extend(ounces(material, &unit, key, place));
                let factor = if unit.dimension == Dimension::VOLUME_BY_MASS { material.density } else { 1.0 };
                (Use::Dose(base), factor)
            } else if key == "if used" && unit.dimension == Dimension::NONE {
                (Use::Share(of.trim().to_owned()), 1.0)
            } else {
                findings.push(
                    Finding::error(place, format!("unknown base `{of}` in `{key}` of material `{name}`"))
                        .known("bases", of, ["binder", "cement", "powder"]),
                );
                return None;
            }
        }
        None if unit.dimension == Dimension::DENSITY => {
            (Use::Amount, 1.0 / amount_state(material, &whole, key, findings)?)
        }
        None if key != "dose" && key != "share" && any.is_volume_by_volume() && material.role.is_liquid() => {
            (Use::Amount, material.density)
        }
        None if any.is_volume_by_volume() => {
            findings.push(
                Finding::error(place, format!("`{key}` of material `{name}` is a volume"))
                    .note(
                        "water and liquid admixtures may be given by volume; a bulk volume holds an unknown mass",
                    )
                    .help("give it by mass: `kg/m3` or `lb/yd3`"),
            );
            return None;
        }
        None => {
            findings.push(
                Finding::error(place, format!("`{key}` of material `{name}` does not say of what")).help(
                    if key == "share" {
                        "write `of sand volume` behind it"
                    } else {
                        "write `of binder`, `of cement` or `of powder` behind it"
                    },
                ),
            );
            return None;
        }
    };
    let ends = |end: &Option<Scalar>| end.as_ref().map(|scalar| scalar.base * factor);
    let (low, high) = (ends(&bounds.value.low), ends(&bounds.value.high));
    if low.is_some_and(|low| low < 0.0) || high.is_some_and(|high| high < 0.0) {
        findings.push(
            Finding::error(place, format!("`{key}` of material `{name}` is negative"))
                .note("allowed: zero or any positive value"),
        );
        return None;
    }
    Some(UseBounds { by, low, high, unit, place })
}

/// Amounts default to the reference state, also for lightweight aggregates: the report's own column.
fn amount_state(
    material: &Material,
    value: &Located<Scalar>,
    key: &str,
    findings: &mut Findings,
) -> Option<f64> {
    if value.value.words.is_empty() { Some(1.0) } else { stated_mass(material, value, key, findings) }
}
