//! Responses at a mix, with their gradients, and the column of a curved goal.
//!
//! What enters: a problem and a mix. What leaves: predictions from the unlinearised responses. What is asked of them, nothing
//! here knows.

use super::goal::Level;
use super::whole::Problem;
use crate::listed::Id;
use crate::quantity::convert;
use crate::response::{Response, Source};

/// A response at a mix.
#[derive(Clone, Debug)]
pub struct Prediction {
    /// Factor values in their units.
    pub factors: Vec<f64>,
    /// On the link's scale.
    pub predictor: f64,
    /// In the response's own unit.
    pub value: f64,
    /// Standard deviation of a new result on the link's scale, if the residual is known.
    pub deviation: Option<f64>,
    /// Leverage, if the covariance is known.
    pub leverage: Option<f64>,
}

impl Problem {
    /// A response at a mix; `None` where a ratio among its factors has no value.
    pub fn predict(&self, response: Id<Response>, mix: &[f64]) -> Option<Prediction> {
        let described = &self.responses[response];
        let factors: Option<Vec<f64>> = described
            .factors
            .iter()
            .map(|factor| match &factor.source {
                Source::Quantity(quantity) => Some(factor.unit.from_base(quantity.measure.at(mix)?)),
                Source::Response(inner) => {
                    let inner_unit = &self.responses[*inner].unit;
                    Some(convert(self.predict(*inner, mix)?.value, inner_unit, &factor.unit))
                }
            })
            .collect();
        let factors = factors?;
        let (predictor, _) = described.predictor(&factors);
        let leverage = described.leverage_at(&factors).map(|(leverage, _)| leverage);
        let age = self.age_at_cracking(response, &factors);
        let value = age.unwrap_or_else(|| described.natural(predictor));
        let scatter = described.basis.as_ref().map_or(1.0, |basis| basis.scatter(value));
        let deviation =
            described.residual.map(|residual| residual * (scatter + leverage.unwrap_or(0.0)).sqrt());
        Some(Prediction { factors, predictor, value, deviation, leverage })
    }

    /// The predictor of a response with its gradient over the columns of the mix.
    ///
    /// # Panics
    /// Never for mixes inside the reach: denominators are positive there.
    pub fn predictor_gradient(&self, response: Id<Response>, mix: &[f64]) -> (f64, Vec<f64>) {
        let (factors, derivatives) = self.factors_at(response, mix);
        let (value, by_factor) = self.responses[response].predictor(&factors);
        (value, chained(&by_factor, &derivatives, mix.len()))
    }

    /// The leverage that the region of a response is measured by, at a mix.
    pub fn region_leverage(&self, response: Id<Response>, mix: &[f64]) -> Option<f64> {
        let prediction = self.predict(response, mix)?;
        Some(self.responses[response].region_leverage_at(&prediction.factors)?.0)
    }

    /// The same with its gradient over the columns of the mix; zero without a covariance.
    pub fn region_leverage_gradient(&self, response: Id<Response>, mix: &[f64]) -> (f64, Vec<f64>) {
        let (factors, derivatives) = self.factors_at(response, mix);
        match self.responses[response].region_leverage_at(&factors) {
            Some((value, by_factor)) => (value, chained(&by_factor, &derivatives, mix.len())),
            None => (0.0, vec![0.0; mix.len()]),
        }
    }

    /// The leverage of a response with its gradient over the columns of the mix; zero without a covariance.
    pub fn leverage_gradient(&self, response: Id<Response>, mix: &[f64]) -> (f64, Vec<f64>) {
        let (factors, derivatives) = self.factors_at(response, mix);
        match self.responses[response].leverage_at(&factors) {
            Some((value, by_factor)) => (value, chained(&by_factor, &derivatives, mix.len())),
            None => (0.0, vec![0.0; mix.len()]),
        }
    }

    /// Factor values in their units, each with its gradient over the columns.
    pub(super) fn factors_at(&self, response: Id<Response>, mix: &[f64]) -> (Vec<f64>, Vec<Vec<f64>>) {
        let described = &self.responses[response];
        described
            .factors
            .iter()
            .map(|factor| {
                let mut gradient = vec![0.0; mix.len()];
                match &factor.source {
                    Source::Quantity(quantity) => {
                        quantity.measure.add_gradient(mix, 1.0 / factor.unit.factor, &mut gradient);
                        (factor.unit.from_base(quantity.measure.at(mix).unwrap_or(f64::NAN)), gradient)
                    }
                    Source::Response(inner) => {
                        let inner_response = &self.responses[*inner];
                        let (predictor, inner_gradient) = self.predictor_gradient(*inner, mix);
                        let scale =
                            inner_response.slope(predictor) * inner_response.unit.factor / factor.unit.factor;
                        for (total, inner) in gradient.iter_mut().zip(&inner_gradient) {
                            *total = scale * inner;
                        }
                        (
                            convert(inner_response.natural(predictor), &inner_response.unit, &factor.unit),
                            gradient,
                        )
                    }
                }
            })
            .unzip()
    }

    /// Sets the column of a curved goal to what it stands for, so that a mix is judged by its true goal and no step is
    /// cut short because the column lags behind.
    pub fn settle_level(&self, mix: &mut [f64]) {
        let Some((column, _)) = self.goal.objective.terms.first() else { return };
        let value = match &self.goal.level {
            None => return,
            Some(Level::Response(response)) => {
                self.predict(*response, mix).map(|prediction| prediction.predictor)
            }
            Some(Level::Ratio(measure)) => measure.at(mix),
        };
        if let Some(value) = value.filter(|value| value.is_finite())
            && let Some(level) = mix.get_mut(*column)
        {
            *level = value;
        }
    }
}

/// A gradient by factors as one by columns.
pub(super) fn chained(by_factor: &[f64], derivatives: &[Vec<f64>], columns: usize) -> Vec<f64> {
    let mut gradient = vec![0.0; columns];
    for (slope, derivative) in by_factor.iter().zip(derivatives) {
        for (total, part) in gradient.iter_mut().zip(derivative) {
            *total += slope * part;
        }
    }
    gradient
}
