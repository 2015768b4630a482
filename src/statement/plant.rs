//! A plant file: mixes with their yearly volumes, places to keep materials, stock.
//!
//! What enters: the text of a plant file. What leaves: a [`PlantEntry`] with names unresolved, or findings. It opens none of
//! the statements it names.

use super::fields::Reading;
use super::keys::{PLACE, PLANT, PLANT_MIX};
use super::tree::Node;
use super::word::{Located, Word};
use crate::finding::{Findings, Sources};
use crate::quantity::{Dimension, Scalar};

/// One mix as written.
#[derive(Clone, Debug)]
pub struct PlantMixEntry {
    /// Its name.
    pub name: Word,
    /// Its statement's file.
    pub statement: Word,
    /// Concrete in a year, m3.
    pub volume: Located<Scalar>,
}

/// One kind of place as written.
#[derive(Clone, Debug)]
pub struct PlaceEntry {
    /// Its name.
    pub name: Word,
    /// How many there are.
    pub number: Located<u32>,
    /// The materials that need one.
    pub of: Vec<Word>,
}

/// A plant as written.
#[derive(Clone, Debug)]
pub struct PlantEntry {
    /// Title.
    pub title: Option<Word>,
    /// Note.
    pub note: Option<Word>,
    /// Currency, where the plant names any money.
    pub currency: Option<Word>,
    /// Mixes in file order.
    pub mixes: Vec<PlantMixEntry>,
    /// Kinds of places in file order.
    pub places: Vec<PlaceEntry>,
    /// Stock by material.
    pub stock: Vec<(Word, Located<Scalar>)>,
    /// Cost of keeping by material.
    pub keeping: Vec<(Word, Located<Scalar>)>,
}

/// Reads the plant file with this index in `sources`.
///
/// # Errors
/// All findings.
pub fn read_plant(sources: &Sources, source: usize) -> Result<PlantEntry, Findings> {
    Reading::new(sources, "").file((sources, source), plant)
}

fn plant(root: Node, reading: &mut Reading) -> Option<PlantEntry> {
    let mut fields = reading.fields(root, "the plant", PLANT)?;
    let currency = fields.word("currency", reading);
    reading.currency = currency.as_ref().map(|word| word.value.clone()).unwrap_or_default();
    let mixes =
        fields.take("mixes").map(|node| reading.named(node, "`mixes` of the plant")).unwrap_or_default();
    let mixes = mixes.into_iter().filter_map(|(name, node)| mix(name, node, reading)).collect();
    let places =
        fields.take("places").map(|node| reading.named(node, "`places` of the plant")).unwrap_or_default();
    let places = places.into_iter().filter_map(|(name, node)| place(name, node, reading)).collect();
    let by_name = |key: &str, dimension: Dimension, node: Option<Node>, reading: &mut Reading| {
        let Some(node) = node else { return Vec::new() };
        let named = reading.named(node, &format!("`{key}` of the plant"));
        let mut list = Vec::new();
        for (name, node) in named {
            let owner = format!("`{}` in `{key}`", name.value);
            let Some(value) = reading.scalar(&node, &owner, &[dimension]) else { continue };
            list.push((name, value));
        }
        list
    };
    let stock = fields.take("stock");
    let stock = by_name("stock", Dimension::MASS, stock, reading);
    let keeping = fields.take("keeping");
    let keeping = by_name("keeping", Dimension::MONEY, keeping, reading);
    Some(PlantEntry {
        title: fields.word("title", reading),
        note: fields.word("note", reading),
        currency,
        mixes,
        places,
        stock,
        keeping,
    })
}

fn mix(name: Word, node: Node, reading: &mut Reading) -> Option<PlantMixEntry> {
    let owner = format!("mix `{}`", name.value);
    let mut fields = reading.fields(node, &owner, PLANT_MIX)?;
    let statement = fields.word("statement", reading);
    let volume = fields.scalar("volume", reading, &[Dimension::VOLUME]);
    Some(PlantMixEntry { name, statement: statement?, volume: volume? })
}

fn place(name: Word, node: Node, reading: &mut Reading) -> Option<PlaceEntry> {
    let owner = format!("place `{}`", name.value);
    let mut fields = reading.fields(node, &owner, PLACE)?;
    let of = fields.take("of").map(|node| reading.words(&node, &format!("`of` of {owner}")));
    let number = fields.take("number").and_then(|node| reading.count(&node, &format!("`number` of {owner}")));
    Some(PlaceEntry { name, number: number?, of: of.unwrap_or_default() })
}
