//! Curved conditions at a mix: values and gradients.
//!
//! What enters: a problem and a mix. What leaves: how much room a condition has, in the magnitude it is stated in, with its
//! slope by each column.

use super::condition::{Curved, Form};
use super::requirement::Doubt;
use super::whole::Problem;
use crate::listed::Id;
use crate::mixture::Measure;
use crate::response::Response;

impl Problem {
    /// Whether a curved condition speaks of a surface with more products of factors than factors.
    pub fn has_dense_surfaces(&self) -> bool {
        let is_dense = |response: &Id<Response>| {
            let response = &self.responses[*response];
            matches!(&response.rule, crate::response::Rule::Surface(surface) if response.factors.len() < surface.products.len())
        };
        self.conditions.iter().any(|condition| match &condition.form {
            Form::Curved(curved) => curved.responses().iter().any(is_dense),
            Form::Linear(_) => false,
        })
    }

    /// The value and gradient over the columns of a curved condition.
    pub fn curved(&self, curved: &Curved, mix: &[f64]) -> (f64, Vec<f64>) {
        match curved {
            Curved::Predictor { response, sign, target, doubt } => {
                let (predictor, mut gradient) = self.predictor_gradient(*response, mix);
                scale(&mut gradient, *sign);
                let value =
                    sign * (predictor - target) - self.margin(*response, *doubt, 1.0, mix, &mut gradient);
                (value, gradient)
            }
            Curved::Against { response, sign, measure, times, margin, doubt } => {
                let described = &self.responses[*response];
                let (predictor, mut gradient) = self.predictor_gradient(*response, mix);
                let slope = described.slope(predictor) * described.unit.factor;
                scale(&mut gradient, sign * slope);
                measure.add_gradient(mix, -sign * times, &mut gradient);
                let right = times * measure.at(mix).unwrap_or(f64::NAN);
                let left = described.unit.to_base(described.natural(predictor));
                let uncertain = self.margin(*response, *doubt, slope, mix, &mut gradient);
                (sign * (left - right) - margin - uncertain, gradient)
            }
            Curved::Responses { left, right, times, sign, margin } => {
                let (left_value, mut gradient) = self.response_gradient(*left, mix);
                let (right_value, right_gradient) = self.response_gradient(*right, mix);
                for (total, right) in gradient.iter_mut().zip(&right_gradient) {
                    *total = sign * (*total - times * right);
                }
                (sign * (left_value - times * right_value) - margin, gradient)
            }
            Curved::Measures { left, right, times, sign } => {
                let mut gradient = vec![0.0; mix.len()];
                left.add_gradient(mix, *sign, &mut gradient);
                right.add_gradient(mix, -sign * times, &mut gradient);
                let value = |measure: &Measure| measure.at(mix).unwrap_or(f64::NAN);
                (sign * (value(left) - times * value(right)), gradient)
            }
            Curved::Cracking { response, step } => self.headroom_gradient(*response, *step, mix),
            Curved::Leverage { response, most } => {
                let (leverage, mut gradient) = self.region_leverage_gradient(*response, mix);
                scale(&mut gradient, -1.0);
                (most - leverage, gradient)
            }
            Curved::Level { response, column, sign } => {
                let (predictor, mut gradient) = self.predictor_gradient(*response, mix);
                scale(&mut gradient, -sign);
                gradient[*column] += sign;
                (sign * (mix[*column] - predictor), gradient)
            }
            Curved::LevelOfRatio { measure, column, sign } => {
                let mut gradient = vec![0.0; mix.len()];
                measure.add_gradient(mix, -sign, &mut gradient);
                gradient[*column] += sign;
                (sign * (mix[*column] - measure.at(mix).unwrap_or(f64::NAN)), gradient)
            }
        }
    }

    /// A response in base units with its gradient.
    fn response_gradient(&self, response: Id<Response>, mix: &[f64]) -> (f64, Vec<f64>) {
        let described = &self.responses[response];
        let (predictor, mut gradient) = self.predictor_gradient(response, mix);
        scale(&mut gradient, described.slope(predictor) * described.unit.factor);
        (described.unit.to_base(described.natural(predictor)), gradient)
    }

    /// `deviations x s sqrt(scatter + h) x slope`, its gradient taken off `gradient` (the slope taken as constant).
    fn margin(
        &self,
        response: Id<Response>,
        doubt: Doubt,
        slope: f64,
        mix: &[f64],
        gradient: &mut [f64],
    ) -> f64 {
        let Some(residual) = self.responses[response].residual else { return 0.0 };
        if doubt.is_none() {
            return 0.0;
        }
        let (leverage, leverage_gradient) = self.leverage_gradient(response, mix);
        let (deviations, by_leverage) = doubt.at(leverage);
        let factor = residual * slope.abs();
        for (total, part) in gradient.iter_mut().zip(&leverage_gradient) {
            *total -= factor * by_leverage * part;
        }
        factor * deviations
    }
}

fn scale(gradient: &mut [f64], factor: f64) {
    for slope in gradient {
        *slope *= factor;
    }
}
