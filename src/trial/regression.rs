//! One weighted least-squares fit with everything that judges it.
//!
//! What enters: columns of terms, measured values on the link's scale, weights (one over the relative variance). What
//! leaves: coefficients with standard errors, residual deviation, leverages, residuals, what is explained, also of
//! results left out one by one. This file knows neither factors nor batches.

use crate::number::orthogonal::{Dependence, Triangle};

/// A fit.
#[derive(Clone, Debug)]
pub struct Regression {
    /// Coefficients in the order of the columns.
    pub coefficients: Vec<f64>,
    /// Their standard errors.
    pub errors: Vec<f64>,
    /// `(X'WX)^-1`: covariance of the coefficients divided by the residual variance.
    pub unscaled: Vec<Vec<f64>>,
    /// Residual standard deviation at weight one.
    pub deviation: f64,
    /// Degrees of freedom.
    pub freedom: f64,
    /// Weighted sum of squared residuals.
    pub rest: f64,
    /// Predictions.
    pub predicted: Vec<f64>,
    /// Measured minus predicted.
    pub residuals: Vec<f64>,
    /// Leverage of each row, between zero and one.
    pub leverages: Vec<f64>,
    /// Residuals over their deviation as estimated without the row itself.
    pub studentised: Vec<f64>,
    /// Share of the variance explained: about the mean if a constant lies in the columns, else about zero.
    pub explained: f64,
    /// The same for predictions of each row from the others.
    pub explained_left_out: f64,
    /// Condition number of the scaled columns.
    pub condition: f64,
}

/// Fits.
///
/// # Errors
/// The columns that depend on others.
pub fn regression(
    columns: &[Vec<f64>],
    measured: &[f64],
    weights: &[f64],
) -> Result<Regression, Vec<Dependence>> {
    let roots: Vec<f64> = weights.iter().map(|weight| weight.sqrt()).collect();
    let weighted: Vec<Vec<f64>> =
        columns.iter().map(|column| column.iter().zip(&roots).map(|(x, root)| x * root).collect()).collect();
    let right: Vec<f64> = measured.iter().zip(&roots).map(|(y, root)| y * root).collect();
    let triangle = Triangle::new(&weighted, &right);
    let (Some(mut coefficients), Some(unscaled)) = (triangle.solution(), triangle.covariance()) else {
        return Err(triangle.dependences());
    };
    // One step of refinement from the residuals, which are computed from the rows as they stand.
    let left = residuals(columns, measured, &coefficients);
    let again: Vec<f64> = left.iter().zip(&roots).map(|(e, root)| e * root).collect();
    if let Some(step) = Triangle::new(&weighted, &again).solution() {
        for (coefficient, step) in coefficients.iter_mut().zip(step) {
            *coefficient += step;
        }
    }
    let residuals = residuals(columns, measured, &coefficients);
    let predicted: Vec<f64> = measured.iter().zip(&residuals).map(|(y, e)| y - e).collect();
    let rest: f64 = residuals.iter().zip(weights).map(|(e, weight)| weight * e * e).sum();
    let freedom = measured.len() as f64 - columns.len() as f64;
    let deviation = if 0.0 < freedom { (rest / freedom).sqrt() } else { f64::NAN };
    let leverages: Vec<f64> = (0..measured.len())
        .map(|row| {
            let values: Vec<f64> = weighted.iter().map(|column| column[row]).collect();
            triangle.leverage(&values).unwrap_or(1.0).min(1.0)
        })
        .collect();
    let total = total_square(&weighted, &roots, &right);
    let left_out: f64 = residuals
        .iter()
        .zip(&leverages)
        .zip(weights)
        .map(|((e, h), weight)| weight * (e / (1.0 - h).max(1e-12)).powi(2))
        .sum();
    let studentised = residuals
        .iter()
        .zip(&leverages)
        .zip(weights)
        .map(|((e, h), weight)| {
            let clear = (1.0 - h).max(1e-12);
            let others = (rest - weight * e * e / clear) / (freedom - 1.0);
            e * weight.sqrt() / (others.max(f64::MIN_POSITIVE) * clear).sqrt()
        })
        .collect();
    let errors = (0..columns.len()).map(|at| deviation * unscaled[at][at].sqrt()).collect();
    Ok(Regression {
        coefficients,
        errors,
        unscaled,
        deviation,
        freedom,
        rest,
        predicted,
        residuals,
        leverages,
        studentised,
        explained: 1.0 - rest / total,
        explained_left_out: 1.0 - left_out / total,
        condition: triangle.condition(),
    })
}

fn residuals(columns: &[Vec<f64>], measured: &[f64], coefficients: &[f64]) -> Vec<f64> {
    measured
        .iter()
        .enumerate()
        .map(|(row, y)| {
            let predicted: f64 = columns.iter().zip(coefficients).map(|(column, b)| column[row] * b).sum();
            y - predicted
        })
        .collect()
}

/// The sum of squares that a fit could explain.
fn total_square(weighted: &[Vec<f64>], roots: &[f64], right: &[f64]) -> f64 {
    let all: f64 = roots.iter().map(|root| root * root).sum();
    let has_constant = Triangle::new(weighted, roots).rest() < 1e-12 * all;
    if has_constant {
        let mean = right.iter().zip(roots).map(|(y, root)| y * root).sum::<f64>() / all;
        right.iter().zip(roots).map(|(y, root)| (y - mean * root).powi(2)).sum()
    } else {
        right.iter().map(|y| y * y).sum()
    }
}

impl Regression {
    /// Prediction at a row of term values.
    pub fn at(&self, row: &[f64]) -> f64 {
        self.coefficients.iter().zip(row).map(|(b, x)| b * x).sum()
    }

    /// Leverage of a row of term values that need not be among the trials.
    pub fn leverage(&self, row: &[f64]) -> f64 {
        quadratic(&self.unscaled, row)
    }
}

/// `f' C f`.
pub fn quadratic(matrix: &[Vec<f64>], row: &[f64]) -> f64 {
    matrix.iter().zip(row).map(|(line, f)| f * line.iter().zip(row).map(|(c, g)| c * g).sum::<f64>()).sum()
}
