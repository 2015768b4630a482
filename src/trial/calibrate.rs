//! A built-in law corrected by a few own results.
//!
//! What enters: logarithms of measured over predicted, and two deviations from prior data: between levels (mixes or plants
//! about the law) and within a level (batches). What leaves: a scale on the law, shrunken towards one: with n results
//! correction = tau2 / (tau2 + sigma2 / n) x mean deviation, the posterior mean of a normal level, and its variance
//! tau2 (1 - share) (the normal model with known variances; any text on Bayesian statistics). A scale keeps exact rows
//! exact. The slope of a law stays as it is.

use super::batch::Trials;
use crate::listed::Id;
use crate::problem::{Problem, convert};
use crate::response::Response;

/// Deviations on the logarithm, from prior data.
#[derive(Clone, Copy, Debug)]
pub struct Prior {
    /// Between levels: tau.
    pub between: f64,
    /// Within a level: sigma.
    pub within: f64,
}

/// A correction.
#[derive(Clone, Copy, Debug)]
pub struct Correction {
    /// Factor on the law.
    pub scale: f64,
    /// Mean of the logarithms.
    pub mean: f64,
    /// Share of the mean that is believed.
    pub share: f64,
    /// Variance of the level that remains, on the logarithm.
    pub variance: f64,
    /// How many results.
    pub results: usize,
}

/// The shrunken correction; without results the scale is one.
pub fn correction(logarithms: &[f64], prior: Prior) -> Correction {
    let n = logarithms.len() as f64;
    let (tau2, sigma2) = (prior.between.powi(2), prior.within.powi(2));
    let share = if n == 0.0 || tau2 == 0.0 { 0.0 } else { tau2 / (tau2 + sigma2 / n) };
    let mean = if n == 0.0 { 0.0 } else { logarithms.iter().sum::<f64>() / n };
    Correction {
        scale: (share * mean).exp(),
        mean,
        share,
        variance: tau2 * (1.0 - share),
        results: logarithms.len(),
    }
}

/// One own result beside the law.
#[derive(Clone, Debug)]
pub struct OwnResult {
    /// Batch, an index into the trials.
    pub batch: usize,
    /// Measured, in the response's unit.
    pub measured: f64,
    /// Predicted by the law without scale, in the response's unit.
    pub predicted: f64,
}

/// Own results of a response at its age; batches count, not specimens.
pub fn own_results(problem: &Problem, response: Id<Response>, trials: &Trials) -> Vec<OwnResult> {
    let described = &problem.responses[response];
    let Some(measured) = trials.measured.iter().position(|measured| measured.name == described.name) else {
        return Vec::new();
    };
    let age = described.strength.as_ref().map(|strength| strength.age / 86_400.0);
    let mut list = Vec::new();
    for outcome in trials.outcomes_of(measured) {
        if let (Some(wanted), Some(age)) = (age, outcome.age)
            && 0.02 * wanted < (age - wanted).abs()
        {
            continue;
        }
        let mut mix = trials.batches[outcome.batch].amounts.clone();
        mix.resize(problem.mixture.columns.len(), 0.0);
        let Some(prediction) = problem.predict(response, &mix) else { continue };
        let predicted = prediction.value / described.scale;
        let own = convert(outcome.mean(), &trials.measured[measured].unit, &described.unit);
        if 0.0 < predicted && 0.0 < own {
            list.push(OwnResult { batch: outcome.batch, measured: own, predicted });
        }
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_correction_is_believed_as_far_as_its_results_allow() {
        let prior = Prior { between: 0.2, within: 0.1 };
        let one = correction(&[0.1], prior);
        assert!((one.share - 0.8).abs() < 1e-12 && (one.scale.ln() - 0.08).abs() < 1e-12);
        let four = correction(&[0.1; 4], prior);
        assert!((four.share - 0.04 / 0.0425).abs() < 1e-12 && four.variance < one.variance);
        assert_eq!(correction(&[], prior).scale, 1.0);
    }
}
