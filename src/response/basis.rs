//! What a fitted surface knows of its trials beyond its coefficients.

use super::covariance::Covariance;

/// Degrees of freedom and scatter of the trials behind a surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Basis {
    /// Degrees of freedom of the residual, in batches.
    pub freedom: f64,
    /// Deviation between repeated batches on the predictor's scale, if there were any.
    pub batch: Option<f64>,
    /// Power of the prediction by which the residual grows.
    pub power: f64,
    /// The prediction, in the response's unit, at which the residual holds.
    pub at: f64,
    /// What a doubtful slope adds to the square of the residual, as a share for each square of the logarithm of the
    /// prediction over `at`.
    pub slope: f64,
    /// The covariance that leverage is measured by, where it is not that of the coefficients.
    pub region: Option<Covariance>,
    /// The measured column that was fitted, where it has another name than the response.
    pub measured: Option<String>,
    /// Age of the results that were fitted, d, where the response is no strength.
    pub age: Option<f64>,
    /// How many batches were fitted.
    pub batches: Option<u32>,
    /// Digest of the data.
    pub data: Option<String>,
    /// Date of the last trial.
    pub date: Option<String>,
}

impl Basis {
    /// A basis that knows a region alone; its degrees of freedom are those of a residual that is known.
    pub(super) fn of_region(region: Covariance) -> Self {
        Self {
            freedom: f64::INFINITY,
            batch: None,
            power: 0.0,
            at: 1.0,
            slope: 0.0,
            region: Some(region),
            measured: None,
            age: None,
            batches: None,
            data: None,
            date: None,
        }
    }

    /// Variance of a new result at a prediction, over the square of the residual.
    pub fn scatter(&self, prediction: f64) -> f64 {
        if self.power == 0.0 && self.slope == 0.0 {
            return 1.0;
        }
        // Near nothing the scatter does not vanish: a fiftieth of the usual prediction is as far as the power goes.
        let share = prediction.max(0.02 * self.at) / self.at;
        share.powf(2.0 * self.power) * (1.0 + self.slope * share.ln().powi(2))
    }
}
