//! The classes of a statement, and what their rules need to know.

use super::entry::ClassesEntry;
use super::fields::Reading;
use super::keys::{CLASSES, CONCRETES};
use super::margins::margin;
use super::tree::{Kind, Node};
use super::word::{Located, Word};
use crate::finding::Finding;
use crate::quantity::{known_sieves, opening};

/// Reads `classes`.
pub fn classes(node: Node, reading: &mut Reading) -> Option<ClassesEntry> {
    let owner = "`classes`";
    if !matches!(node.kind, Kind::Map(_)) {
        let of = names(&node, owner, reading);
        return Some(ClassesEntry { of, margin: None, strength: None, largest: None, concrete: None });
    }
    let mut fields = reading.fields(node, owner, CLASSES)?;
    let of = fields.take("of").map(|node| names(&node, owner, reading)).unwrap_or_default();
    let margin = fields.take("margin").and_then(|node| margin(&node, owner, reading));
    let largest = fields.word("largest aggregate", reading).and_then(|word| {
        let opening = opening(&word.value);
        if opening.is_none() {
            reading.push(
                Finding::error(word.place, format!("`largest aggregate` is `{}`, no sieve", word.value))
                    .note(known_sieves()),
            );
        }
        Some(Located { value: opening?, place: word.place })
    });
    let strength = fields.word("strength", reading);
    let concrete = fields.one_of("concrete", reading, CONCRETES);
    Some(ClassesEntry { of, margin, strength, largest, concrete })
}

fn names(node: &Node, owner: &str, reading: &mut Reading) -> Vec<Word> {
    let none = matches!(&node.kind, Kind::List(items) if items.is_empty());
    if none {
        reading.push(
            Finding::error(node.place, format!("{owner} names no class"))
                .help("write class names such as `[XC4, XF3]`, or take the key out"),
        );
    }
    reading.words(node, owner)
}
