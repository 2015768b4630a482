//! `production`: weighing, moisture and variability as the author wrote them.
//!
//! What enters: a node of the tree. What leaves: a [`ProductionEntry`] with names unresolved. It knows no tolerance.

use super::fields::Reading;
use super::keys::{BATCHING_RULES, PRODUCTION, SCALE, SOURCES_HELD, SPREADS, SpreadEntry};
use super::tree::Node;
use super::word::{Located, Word};
use crate::finding::Place;
use crate::quantity::{Dimension, Scalar};

/// One scale as written.
#[derive(Clone, Debug)]
pub struct ScaleEntry {
    /// Its name.
    pub name: Word,
    /// Materials in the order of weighing.
    pub of: Vec<Word>,
    /// Capacity.
    pub capacity: Option<Located<Scalar>>,
    /// Bias, share.
    pub bias: Option<Located<f64>>,
}

/// `production` as written.
#[derive(Clone, Debug)]
pub struct ProductionEntry {
    /// Where it stands.
    pub place: Place,
    /// Whose tolerances.
    pub weighing: Option<Word>,
    /// Volume weighed at once.
    pub batch: Option<Located<Scalar>>,
    /// Own tolerances.
    pub tolerances: Vec<(Word, Located<f64>)>,
    /// How deviations lie inside a tolerance.
    pub spread: Option<Located<SpreadEntry>>,
    /// Scales.
    pub scales: Vec<ScaleEntry>,
    /// Standard deviations of moistures.
    pub moisture: Vec<(Word, Located<f64>)>,
    /// Standard deviations of densities.
    pub densities: Vec<(Word, Located<f64>)>,
    /// Standard deviation of the air content.
    pub air: Option<Located<f64>>,
    /// Standard deviations of responses by the materials' variability.
    pub materials: Vec<(Word, Located<Scalar>)>,
    /// What residuals hold.
    pub held: Vec<Word>,
    /// Results judged together.
    pub results: Option<Located<u32>>,
}

/// Reads `production`.
pub fn production(node: Node, reading: &mut Reading) -> Option<ProductionEntry> {
    const MOST: f64 = 0.25;
    let mut fields = reading.fields(node, "`production`", PRODUCTION)?;
    let place = fields.place;
    let shares = |fields: &mut super::fields::Fields, key: &'static str, reading: &mut Reading| {
        let Some(node) = fields.take(key) else { return Vec::new() };
        reading
            .named(node, &format!("`{key}` of `production`"))
            .into_iter()
            .filter_map(|(name, node)| {
                let value = reading.percentage(&node, &format!("`{}` in `{key}`", name.value), 0.0, MOST)?;
                Some((name, value))
            })
            .collect::<Vec<_>>()
    };
    let held = fields.take("scatter holds").map(|node| {
        let words = reading.words(&node, "`scatter holds`");
        for word in &words {
            if !SOURCES_HELD.contains(&word.value.as_str()) {
                reading.push(
                    crate::finding::Finding::error(
                        word.place,
                        format!("unknown word `{}` in `scatter holds`", word.value),
                    )
                    .known("words", &word.value, SOURCES_HELD.iter().copied()),
                );
            }
        }
        words
    });
    let materials = fields.take("materials").map(|node| {
        reading
            .named(node, "`materials` of `production`")
            .into_iter()
            .filter_map(|(name, node)| {
                let value = reading.scalar(&node, &format!("`{}` in `materials`", name.value), &[])?;
                Some((name, value))
            })
            .collect::<Vec<_>>()
    });
    let scales = fields.take("scales").map(|node| {
        reading
            .named(node, "`scales` of `production`")
            .into_iter()
            .filter_map(|(name, node)| scale(name, node, reading))
            .collect::<Vec<_>>()
    });
    let results = fields.take("results").and_then(|node| reading.count(&node, "`results` of `production`"));
    Some(ProductionEntry {
        place,
        weighing: fields.one_of("weighing", reading, BATCHING_RULES),
        batch: fields.scalar("batch", reading, &[Dimension::VOLUME]),
        tolerances: shares(&mut fields, "tolerance", reading),
        spread: fields.meaning("spread", reading, &SPREADS),
        scales: scales.unwrap_or_default(),
        moisture: shares(&mut fields, "moisture error", reading),
        densities: shares(&mut fields, "densities", reading),
        air: fields.percentage("air", reading, 0.0, 0.05),
        materials: materials.unwrap_or_default(),
        held: held.unwrap_or_default(),
        results,
    })
}

fn scale(name: Word, node: Node, reading: &mut Reading) -> Option<ScaleEntry> {
    const MOST: f64 = 0.1;
    let owner = format!("scale `{}`", name.value);
    let mut fields = reading.fields(node, &owner, SCALE)?;
    let of = fields.take("of").map(|node| reading.words(&node, &format!("`of` of {owner}")));
    let capacity = fields.scalar("capacity", reading, &[Dimension::MASS]);
    let bias = fields.percentage("bias", reading, -MOST, MOST);
    Some(ScaleEntry { name, of: of.unwrap_or_default(), capacity, bias })
}
