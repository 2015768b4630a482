//! Reads quantities that are named or written out.

use super::fields::Reading;
use super::keys::QUANTITY;
use super::tree::{Kind, Node};
use super::word::{Located, QuantityRef, QuantitySpec, Word};

/// A quantity written out: what is added up, and what it is divided by.
pub fn quantity_spec(node: Node, owner: &str, reading: &mut Reading) -> Option<Located<QuantitySpec>> {
    let place = node.place;
    let mut fields = reading.fields(node, owner, QUANTITY)?;
    let of_owner = fields.named("of");
    let to_owner = fields.named("to");
    let of = fields.take("of").map(|node| weighted(node, &of_owner, reading))?;
    let to = fields.take("to").map(|node| weighted(node, &to_owner, reading)).unwrap_or_default();
    let by = fields.one_of("by", reading, &["mass", "volume", "dry mass"]);
    Some(Located { value: QuantitySpec { of, to, by }, place })
}

fn weighted(node: Node, owner: &str, reading: &mut Reading) -> Vec<(Word, f64)> {
    if let Kind::Map(_) = node.kind {
        return reading
            .named(node, owner)
            .into_iter()
            .filter_map(|(name, node)| {
                let weight = reading.number(&node, &format!("the weight of `{}` in {owner}", name.value))?;
                Some((name, weight.value))
            })
            .collect();
    }
    reading.words(&node, owner).into_iter().map(|word| (word, 1.0)).collect()
}

/// A quantity named by a phrase or written out.
pub fn quantity_ref(node: Node, owner: &str, reading: &mut Reading) -> Option<QuantityRef> {
    match node.kind {
        Kind::Map(_) => quantity_spec(node, owner, reading).map(QuantityRef::Spec),
        _ => reading.word(&node, owner).map(QuantityRef::Phrase),
    }
}
