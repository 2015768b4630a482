//! Fixed inputs of one law that cannot hold together, each sound by itself: radii of a ring, and ages that make nothing
//! happen.
//!
//! What enters: a law and what its inputs are bound to. What leaves: findings. Inputs that follow from the mix are not
//! looked at: their regions are.

use super::formula::Slot;
use super::law::Law;
use crate::finding::{Finding, Findings, Place};
use crate::quantity::{Unit, trimmed};
use crate::statement::LawEntry;

/// Radii from the inside to the outside, each larger than the one before it.
const RADII: &[&str] = &["steel inner radius", "steel outer radius", "concrete outer radius"];
/// Ages after which something begins that the age itself must be beyond.
const BEGINNINGS: &[(&str, &str)] =
    &[("drying age", "nothing has dried"), ("loading age", "nothing has crept")];

/// Tells what cannot be; whether the law may be used all the same.
pub fn hold_together(
    entry: &LawEntry,
    law: Law,
    slots: &[Slot],
    owner: &str,
    findings: &mut Findings,
) -> bool {
    let inputs = law.card().inputs;
    let fixed = |name: &str| {
        let at = inputs.iter().position(|input| input.name == name)?;
        match slots.get(at) {
            Some(Slot::Fixed(value)) => Some((*value, Unit::known(inputs[at].unit))),
            _ => None,
        }
    };
    let place = |name: &str| -> Place {
        entry
            .inputs
            .iter()
            .find(|given| given.name.value == name)
            .map_or(entry.place, |given| given.name.place)
    };
    let shown = |(value, unit): &(f64, Unit)| unit.with_number(&trimmed(*value, 6));
    let mut sound = true;
    for pair in RADII.windows(2) {
        let (Some(inner), Some(outer)) = (fixed(pair[0]), fixed(pair[1])) else { continue };
        if inner.0 < outer.0 {
            continue;
        }
        sound = false;
        findings.push(
            Finding::error(
                place(pair[1]),
                format!(
                    "input `{}` of {owner} is {}, and `{}` is {}",
                    pair[1],
                    shown(&outer),
                    pair[0],
                    shown(&inner)
                ),
            )
            .note("allowed: radii that grow outwards: steel inside, steel outside, concrete outside")
            .help(format!("write a `{}` above {}", pair[1], shown(&inner))),
        );
    }
    if let (Law::B4Autogenous, Some(base)) = (law, fixed("base shrinkage"))
        && base.0 < 0.0
    {
        findings.push(
            Finding::warning(
                entry.cement.as_ref().map_or_else(|| place("base shrinkage"), |word| word.place),
                format!("law `{}` of {owner} gives swelling with this cement", law.card().name),
            )
            .note(format!(
                "its base shrinkage is {}: the concrete grows, and nothing cracks by it",
                shown(&base)
            ))
            .help("take an ordinary cement, or the shrinkage of own tests"),
        );
    }
    for (name, outcome) in BEGINNINGS {
        let (Some(age), Some(beginning)) = (fixed("age"), fixed(name)) else { continue };
        if age.0 <= beginning.0 {
            findings.push(
                Finding::warning(
                    place("age"),
                    format!(
                        "input `age` of {owner} is {}, and `{name}` is {}",
                        shown(&age),
                        shown(&beginning)
                    ),
                )
                .note(format!("{outcome} by then: the law gives zero"))
                .help(format!("write an `age` above {}", shown(&beginning))),
            );
        }
    }
    sound
}
