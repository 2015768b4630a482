//! `rounding`: the steps of a plant's scales as the author wrote them.
//!
//! What enters: a node of the tree. What leaves: a [`RoundingEntry`] with names unresolved.

use super::fields::Reading;
use super::keys::ROUNDING;
use super::tree::Node;
use super::word::{Located, Word};
use crate::finding::Place;
use crate::quantity::{Dimension, Scalar};

/// `rounding` as written.
#[derive(Clone, Debug)]
pub struct RoundingEntry {
    /// Where it stands.
    pub place: Place,
    /// Steps by material.
    pub steps: Vec<(Word, Located<Scalar>)>,
    /// The load they are for.
    pub load: Option<Located<Scalar>>,
    /// The material without a step.
    pub unrounded: Word,
}

/// Reads `rounding`.
pub fn rounding(node: Node, reading: &mut Reading) -> Option<RoundingEntry> {
    let mut fields = reading.fields(node, "`rounding`", ROUNDING)?;
    let place = fields.place;
    let steps = fields.take("steps").map(|node| {
        let named = reading.named(node, "`steps` of `rounding`");
        let mut list = Vec::new();
        for (name, node) in named {
            let owner = format!("the step of `{}`", name.value);
            let expected = [Dimension::MASS, Dimension::VOLUME_BY_MASS, Dimension::NONE];
            if let Some(value) = reading.scalar_with_words(&node, &owner, &expected) {
                list.push((name, value));
            }
        }
        list
    });
    let load = fields.scalar("load", reading, &[Dimension::VOLUME]);
    let unrounded = fields.word("unrounded", reading)?;
    Some(RoundingEntry { place, steps: steps.unwrap_or_default(), load, unrounded })
}
