//! `approved`: the ranges within which a mix was approved, as the author wrote them.
//!
//! What enters: a node of the tree. What leaves: an [`ApprovedEntry`] with names unresolved. What a range is about, and what
//! follows for a mix outside it, later rooms say.

use super::fields::Reading;
use super::keys::APPROVED;
use super::tree::{Kind, Node};
use super::word::{Bounds, Located, Word};
use crate::finding::{Finding, Place};
use crate::quantity::{Dimension, Scalar};

/// `approved` as written.
#[derive(Clone, Debug)]
pub struct ApprovedEntry {
    /// What approved it.
    pub note: Option<Word>,
    /// Ranges by what they are about.
    pub ranges: Vec<(Word, Located<Bounds>)>,
}

/// What stands between a value and how far one may be from it.
const SIGNS: [&str; 2] = ["+/-", "\u{b1}"];

/// Reads `approved`.
pub fn approved(node: Node, reading: &mut Reading) -> Option<ApprovedEntry> {
    let mut fields = reading.fields(node, "`approved`", APPROVED)?;
    let note = fields.word("note", reading);
    let ranges = fields.take("ranges")?;
    let named = reading.named_or_ratios(ranges, "`ranges` of `approved`");
    let read = |(name, node): (Word, Node)| {
        let owner = format!("the approved range of `{}`", name.value);
        let bounds = reading.sound(|reading| range(&node, &owner, reading))?;
        Some((name, bounds))
    };
    Some(ApprovedEntry { note, ranges: named.into_iter().filter_map(read).collect() })
}

/// A value with how far one may be from it, or plain bounds.
fn range(node: &Node, owner: &str, reading: &mut Reading) -> Option<Located<Bounds>> {
    let Kind::Scalar(text) = &node.kind else { return reading.bounds(node, owner, &[]) };
    let Some((at, sign)) = SIGNS.iter().find_map(|sign| Some((text.find(sign)?, *sign))) else {
        return reading.bounds(node, owner, &[]);
    };
    let piece = |text: &str, start: usize| {
        let start = start + (text.len() - text.trim_start().len());
        let place = Place {
            start: node.place.start + start,
            end: node.place.start + start + text.trim().len(),
            ..node.place
        };
        Node { kind: Kind::Scalar(text.trim().to_owned()), place, key: node.key }
    };
    let by = reading.scalar(&piece(&text[at + sign.len()..], at + sign.len()), owner, &[])?;
    let middle = piece(&text[..at], 0);
    // A number alone has the unit that stands behind both.
    let alone = match &middle.kind {
        Kind::Scalar(number) => number.parse::<f64>().ok(),
        Kind::Empty | Kind::List(_) | Kind::Map(_) => None,
    };
    let in_percent = by.value.unit.dimension == Dimension::NONE && !by.value.unit.text.is_empty();
    if let Some(number) = alone.filter(|_| in_percent) {
        reading.push(
            Finding::error(node.place, format!("{owner} can be read in two ways"))
                .note(format!(
                    "`{number}` may be in per cent as well, or a number that may be off by a share of itself"
                ))
                .help(format!("write `{number} % +/- ...`, or both ends: `a .. b`")),
        );
        return None;
    }
    let middle = match alone.filter(|_| !by.value.unit.text.is_empty()) {
        Some(number) => Located {
            value: Scalar { base: by.value.unit.to_base(number), ..by.value.clone() },
            place: middle.place,
        },
        None => reading.scalar(&middle, owner, &[])?,
    };
    let far = how_far(&middle, &by, owner, reading)?;
    let end = |base: f64| Scalar { base, ..middle.value.clone() };
    let value = Bounds { low: Some(end(middle.value.base - far)), high: Some(end(middle.value.base + far)) };
    Some(Located { value, place: node.place })
}

/// How far one may be from a value, in its base units: in its own unit, or in per cent of it.
fn how_far(
    middle: &Located<Scalar>,
    by: &Located<Scalar>,
    owner: &str,
    reading: &mut Reading,
) -> Option<f64> {
    let (of, than) = (middle.value.unit.dimension, by.value.unit.dimension);
    if by.value.base < 0.0 {
        reading.push(
            Finding::error(by.place, format!("{owner} is empty: it may be off by less than nothing"))
                .help("take the minus out"),
        );
        return None;
    }
    let far = match (of == than, than == Dimension::NONE && !by.value.unit.text.is_empty()) {
        // Beside a percentage a percentage is points.
        (true, _) if of != Dimension::NONE || middle.value.unit.text == by.value.unit.text => {
            Some(by.value.unit.factor * by.value.unit.from_base(by.value.base))
        }
        (_, true) => Some(by.value.base * middle.value.base.abs()),
        _ => None,
    };
    if far.is_none() {
        reading.push(
            Finding::error(by.place, format!("{owner} is {of}, and {than} stands behind `+/-`"))
                .note("how far one may be from a value stands in its unit, or in per cent of it")
                .help("write `320 +/- 10 kg/m3` or `320 kg/m3 +/- 3 %`"),
        );
    }
    far
}
