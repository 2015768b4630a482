//! The description of an age at cracking: restraint, ages, strains, stiffness, strength, creep.

use super::courses::{CourseEntry, PointsEntry, course, points};
use super::fields::{Fields, Reading};
use super::keys::{
    COUNTED, CRACKING, CREEP, CREEP_LAWS, CountedFrom, FACES, FIBRES, HYDRATION, ONSET, OVERLAY, RESTRAINT,
    SETTING_TESTS, STRAINS, SettingTest, StrainOf, StressAt, TEMPERATURE, TENSION_TESTS, TensionTest,
};
use super::laws::{BindingEntry, binding};
use super::tree::{Kind, Node};
use super::word::{Located, Word};
use crate::finding::{Finding, Place};
use crate::quantity::{Dimension, Scalar};

/// Strain per degree.
const PER_DEGREE: Dimension = Dimension { temperature: -1, ..Dimension::NONE };

/// The description of an age at cracking.
#[derive(Clone, Debug)]
pub struct CrackingEntry {
    /// Where it stands.
    pub place: Place,
    /// How the strain is held back.
    pub restraint: RestraintEntry,
    /// Age at which restraint begins.
    pub onset: Option<OnsetEntry>,
    /// When drying begins.
    pub drying: DryingEntry,
    /// From when its days are counted.
    pub counted_from: Located<CountedFrom>,
    /// Last age looked at, s.
    pub horizon: Option<Located<f64>>,
    /// Free strains.
    pub strains: Vec<(StrainOf, CourseEntry)>,
    /// A strain of temperature over age, the same for every mix.
    pub temperature: Option<PointsEntry>,
    /// Temperature over age, the same for every mix.
    pub thermal: Option<ThermalEntry>,
    /// Modulus.
    pub modulus: Option<CourseEntry>,
    /// Tensile strength.
    pub tension: Option<CourseEntry>,
    /// How the tensile strength was measured.
    pub tension_test: Option<Located<TensionTest>>,
    /// Growth constant of the cement class.
    pub s: Option<BindingEntry>,
    /// Growth with hydration in place of it.
    pub hydration: Option<HydrationEntry>,
    /// Power of the age factor for the modulus, and for the tensile strength.
    pub powers: [Option<Located<f64>>; 2],
    /// Creep.
    pub creep: Option<CreepEntry>,
    /// Share of the tensile strength at which it cracks.
    pub share: Option<BindingEntry>,
    /// Volume, gain and scale of fibres.
    pub fibres: [Option<BindingEntry>; 3],
    /// Scatter of the stress, and of the strength: coefficients of variation.
    pub scatter: [Option<Located<f64>>; 2],
}

/// How the free strain is held back.
#[derive(Clone, Debug)]
pub enum RestraintEntry {
    /// A degree.
    Degree(BindingEntry),
    /// A ring, and which of its stresses meets the strength: `inner face` or `mean`.
    Ring(RingEntry, Option<Located<StressAt>>),
    /// A layer on a base: modulus of the base, thickness of the base, thickness of the layer.
    Overlay(Box<[Option<Located<Scalar>>; 3]>),
}

/// A ring.
#[derive(Clone, Debug)]
pub enum RingEntry {
    /// A standard ring by its name.
    Standard(Word),
    /// By its three radii.
    Radii(Located<Vec<Located<Scalar>>>),
}

/// When drying begins.
#[derive(Clone, Debug)]
pub enum DryingEntry {
    /// At this age, s.
    At(Located<f64>),
    /// Never.
    Never(Place),
}

/// The age at which restraint begins.
#[derive(Clone, Debug)]
pub struct OnsetEntry {
    /// The age, s.
    pub time: Located<f64>,
    /// The test of a setting time; none for an age that is only stated.
    pub test: Option<Located<SettingTest>>,
}

/// Creep.
#[derive(Clone, Debug)]
pub struct CreepEntry {
    /// Where it stands.
    pub place: Place,
    /// Final coefficient.
    pub last: Option<BindingEntry>,
    /// The law that it grows by.
    pub law: Option<Word>,
    /// Notional size (m), humidity (share), mean strength (Pa) and exponent of the cement class, where the law needs them.
    pub shape: [Option<Located<f64>>; 4],
}

/// Growth with hydration.
#[derive(Clone, Debug)]
pub struct HydrationEntry {
    /// Where it stands.
    pub place: Place,
    /// Time parameter, s.
    pub time: Option<Located<f64>>,
    /// Slope parameter.
    pub slope: Option<Located<f64>>,
    /// Share of the final degree of hydration at which stiffness begins.
    pub setting: Option<Located<f64>>,
}

/// Temperature of the concrete over age.
#[derive(Clone, Debug)]
pub struct ThermalEntry {
    /// Temperatures by age, K.
    pub history: PointsEntry,
    /// Strain per degree, 1/K.
    pub expansion: Option<Located<f64>>,
    /// Adiabatic rise of the mix.
    pub rise: Option<BindingEntry>,
    /// Adiabatic rise of the concrete whose temperatures the history holds, K.
    pub rise_of_history: Option<Located<f64>>,
    /// Apparent activation energy over the gas constant, K.
    pub activation: Option<Located<f64>>,
}

fn time(fields: &mut Fields, key: &str, reading: &mut Reading) -> Option<Located<f64>> {
    base(fields, key, Dimension::TIME, reading)
}

fn base(fields: &mut Fields, key: &str, dimension: Dimension, reading: &mut Reading) -> Option<Located<f64>> {
    let value = fields.scalar(key, reading, &[dimension])?;
    Some(Located { value: value.value.base, place: value.place })
}

fn bound(fields: &mut Fields, key: &str, reading: &mut Reading) -> Option<BindingEntry> {
    let owner = fields.named(key);
    fields.take(key).and_then(|node| binding(node, &owner, reading))
}

/// Reads `cracking`.
pub fn cracking(node: Node, owner: &str, reading: &mut Reading) -> Option<CrackingEntry> {
    let place = node.shown();
    let owner = format!("`cracking` of {owner}");
    let mut fields = reading.fields(node, &owner, CRACKING)?;
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
    for (key, what) in STRAINS {
        if let Some(node) = fields.take(key) {
            let entry = course(node, &format!("`{key}` of {owner}"), reading)?;
            strains.push((what, entry));
        }
    }
    let strain = fields.named("temperature strain");
    let temperature = fields
        .take("temperature strain")
        .and_then(|node| points(node, &strain, Dimension::NONE, "80 microstrain", reading));
    let onset = fields.take("onset").and_then(|node| onset(node, &owner, reading));
    let creep = fields.take("creep").and_then(|node| creep(node, &owner, reading));
    let hydration = fields.take("hydration").and_then(|node| hydration(node, &owner, reading));
    let thermal = fields.take("temperature").and_then(|node| thermal(node, &owner, reading));
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
        onset,
        horizon: time(&mut fields, "horizon", reading),
        strains,
        temperature,
        thermal,
        modulus,
        tension,
        tension_test: fields.meaning("tensile strength by", reading, &TENSION_TESTS),
        s: bound(&mut fields, "s", reading),
        powers: ["modulus power", "tension power"].map(|key| fields.share(key, reading, 0.0, 2.0)),
        hydration,
        creep,
        share: bound(&mut fields, "share", reading),
        fibres,
        scatter: ["scatter", "strength scatter"].map(|key| fields.percentage(key, reading, 0.0, 0.9)),
        counted_from: fields.meaning("counted from", reading, &COUNTED)?,
        restraint: restraint?,
        drying: drying?,
    })
}

fn onset(node: Node, owner: &str, reading: &mut Reading) -> Option<OnsetEntry> {
    let owner = format!("`onset` of {owner}");
    let Kind::Map(_) = node.kind else {
        let value = reading.scalar(&node, &owner, &[Dimension::TIME])?;
        return Some(OnsetEntry {
            time: Located { value: value.value.base, place: value.place },
            test: None,
        });
    };
    let mut fields = reading.fields(node, &owner, ONSET)?;
    let test = fields.meaning("test", reading, &SETTING_TESTS);
    Some(OnsetEntry { time: time(&mut fields, "setting time", reading)?, test: Some(test?) })
}

/// A final coefficient alone, or a map that holds it and its law.
fn creep(node: Node, owner: &str, reading: &mut Reading) -> Option<CreepEntry> {
    let owner = format!("`creep` of {owner}");
    let place = node.shown();
    let is_binding = match &node.kind {
        Kind::Map(entries) => {
            entries.iter().any(|(key, _)| matches!(&key.kind, Kind::Scalar(word) if word == "is"))
        }
        _ => true,
    };
    if is_binding {
        let last = binding(node, &owner, reading)?;
        return Some(CreepEntry { place, last: Some(last), law: None, shape: [const { None }; 4] });
    }
    let mut fields = reading.fields(node, &owner, CREEP)?;
    Some(CreepEntry {
        place,
        last: bound(&mut fields, "final", reading),
        law: fields.one_of("law", reading, CREEP_LAWS),
        shape: [
            base(&mut fields, "notional size", Dimension::LENGTH, reading),
            fields.percentage("humidity", reading, 0.0, 1.0),
            base(&mut fields, "mean strength", Dimension::STRESS, reading),
            fields.share("cement exponent", reading, -1.0, 1.0),
        ],
    })
}

fn hydration(node: Node, owner: &str, reading: &mut Reading) -> Option<HydrationEntry> {
    let place = node.shown();
    let mut fields = reading.fields(node, &format!("`hydration` of {owner}"), HYDRATION)?;
    Some(HydrationEntry {
        place,
        time: time(&mut fields, "time", reading),
        slope: fields.share("slope", reading, 0.2, 5.0),
        setting: fields.percentage("setting degree", reading, 0.0, 0.9),
    })
}

fn thermal(node: Node, owner: &str, reading: &mut Reading) -> Option<ThermalEntry> {
    let mut fields = reading.fields(node, &format!("`temperature` of {owner}"), TEMPERATURE)?;
    let history = fields.named("history");
    let node = fields.take("history")?;
    Some(ThermalEntry {
        history: points(node, &history, Dimension::TEMPERATURE, "20 degC", reading)?,
        expansion: base(&mut fields, "expansion", PER_DEGREE, reading),
        rise: bound(&mut fields, "rise", reading),
        rise_of_history: base(&mut fields, "rise of history", Dimension::TEMPERATURE, reading),
        activation: base(&mut fields, "activation", Dimension::TEMPERATURE, reading),
    })
}

fn restraint(node: Node, owner: &str, reading: &mut Reading) -> Option<RestraintEntry> {
    let owner = format!("`restraint` of {owner}");
    let Kind::Map(_) = node.kind else { return binding(node, &owner, reading).map(RestraintEntry::Degree) };
    let place = node.shown();
    let mut fields = reading.fields(node, &owner, RESTRAINT)?;
    let kinds = ["degree", "ring", "overlay"];
    let face = fields.meaning("stress at", reading, &FACES);
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
        "ring" => ring(&node, &inner, reading).map(|ring| RestraintEntry::Ring(ring, face)),
        _ => {
            let mut fields = reading.fields(node, &inner, OVERLAY)?;
            let base_modulus = fields.scalar("base modulus", reading, &[Dimension::STRESS]);
            let [base, layer] =
                ["base thickness", "thickness"].map(|key| fields.scalar(key, reading, &[Dimension::LENGTH]));
            Some(RestraintEntry::Overlay(Box::new([base_modulus, base, layer])))
        }
    }
}

fn ring(node: &Node, owner: &str, reading: &mut Reading) -> Option<RingEntry> {
    if let Kind::List(items) = &node.kind {
        let radii: Vec<_> =
            items.iter().filter_map(|item| reading.scalar(item, owner, &[Dimension::LENGTH])).collect();
        return Some(RingEntry::Radii(Located { value: radii, place: node.place }));
    }
    reading.word(node, owner).map(RingEntry::Standard)
}
