//! A built-in law corrected by a few own results.
//!
//! What enters: logarithms of measured over predicted, and two deviations from prior data: between levels (mixes or plants
//! about the law) and within a level (batches). What leaves: a scale on the law, shrunken towards one: with n results
//! correction = tau2 / (tau2 + sigma2 / n) x mean deviation, the posterior mean of a normal level, and its variance
//! tau2 (1 - share) (the normal model with known variances; any text on Bayesian statistics). A scale keeps exact rows exact.
//!
//! The slope of the law, a power on its prediction, stays one unless the predictions of the own batches range over more than
//! six of the deviations that weighing and moisture give them: within that, a slope is the scatter of the scales. Then
//! ln(measured / predicted) = level + (power - 1) (ln predicted - mean): about the mean the two are independent, and the power is
//! shrunken towards one like the level where prior data tell how slopes deviate. A power keeps exact rows exact too: a limit
//! moves through it, and its variance is that at the limit.

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
    /// Between slopes about one; nothing where no prior data tell it.
    pub slopes: Option<f64>,
}

/// How exactly own batches were weighed.
#[derive(Clone, Copy, Debug)]
pub struct Weighing {
    /// Deviation of a weight, relative.
    pub weight: f64,
    /// Deviation of the moisture of an aggregate, share of its dry mass.
    pub moisture: f64,
}

/// Ranges of predictions, in deviations of weighing and moisture, up to which a slope is fixed.
pub const FREED: f64 = 6.0;

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
    /// The slope.
    pub slope: Slope,
}

/// The slope of the law as own results tell it.
#[derive(Clone, Copy, Debug)]
pub struct Slope {
    /// Power on the law's prediction; one where it is fixed.
    pub power: f64,
    /// Its variance; zero where it is fixed.
    pub variance: f64,
    /// Geometric mean of the law's predictions, which the power leaves.
    pub at: f64,
    /// Range of the logarithms of the law's predictions over own batches.
    pub range: f64,
    /// What weighing and moisture make of such a logarithm.
    pub deviation: f64,
}

impl Slope {
    /// Whether it was freed.
    pub fn is_free(&self) -> bool {
        0.0 < self.variance
    }
}

/// The shrunken correction; without results the scale is one.
pub fn correction(results: &[OwnResult], prior: Prior) -> Correction {
    let n = results.len() as f64;
    let logarithms: Vec<f64> = results.iter().map(|own| (own.measured / own.predicted).ln()).collect();
    let (tau2, sigma2) = (prior.between.powi(2), prior.within.powi(2));
    let share = if n == 0.0 || tau2 == 0.0 { 0.0 } else { tau2 / (tau2 + sigma2 / n) };
    let mean = if n == 0.0 { 0.0 } else { logarithms.iter().sum::<f64>() / n };
    Correction {
        scale: (share * mean).exp(),
        mean,
        share,
        variance: tau2 * (1.0 - share),
        results: results.len(),
        slope: slope(results, &logarithms, prior),
    }
}

fn slope(results: &[OwnResult], logarithms: &[f64], prior: Prior) -> Slope {
    let n = results.len().max(1) as f64;
    let predicted: Vec<f64> = results.iter().map(|own| own.predicted.ln()).collect();
    let centre = predicted.iter().sum::<f64>() / n;
    let (low, high) = predicted
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(*value), high.max(*value)));
    let range = (high - low).max(0.0);
    let deviation = (results.iter().map(|own| own.deviation.powi(2)).sum::<f64>() / n).sqrt();
    let fixed = Slope { power: 1.0, variance: 0.0, at: centre.exp(), range, deviation };
    let square: f64 = predicted.iter().map(|value| (value - centre).powi(2)).sum();
    if range <= FREED * deviation || square <= 0.0 {
        return fixed;
    }
    let product: f64 =
        predicted.iter().zip(logarithms).map(|(value, logarithm)| (value - centre) * logarithm).sum();
    let alone = prior.within.powi(2) / square;
    let share = prior.slopes.map_or(1.0, |slopes| slopes.powi(2) / (slopes.powi(2) + alone));
    Slope { power: 1.0 + share * product / square, variance: share * alone, ..fixed }
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
    /// Deviation of the logarithm of that by weighing and moisture.
    pub deviation: f64,
}

/// Own results of a response at its age, and why others are not used; batches count, not specimens.
pub fn own_results(
    problem: &Problem,
    response: Id<Response>,
    trials: &Trials,
    weighing: Weighing,
) -> (Vec<OwnResult>, Vec<String>) {
    let described = &problem.responses[response];
    let of_name = |name: &str| trials.measured.iter().position(|measured| measured.name == name);
    let (mut list, mut unused) = (Vec::new(), Vec::new());
    let Some(measured) = of_name(&described.name).or_else(|| of_name(described.measured_as())) else {
        return (list, unused);
    };
    let age = described.age();
    let own: Vec<usize> =
        (0..trials.outcomes.len()).filter(|at| trials.outcomes[*at].measured == measured).collect();
    let curing = described.strength.as_ref().map(|strength| strength.curing.as_str());
    let (cured, remark) = trials.cured(&own, curing);
    unused.extend(remark);
    for at in &own {
        let outcome = &trials.outcomes[*at];
        let batch = &trials.batches[outcome.batch];
        let mut leave = |why: &str| unused.push(format!("batch `{}`: {why}", batch.name));
        if !cured.contains(at) {
            leave("its result is of another curing");
            continue;
        }
        if let (Some(wanted), Some(age)) = (age, outcome.age)
            && 0.02 * wanted < (age - wanted).abs()
        {
            leave(&format!("its result is at {age} d, the response is at {wanted} d"));
            continue;
        }
        let mut mix = batch.amounts.clone();
        mix.resize(problem.mixture.columns.len(), 0.0);
        let Some(predicted) = by_law(problem, response, &mix) else {
            leave("the law gives nothing above zero for its mix");
            continue;
        };
        let measured = convert(outcome.mean(), &trials.measured[measured].unit, &described.unit);
        if measured <= 0.0 {
            leave("its result is not above zero, and has no logarithm");
            continue;
        }
        let deviation = deviation(problem, response, &mix, predicted, weighing);
        list.push(OwnResult { batch: outcome.batch, measured, predicted, deviation });
    }
    (list, unused)
}

/// What the law gives without correction, above zero.
fn by_law(problem: &Problem, response: Id<Response>, mix: &[f64]) -> Option<f64> {
    let predicted = problem.predict(response, mix)?.predictor / problem.responses[response].scale;
    (predicted.is_finite() && 0.0 < predicted).then_some(predicted)
}

/// Deviation of the logarithm of a prediction by that of weights and of moistures, errors independent, to first order.
fn deviation(
    problem: &Problem,
    response: Id<Response>,
    mix: &[f64],
    predicted: f64,
    weighing: Weighing,
) -> f64 {
    let materials = &problem.mixture.catalogue.materials;
    let change = |move_by: &dyn Fn(&mut [f64])| {
        let mut moved = mix.to_vec();
        move_by(&mut moved);
        by_law(problem, response, &moved).map_or(0.0, |value| (value / predicted).ln())
    };
    let water = problem.mixture.corrected_water(mix);
    let mut square = 0.0;
    for (at, material) in materials.iter().enumerate() {
        square += change(&|mix: &mut [f64]| mix[at] *= 1.0 + weighing.weight).powi(2);
        if let (true, Some(water)) = (material.role.is_aggregate(), water) {
            square += change(&|mix: &mut [f64]| {
                let moved = weighing.moisture * mix[at];
                mix[at] -= moved;
                mix[water.index()] += moved;
            })
            .powi(2);
        }
    }
    square.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn own(logarithm: f64, predicted: f64, deviation: f64) -> OwnResult {
        OwnResult { batch: 0, measured: predicted * logarithm.exp(), predicted, deviation }
    }

    #[test]
    fn a_correction_is_believed_as_far_as_its_results_allow() {
        let prior = Prior { between: 0.2, within: 0.1, slopes: None };
        let one = correction(&[own(0.1, 40.0, 0.02)], prior);
        assert!((one.share - 0.8).abs() < 1e-12 && (one.scale.ln() - 0.08).abs() < 1e-12);
        let four = correction(&vec![own(0.1, 40.0, 0.02); 4], prior);
        assert!((four.share - 0.04 / 0.0425).abs() < 1e-12 && four.variance < one.variance);
        assert!(!four.slope.is_free());
        assert_eq!(correction(&[], prior).scale, 1.0);
    }

    /// ln(measured / predicted) = 0.05 - 0.2 (ln predicted - mean): the power 0.8 comes back once the range exceeds six
    /// deviations, whole without prior data of slopes and shrunken with them; below, the slope is one.
    #[test]
    fn a_slope_is_freed_where_its_range_exceeds_six_deviations_of_weighing() {
        let results = |deviation: f64| -> Vec<OwnResult> {
            [-0.3, -0.1, 0.1, 0.3]
                .iter()
                .map(|at: &f64| own(0.05 - 0.2 * at, 40.0 * at.exp(), deviation))
                .collect()
        };
        let prior = Prior { between: 0.2, within: 0.04, slopes: None };
        let free = correction(&results(0.09), prior).slope;
        assert!(free.is_free() && (free.power - 0.8).abs() < 1e-12 && (free.at - 40.0).abs() < 1e-9);
        assert!((free.variance - 0.0016 / 0.2).abs() < 1e-12);
        let shrunken = correction(&results(0.09), Prior { slopes: Some(0.1), ..prior }).slope;
        let share = 0.01 / (0.01 + 0.008);
        assert!((shrunken.power - (1.0 - 0.2 * share)).abs() < 1e-12);
        assert!((shrunken.variance - 0.008 * share).abs() < 1e-12);
        let fixed = correction(&results(0.11), prior);
        assert!(!fixed.slope.is_free() && fixed.slope.power == 1.0);
        assert!((fixed.mean - 0.05).abs() < 1e-12);
    }
}
