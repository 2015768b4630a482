//! Confirmation batches against a frozen fit: was the prediction right, before anything is fitted again?
//!
//! What enters: a problem whose responses came from a fit, and results that were not in it. What leaves: for each response
//! the statistic `e' (V + F C F')^-1 e / (m s2)` with its Fisher probability, and the signed mean error. With `V` the
//! relative variances of results and `F` the terms of the new batches, the errors are independent of the fit's residual.

use super::batch::Trials;
use crate::listed::Id;
use crate::number::distribution::{fisher_tail, student_quantile, student_tail};
use crate::number::orthogonal::Triangle;
use crate::problem::Problem;
use crate::response::{Basis, Covariance, Response, Rule};

/// One result beside its prediction.
#[derive(Clone, Debug)]
pub struct Compared {
    /// Batch, an index into the trials.
    pub batch: usize,
    /// Age, d.
    pub age: Option<f64>,
    /// Measured, in the response's unit.
    pub measured: f64,
    /// Predicted, in the response's unit.
    pub predicted: f64,
    /// Error on the link's scale, measured less predicted.
    pub error: f64,
    /// Standard deviation of such an error.
    pub deviation: f64,
    /// Whether the mix lies outside the region of the fit.
    pub is_outside: Place,
}

/// Where a batch lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Inside the region in which the response is known.
    Inside,
    /// Outside of it: the prediction is an extrapolation.
    Outside,
}

/// The judgement of one response.
#[derive(Clone, Debug)]
pub struct Confirmed {
    /// Response, an index into the problem's.
    pub response: Id<Response>,
    /// Results.
    pub results: Vec<Compared>,
    /// The statistic.
    pub ratio: f64,
    /// Its degrees of freedom: results, those of the fit.
    pub freedom: (f64, f64),
    /// Probability of so large a statistic if the fit is right.
    pub probability: f64,
    /// Mean error on the link's scale.
    pub bias: f64,
    /// Probability of so large a mean error if the fit is right.
    pub bias_probability: f64,
    /// Share of results above their one-sided 95 % bound, from twenty results on.
    pub coverage: Option<f64>,
}

/// Fewest results from which a share of them says anything.
const FEWEST: usize = 20;
/// Share by which an age may differ.
const SAME_AGE: f64 = 0.02;

/// Judges every fitted response on which something was measured.
pub fn confirmed(problem: &Problem, trials: &Trials) -> Vec<Confirmed> {
    problem.responses.ids().filter_map(|response| one(problem, trials, response)).collect()
}

fn one(problem: &Problem, trials: &Trials, index: Id<Response>) -> Option<Confirmed> {
    let response = &problem.responses[index];
    let (basis, residual) = (response.basis.as_ref()?, response.residual?);
    let covariance = response.covariance.as_ref()?;
    let of_name = |name: &str| trials.measured.iter().position(|measured| measured.name == name);
    let measured = of_name(&response.name).or_else(|| of_name(basis.measured.as_deref()?))?;
    let age = response.age();
    let (mut results, mut rows, mut scatters) = (Vec::new(), Vec::new(), Vec::new());
    let own: Vec<usize> =
        (0..trials.outcomes.len()).filter(|at| trials.outcomes[*at].measured == measured).collect();
    let curing = response.strength.as_ref().map(|strength| strength.curing.as_str());
    for outcome in trials.cured(&own, curing).0.into_iter().map(|at| &trials.outcomes[at]) {
        if let (Some(wanted), Some(age)) = (age, outcome.age)
            && SAME_AGE * wanted < (age - wanted).abs()
        {
            continue;
        }
        let mut mix = trials.batches[outcome.batch].amounts.clone();
        mix.resize(problem.mixture.columns.len(), 0.0);
        let prediction = problem.predict(index, &mix)?;
        let unit = &trials.measured[measured].unit;
        let own = response.unit.from_base(unit.to_base(outcome.mean()));
        let scatter = basis.scatter(prediction.value);
        let leverage = prediction.leverage.unwrap_or(0.0);
        let inside = response.factors.iter().zip(&prediction.factors).all(|(factor, value)| {
            // Weights are rounded to the gram: a mix at the edge of a region may be weighed just outside of it.
            let rounding = 1e-3 * factor.region.width();
            factor.region.low() - rounding <= *value && *value <= factor.region.high() + rounding
        });
        let known = response.leverage.is_none_or(|(most, _)| {
            response
                .region_leverage_at(&prediction.factors)
                .is_some_and(|(leverage, _)| leverage <= 1.001 * most)
        });
        rows.push(terms(response, covariance, &prediction.factors)?);
        scatters.push(scatter);
        results.push(Compared {
            batch: outcome.batch,
            age: outcome.age,
            measured: own,
            predicted: prediction.value,
            error: response.on_link(own) - prediction.predictor,
            deviation: residual * (scatter + leverage).sqrt(),
            is_outside: if inside && known { Place::Inside } else { Place::Outside },
        });
    }
    if results.is_empty() {
        return None;
    }
    Some(judged(index, results, &rows, &scatters, covariance, basis, residual))
}

fn terms(response: &crate::response::Response, covariance: &Covariance, factors: &[f64]) -> Option<Vec<f64>> {
    let Rule::Surface(surface) = &response.rule else { return None };
    let coded: Vec<f64> = factors
        .iter()
        .zip(&surface.coding)
        .map(|(factor, (centre, half))| (factor - centre) / half)
        .collect();
    Some(covariance.monomials.iter().map(|monomial| monomial.iter().map(|at| coded[*at]).product()).collect())
}

fn judged(
    response: Id<Response>,
    results: Vec<Compared>,
    rows: &[Vec<f64>],
    scatters: &[f64],
    covariance: &Covariance,
    basis: &Basis,
    residual: f64,
) -> Confirmed {
    let size = results.len();
    let spread: Vec<Vec<f64>> = (0..size)
        .map(|i| {
            (0..size)
                .map(|j| {
                    let between: f64 = rows[i]
                        .iter()
                        .zip(&covariance.matrix)
                        .map(|(f, line)| f * line.iter().zip(&rows[j]).map(|(c, g)| c * g).sum::<f64>())
                        .sum();
                    between + if i == j { scatters[i] } else { 0.0 }
                })
                .collect()
        })
        .collect();
    let errors: Vec<f64> = results.iter().map(|one| one.error).collect();
    // The matrix is symmetric: its rows are its columns.
    let solved = Triangle::new(&spread, &errors).solution().unwrap_or_else(|| vec![f64::NAN; size]);
    let square: f64 = errors.iter().zip(&solved).map(|(e, x)| e * x).sum();
    let m = size as f64;
    let ratio = square / (m * residual * residual);
    let bias = errors.iter().sum::<f64>() / m;
    let variance = spread.iter().flatten().sum::<f64>() / (m * m);
    let t = bias / (residual * variance.sqrt());
    let quantile = student_quantile(0.95, basis.freedom);
    let held = results.iter().filter(|one| -quantile * one.deviation <= one.error).count();
    Confirmed {
        response,
        ratio,
        freedom: (m, basis.freedom),
        probability: fisher_tail(ratio, m, basis.freedom),
        bias,
        bias_probability: student_tail(t, basis.freedom),
        coverage: (FEWEST <= size).then(|| held as f64 / m),
        results,
    }
}
