//! `rounding`: the steps of a plant's scales as the author wrote them.
//!
//! What enters: a node of the tree. What leaves: a [`RoundingEntry`] with names unresolved. It rounds nothing.

use super::fields::Reading;
use super::keys::ROUNDING;
use super::tree::{Kind, Node};
use super::word::{Located, Word};
use crate::finding::{Finding, Place};
use crate::quantity::{Dimension, Scalar};

/// How a material comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pack {
    /// Loose: a step is a division of its scale or meter.
    Loose,
    /// In bags that are emptied whole.
    Bags,
}

/// The step of one material as written.
#[derive(Clone, Debug)]
pub struct StepEntry {
    /// The material.
    pub material: Word,
    /// How it comes.
    pub pack: Pack,
    /// The step.
    pub size: Located<Scalar>,
}

/// `rounding` as written.
#[derive(Clone, Debug)]
pub struct RoundingEntry {
    /// Where it stands.
    pub place: Place,
    /// Steps by material.
    pub steps: Vec<StepEntry>,
    /// The load they are for.
    pub load: Option<Located<Scalar>>,
    /// The material without a step that fills the volume.
    pub unrounded: Option<Word>,
    /// How far the volume made may be from the volume weighed for, share.
    pub band: Option<Located<f64>>,
}

/// What stands before the mass of a bag.
const BAGS: &str = "whole bags of ";
/// Widest yield band.
const WIDEST: f64 = 0.02;

/// Reads `rounding`.
pub fn rounding(node: Node, reading: &mut Reading) -> Option<RoundingEntry> {
    let mut fields = reading.fields(node, "`rounding`", ROUNDING)?;
    let place = fields.place;
    let steps = fields.take("steps").map(|node| {
        let named = reading.named(node, "`steps` of `rounding`");
        let mut list = Vec::new();
        for (name, node) in named {
            let owner = format!("the step of `{}`", name.value);
            let (pack, node) = unpacked(node);
            let expected: &[Dimension] = match pack {
                Pack::Loose => &[Dimension::MASS, Dimension::VOLUME_BY_MASS, Dimension::NONE],
                Pack::Bags => &[Dimension::MASS],
            };
            if let Some(size) = reading.scalar_with_words(&node, &owner, expected) {
                list.push(StepEntry { material: name, pack, size });
            }
        }
        list
    });
    let load = fields.scalar("load", reading, &[Dimension::VOLUME]);
    let unrounded = fields.word("unrounded", reading);
    let band = fields.percentage("yield band", reading, 0.0, WIDEST);
    if let (Some(unrounded), Some(band)) = (&unrounded, &band) {
        reading.push(
            Finding::error(band.place, "`rounding` has a yield band and an unrounded material")
                .note(format!(
                    "`{}` fills what the others leave of the volume: there is no band then",
                    unrounded.value
                ))
                .help("take one of the two out"),
        );
    }
    Some(RoundingEntry { place, steps: steps.unwrap_or_default(), load, unrounded, band })
}

/// What stands behind `whole bags of`, at its own place.
fn unpacked(node: Node) -> (Pack, Node) {
    let Kind::Scalar(text) = &node.kind else { return (Pack::Loose, node) };
    let Some(rest) = text.strip_prefix(BAGS) else { return (Pack::Loose, node) };
    let quoted = usize::from(node.place.end - node.place.start == text.len() + 2);
    let start = node.place.start + quoted + BAGS.len();
    let place = Place { start, end: node.place.end - quoted, ..node.place };
    (Pack::Bags, Node { kind: Kind::Scalar(rest.to_owned()), place, key: node.key })
}
