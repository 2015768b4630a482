//! How results scatter about a surface: constant, or as a power of the prediction; with a batch effect across ages.
//!
//! What enters: columns, measured values on the link's scale, and which rows share a batch. What leaves: a fit with the
//! deviation at a stated prediction and the power by which it grows. The power is the one of greatest likelihood of a
//! normal distribution with weights from the previous round. A batch effect is taken off by the transformation of
//! Fuller and Battese (1974), its variance from the scatter of residuals within and between batches.

use super::regression::{Regression, regression};
use crate::number::golden::highest;
use crate::number::orthogonal::{Dependence, Triangle};
use crate::response::Link;

/// How the scatter is described.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScatterForm {
    /// One deviation.
    Constant,
    /// A deviation that grows with a power of the prediction.
    Power,
    /// A power if the likelihood asks for it, else constant.
    Chosen,
}

/// Largest power.
const MOST: f64 = 2.0;
/// Steps of the search for a power, to a twentieth.
const STEPS: usize = 8;
/// Rounds of weights.
const ROUNDS: usize = 3;
/// Twice the gain in log-likelihood from which a power is believed: 95 % of chi-squared with one degree of freedom.
const BELIEVED: f64 = 3.84;
/// Fewest rows from which a power may be estimated unasked.
const FEWEST: usize = 20;

/// A fit with its scatter.
#[derive(Clone, Debug)]
pub struct Scattered {
    /// The fit; its deviation is that at `at`.
    pub fit: Regression,
    /// Power of the prediction by which the deviation grows.
    pub power: f64,
    /// The prediction, in the response's unit, at which the deviation is `fit.deviation`.
    pub at: f64,
}

/// Fits with constant or growing scatter.
///
/// # Errors
/// The columns that depend on others.
pub fn scattered(
    columns: &[Vec<f64>],
    measured: &[f64],
    link: Link,
    form: ScatterForm,
) -> Result<Scattered, Vec<Dependence>> {
    let mut fit = regression(columns, measured, &vec![1.0; measured.len()])?;
    let natural = |fit: &Regression| -> Vec<f64> {
        let values: Vec<f64> = fit.predicted.iter().map(|predictor| link.response(*predictor)).collect();
        let positive: Vec<f64> = values.iter().copied().filter(|value| 0.0 < *value).collect();
        let least = 0.02 * positive.iter().sum::<f64>() / positive.len().max(1) as f64;
        values.iter().map(|value| value.max(least)).collect()
    };
    let middle = |values: &[f64]| {
        (values.iter().map(|value| value.max(f64::MIN_POSITIVE).ln()).sum::<f64>() / values.len() as f64)
            .exp()
    };
    let at = middle(&natural(&fit));
    if form == ScatterForm::Constant || form == ScatterForm::Chosen && measured.len() < FEWEST {
        return Ok(Scattered { fit, power: 0.0, at });
    }
    let constant = likelihood(fit.rest, &vec![1.0; measured.len()]);
    let mut best = (0.0, constant);
    for _ in 0..ROUNDS {
        let predictions = natural(&fit);
        let gain = |power: f64| {
            let weights = weights(&predictions, at, power);
            likelihood(rest(columns, measured, &weights), &weights)
        };
        let round = highest((0.0, MOST), STEPS, gain);
        let settled = (round.0 - best.0).abs() < 0.02;
        best = round;
        fit = regression(columns, measured, &weights(&predictions, at, best.0))?;
        if settled {
            break;
        }
    }
    if form == ScatterForm::Chosen && 2.0 * (best.1 - constant) < BELIEVED {
        let fit = regression(columns, measured, &vec![1.0; measured.len()])?;
        return Ok(Scattered { fit, power: 0.0, at });
    }
    Ok(Scattered { fit, power: best.0, at })
}

fn weights(predictions: &[f64], at: f64, power: f64) -> Vec<f64> {
    predictions.iter().map(|prediction| (at / prediction).powf(2.0 * power)).collect()
}

/// Weighted sum of squares that the columns leave.
fn rest(columns: &[Vec<f64>], measured: &[f64], weights: &[f64]) -> f64 {
    let scaled = |values: &[f64]| -> Vec<f64> {
        values.iter().zip(weights).map(|(value, weight)| value * weight.sqrt()).collect()
    };
    let columns: Vec<Vec<f64>> = columns.iter().map(|column| scaled(column)).collect();
    Triangle::new(&columns, &scaled(measured)).rest()
}

/// Logarithm of the greatest likelihood, without its constant.
fn likelihood(rest: f64, weights: &[f64]) -> f64 {
    let n = weights.len() as f64;
    let logs: f64 = weights.iter().map(|weight| weight.ln()).sum();
    0.5 * logs - 0.5 * n * (rest / n).max(f64::MIN_POSITIVE).ln()
}

/// Variances within and between batches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BatchEffect {
    /// Deviation of results of one batch about their own level.
    pub within: f64,
    /// Deviation of the levels of batches.
    pub between: f64,
}

/// Fits rows of several ages whose batches share a level; the deviation of the fit is that of a new result of a new batch, its
/// degrees of freedom are those of the levels: batches less the terms that tell batches apart.
///
/// # Errors
/// The columns that depend on others.
pub fn with_batch_effect(
    columns: &[Vec<f64>],
    measured: &[f64],
    batches: &[usize],
) -> Result<(Regression, BatchEffect), Vec<Dependence>> {
    let ones = vec![1.0; measured.len()];
    let plain = regression(columns, measured, &ones)?;
    let mut effect = effect(&plain, batches);
    let mut fit = plain;
    for _ in 0..3 {
        let shrink = shrinkage(batches, effect);
        let turned: Vec<Vec<f64>> = columns.iter().map(|column| turned(column, batches, &shrink)).collect();
        let inner = regression(&turned, &self::turned(measured, batches, &shrink), &ones)?;
        let predicted: Vec<f64> = (0..measured.len())
            .map(|row| columns.iter().zip(&inner.coefficients).map(|(column, b)| column[row] * b).sum())
            .collect();
        let residuals = measured.iter().zip(&predicted).map(|(y, p)| y - p).collect();
        fit = Regression { predicted, residuals, ..inner };
        effect = self::effect(&fit, batches);
    }
    let total = (effect.within.powi(2) + effect.between.powi(2)).sqrt();
    let ratio = (fit.deviation / total).powi(2);
    for line in &mut fit.unscaled {
        for value in line {
            *value *= ratio;
        }
    }
    fit.deviation = total;
    let mut distinct = batches.to_vec();
    distinct.sort_unstable();
    distinct.dedup();
    let levels = independent(&means_of(columns, batches, &distinct)) as f64;
    fit.freedom = fit.freedom.min(distinct.len() as f64 - levels).max(1.0);
    Ok((fit, effect))
}

/// Each column's mean over each batch: what the levels of batches are explained by.
fn means_of(columns: &[Vec<f64>], batches: &[usize], distinct: &[usize]) -> Vec<Vec<f64>> {
    let mean = |column: &[f64], batch: usize| {
        let own = column.iter().zip(batches).filter(|(_, other)| **other == batch);
        let (sum, count) = own.fold((0.0, 0.0), |(sum, count), (value, _)| (sum + value, count + 1.0));
        sum / count
    };
    columns.iter().map(|column| distinct.iter().map(|batch| mean(column, *batch)).collect()).collect()
}

/// How many of the columns are independent, by orthogonalising one after the other.
fn independent(columns: &[Vec<f64>]) -> usize {
    const NOTHING: f64 = 1e-8;
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let mut basis: Vec<Vec<f64>> = Vec::new();
    for column in columns {
        let size = dot(column, column).sqrt();
        let mut rest = column.clone();
        // Twice is enough for what rounding leaves of the first time.
        for _ in 0..2 {
            for unit in &basis {
                let along = dot(&rest, unit);
                for (value, part) in rest.iter_mut().zip(unit) {
                    *value -= along * part;
                }
            }
        }
        let left = dot(&rest, &rest).sqrt();
        if NOTHING * size < left {
            basis.push(rest.iter().map(|value| value / left).collect());
        }
    }
    basis.len()
}

fn effect(fit: &Regression, batches: &[usize]) -> BatchEffect {
    let (mut squares, mut rows, mut groups) = (0.0, 0.0, 0.0);
    let mut distinct = batches.to_vec();
    distinct.sort_unstable();
    distinct.dedup();
    for batch in distinct {
        let own: Vec<f64> = fit
            .residuals
            .iter()
            .zip(batches)
            .filter(|(_, other)| **other == batch)
            .map(|(residual, _)| *residual)
            .collect();
        if 1 < own.len() {
            let mean = own.iter().sum::<f64>() / own.len() as f64;
            squares += own.iter().map(|residual| (residual - mean).powi(2)).sum::<f64>();
            rows += own.len() as f64;
            groups += 1.0;
        }
    }
    let all = fit.residuals.iter().map(|residual| residual * residual).sum::<f64>()
        / (fit.residuals.len() as f64 - fit.coefficients.len() as f64).max(1.0);
    if rows - groups < 1.0 {
        return BatchEffect { within: all.sqrt(), between: 0.0 };
    }
    // What the terms in age took from the scatter within batches is shared out by rows.
    let within = (squares / (rows - groups).max(1.0)).min(all);
    BatchEffect { within: within.sqrt(), between: (all - within).max(0.0).sqrt() }
}

fn shrinkage(batches: &[usize], effect: BatchEffect) -> Vec<f64> {
    batches
        .iter()
        .map(|batch| {
            let size = batches.iter().filter(|other| *other == batch).count() as f64;
            let within = effect.within.powi(2);
            1.0 - (within / (within + size * effect.between.powi(2)).max(f64::MIN_POSITIVE)).sqrt()
        })
        .collect()
}

fn turned(values: &[f64], batches: &[usize], shrink: &[f64]) -> Vec<f64> {
    (0..values.len())
        .map(|row| {
            let own: Vec<f64> = values
                .iter()
                .zip(batches)
                .filter(|(_, batch)| **batch == batches[row])
                .map(|(value, _)| *value)
                .collect();
            values[row] - shrink[row] * own.iter().sum::<f64>() / own.len() as f64
        })
        .collect()
}
