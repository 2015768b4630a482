//! Margins: how far a prediction must stay from its limit.

use super::entry::{Located, MarginEntry, Word};
use super::fields::Reading;
use super::keys::{MARGIN, MARGIN_RULES};
use super::tree::{Kind, Node};
use crate::finding::Finding;
use crate::quantity::{Dimension, Scalar};

/// An overdesign rule and what it needs to know.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleEntry {
    /// Its word.
    pub rule: Word,
    /// Standard deviation of the strength tests on record.
    pub deviation: Option<Located<Scalar>>,
    /// How many tests are on record.
    pub tests: Option<Located<u32>>,
}

/// A margin: a value, `1.64 deviations`, `95 % confidence`, or the overdesign rule of a standard.
pub fn margin(node: &Node, owner: &str, reading: &mut Reading) -> Option<Located<MarginEntry>> {
    let owner = format!("`margin` of {owner}");
    if let Kind::Map(_) = node.kind {
        return rule(node, &owner, reading);
    }
    let word = reading.word(node, &owner)?;
    let text = word.value.as_str();
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    let entry = if let Some(rest) = text.strip_suffix("deviations").or_else(|| text.strip_suffix("deviation"))
    {
        number(rest).filter(|count| (0.0..=10.0).contains(count)).map(MarginEntry::Deviations)
    } else if let Some(rest) = text.strip_suffix("% confidence") {
        number(rest)
            .filter(|percent| (50.0..100.0).contains(percent))
            .map(|percent| MarginEntry::Confidence(percent / 100.0))
    } else {
        let value = reading.scalar(node, &owner, &[])?;
        (value.value.base >= 0.0).then_some(MarginEntry::Natural(value.value))
    };
    if entry.is_none() {
        reading.push(
            Finding::error(word.place, format!("{owner} is `{text}`"))
                .note("allowed: a value that is not negative, 0 .. 10 deviations, or 50 .. 100 % confidence (100 % not reached)")
                .help("write `5 MPa`, `1.64 deviations` or `95 % confidence`"),
        );
    }
    Some(Located { value: entry?, place: word.place })
}

fn rule(node: &Node, owner: &str, reading: &mut Reading) -> Option<Located<MarginEntry>> {
    let place = node.shown();
    let mut fields = reading.fields(node.clone(), owner, MARGIN)?;
    let deviation = fields.scalar("deviation", reading, &[Dimension::STRESS]);
    let tests_owner = fields.named("tests");
    let tests = fields.take("tests").and_then(|node| reading.count(&node, &tests_owner));
    let rule = fields.one_of("rule", reading, MARGIN_RULES)?;
    Some(Located { value: MarginEntry::Rule(RuleEntry { rule, deviation, tests }), place })
}
