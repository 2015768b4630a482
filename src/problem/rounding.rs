//! Amounts in whole steps: which material by how much, and what takes up what they leave of the volume.
//!
//! What enters: `rounding` as written, the shelf. What leaves: a [`Rounding`] whose steps are shares of m3 or of a base. It
//! rounds nothing.

use super::decision::Step;
use super::doses::base_named;
use crate::finding::{Finding, Findings, Place};
use crate::listed::Id;
use crate::material::{Catalogue, Material};
use crate::quantity::{Dimension, trimmed};
use crate::statement::{Pack, RoundingEntry, StepEntry};

/// What takes up what whole steps leave of the volume.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Filling {
    /// A material without a step.
    Unrounded(Id<Material>),
    /// Nothing: the volume made may be so far from the volume weighed for, share.
    Band(f64),
}

/// The step of one material.
#[derive(Clone, Debug, PartialEq)]
pub struct PlantStep {
    /// The step.
    pub step: Step,
    /// How the material comes.
    pub pack: Pack,
    /// Its size as its author wrote it.
    pub words: String,
    /// Where it stands.
    pub place: Place,
}

/// The steps of a plant.
#[derive(Clone, Debug, PartialEq)]
pub struct Rounding {
    /// Where it stands.
    pub place: Place,
    /// The steps.
    pub steps: Vec<PlantStep>,
    /// The load that steps by mass are for, m3.
    pub load: f64,
    /// What takes up the rest of the volume.
    pub filling: Filling,
}

/// Yield band where nothing is said, share.
const BAND: f64 = 0.002;

/// Resolves `rounding`.
pub fn rounding(entry: &RoundingEntry, shelf: &Catalogue, findings: &mut Findings) -> Option<Rounding> {
    let before = findings.len();
    let load = entry.load.as_ref().map_or(1.0, |load| load.value.base);
    if let Some(written) = entry.load.as_ref().filter(|_| load <= 0.0) {
        findings.push(
            Finding::error(written.place, "`load` of `rounding` is not above zero").help("write `7.5 m3`"),
        );
    }
    let unrounded = entry.unrounded.as_ref().and_then(|word| {
        let found = shelf.find(&word.value);
        if found.is_none() {
            findings.push(
                Finding::error(word.place, format!("unknown material `{}` in `unrounded`", word.value))
                    .known("materials", &word.value, shelf.names()),
            );
        }
        found
    });
    let mut steps = Vec::new();
    for StepEntry { material: word, pack, size: value } in &entry.steps {
        let Some(material) = shelf.find(&word.value) else {
            let message = format!("unknown material `{}` in `steps`", word.value);
            findings.push(Finding::error(word.place, message).known("materials", &word.value, shelf.names()));
            continue;
        };
        if Some(material) == unrounded {
            findings.push(
                Finding::error(word.place, format!("`{}` has a step and stays unrounded", word.value))
                    .note("it has to fill what whole steps of the others leave of the volume")
                    .help("take its step out, leave another one unrounded, or none: a yield band takes its place then"),
            );
        }
        if *pack == Pack::Bags && entry.load.is_none() {
            findings.push(
                Finding::error(
                    value.place,
                    format!("`{}` comes in whole bags, and no load is named", word.value),
                )
                .note("how many bags go into one m3 of concrete depends on the volume they are emptied into")
                .help("add `load: 7.5 m3` to `rounding`"),
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
        let unit = &value.value.unit;
        let number = unit.with_number(&trimmed(unit.from_base(value.value.base), 6));
        let words = format!("{number} {}", value.value.words).trim_end().to_owned();
        steps.push(PlantStep { step, pack: *pack, words, place: value.place });
    }
    (findings.len() == before).then_some(())?;
    let band = entry.band.as_ref().map_or(BAND, |band| band.value);
    let filling = unrounded.map_or(Filling::Band(band), Filling::Unrounded);
    Some(Rounding { place: entry.place, steps, load, filling })
}
