//! Responses by a built-in law: its name, and what each of its inputs is bound to.

use super::fields::Reading;
use super::keys::INPUT;
use super::quantity_refs::quantity_ref;
use super::tree::{Kind, Node};
use super::word::{Bounds, Located, QuantityRef, Word};
use crate::finding::{Finding, Place};
use crate::quantity::Scalar;

/// A response by a built-in law.
#[derive(Clone, Debug)]
pub struct LawEntry {
    /// The law's name.
    pub name: Word,
    /// Inputs by their names in the law; those left out take their published values.
    pub inputs: Vec<InputEntry>,
    /// The cement in the words of the law's code, in place of its constants.
    pub cement: Option<Word>,
    /// Where the inputs stand, or the name if there are none.
    pub place: Place,
}

/// One input of a law.
#[derive(Clone, Debug)]
pub struct InputEntry {
    /// Its name in the law.
    pub name: Word,
    /// What it is bound to.
    pub binding: BindingEntry,
}

/// What an input is bound to.
#[derive(Clone, Debug)]
pub enum BindingEntry {
    /// A number with its unit.
    Value(Located<Scalar>),
    /// A quantity of the mix or another response.
    Of {
        /// Which.
        is: QuantityRef,
        /// Where the law may be used, in place of its published region.
        region: Option<Box<Located<Bounds>>>,
    },
}

/// Reads a law and its inputs.
pub fn law(name: Word, inputs: Option<Node>, owner: &str, reading: &mut Reading) -> LawEntry {
    let place = inputs.as_ref().map_or(name.place, Node::shown);
    let mut cement = None;
    let named = inputs.map(|node| reading.named(node, &format!("`inputs` of {owner}"))).unwrap_or_default();
    let inputs = named
        .into_iter()
        .filter_map(|(name, node)| {
            let owner = format!("input `{}` of {owner}", name.value);
            if name.value == CEMENT_CLASS {
                cement = reading.word(&node, &owner);
                return None;
            }
            Some(InputEntry { binding: binding(node, &owner, reading)?, name })
        })
        .collect();
    LawEntry { name, inputs, cement, place }
}

/// The word among the inputs that stands for every constant of the cement.
pub const CEMENT_CLASS: &str = "cement class";

/// A value with its unit, a name, or a map with `is` and `region`.
pub fn binding(node: Node, owner: &str, reading: &mut Reading) -> Option<BindingEntry> {
    if let Kind::Map(_) = node.kind {
        let mut fields = reading.fields(node, owner, INPUT)?;
        let is_owner = fields.named("is");
        let is = fields.take("is").and_then(|node| quantity_ref(node, &is_owner, reading))?;
        return Some(BindingEntry::Of { is, region: fields.bounds("region", reading, &[]).map(Box::new) });
    }
    let word = reading.word(&node, owner)?;
    if word.value.is_empty() {
        reading.push(
            Finding::error(word.place, format!("{owner} is bound to nothing"))
                .note("allowed: a value with its unit, a quantity of the mix, or another response"),
        );
        return None;
    }
    if word.value.starts_with(|letter: char| letter.is_ascii_digit() || "+-.".contains(letter)) {
        return reading.scalar(&node, owner, &[]).map(BindingEntry::Value);
    }
    Some(BindingEntry::Of { is: QuantityRef::Phrase(word), region: None })
}
