//! What a reader is told of a law that own results correct.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, Table};
use super::cautions::PROPOSAL;
use super::phrase::{Digits, Figure, Phrase};
use crate::response::Response;
use crate::trial::batch::Trials;
use crate::trial::calibrate::{Correction, OwnResult, Prior};

/// A calibration for programs.
#[derive(Debug, JsonSchema, Serialize)]
pub struct CalibrationFacts {
    /// Response.
    pub response: String,
    /// Its unit.
    pub unit: String,
    /// Factor on the law.
    pub scale: f64,
    /// Share of the mean deviation that is believed.
    pub share: f64,
    /// Mean deviation, as a factor.
    pub mean: f64,
    /// Deviation of one more batch, relative.
    pub deviation: f64,
    /// Prior deviations between levels and within one, relative.
    pub prior: (f64, f64),
    /// Results: mix, batch, measured, predicted by the law.
    pub results: Vec<(String, String, f64, f64)>,
    /// Digest of the data.
    pub data: String,
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// Gathers the facts.
pub fn facts(
    response: &Response,
    trials: &Trials,
    results: &[OwnResult],
    correction: Correction,
    prior: Prior,
    deviation: f64,
) -> CalibrationFacts {
    let line = |own: &OwnResult| {
        let batch = &trials.batches[own.batch];
        (trials.mixes[batch.mix].clone(), batch.name.clone(), own.measured, own.predicted)
    };
    CalibrationFacts {
        response: response.name.clone(),
        unit: response.unit.text.clone(),
        scale: correction.scale,
        share: correction.share,
        mean: correction.mean.exp(),
        deviation,
        prior: (prior.between, prior.within),
        results: results.iter().map(line).collect(),
        data: trials.digest.clone(),
        caution: PROPOSAL,
    }
}

/// Results in one table.
pub fn table(facts: &CalibrationFacts) -> Table {
    let mut table = Table::new([
        Column::words("mix"),
        Column::words("batch"),
        Column::figures("measured"),
        Column::figures("by the law"),
        Column::figures("corrected"),
    ]);
    for (mix, batch, measured, predicted) in &facts.results {
        let figure = |value: f64| Phrase::from(Figure::new(value, Digits::Trimmed(4)));
        table.row([
            Phrase::from(mix.as_str()),
            batch.as_str().into(),
            figure(*measured),
            figure(*predicted),
            figure(facts.scale * predicted),
        ]);
    }
    table
}

/// Blocks for people.
pub fn parts(facts: &CalibrationFacts) -> Vec<Part> {
    let share = |value: f64, digits: usize| Figure::percent(value, Digits::Trimmed(digits));
    let told = Phrase::from(format!("{} results lie ", facts.results.len()))
        .and(share(facts.mean - 1.0, 3).signed())
        .and(" from the law in the mean. Of that ")
        .and(share(facts.share, 2))
        .and(" is believed, by prior deviations of ")
        .and(share(facts.prior.0, 3))
        .and(" between levels and ")
        .and(share(facts.prior.1, 3))
        .and(" within one: the law times ")
        .and(Figure::new(facts.scale, Digits::Decimals(4)))
        .and(".");
    vec![
        Part::new("Calibration", facts.response.clone())
            .saying(told)
            .saying(
                Phrase::from("One more batch deviates by ")
                    .and(share(facts.deviation, 3))
                    .and(" of its prediction."),
            )
            .with(table(facts))
            .remarking("The slope of the law stays as it is: results of few mixes cannot tell it."),
        Part::default().saying(PROPOSAL),
    ]
}
