//! What a reader is told of fitted responses.
//!
//! What enters: fits with what judges them, and the trials. What leaves: facts for programs.

use schemars::JsonSchema;
use serde::Serialize;

use super::cautions::PROPOSAL;
use super::fit_remarks::{held_too_seldom, told, unused};
use crate::quantity::Unit;
use crate::trial::batch::Trials;
use crate::trial::fitting::Fitted;
use crate::trial::judged::{coverage, crossed, crossed_error, lack_of_fit, outliers};

/// Everything about some fits.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FitFacts {
    /// Digest of the data.
    pub data: String,
    /// Fits in the order asked for.
    pub fits: Vec<OneFit>,
    /// Rows and values that are not used.
    pub left_out: Vec<LeftOutLine>,
    /// Measured columns that were not fitted, and why.
    pub not_fitted: Vec<String>,
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// A row that is not used.
#[derive(Debug, JsonSchema, Serialize)]
pub struct LeftOutLine {
    /// The file, where there are several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Line of the file.
    pub line: usize,
    /// Why.
    pub reason: String,
}

/// One fit.
#[derive(Debug, JsonSchema, Serialize)]
pub struct OneFit {
    /// Response.
    pub response: String,
    /// Its unit.
    pub unit: String,
    /// Age, d.
    pub age: Option<f64>,
    /// Link.
    pub link: &'static str,
    /// Whether the terms take factors coded to -1 .. 1.
    pub coded: bool,
    /// Factors, with the values that the trials span.
    pub factors: Vec<FactorLine>,
    /// Terms that stand.
    pub terms: Vec<TermLine>,
    /// Residual deviation on the link's scale.
    pub residual: f64,
    /// Degrees of freedom.
    pub degrees_of_freedom: f64,
    /// Power of the prediction by which the residual grows.
    pub power: f64,
    /// Prediction at which the residual holds.
    pub at: f64,
    /// Share of variance explained.
    #[schemars(with = "Option<f64>")]
    pub r2: f64,
    /// The same for results left out one by one.
    #[schemars(with = "Option<f64>")]
    pub r2_left_out: f64,
    /// Root mean square error for left-out mixes, in the response's unit.
    pub error_of_other_mixes: Option<f64>,
    /// Shares of results of left-out mixes above their one-sided 95 % bounds, in each third of the predictions from low to
    /// high; none for few results.
    pub bounds_held: Option<[f64; 3]>,
    /// Deviation between repeated batches.
    pub batch_deviation: Option<f64>,
    /// F of the lack of fit and its probability.
    pub lack_of_fit: Option<(f64, f64)>,
    /// Deviation of specimens within a batch, and degrees of freedom.
    pub specimens: Option<(f64, usize)>,
    /// Largest leverage allowed.
    pub leverage_limit: f64,
    /// Condition number of the scaled columns.
    pub condition: f64,
    /// Batches.
    pub batches: Vec<BatchLine>,
    /// What the reader should know.
    pub remarks: Vec<String>,
}

/// One factor.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FactorLine {
    /// Its short name in the terms.
    pub name: String,
    /// The quantity.
    pub is: String,
    /// Its unit.
    pub unit: String,
    /// Least and greatest value in the trials: coded as -1 and +1 where the terms are coded.
    pub between: (f64, f64),
}

/// One coefficient.
#[derive(Debug, JsonSchema, Serialize)]
pub struct TermLine {
    /// The term, factors coded.
    pub term: String,
    /// Coefficient.
    pub coefficient: f64,
    /// Standard error.
    pub error: f64,
}

/// One result.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct BatchLine {
    /// Response.
    pub response: String,
    /// Mix.
    pub mix: String,
    /// Batch.
    pub batch: String,
    /// Age, d.
    pub age: Option<f64>,
    /// Measured, mean of the specimens.
    pub measured: f64,
    /// Predicted.
    pub predicted: f64,
    /// Residual over its deviation as estimated without this result.
    #[schemars(with = "Option<f64>")]
    pub studentised: f64,
    /// Leverage.
    pub leverage: f64,
    /// Whether it is an outlier.
    pub outlier: bool,
}

/// Gathers the facts.
pub fn facts(fits: &[Fitted], trials: &Trials, not_fitted: Vec<String>) -> FitFacts {
    let left_out = trials
        .left_out
        .iter()
        .map(|left| LeftOutLine { file: left.file.clone(), line: left.line, reason: left.reason.clone() })
        .collect();
    let mut not_fitted = not_fitted;
    not_fitted.extend(unused(fits, trials));
    let fits = fits.iter().map(|fit| one(fit, trials)).collect();
    FitFacts { data: trials.digest.clone(), fits, left_out, not_fitted, caution: PROPOSAL }
}

fn one(fit: &Fitted, trials: &Trials) -> OneFit {
    let form = &fit.form;
    let names: Vec<String> = fit.asked.factors.iter().map(|factor| factor.name.clone()).collect();
    let measured = trials.measured.iter().position(|measured| measured.name == fit.asked.name);
    let unit = measured.map_or_else(Unit::number, |at| trials.measured[at].unit.clone());
    let terms = form.kept.iter().enumerate().map(|(at, term)| TermLine {
        term: form.candidates[*term].words(&names),
        coefficient: form.fit.coefficients[at],
        error: form.fit.errors[at],
    });
    let factors = fit.asked.factors.iter().enumerate().map(|(at, factor)| {
        let values = fit.rows.iter().map(|row| row.factors[at]);
        let low = values.clone().fold(f64::INFINITY, f64::min);
        FactorLine {
            name: factor.name.clone(),
            is: factor.is.clone(),
            unit: factor.unit.text.clone(),
            between: (low, values.fold(f64::NEG_INFINITY, f64::max)),
        }
    });
    let outliers = outliers(fit);
    let batches = fit.rows.iter().enumerate().map(|(at, row)| BatchLine {
        response: fit.asked.name.clone(),
        mix: trials.mixes[row.mix].clone(),
        batch: trials.batches[row.batch].name.clone(),
        age: row.age,
        measured: row.measured,
        predicted: form.link.response(form.fit.predicted[at]),
        studentised: form.fit.studentised[at],
        leverage: form.fit.leverages[at],
        outlier: outliers.contains(&at),
    });
    let lack = lack_of_fit(fit);
    let others = crossed(fit, 0);
    let held = others.clone().and_then(|others| coverage(fit, others));
    let mut remarks = fit.remarks.clone();
    remarks.extend(told(fit, trials, lack.as_ref(), &outliers));
    remarks.extend(held.as_ref().and_then(held_too_seldom));
    let fitted_power = form.power;
    OneFit {
        response: fit.asked.name.clone(),
        unit: unit.text,
        age: fit.asked.age,
        link: form.link.word(),
        coded: form.coding.iter().any(|coding| *coding != (0.0, 1.0)),
        factors: factors.collect(),
        terms: terms.collect(),
        residual: form.fit.deviation,
        degrees_of_freedom: form.fit.freedom,
        power: fitted_power,
        at: form.at,
        r2: form.fit.explained,
        r2_left_out: form.fit.explained_left_out,
        error_of_other_mixes: others.as_ref().map(|list| crossed_error(fit, list)),
        bounds_held: held,
        batch_deviation: lack.map(|lack| lack.deviation),
        lack_of_fit: lack.filter(|lack| 0.0 < lack.above).map(|lack| (lack.ratio, lack.probability)),
        specimens: trials.specimen_scatter(fit.rows.iter().flat_map(|row| row.outcomes.iter().copied())),
        leverage_limit: fit.region.limit,
        condition: form.fit.condition,
        batches: batches.collect(),
        remarks,
    }
}
