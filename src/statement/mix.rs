//! A mix that is given, not sought: amounts, and what was measured on it.
//!
//! What enters: the text of a mix file. What leaves: a [`MixEntry`] whose names are still unresolved, or findings.

use super::fields::Reading;
use super::keys::{MIX, VOLUMES};
use super::tree::Node;
use super::word::{Located, Word};
use crate::finding::{Findings, Sources};
use crate::quantity::Scalar;

/// What is made of amounts that do not fill their volume.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Volume {
    /// They stay, and that they do not is told.
    #[default]
    AsGiven,
    /// They are scaled to it.
    ToYield,
}

/// A mix file.
#[derive(Clone, Debug)]
pub struct MixEntry {
    /// Shown as its name.
    pub title: Option<Word>,
    /// Amounts by material, per volume of concrete.
    pub amounts: Vec<(Word, Located<Scalar>)>,
    /// What is made of amounts that do not fill their volume.
    pub volume: Volume,
    /// Air, share of the volume.
    pub air: Option<Located<f64>>,
    /// Measured values by response, limit or quantity.
    pub measured: Vec<(Word, Located<Scalar>)>,
}

/// Reads the mix file with this index in `sources`.
///
/// # Errors
/// All findings.
pub fn read_mix(sources: &Sources, source: usize, currency: &str) -> Result<MixEntry, Findings> {
    Reading::new(sources, currency).file((sources, source), mix)
}

fn mix(root: Node, reading: &mut Reading) -> Option<MixEntry> {
    let mut fields = reading.fields(root, "the mix", MIX)?;
    let amounts = fields.take("amounts").map(|node| values(node, "amounts", Reading::content, reading));
    let any = |reading: &mut Reading, node: &Node, owner: &str| reading.scalar(node, owner, &[]);
    let measured = fields.take("measured").map(|node| values(node, "measured", any, reading));
    Some(MixEntry {
        title: fields.word("title", reading),
        volume: match fields.one_of("volume", reading, VOLUMES) {
            Some(word) if word.value == VOLUMES[1] => Volume::ToYield,
            _ => Volume::AsGiven,
        },
        air: fields.percentage("air", reading, 0.0, 0.5),
        amounts: amounts.unwrap_or_default(),
        measured: measured.unwrap_or_default(),
    })
}

fn values(
    node: Node,
    key: &str,
    read: impl Fn(&mut Reading, &Node, &str) -> Option<Located<Scalar>>,
    reading: &mut Reading,
) -> Vec<(Word, Located<Scalar>)> {
    reading
        .named(node, &format!("`{key}` of the mix"))
        .into_iter()
        .filter_map(|(name, node)| {
            let value = read(reading, &node, &format!("`{}` in `{key}`", name.value))?;
            Some((name, value))
        })
        .collect()
}
