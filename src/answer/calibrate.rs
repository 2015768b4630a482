//! What a reader is told of a law that own results correct.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, Table};
use super::cautions::PROPOSAL;
use super::phrase::{Digits, Figure, Phrase};
use crate::response::Response;
use crate::trial::batch::Trials;
use crate::trial::calibrate::{Correction, FREED, OwnResult, Prior};

/// A calibration for programs.
#[derive(Debug, JsonSchema, Serialize)]
pub struct CalibrationFacts {
    /// Response.
    pub response: String,
    /// Its unit.
    pub unit: String,
    /// Factor on the law.
    pub scale: f64,
    /// Power on the law's prediction, about the prediction that stays; one where the slope is fixed.
    pub power: f64,
    /// Standard deviation of that power; zero where the slope is fixed.
    pub power_deviation: f64,
    /// The law's prediction that the power leaves.
    pub at: f64,
    /// Greatest over least prediction of own batches, and the deviation of one by weighing and moisture, as logarithms.
    pub range: (f64, f64),
    /// What the law depends on.
    pub factors: Vec<String>,
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
    /// Results that are not used, and why.
    pub unused: Vec<String>,
    /// Digest of the data.
    pub data: String,
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// Gathers the facts.
pub fn facts(
    response: &Response,
    trials: &Trials,
    (results, unused): (&[OwnResult], Vec<String>),
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
        power: correction.slope.power,
        power_deviation: correction.slope.variance.sqrt(),
        at: correction.slope.at,
        range: (correction.slope.range, correction.slope.deviation),
        factors: response.factors.iter().map(|factor| factor.name.clone()).collect(),
        share: correction.share,
        mean: correction.mean.exp(),
        deviation,
        prior: (prior.between, prior.within),
        results: results.iter().map(line).collect(),
        unused,
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
            figure(facts.scale * facts.at * (predicted / facts.at).powf(facts.power)),
        ]);
    }
    table
}

/// Blocks for people.
pub fn parts(facts: &CalibrationFacts) -> Vec<Part> {
    let share = |value: f64, digits: usize| Figure::percent(value, Digits::Trimmed(digits));
    let lie = if facts.results.len() == 1 { "1 result lies " } else { "" };
    let many = format!("{} results lie ", facts.results.len());
    let told = Phrase::from(if lie.is_empty() { many.as_str() } else { lie })
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
            .saying(slope(facts))
            .listing(facts.unused.iter().map(|line| format!("not used: {line}"))),
        Part::default().saying(PROPOSAL),
    ]
}

/// Whether the slope was freed, and by what.
fn slope(facts: &CalibrationFacts) -> Phrase {
    let share = |value: f64| Figure::percent(value, Digits::Trimmed(2));
    let of = match facts.factors.as_slice() {
        [] => String::new(),
        list => format!(" (a law of {})", crate::finding::listed(list)),
    };
    let (range, deviation) = facts.range;
    let measured = Phrase::from("the predictions of the own batches range over ")
        .and(share(range.exp() - 1.0))
        .and(", weighing and moisture move one by ")
        .and(share(deviation));
    if facts.power_deviation == 0.0 {
        return Phrase::from(format!("The slope of the law{of} stays as it is: ")).and(measured).and(
            format!(", and within {FREED:.0} such deviations a slope cannot be told from their scatter."),
        );
    }
    let unit = facts.unit.clone();
    Phrase::from(format!("The slope of the law{of} is freed: "))
        .and(measured)
        .and(". Its prediction is taken to the power ")
        .and(Figure::new(facts.power, Digits::Decimals(3)))
        .and(", with a deviation of ")
        .and(Figure::new(facts.power_deviation, Digits::Trimmed(2)))
        .and(", about ")
        .and(Figure { unit, ..Figure::new(facts.at, Digits::Trimmed(4)) })
        .and("; bounds widen away from there.")
}
