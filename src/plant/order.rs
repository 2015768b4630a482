//! A batch order for one problem: its names resolved, its volume split into loads.
//!
//! What enters: a problem, the mix it is for, an order as written. What leaves: an [`Order`], or all findings. It does
//! not know what is weighed.

use super::loads::{Load, loads};
use crate::finding::{Finding, Findings, Place};
use crate::listed::Id;
use crate::material::Material;
use crate::problem::{BatchingRules, Problem};
use crate::quantity::{Scalar, trimmed};
use crate::standard::batching::{WASH_SOLIDS_DENSITY, solids_of};
use crate::statement::{Located, MeasuredLoadEntry, OrderEntry, WashWaterEntry, Word};

/// Where the moisture of an aggregate comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// The order.
    Order(Place),
    /// The statement.
    Statement,
    /// Lightweight aggregate without a measured moisture, taken as prewetted at its stated absorption.
    Assumed,
}

/// Total water of one aggregate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moisture {
    /// kg per kg of its oven-dry mass.
    pub total: f64,
    /// Where it comes from.
    pub source: Source,
}

/// Wash water per m3 of concrete.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WashWater {
    /// Water in it, kg.
    pub water: f64,
    /// Solids in it, kg.
    pub solids: f64,
    /// Where it stands.
    pub place: Place,
}

/// What was measured on a load.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredLoad {
    /// Fresh density, kg/m3.
    pub density: f64,
    /// Volume ordered, m3.
    pub volume: f64,
    /// Masses really batched by name, kg; empty for those of the sheet.
    pub batched: Vec<(String, f64)>,
    /// Air, share of the volume.
    pub air: Option<f64>,
}

/// Where the order names water.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WaterPlaces {
    /// Ice.
    pub ice: Option<Place>,
    /// Wash water.
    pub wash: Option<Place>,
    /// Water in the drum.
    pub drum: Option<Place>,
    /// Water held back.
    pub held_back: Option<Place>,
}

/// A checked order.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// Title.
    pub title: Option<String>,
    /// Where the order begins.
    pub place: Place,
    /// Whose rules hold.
    pub rules: BatchingRules,
    /// Volume of all loads, m3.
    pub volume: f64,
    /// The loads in order.
    pub loads: Vec<Load>,
    /// Volume of the fullest load allowed, m3; infinite where no mixer or truck is named.
    pub capacity: f64,
    /// Moisture by material: of the aggregates in the mix.
    pub moistures: Vec<Option<Moisture>>,
    /// Design water held back, kg per m3.
    pub held_back: f64,
    /// Ice, kg per m3.
    pub ice: f64,
    /// Where the order names ice, wash water, water in the drum and water held back.
    pub places: WaterPlaces,
    /// Wash water.
    pub wash: Option<WashWater>,
    /// Water in the drum before each load, kg.
    pub drum_water: f64,
    /// Measured on a load.
    pub measured: Option<MeasuredLoad>,
}

/// Density of water, kg/m3, for volumes of water that the order gives.
const WATER: f64 = 1000.0;
/// Wettest aggregate believed: more than this is a slip of the pen.
const WETTEST: f64 = 1.0;
/// Names under which masses may be batched that are no material of the shelf.
const BESIDES: [&str; 3] = [ICE, WASH, DRUM];
/// Ice, by its name among masses batched.
pub const ICE: &str = "ice";
/// Wash water, its solids among it.
pub const WASH: &str = "wash water";
/// Water in the drum.
pub const DRUM: &str = "water in drum";

/// Checks an order against a problem and the mix it is for.
///
/// # Errors
/// All findings.
pub fn order(problem: &Problem, mix: &[f64], entry: &OrderEntry) -> Result<Order, Findings> {
    let mut findings = Findings::default();
    let moistures = moistures(problem, mix, entry, &mut findings);
    let rules = entry
        .rules
        .as_ref()
        .and_then(|word| BatchingRules::named(&word.value))
        .unwrap_or(BatchingRules::En206);
    let split = loads(entry, &mut findings);
    let held_back = content(entry.held_back.as_ref(), WATER, "water held back", &mut findings);
    let ice = content(entry.ice.as_ref(), WATER, "ice", &mut findings);
    let wash = entry.wash.as_ref().and_then(|wash| wash_water(wash, &mut findings));
    let drum_water = entry.drum_water.as_ref().map_or(0.0, |water| {
        let by_volume = water.value.unit.dimension == crate::quantity::Dimension::VOLUME;
        not_negative(water, "water in drum", &mut findings) * if by_volume { WATER } else { 1.0 }
    });
    let (volume, split, capacity) = split.unwrap_or_default();
    let first = split.first().map_or(volume, |load: &Load| load.volume);
    let measured =
        entry.measured.as_ref().and_then(|measured| measured_load(problem, measured, first, &mut findings));
    if findings.has_errors() {
        return Err(findings);
    }
    Ok(Order {
        title: entry.title.as_ref().map(|word| word.value.clone()),
        place: entry.place,
        rules,
        volume,
        loads: split,
        capacity,
        moistures,
        held_back,
        ice,
        places: WaterPlaces {
            ice: entry.ice.as_ref().map(|value| value.place),
            wash: wash.map(|wash| wash.place),
            drum: entry.drum_water.as_ref().map(|value| value.place),
            held_back: entry.held_back.as_ref().map(|value| value.place),
        },
        wash,
        drum_water,
        measured,
    })
}

/// The moisture of every aggregate in the mix.
fn moistures(
    problem: &Problem,
    mix: &[f64],
    entry: &OrderEntry,
    findings: &mut Findings,
) -> Vec<Option<Moisture>> {
    let shelf = &problem.mixture.catalogue;
    let mut given: Vec<Option<Moisture>> = vec![None; shelf.materials.len()];
    let mut wrong: Vec<Id<Material>> = Vec::new();
    for (word, value) in &entry.moistures {
        let Some(index) = shelf.find(&word.value) else {
            findings.push(
                Finding::error(word.place, format!("unknown material `{}` in `moisture`", word.value)).known(
                    "materials",
                    &word.value,
                    shelf.names(),
                ),
            );
            continue;
        };
        if !shelf.materials[index].role.is_aggregate() {
            findings.push(
                Finding::error(word.place, format!("`{}` is no aggregate", word.value))
                    .note("moisture is total water as a share of the oven-dry mass, and only aggregates have it")
                    .help("leave it out"),
            );
            continue;
        }
        if is_moisture(word, value, findings) {
            given[index.index()] =
                Some(Moisture { total: value.value.base, source: Source::Order(value.place) });
        } else {
            wrong.push(index);
        }
    }
    for (index, material) in shelf.materials.named() {
        if !material.role.is_aggregate() || given[index.index()].is_some() {
            continue;
        }
        let assumed = || {
            material
                .role
                .is_lightweight()
                .then_some(Moisture { total: material.absorption, source: Source::Assumed })
        };
        let stated = material.moisture.map(|total| Moisture { total, source: Source::Statement });
        given[index.index()] = stated.or_else(assumed);
        if given[index.index()].is_none() && 0.0 < mix[index.index()] && !wrong.contains(&index) {
            findings.push(no_moisture(entry.place, material));
        }
    }
    given
}

fn no_moisture(place: Place, material: &Material) -> Finding {
    Finding::error(
        Place { end: place.start, ..place },
        format!("the moisture of `{}` is not known", material.name),
    )
    .note("without it neither its weight nor the water to add can be told")
    .help(format!("add it under `moisture`: `{}: 4.6 %`, of its oven-dry mass", material.name))
}

fn is_moisture(word: &Word, value: &Located<Scalar>, findings: &mut Findings) -> bool {
    let share = value.value.base;
    let percent = trimmed(100.0 * share, 5);
    if share < 0.0 {
        findings.push(
            Finding::error(value.place, format!("the moisture of `{}` is {percent} %, below oven-dry", word.value))
                .note("moisture is total water, share of the oven-dry mass; surface-dry is its absorption, oven-dry is 0 %")
                .help("if it was counted from surface-dry, add the absorption"),
        );
        return false;
    }
    if value.value.unit.text.is_empty() && share != 0.0 {
        findings.push(
            Finding::error(value.place, format!("the moisture of `{}` has no unit", word.value))
                .note("allowed: `%` of the oven-dry mass")
                .help(format!("write `{} %`", trimmed(share, 5))),
        );
        return false;
    }
    if WETTEST < share {
        findings.push(
            Finding::error(value.place, format!("the moisture of `{}` is {percent} %", word.value))
                .note("allowed: 0 .. 100 % of the oven-dry mass")
                .help("give total water over oven-dry mass"),
        );
        return false;
    }
    true
}

fn not_negative(value: &Located<Scalar>, key: &str, findings: &mut Findings) -> f64 {
    if value.value.base < 0.0 {
        findings.push(
            Finding::error(value.place, format!("`{key}` is below zero"))
                .help("leave it out if there is none"),
        );
    }
    value.value.base
}

/// An amount per m3 of concrete, kg.
fn content(value: Option<&Located<Scalar>>, density: f64, key: &str, findings: &mut Findings) -> f64 {
    let Some(value) = value else { return 0.0 };
    not_negative(value, key, findings) * if value.value.is_volume_by_volume() { density } else { 1.0 }
}

fn wash_water(entry: &WashWaterEntry, findings: &mut Findings) -> Option<WashWater> {
    const DENSITIES: std::ops::RangeInclusive<f64> = 1000.0..=1200.0;
    let density = entry.density.as_ref().map(|density| (density.value.base, density.place));
    if let Some((density, place)) = density
        && !DENSITIES.contains(&density)
    {
        findings.push(
            Finding::error(place, format!("the wash water weighs {} kg/m3", trimmed(density, 5)))
                .note("allowed: 1000 .. 1200 kg/m3; clear water has 1000")
                .help("stir it before its density is measured"),
        );
        return None;
    }
    let solids = match (density, &entry.solids) {
        (Some((density, _)), _) => solids_of(density),
        (None, Some(solids)) => solids.value,
        (None, None) => return None,
    };
    // The density that solids of a known share give, so that litres become kilograms.
    let weighs = density.map_or_else(
        || 1.0 / ((1.0 - solids) / WATER + solids / WASH_SOLIDS_DENSITY),
        |(density, _)| density,
    );
    let mass = content(entry.amount.as_ref(), weighs, "amount", findings);
    Some(WashWater { water: mass * (1.0 - solids), solids: mass * solids, place: entry.place })
}

fn measured_load(
    problem: &Problem,
    entry: &MeasuredLoadEntry,
    first: f64,
    findings: &mut Findings,
) -> Option<MeasuredLoad> {
    let mut batched = Vec::new();
    for (word, mass) in &entry.batched {
        let known: Vec<&str> = problem.mixture.catalogue.names().chain(BESIDES).collect();
        if !known.contains(&word.value.as_str()) {
            findings.push(
                Finding::error(word.place, format!("unknown material `{}` in `batched`", word.value)).known(
                    "materials",
                    &word.value,
                    known,
                ),
            );
            continue;
        }
        batched.push((word.value.clone(), not_negative(mass, &word.value, findings)));
    }
    let density = entry.density.as_ref()?;
    if density.value.base <= 0.0 {
        findings.push(
            Finding::error(density.place, "the measured density is not above zero").help("weigh again"),
        );
        return None;
    }
    let volume = entry.volume.as_ref().map_or(first, |volume| volume.value.base);
    Some(MeasuredLoad {
        density: density.value.base,
        volume,
        batched,
        air: entry.air.as_ref().map(|air| air.value),
    })
}
