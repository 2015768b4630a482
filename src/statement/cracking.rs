//! The description of an age at cracking: restraint, ages, strains, stiffness, strength, creep.

use super::entry::{Located, Word};
use super::fields::{Fields, Reading};
use super::keys::{COUNTED, COURSE, CRACKING, FIBRES, OVERLAY, RESTRAINT};
use super::laws::{BindingEntry, LawEntry, binding, law};
use super::tree::{Kind, Node};
use crate::finding::{Finding, Place};
use crate::quantity::{Dimension, Scalar};

/// The description of an age at cracking.
#[derive(Clone, Debug)]
pub struct CrackingEntry {
    /// Where it stands.
    pub place: Place,
    /// How the strain is held back.
    pub restraint: RestraintEntry,
    /// Age at which restraint begins, s.
    pub onset: Option<Located<f64>>,
    /// When drying begins.
    pub drying: DryingEntry,
    /// `casting` or `drying`.
    pub counted_from: Word,
    /// Last age looked at, s.
    pub horizon: Option<Located<f64>>,
    /// Free strains by their keys: `drying shrinkage`, `autogenous shrinkage`, `expansion`.
    pub strains: Vec<(&'static str, CourseEntry)>,
    /// A strain of temperature over age, the same for every mix.
    pub temperature: Option<TemperatureEntry>,
    /// Modulus.
    pub modulus: Option<CourseEntry>,
    /// Tensile strength.
    pub tension: Option<CourseEntry>,
    /// Growth constant of the cement class.
    pub s: Option<BindingEntry>,
    /// Power of the age factor for the modulus, and for the tensile strength.
    pub powers: [Option<Located<f64>>; 2],
    /// Final creep coefficient.
    pub creep: Option<BindingEntry>,
    /// Share of the tensile strength at which it cracks.
    pub share: Option<BindingEntry>,
    /// Volume, gain and scale of fibres.
    pub fibres: [Option<BindingEntry>; 3],
    /// Scatter of the test, share of the stress.
    pub scatter: Option<Located<f64>>,
}

/// How the free strain is held back.
#[derive(Clone, Debug)]
pub enum RestraintEntry {
    /// A degree.
    Degree(BindingEntry),
    /// A standard ring by its name.
    StandardRing(Word),
    /// A ring by its three radii.
    Ring(Located<Vec<Located<Scalar>>>),
    /// A layer on a base: modulus of the base, thickness of the base, thickness of the layer.
    Overlay([Option<Located<Scalar>>; 3]),
}

/// When drying begins.
#[derive(Clone, Debug)]
pub enum DryingEntry {
    /// At this age, s.
    At(Located<f64>),
    /// Never.
    Never(Place),
}

/// Something that depends on age.
#[derive(Clone, Debug)]
pub struct CourseEntry {
    /// Where it stands.
    pub place: Place,
    /// What it is bound to.
    pub kind: CourseKind,
}

/// What a course is bound to.
#[derive(Clone, Debug)]
pub enum CourseKind {
    /// An amount that grows.
    Grown {
        /// The amount.
        amount: Box<BindingEntry>,
        /// Days since the start at which the amount is stated, s; the final amount when absent.
        at: Option<Located<f64>>,
        /// Time in which half of the final amount comes, s.
        half_time: Option<Located<f64>>,
        /// Rate per root of a day.
        rate: Option<Located<f64>>,
    },
    /// A law with an input bound to `age`.
    Law(LawEntry),
}

/// A strain of temperature over age.
#[derive(Clone, Debug)]
pub struct TemperatureEntry {
    /// Where it stands.
    pub place: Place,
    /// Ages (s since casting) with strains (a number, shortening positive), in file order.
    pub points: Vec<(Located<f64>, Located<f64>)>,
}

/// Reads `cracking`.
pub fn cracking(node: Node, owner: &str, reading: &mut Reading) -> Option<CrackingEntry> {
    let place = node.shown();
    let owner = format!("`cracking` of {owner}");
    let mut fields = reading.fields(node, &owner, CRACKING)?;
    let time = |fields: &mut Fields, key: &str, reading: &mut Reading| {
        let value = fields.scalar(key, reading, &[Dimension::TIME])?;
        Some(Located { value: value.value.base, place: value.place })
    };
    let restraint = fields.take("restraint").and_then(|node| restraint(node, &owner, reading));
    let drying = fields.take("drying from").and_then(|node| {
        let owner = format!("`drying from` of {owner}");
        if matches!(&node.kind, Kind::Scalar(text) if text == "never") {
            return Some(DryingEntry::Never(node.place));
        }
        let value = reading.scalar(&node, &owner, &[Dimension::TIME])?;
        Some(DryingEntry::At(Located { value: value.value.base, place: value.place }))
    });
    let mut strains = Vec::new();
    for key in ["drying shrinkage", "autogenous shrinkage", "expansion"] {
        if let Some(node) = fields.take(key) {
            let entry = course(node, &format!("`{key}` of {owner}"), reading)?;
            strains.push((key, entry));
        }
    }
    let temperature = fields.take("temperature strain").and_then(|node| temperature(node, &owner, reading));
    let bound = |fields: &mut Fields, key: &str, reading: &mut Reading| {
        let owner = fields.named(key);
        fields.take(key).and_then(|node| binding(node, &owner, reading))
    };
    let fibres = match fields.take("fibres") {
        Some(node) => {
            let mut inner = reading.fields(node, &format!("`fibres` of {owner}"), FIBRES)?;
            [
                bound(&mut inner, "volume", reading),
                bound(&mut inner, "gain", reading),
                bound(&mut inner, "scale", reading),
            ]
        }
        None => [None, None, None],
    };
    let courses = ["modulus", "tensile strength"].map(|key| {
        let owner = fields.named(key);
        fields.take(key).and_then(|node| course(node, &owner, reading))
    });
    let [modulus, tension] = courses;
    Some(CrackingEntry {
        place,
        onset: time(&mut fields, "onset", reading),
        horizon: time(&mut fields, "horizon", reading),
        strains,
        temperature,
        modulus,
        tension,
        s: bound(&mut fields, "s", reading),
        powers: ["modulus power", "tension power"].map(|key| fields.share(key, reading, 0.0, 2.0)),
        creep: bound(&mut fields, "creep", reading),
        share: bound(&mut fields, "share", reading),
        fibres,
        scatter: fields.percentage("scatter", reading, 0.0, 0.9),
        counted_from: fields.one_of("counted from", reading, COUNTED)?,
        restraint: restraint?,
        drying: drying?,
    })
}

/// A map from ages to strains.
fn temperature(node: Node, owner: &str, reading: &mut Reading) -> Option<TemperatureEntry> {
    let owner = format!("`temperature strain` of {owner}");
    let place = node.shown();
    let Kind::Map(entries) = node.kind else {
        reading.push(
            Finding::error(place, format!("{owner} is {}", node.kind.described()))
                .note("a map from ages to strains is needed, shortening positive")
                .help("write `{1 d: 0 microstrain, 3 d: 120 microstrain}`"),
        );
        return None;
    };
    let located = |value: Located<Scalar>| Located { value: value.value.base, place: value.place };
    let count = entries.len();
    let points: Vec<_> = entries
        .into_iter()
        .filter_map(|(age, strain)| {
            let age = reading.scalar(&age, &format!("an age in {owner}"), &[Dimension::TIME]);
            let strain = reading.scalar(&strain, &format!("a strain in {owner}"), &[Dimension::NONE]);
            Some((located(age?), located(strain?)))
        })
        .collect();
    (points.len() == count).then_some(TemperatureEntry { place, points })
}

fn restraint(node: Node, owner: &str, reading: &mut Reading) -> Option<RestraintEntry> {
    let owner = format!("`restraint` of {owner}");
    let Kind::Map(_) = node.kind else { return binding(node, &owner, reading).map(RestraintEntry::Degree) };
    let place = node.shown();
    let mut fields = reading.fields(node, &owner, RESTRAINT)?;
    let kinds = ["degree", "ring", "overlay"];
    let given: Vec<&str> = kinds.into_iter().filter(|key| fields.has(key)).collect();
    let [one] = given.as_slice() else {
        reading.push(
            Finding::error(place, format!("{owner} is described in {} ways", given.len()))
                .note("allowed: one of `degree`, `ring` and `overlay`"),
        );
        return None;
    };
    let inner = fields.named(one);
    let node = fields.take(one)?;
    match *one {
        "degree" => binding(node, &inner, reading).map(RestraintEntry::Degree),
        "ring" => ring(&node, &inner, reading),
        _ => {
            let mut fields = reading.fields(node, &inner, OVERLAY)?;
            let base_modulus = fields.scalar("base modulus", reading, &[Dimension::STRESS]);
            let [base, layer] =
                ["base thickness", "thickness"].map(|key| fields.scalar(key, reading, &[Dimension::LENGTH]));
            Some(RestraintEntry::Overlay([base_modulus, base, layer]))
        }
    }
}

fn ring(node: &Node, owner: &str, reading: &mut Reading) -> Option<RestraintEntry> {
    if let Kind::List(items) = &node.kind {
        let radii: Vec<_> =
            items.iter().filter_map(|item| reading.scalar(item, owner, &[Dimension::LENGTH])).collect();
        return Some(RestraintEntry::Ring(Located { value: radii, place: node.place }));
    }
    reading.word(node, owner).map(RestraintEntry::StandardRing)
}

/// A value or name that grows in the usual way, or a map.
fn course(node: Node, owner: &str, reading: &mut Reading) -> Option<CourseEntry> {
    let place = node.shown();
    let Kind::Map(_) = node.kind else {
        let amount = binding(node, owner, reading)?;
        return Some(CourseEntry {
            place,
            kind: CourseKind::Grown { amount: Box::new(amount), at: None, half_time: None, rate: None },
        });
    };
    let mut fields = reading.fields(node, owner, COURSE)?;
    let inputs = fields.take("inputs");
    if let Some(name) = fields.word("law", reading) {
        for key in ["amount", "at", "half time", "rate"] {
            if let Some(place) = fields.place_of(key) {
                reading.push(
                    Finding::error(place, format!("{owner} follows a law and has `{key}`"))
                        .help("keep the law, or the amount and its growth"),
                );
            }
        }
        return Some(CourseEntry { place, kind: CourseKind::Law(law(name, inputs, owner, reading)) });
    }
    let amount_owner = fields.named("amount");
    let Some(amount) = fields.take("amount").and_then(|node| binding(node, &amount_owner, reading)) else {
        reading.push(
            Finding::error(place, format!("{owner} has neither `amount` nor `law`"))
                .note("an amount grows with `half time` or `rate`; a law has an input bound to `age`"),
        );
        return None;
    };
    let time = |fields: &mut Fields, key: &str, reading: &mut Reading| {
        let value = fields.scalar(key, reading, &[Dimension::TIME])?;
        Some(Located { value: value.value.base, place: value.place })
    };
    Some(CourseEntry {
        place,
        kind: CourseKind::Grown {
            amount: Box::new(amount),
            at: time(&mut fields, "at", reading),
            half_time: time(&mut fields, "half time", reading),
            rate: fields.share("rate", reading, 1e-4, 100.0),
        },
    })
}
