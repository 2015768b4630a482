//! A batch order: a volume, today's moistures, the mixer and the truck.
//!
//! What enters: the text of an order file. What leaves: an [`OrderEntry`] whose names are still unresolved, or
//! findings. It does not know which materials are aggregates.

use super::fields::Reading;
use super::keys::{BATCHING_RULES, MEASURED_LOAD, ORDER, SPLITS, WASH_WATER};
use super::tree::Node;
use super::word::{Located, Word};
use crate::finding::{Finding, Findings, Place, Sources};
use crate::quantity::{Dimension, Scalar};

/// How a volume is split into loads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Split {
    /// Full loads and a partial last one.
    #[default]
    Full,
    /// Equal loads.
    Equal,
}

/// Wash water as written.
#[derive(Clone, Debug)]
pub struct WashWaterEntry {
    /// Amount per volume of concrete.
    pub amount: Option<Located<Scalar>>,
    /// Density.
    pub density: Option<Located<Scalar>>,
    /// Solids, share of its mass.
    pub solids: Option<Located<f64>>,
    /// Where it stands.
    pub place: Place,
}

/// What was measured on a load, as written.
#[derive(Clone, Debug)]
pub struct MeasuredLoadEntry {
    /// Fresh density.
    pub density: Option<Located<Scalar>>,
    /// Volume ordered.
    pub volume: Option<Located<Scalar>>,
    /// Masses really batched.
    pub batched: Vec<(Word, Located<Scalar>)>,
    /// Air, share.
    pub air: Option<Located<f64>>,
}

/// A batch order as written.
#[derive(Clone, Debug)]
pub struct OrderEntry {
    /// Where the order begins.
    pub place: Place,
    /// Title.
    pub title: Option<Word>,
    /// Volume, m3.
    pub volume: Option<Located<Scalar>>,
    /// One of [`BATCHING_RULES`].
    pub rules: Option<Word>,
    /// Drum volume.
    pub drum: Option<Located<Scalar>>,
    /// Plant mixer.
    pub mixer: Option<Located<Scalar>>,
    /// Most for one load.
    pub load: Option<Located<Scalar>>,
    /// How it is split.
    pub split: Split,
    /// Total moistures by material, shares of the oven-dry mass; may be negative here.
    pub moistures: Vec<(Word, Located<Scalar>)>,
    /// Design water held back.
    pub held_back: Option<Located<Scalar>>,
    /// Ice.
    pub ice: Option<Located<Scalar>>,
    /// Wash water.
    pub wash: Option<WashWaterEntry>,
    /// Water in the drum.
    pub drum_water: Option<Located<Scalar>>,
    /// Measured on a load.
    pub measured: Option<MeasuredLoadEntry>,
}

/// Reads the order file with this index in `sources`.
///
/// # Errors
/// All findings.
pub fn read_order(sources: &Sources, source: usize, currency: &str) -> Result<OrderEntry, Findings> {
    Reading::new(sources, currency).file((sources, source), order)
}

fn order(root: Node, reading: &mut Reading) -> Option<OrderEntry> {
    let mut fields = reading.fields(root, "the order", ORDER)?;
    let place = fields.place;
    let volume = fields.scalar("volume", reading, &[Dimension::VOLUME]);
    let moistures = fields.take("moisture").map(|node| by_name(node, "moisture", Dimension::NONE, reading));
    let content = |fields: &mut super::fields::Fields, key: &str, reading: &mut Reading| {
        let node = fields.take(key)?;
        reading.content(&node, &fields.named(key))
    };
    Some(OrderEntry {
        place,
        title: fields.word("title", reading),
        volume,
        rules: fields.one_of("rules", reading, BATCHING_RULES),
        drum: fields.scalar("truck drum", reading, &[Dimension::VOLUME]),
        mixer: fields.scalar("plant mixer", reading, &[Dimension::VOLUME]),
        load: fields.scalar("load", reading, &[Dimension::VOLUME]),
        split: match fields.one_of("split", reading, SPLITS) {
            Some(word) if word.value == SPLITS[1] => Split::Equal,
            _ => Split::Full,
        },
        moistures: moistures.unwrap_or_default(),
        held_back: content(&mut fields, "water held back", reading),
        ice: content(&mut fields, "ice", reading),
        wash: fields.take("wash water").and_then(|node| wash_water(node, reading)),
        drum_water: fields.scalar("water in drum", reading, &[Dimension::VOLUME, Dimension::MASS]),
        measured: fields.take("measured").and_then(|node| measured(node, reading)),
    })
}

fn wash_water(node: Node, reading: &mut Reading) -> Option<WashWaterEntry> {
    let mut fields = reading.fields(node, "`wash water`", WASH_WATER)?;
    let amount = fields.take("amount").and_then(|node| reading.content(&node, "`amount` of the wash water"));
    let density = fields.scalar("density", reading, &[Dimension::DENSITY]);
    let solids = fields.percentage("solids", reading, 0.0, 0.3);
    if density.is_some() == solids.is_some() {
        reading.push(
            Finding::error(fields.place, "the solids of the wash water are not known")
                .note("they follow from its density, or are given as a share of its mass; one of the two")
                .help("add `density: 1.03 kg/L`, measured today"),
        );
    }
    Some(WashWaterEntry { amount, density, solids, place: fields.place })
}

fn measured(node: Node, reading: &mut Reading) -> Option<MeasuredLoadEntry> {
    let mut fields = reading.fields(node, "`measured` of the order", MEASURED_LOAD)?;
    let batched = fields.take("batched").map(|node| by_name(node, "batched", Dimension::MASS, reading));
    Some(MeasuredLoadEntry {
        density: fields.scalar("density", reading, &[Dimension::DENSITY]),
        volume: fields.scalar("volume", reading, &[Dimension::VOLUME]),
        batched: batched.unwrap_or_default(),
        air: fields.percentage("air", reading, 0.0, 0.3),
    })
}

fn by_name(
    node: Node,
    key: &str,
    dimension: Dimension,
    reading: &mut Reading,
) -> Vec<(Word, Located<Scalar>)> {
    reading
        .named(node, &format!("`{key}` of the order"))
        .into_iter()
        .filter_map(|(name, node)| {
            let value = reading.scalar(&node, &format!("`{}` in `{key}`", name.value), &[dimension])?;
            Some((name, value))
        })
        .collect()
}
