//! Whether a mix lies within what trial batches or a submittal have approved.
//!
//! What enters: a problem that says what was approved, and a mix. What leaves: what lies beyond it, in the reader's units. A
//! mix within it is no more approved than before: that is for whoever is responsible to say.

use schemars::JsonSchema;
use serde::Serialize;

use super::phrase::{Digits, Figure, Phrase};
use super::units::Units;
use crate::problem::{Beyond, Problem, convert};

/// A mix beside what was approved.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct ApprovalLine {
    /// Whether anything lies beyond it.
    pub needs_new_trial: bool,
    /// What approved it, in the author's words.
    pub note: Option<String>,
    /// What lies beyond it; nothing for a mix within.
    pub beyond: Vec<BeyondLine>,
}

/// One thing that is not approved.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct BeyondLine {
    /// What it is about.
    pub name: String,
    /// The mix's value in `unit`, if it has one.
    pub value: Option<f64>,
    /// Lower end of what was approved, in `unit`.
    pub low: Option<f64>,
    /// Upper end of what was approved, in `unit`; without both ends it is a material that the approved mix does not have.
    pub high: Option<f64>,
    /// The reader's unit.
    pub unit: String,
}

/// A mix beside what was approved; `used` tells which materials it has. Nothing where nothing was approved.
pub fn approval(problem: &Problem, mix: &[f64], used: &[bool], units: Units) -> Option<ApprovalLine> {
    let approved = problem.approved.as_ref()?;
    let line = |beyond: Beyond| match beyond {
        Beyond::Range(at, value) => {
            let range = &approved.ranges[at];
            let unit = units.shown(&range.unit, &problem.currency);
            let shown = |value: Option<f64>| value.map(|value| convert(value, &range.unit, &unit));
            BeyondLine {
                name: range.name.clone(),
                value: shown(value),
                low: shown(range.low),
                high: shown(range.high),
                unit: unit.text,
            }
        }
        Beyond::Material(at) => {
            let unit = units.content();
            BeyondLine {
                name: problem.mixture.catalogue.materials[at].name.clone(),
                value: mix.get(at.index()).map(|amount| unit.from_base(*amount)),
                low: None,
                high: None,
                unit: unit.text,
            }
        }
    };
    let beyond: Vec<BeyondLine> = problem.beyond_approved(mix, used).into_iter().map(line).collect();
    Some(ApprovalLine { needs_new_trial: !beyond.is_empty(), note: approved.note.clone(), beyond })
}

impl BeyondLine {
    /// In words: `cement 342.0 kg/m3, approved 310 .. 330 kg/m3`.
    pub fn phrase(&self) -> Phrase {
        let end = |value: f64| Figure::new(value, Digits::Trimmed(4));
        let of = |figure: Figure| Figure { unit: self.unit.clone(), ..figure };
        let value = match self.value {
            Some(0.0) => " not used".into(),
            Some(value) => Phrase::from(" ").and(of(Figure::new(value, Digits::Significant(4)))),
            None => " without a value".into(),
        };
        let approved = match (self.low, self.high) {
            (Some(low), Some(high)) => {
                Phrase::from(", approved ").and(end(low)).and(" .. ").and(of(end(high)))
            }
            (Some(low), None) => Phrase::from(", approved at least ").and(of(end(low))),
            (None, Some(high)) => Phrase::from(", approved at most ").and(of(end(high))),
            (None, None) => ", not in the approved mix".into(),
        };
        Phrase::from(&self.name).and(value).and(approved)
    }
}

impl ApprovalLine {
    /// What a reader is told, in a sentence.
    pub fn phrase(&self) -> Phrase {
        let by = self.note.as_ref().map_or_else(String::new, |note| format!(" ({note})"));
        if self.beyond.is_empty() {
            return format!("It lies within the ranges that the statement calls approved{by}.").into();
        }
        let told = Phrase::joined(self.beyond.iter().map(BeyondLine::phrase), "; ");
        Phrase::from(format!("NEEDS A NEW TRIAL, being beyond what the statement calls approved{by}: "))
            .and(told)
            .and(".")
    }
}
