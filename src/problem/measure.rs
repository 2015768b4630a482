//! How a requirement is measured at a mix: wanted, got, slack.
//!
//! What enters: a problem, one of its requirements and a mix. What leaves: figures from the unlinearised problem, in the
//! requirement's own unit.

use super::cracking::restrained;
use super::requirement::{Measured, Origin, Requirement, Subject, Wanted};
use super::stated::typical;
use super::whole::Problem;
use crate::quantity::{Unit, convert};

impl Problem {
    /// Measures a requirement at a mix from the unlinearised problem.
    ///
    /// `None` where a ratio in it has no value because nothing stands below.
    pub fn measure(&self, requirement: &Requirement, mix: &[f64]) -> Option<Measured> {
        if let (Subject::Response(index), Origin::Limit) = (&requirement.subject, requirement.origin)
            && restrained(&self.responses[*index]).is_some()
        {
            return self.measure_cracking(requirement, *index, mix);
        }
        let unit = &requirement.unit;
        let sign = requirement.side.sign();
        let (got, margin) = match (&requirement.subject, requirement.origin) {
            (Subject::Response(_), Origin::Leverage(response)) => (self.region_leverage(response, mix)?, 0.0),
            (Subject::Response(index), _) => {
                let response = &self.responses[*index];
                let prediction = self.predict(*index, mix)?;
                let got = convert(prediction.value, &response.unit, unit);
                let (deviations, _) = requirement.margin.doubt.at(prediction.leverage.unwrap_or(0.0));
                let shift = deviations * response.residual.unwrap_or(0.0);
                let careful =
                    convert(response.natural(prediction.predictor - sign * shift), &response.unit, unit);
                (got, requirement.margin.natural + (got - careful).abs())
            }
            (Subject::Quantity(quantity), _) => {
                (unit.from_base(quantity.measure.at(mix)?), requirement.margin.natural)
            }
        };
        let wanted = match &requirement.wanted {
            Wanted::Value(value) => *value,
            Wanted::Quantity(times, quantity) => times * unit.from_base(quantity.measure.at(mix)?),
            Wanted::Response(times, index) => {
                times * convert(self.predict(*index, mix)?.value, &self.responses[*index].unit, unit)
            }
        };
        let slack = sign * (got - wanted) - margin;
        if !slack.is_finite() {
            return None;
        }
        // What is compared with a response is judged by that response's usual size, not by a demand that happens to
        // be near zero.
        let usual = match requirement.wanted {
            Wanted::Response(times, index) => {
                times * typical(&self.responses[index]) / self.responses[index].unit.factor
            }
            // A leverage is a number of its own, whatever the unit of its response.
            Wanted::Value(most) if matches!(requirement.origin, Origin::Leverage(_)) => most,
            Wanted::Value(_) | Wanted::Quantity(..) => {
                self.absolute_scale(&requirement.subject, unit, mix)?
            }
        };
        let scale = wanted.abs().max(got.abs()).max(usual.abs()).max(1e-9);
        Some(Measured { wanted, got, margin, slack, scale })
    }

    /// What a value near zero is judged by, in a unit.
    fn absolute_scale(&self, subject: &Subject, unit: &Unit, mix: &[f64]) -> Option<f64> {
        match subject {
            Subject::Response(index) => {
                let response = &self.responses[*index];
                Some(response.absolute_scale() * response.unit.factor / unit.factor)
            }
            Subject::Quantity(quantity) => Some(1e-3 * quantity.measure.size_at(mix)? / unit.factor),
        }
    }
}
