//! A limit on the combined grading, written sieve by sieve, as one limit for each sieve.

use super::entry::{LimitEntry, SideEntry};
use super::fields::Reading;
use super::tree::{Kind, Node};
use super::word::{Bounds, Located, QuantityRef, Word};
use crate::finding::Finding;
use crate::quantity::{Dimension, Scalar};

/// Reads `grading: {8 mm: 55 .. 75 %, 4 mm: 48 %}`; single values are targets and need a tolerance.
pub fn grading_limits(
    name: &Word,
    node: Node,
    tolerance: Option<&Located<f64>>,
    note: Option<&Word>,
    reading: &mut Reading,
) -> Vec<LimitEntry> {
    let owner = format!("`grading` of limit `{}`", name.value);
    let empty = matches!(&node.kind, Kind::Map(entries) if entries.is_empty());
    let sieves = reading.named(node, &owner);
    if empty {
        reading.push(
            Finding::error(name.place, format!("{owner} names no sieve"))
                .help("write shares passing by sieve, such as `{8 mm: 55 .. 75 %, 4 mm: 36 .. 60 %}`"),
        );
    }
    let mut entries = Vec::new();
    for (sieve, node) in sieves {
        let owner = format!("`{}` in {owner}", sieve.value);
        let Some(bounds) = reading.bounds(&node, &owner, &[Dimension::NONE]) else { continue };
        let Some((low, high)) = sides(&bounds, tolerance, &owner, reading) else { continue };
        let side = |share: f64, end: &Scalar| {
            SideEntry::Value(Located { value: Scalar { base: share, ..end.clone() }, place: bounds.place })
        };
        let Some(end) = bounds.value.any() else { continue };
        // A share passing is never below none nor above all.
        let at_least = low.filter(|share| 0.0 < *share).map(|share| side(share, end));
        let at_most = high.filter(|share| *share < 1.0).map(|share| side(share, end));
        entries.push(LimitEntry {
            name: Located { value: format!("{}, {}", name.value, sieve.value), place: sieve.place },
            on: QuantityRef::Phrase(Located {
                value: format!("passing {}", sieve.value),
                place: sieve.place,
            }),
            at_least,
            at_most,
            margin: None,
            statistic: None,
            note: note.filter(|_| entries.is_empty()).cloned(),
        });
    }
    entries
}

type Ends = (Option<f64>, Option<f64>);

fn sides(
    bounds: &Located<Bounds>,
    tolerance: Option<&Located<f64>>,
    owner: &str,
    reading: &mut Reading,
) -> Option<Ends> {
    let low = bounds.value.low.as_ref().map(|end| end.base);
    let high = bounds.value.high.as_ref().map(|end| end.base);
    let outside = |end: Option<f64>| end.is_some_and(|end| !(0.0..=1.0).contains(&end));
    if outside(low) || outside(high) {
        reading.push(
            Finding::error(bounds.place, format!("{owner} is out of range")).note("allowed: 0 .. 100 %"),
        );
        return None;
    }
    if low != high {
        return Some((low, high));
    }
    let Some(tolerance) = tolerance else {
        reading.push(
            Finding::error(bounds.place, format!("{owner} is a single value, and no `tolerance` is given"))
                .help(
                    "write a range, `at least ...`, `at most ...`, or add `tolerance: 5 %` beside `grading`",
                ),
        );
        return None;
    };
    Some((low.map(|share| share - tolerance.value), high.map(|share| share + tolerance.value)))
}
