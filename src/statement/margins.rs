//! Margins: how far a prediction must stay from its limit.

use super::fields::Reading;
use super::keys::{HOLDS, MARGIN, MARGIN_RULES};
use super::tree::{Kind, Node};
use super::word::{Located, Word};
use crate::finding::{Finding, Place};
use crate::quantity::{Dimension, Scalar};

/// How far a prediction must stay from its limit.
#[derive(Clone, Debug, PartialEq)]
pub enum MarginEntry {
    /// In the response's own unit.
    Natural(Scalar),
    /// In residual standard deviations.
    Deviations(f64),
    /// One-sided confidence.
    Confidence(ConfidenceEntry),
    /// The overdesign rule of a standard.
    Rule(Box<RuleEntry>),
    /// The most risk, as a share, in place of a margin.
    Risk(f64),
}

/// An overdesign rule and what it needs to know.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleEntry {
    /// Its word.
    pub rule: Word,
    /// Standard deviation of the strength tests on record.
    pub deviation: Option<Located<Scalar>>,
    /// How many tests are on record.
    pub tests: Option<Located<u32>>,
    /// One-sided confidence of the mean that stands beside the rule.
    pub confidence: Option<f64>,
    /// How many deviations the target of EN 206 lies over the strength.
    pub lambda: Option<Located<f64>>,
    /// How far the target of EN 206 lies over the strength without tests on record.
    pub offset: Option<Located<Scalar>>,
}

impl RuleEntry {
    /// Where something stands that only the rule of EN 206 knows.
    pub fn beside_en_206(&self) -> Option<Place> {
        self.lambda.as_ref().map(|lambda| lambda.place).or(self.offset.as_ref().map(|offset| offset.place))
    }
}

/// What a confidence is to hold for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// The mean that a mix has.
    Mean,
    /// One more batch like those of the trials.
    TrialBatch,
    /// A batch of production.
    ProductionBatch,
}

/// A one-sided confidence.
#[derive(Clone, Debug, PartialEq)]
pub struct ConfidenceEntry {
    /// As a share.
    pub share: f64,
    /// What it is to hold for.
    pub holds: Holds,
    /// Deviation of production batches.
    pub deviation: Option<Located<Scalar>>,
}

impl ConfidenceEntry {
    /// For one more batch like those of the trials.
    fn of_trial_batch(share: f64) -> Self {
        Self { share, holds: Holds::TrialBatch, deviation: None }
    }
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
            .map(|percent| MarginEntry::Confidence(ConfidenceEntry::of_trial_batch(percent / 100.0)))
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
    let confidence_place = fields.place_of("confidence");
    let confidence = fields.share("confidence", reading, 0.5, 0.999_999);
    let holds = fields.one_of("of", reading, HOLDS);
    let deviation = fields.scalar("deviation", reading, &[]);
    let tests_owner = fields.named("tests");
    let tests = fields.take("tests").and_then(|node| reading.count(&node, &tests_owner));
    let lambda = fields
        .scalar("lambda", reading, &[Dimension::NONE])
        .map(|scalar| Located { value: scalar.value.base, place: scalar.place });
    let offset = fields.scalar("offset", reading, &[Dimension::STRESS]);
    let rule = fields.one_of("rule", reading, MARGIN_RULES);
    if let Some(rule) = rule {
        let confidence = confidence.map(|share| share.value);
        let entry = RuleEntry { rule, deviation, tests, confidence, lambda, offset };
        return by_rule(entry, holds, owner, reading).map(|value| Located { value, place });
    }
    if confidence_place.is_none() {
        reading.push(
            Finding::error(place, format!("{owner} has neither `rule` nor `confidence`")).help(
                "write `{rule: en 206, offset: 8 MPa}` or `{confidence: 95 %, of: production batch, deviation: 2 MPa}`",
            ),
        );
        return None;
    }
    let out_of_place = [
        (lambda.map(|lambda| lambda.place).or(offset.map(|offset| offset.place)), STRAY),
        (tests.map(|tests| tests.place), STRAY_TESTS),
    ];
    for (place, (has, note, help)) in out_of_place {
        let Some(place) = place else { continue };
        let finding = Finding::error(place, format!("{owner} is a confidence and has {has}")).note(note);
        reading.push(if help.is_empty() { finding } else { finding.help(help) });
    }
    let holds = held(holds.as_ref(), deviation.as_ref(), (place, owner), reading)?;
    let entry = ConfidenceEntry { share: confidence?.value, holds, deviation };
    Some(Located { value: MarginEntry::Confidence(entry), place })
}

/// What belongs to a rule and stands beside a confidence: what it is, why, and the way out.
const STRAY: (&str, &str, &str) = ("`lambda` or `offset`", "both belong to `rule: en 206`", "take it out");
const STRAY_TESTS: (&str, &str, &str) = ("`tests`", "tests belong to the rules of ACI 301 and ACI 318", "");

/// A margin by a rule, for the mean alone.
fn by_rule(entry: RuleEntry, holds: Option<Word>, owner: &str, reading: &mut Reading) -> Option<MarginEntry> {
    if let Some(deviation) =
        entry.deviation.as_ref().filter(|deviation| deviation.value.unit.dimension != Dimension::STRESS)
    {
        reading.push(
            Finding::error(deviation.place, format!("`deviation` of {owner} is no stress"))
                .note(format!("allowed units: {}", crate::quantity::accepted(&[Dimension::STRESS]))),
        );
        return None;
    }
    if let Some(holds) = holds.filter(|holds| holds.value != "mean") {
        reading.push(
            Finding::error(holds.place, format!("{owner} is by a rule and by a confidence of a batch"))
                .note("the rule holds the scatter of batches already")
                .help("write `of: mean`, or take the rule out"),
        );
    }
    Some(MarginEntry::Rule(Box::new(entry)))
}

/// What a confidence holds for, with a deviation where that needs one.
fn held(
    holds: Option<&Word>,
    deviation: Option<&Located<Scalar>>,
    (place, owner): (Place, &str),
    reading: &mut Reading,
) -> Option<Holds> {
    let holds = match holds.map(|word| word.value.as_str()) {
        Some("mean") => Holds::Mean,
        Some("production batch") => Holds::ProductionBatch,
        _ => Holds::TrialBatch,
    };
    if let Some(deviation) = deviation.filter(|_| holds != Holds::ProductionBatch) {
        reading.push(
            Finding::error(deviation.place, format!("{owner} has a `deviation` that nothing needs"))
                .help("write `of: production batch`, or take it out"),
        );
    }
    if holds == Holds::ProductionBatch && deviation.is_none() {
        reading.push(
            Finding::error(place, format!("{owner} is for a production batch and has no `deviation`"))
                .help("add the deviation of production batches: `deviation: 2 MPa`"),
        );
        return None;
    }
    Some(holds)
}
