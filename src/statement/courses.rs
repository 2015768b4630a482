//! What depends on age in a description: an amount with its growth, a law over age, or points read off a curve.

use super::fields::{Fields, Reading};
use super::keys::COURSE;
use super::laws::{BindingEntry, LawEntry, binding, law};
use super::tree::{Kind, Node};
use super::word::Located;
use crate::finding::{Finding, Place};
use crate::quantity::{Dimension, Scalar};

/// Something that depends on age.
#[derive(Clone, Debug)]
pub struct CourseEntry {
    /// Where it stands.
    pub place: Place,
    /// What it is bound to.
    pub kind: CourseKind,
}

/// What a course is bound to.
#[derive(Clone, Debug)]
pub enum CourseKind {
    /// An amount that grows.
    Grown {
        /// The amount.
        amount: Box<BindingEntry>,
        /// Days since the start at which the amount is stated, s; the final amount when absent.
        at: Option<Located<f64>>,
        /// Time in which half of the final amount comes, s.
        half_time: Option<Located<f64>>,
        /// Rate per root of a day.
        rate: Option<Located<f64>>,
        /// Shares of the amount by age, as measured.
        growth: Option<PointsEntry>,
    },
    /// A law with an input bound to `age`.
    Law(LawEntry),
}

/// Values by age.
#[derive(Clone, Debug)]
pub struct PointsEntry {
    /// Where they stand.
    pub place: Place,
    /// Ages (s since casting) with values (base units), in file order.
    pub points: Vec<(Located<f64>, Located<f64>)>,
}

/// Reads a map from ages to values of a dimension, such as `example`.
pub fn points(
    node: Node,
    owner: &str,
    dimension: Dimension,
    example: &str,
    reading: &mut Reading,
) -> Option<PointsEntry> {
    let place = node.shown();
    let Kind::Map(entries) = node.kind else {
        reading.push(
            Finding::error(place, format!("{owner} is {}", node.kind.described()))
                .note("a map from ages to values is needed")
                .help(format!("write `{{1 d: {example}, 3 d: {example}}}`")),
        );
        return None;
    };
    let located = |value: Located<Scalar>| Located { value: value.value.base, place: value.place };
    let count = entries.len();
    let points: Vec<_> = entries
        .into_iter()
        .filter_map(|(age, value)| {
            let age = reading.scalar(&age, &format!("an age in {owner}"), &[Dimension::TIME]);
            let value = reading.scalar(&value, &format!("a value in {owner}"), &[dimension]);
            Some((located(age?), located(value?)))
        })
        .collect();
    (points.len() == count).then_some(PointsEntry { place, points })
}

/// A value or name that grows in the usual way, or a map.
pub fn course(node: Node, owner: &str, reading: &mut Reading) -> Option<CourseEntry> {
    let place = node.shown();
    let Kind::Map(_) = node.kind else {
        let amount = binding(node, owner, reading)?;
        return Some(CourseEntry {
            place,
            kind: CourseKind::Grown {
                amount: Box::new(amount),
                at: None,
                half_time: None,
                rate: None,
                growth: None,
            },
        });
    };
    let mut fields = reading.fields(node, owner, COURSE)?;
    let inputs = fields.take("inputs");
    if let Some(name) = fields.word("law", reading) {
        for key in ["amount", "at", "half time", "rate", "growth"] {
            if let Some(place) = fields.place_of(key) {
                reading.push(
                    Finding::error(place, format!("{owner} follows a law and has `{key}`"))
                        .help("keep the law, or the amount and its growth"),
                );
            }
        }
        return Some(CourseEntry { place, kind: CourseKind::Law(law(name, inputs, owner, reading)) });
    }
    let amount_owner = fields.named("amount");
    let Some(amount) = fields.take("amount") else {
        reading.push(
            Finding::error(place, format!("{owner} has neither `amount` nor `law`"))
                .note("an amount grows with `half time` or `rate`; a law has an input bound to `age`")
                .help("add `amount: 400 microstrain` or whatever it is at `at`, or `law` with its inputs"),
        );
        return None;
    };
    let amount = binding(amount, &amount_owner, reading)?;
    let time = |fields: &mut Fields, key: &str, reading: &mut Reading| {
        let value = fields.scalar(key, reading, &[Dimension::TIME])?;
        Some(Located { value: value.value.base, place: value.place })
    };
    let growth = fields.named("growth");
    let growth =
        fields.take("growth").and_then(|node| points(node, &growth, Dimension::NONE, "60 %", reading));
    Some(CourseEntry {
        place,
        kind: CourseKind::Grown {
            growth,
            amount: Box::new(amount),
            at: time(&mut fields, "at", reading),
            half_time: time(&mut fields, "half time", reading),
            rate: fields.share("rate", reading, 1e-4, 100.0),
        },
    })
}
