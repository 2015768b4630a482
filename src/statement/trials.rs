//! What a fitted response knows of its trials.
//!
//! What enters: the map `trials` of a response. What leaves: a [`TrialsEntry`] whose matrices are lists of numbers; whether
//! they fit the terms is for the responses to say.

use super::fields::Reading;
use super::keys::TRIALS;
use super::tree::{Kind, Node};
use super::word::{Located, Word};
use crate::finding::{Finding, Place};
use crate::quantity::{Dimension, Scalar};

/// The map `trials` of a response.
#[derive(Clone, Debug)]
pub struct TrialsEntry {
    /// Degrees of freedom of the residual.
    pub freedom: Located<f64>,
    /// Deviation between repeated batches.
    pub batch: Option<Located<Scalar>>,
    /// Power of the prediction by which the residual grows.
    pub power: Option<Located<f64>>,
    /// The prediction at which the residual holds.
    pub at: Option<Located<Scalar>>,
    /// What a doubtful slope adds.
    pub slope: Option<Located<f64>>,
    /// The covariance that leverage is measured by.
    pub region: Option<Located<Vec<Vec<f64>>>>,
    /// The measured column, where it has another name than the response.
    pub measured: Option<Word>,
    /// Age of the results.
    pub age: Option<Located<Scalar>>,
    /// How many batches were fitted.
    pub batches: Option<u32>,
    /// Digest of the data.
    pub data: Option<Word>,
    /// Date of the last trial.
    pub date: Option<Word>,
    /// Where the map stands.
    pub place: Place,
}

/// Most batches that a fit may tell of.
const MOST_BATCHES: u32 = 10_000_000;

/// Reads `trials`.
pub fn trials(node: Node, owner: &str, reading: &mut Reading) -> Option<TrialsEntry> {
    let place = node.shown();
    let owner = format!("`trials` of {owner}");
    let mut fields = reading.fields(node, &owner, TRIALS)?;
    let number = |fields: &mut super::fields::Fields, key: &str, reading: &mut Reading, least: f64| {
        let owner = fields.named(key);
        let node = fields.take(key)?;
        let read = reading.number(&node, &owner)?;
        if read.value < least {
            reading.push(
                Finding::error(read.place, format!("{owner} is {}", read.value))
                    .note(format!("allowed: {least} or more")),
            );
            return None;
        }
        Some(read)
    };
    let freedom = number(&mut fields, "degrees of freedom", reading, 1.0);
    let power = number(&mut fields, "power", reading, 0.0);
    let slope = number(&mut fields, "slope variance", reading, 0.0);
    let batch = fields.scalar("batch deviation", reading, &[]);
    let at = fields.scalar("at", reading, &[]);
    if let Some(power) = power.as_ref().filter(|power| power.value != 0.0 && at.is_none()) {
        reading.push(
            Finding::error(power.place, format!("{owner} have a `power` and no `at`"))
                .help("add `at: 40 MPa`, the prediction at which the residual holds"),
        );
    }
    let region =
        fields.take("region covariance").and_then(|node| matrix(&node, "region covariance", &owner, reading));
    let measured = fields.word("measured", reading);
    let age = fields.scalar("age", reading, &[Dimension::TIME]);
    let batches_owner = fields.named("batches");
    let batches =
        fields.take("batches").and_then(|node| reading.count_up_to(&node, &batches_owner, MOST_BATCHES));
    Some(TrialsEntry {
        freedom: freedom?,
        batch,
        power,
        at,
        slope,
        region,
        measured,
        age,
        batches: batches.map(|batches| batches.value),
        data: fields.word("data", reading),
        date: fields.word("date", reading),
        place,
    })
}

/// A list of rows of numbers.
pub fn matrix(node: &Node, what: &str, owner: &str, reading: &mut Reading) -> Option<Located<Vec<Vec<f64>>>> {
    let Kind::List(rows) = &node.kind else {
        reading.push(
            Finding::error(node.place, format!("`{what}` of {owner} is {}", node.kind.described()))
                .note("a list of rows, each a list of numbers, is needed"),
        );
        return None;
    };
    let mut matrix = Vec::with_capacity(rows.len());
    for row in rows {
        let Kind::List(items) = &row.kind else {
            reading.push(Finding::error(
                row.place,
                format!("a row of the {what} of {owner} is {}", row.kind.described()),
            ));
            return None;
        };
        let numbers: Option<Vec<f64>> = items
            .iter()
            .map(|item| Some(reading.number(item, &format!("the {what} of {owner}"))?.value))
            .collect();
        matrix.push(numbers?);
    }
    Some(Located { value: matrix, place: node.place })
}
