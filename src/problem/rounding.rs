//! Amounts in whole steps: which material by how much, and which one fills the volume.
//!
//! What enters: `rounding` as written, the shelf. What leaves: a [`Rounding`] whose steps are shares of m3 or of a base. It
//! rounds nothing.

use super::decision::Step;
use super::doses::base_named;
use crate::finding::{Finding, Findings, Place};
use crate::material::Catalogue;
use crate::quantity::Dimension;
use crate::statement::RoundingEntry;

/// The steps of a plant.
#[derive(Clone, Debug, PartialEq)]
pub struct Rounding {
    /// Where it stands.
    pub place: Place,
    /// The steps, each with its place.
    pub steps: Vec<(Step, Place)>,
    /// The load that steps by mass are for, m3.
    pub load: f64,
    /// The material without a step.
    pub unrounded: usize,
}

/// Resolves `rounding`.
pub fn rounding(entry: &RoundingEntry, shelf: &Catalogue, findings: &mut Findings) -> Option<Rounding> {
    let before = findings.len();
    let load = entry.load.as_ref().map_or(1.0, |load| load.value.base);
    if let Some(written) = entry.load.as_ref().filter(|_| load <= 0.0) {
        findings.push(
            Finding::error(written.place, "`load` of `rounding` is not above zero").help("write `7.5 m3`"),
        );
    }
    let unrounded = shelf.find(&entry.unrounded.value);
    if unrounded.is_none() {
        findings.push(
            Finding::error(
                entry.unrounded.place,
                format!("unknown material `{}` in `unrounded`", entry.unrounded.value),
            )
            .known("materials", &entry.unrounded.value, shelf.names()),
        );
    }
    let mut steps = Vec::new();
    for (word, value) in &entry.steps {
        let Some(material) = shelf.find(&word.value) else {
            let message = format!("unknown material `{}` in `steps`", word.value);
            findings.push(Finding::error(word.place, message).known("materials", &word.value, shelf.names()));
            continue;
        };
        if Some(material) == unrounded {
            findings.push(
                Finding::error(word.place, format!("`{}` has a step and stays unrounded", word.value))
                    .note("one material has to fill what whole steps of the others leave of the volume")
                    .help("take its step out, or leave another one unrounded"),
            );
        }
        if value.value.base <= 0.0 {
            findings.push(
                Finding::error(value.place, format!("the step of `{}` is not above zero", word.value))
                    .help("give a mass such as `5 kg`, or take it out"),
            );
            continue;
        }
        let of = value.value.words.strip_prefix("of ").map(str::trim);
        let owner = format!("the step of `{}`", word.value);
        let step = match (of, value.value.unit.dimension) {
            (None, Dimension::MASS) => Step { material, base: None, size: value.value.base / load },
            (Some(of), Dimension::NONE) => Step {
                material,
                base: Some(base_named(of, value.place, &owner, findings)?),
                size: value.value.base,
            },
            (Some(of), Dimension::VOLUME_BY_MASS) => {
                let size = value.value.base * shelf.materials[material].density;
                Step { material, base: Some(base_named(of, value.place, &owner, findings)?), size }
            }
            _ => {
                findings.push(
                    Finding::error(value.place, format!("{owner} is neither a mass nor a dose"))
                        .note("a dose names its base: `0.1 mL/kg of binder`, `0.05 % of cement`")
                        .help("write a mass such as `5 kg`"),
                );
                continue;
            }
        };
        steps.push((step, value.place));
    }
    (findings.len() == before).then_some(())?;
    Some(Rounding { place: entry.place, steps, load, unrounded: unrounded? })
}
