//! What a reader is told of confirmation batches.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, RowKind, Table};
use super::cautions::PROPOSAL;
use super::phrase::{Digits, Figure, Phrase};
use super::residuals::{Residual, pooled};
use crate::problem::Problem;
use crate::response::Link;
use crate::trial::batch::Trials;
use crate::trial::confirm::{Confirmed, Place};

/// Probability below which a fit is called refuted.
const REFUTED: f64 = 0.05;

/// Judgements for programs.
#[derive(Debug, JsonSchema, Serialize)]
pub struct ConfirmFacts {
    /// Digest of the confirming data.
    pub data: String,
    /// Each response.
    pub responses: Vec<Judged>,
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// One response.
#[derive(Debug, JsonSchema, Serialize)]
pub struct Judged {
    /// Its name.
    pub response: String,
    /// Its unit.
    pub unit: String,
    /// Digest of the data it was fitted to.
    pub fitted_to: Option<String>,
    /// The statistic, its degrees of freedom and its probability.
    #[schemars(with = "[Option<f64>; 4]")]
    pub f: (f64, f64, f64, f64),
    /// Mean error on the link's scale, and its probability.
    #[schemars(with = "[Option<f64>; 2]")]
    pub bias: (f64, f64),
    /// Link.
    pub link: &'static str,
    /// Share of results above their one-sided 95 % bounds, from twenty results on.
    pub coverage: Option<f64>,
    /// Results.
    pub results: Vec<ResultLine>,
}

/// One result.
#[derive(Debug, JsonSchema, Serialize)]
pub struct ResultLine {
    /// Response.
    pub response: String,
    /// Mix.
    pub mix: String,
    /// Batch.
    pub batch: String,
    /// Age, d.
    pub age: Option<f64>,
    /// Measured.
    pub measured: f64,
    /// Predicted.
    pub predicted: f64,
    /// Error over its standard deviation.
    #[schemars(with = "Option<f64>")]
    pub deviations: f64,
    /// Whether the mix lies outside the region of the fit.
    pub outside: bool,
}

/// Gathers the facts.
pub fn facts(problem: &Problem, trials: &Trials, judged: &[Confirmed]) -> ConfirmFacts {
    let one = |confirmed: &Confirmed| {
        let response = &problem.responses[confirmed.response];
        Judged {
            response: response.name.clone(),
            unit: response.unit.text.clone(),
            fitted_to: response.basis.as_ref().and_then(|basis| basis.data.clone()),
            f: (confirmed.ratio, confirmed.freedom.0, confirmed.freedom.1, confirmed.probability),
            bias: (confirmed.bias, confirmed.bias_probability),
            link: response.link.word(),
            coverage: confirmed.coverage,
            results: confirmed
                .results
                .iter()
                .map(|result| ResultLine {
                    response: response.name.clone(),
                    mix: trials.mixes[trials.batches[result.batch].mix].clone(),
                    batch: trials.batches[result.batch].name.clone(),
                    age: result.age,
                    measured: result.measured,
                    predicted: result.predicted,
                    deviations: result.error / result.deviation,
                    outside: result.is_outside == Place::Outside,
                })
                .collect(),
        }
    };
    ConfirmFacts {
        data: trials.digest.clone(),
        responses: judged.iter().map(one).collect(),
        caution: PROPOSAL,
    }
}

/// All results in one table.
pub fn table(facts: &ConfirmFacts) -> Table {
    let mut table = Table::new([
        Column::words("response"),
        Column::words("unit"),
        Column::words("mix"),
        Column::words("batch"),
        Column::figures("age, d"),
        Column::figures("measured"),
        Column::figures("predicted"),
        Column::figures("error in deviations"),
        Column::words("remark"),
    ]);
    let lines =
        facts.responses.iter().flat_map(|judged| judged.results.iter().map(move |line| (judged, line)));
    for (judged, line) in lines {
        let figure = |value: f64| Phrase::from(Figure::new(value, Digits::Significant(4)));
        let kind = if 3.0 < line.deviations.abs() { RowKind::Missed } else { RowKind::Usual };
        table.row_of(
            kind,
            [
                Phrase::from(line.response.as_str()),
                judged.unit.as_str().into(),
                line.mix.as_str().into(),
                line.batch.as_str().into(),
                line.age.map_or_else(Phrase::empty, |age| Figure::new(age, Digits::Trimmed(4)).into()),
                figure(line.measured),
                figure(line.predicted),
                Figure::new(line.deviations, Digits::Decimals(2)).signed().into(),
                if line.outside { "outside the region" } else { "" }.into(),
            ],
        );
    }
    table
}

/// Blocks for people.
pub fn parts(facts: &ConfirmFacts) -> Vec<Part> {
    let mut judged = Table::new([
        Column::words("response"),
        Column::figures("F"),
        Column::figures("probability"),
        Column::figures("mean error"),
        Column::figures("probability"),
        Column::words("judgement"),
    ]);
    for one in &facts.responses {
        let bias = Figure::new(one.bias.0, Digits::Trimmed(3)).signed();
        let unit = if one.link == Link::Identity.word() { one.unit.clone() } else { String::new() };
        let told = match (one.f.3 < REFUTED, one.bias.1 < REFUTED) {
            (false, false) => "agrees with the fit",
            (false, true) => "one-sided: fit again before relying on it",
            (true, true) => "refuted, and one-sided",
            (true, false) => "refuted: scatters more than the fit allows",
        };
        judged.row([
            Phrase::from(one.response.as_str()),
            Figure::new(one.f.0, Digits::Decimals(2)).into(),
            Figure::new(one.f.3, Digits::Decimals(3)).into(),
            Figure { unit, ..bias }.into(),
            Figure::new(one.bias.1, Digits::Decimals(3)).into(),
            told.into(),
        ]);
    }
    let frozen = facts.responses.iter().map(|one| {
        let to = one.fitted_to.as_deref().unwrap_or("data without a digest");
        format!("{}: fitted to {to}; judged on {} results", one.response, one.results.len())
    });
    let coverage = facts.responses.iter().filter_map(|one| {
        one.coverage.map(|share| {
            format!(
                "{}: {:.0} % of results lie above their one-sided 95 % bounds",
                one.response,
                100.0 * share
            )
        })
    });
    let mut parts = vec![
        Part::new("Confirmation", "of a frozen fit, before anything is fitted again")
            .with(judged)
            .remarking("Mean errors are measured less predicted, on the link's scale. Few batches refute little: agreement is no proof.")
            .listing(frozen)
            .listing(coverage),
        Part::new("Results", Phrase::empty()).with(table(facts).without_empty_columns()),
    ];
    let all = facts.responses.iter().flat_map(|judged| {
        let one = |line: &ResultLine| Residual {
            response: line.response.clone(),
            unit: judged.unit.clone(),
            age: line.age,
            mix: line.mix.clone(),
            value: line.measured - line.predicted,
            predicted: line.predicted,
            deviations: line.deviations,
        };
        judged.results.iter().map(one)
    });
    parts.extend(pooled(&all.collect::<Vec<_>>()));
    parts.push(Part::default().saying(PROPOSAL));
    parts
}
