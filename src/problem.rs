//! What is wanted, all of it checked: requirements, choices and the goal, in numbers of the mix.
//!
//! What enters: a statement, its mixture and its responses. What leaves: a [`Problem`] whose every requirement
//! can be measured at a mix ([`Problem::measure`]) and stated as a condition `value >= 0` ([`Condition`]).

mod switch;
mod requirement;
mod unchecked;
mod exact;
mod cracking;
mod condition;
mod which_strength;
mod class_needs;
mod k_values;
mod classes;
mod doses;
mod confidence;
mod margins;
mod statistic;
mod magnitude;
mod strength_class;
mod limits;
mod named_figures;
mod bounds;
mod choices;
mod decision;
mod goal;
mod production;
mod rounding;
mod approved;
mod reach;
mod shelf;
mod advice;
mod usual;
mod ratios;
mod vary;
mod given;
mod build;

pub use crate::standard::{MarginRule, Side};
pub use approved::{Approved, ApprovedRange, Beyond};
pub use build::build;
pub use classes::AskedClass;
pub use condition::{Condition, ConditionOrigin, Curved, Form, conditions};
pub use cracking::{in_unit, restrained};
pub use decision::{Count, DecisionRange, Step, Taken, WHOLE};
pub use given::{FULL, Given, given, given_amounts};
pub use goal::{CarbonPrice, Direction, Goal, GoalKind, Level};
pub use named_figures::NamedFigures;
pub use production::{BatchingRules, Deviations, Held, Production, Scale};
pub use reach::{Reach, reach};
pub use requirement::{Doubt, Margin, Measured, Origin, Requirement, Subject, TOLERANCE, Wanted};
pub use rounding::{Filling, PlantStep, Rounding};
pub use switch::{Logic, Need, Switch};
pub use unchecked::Unchecked;
pub use usual::usual;
pub use vary::Member;

use crate::finding::Place;
use crate::mixture::{Affine, Mixture};
use crate::quantity::{System, Unit};
use crate::response::{Response, Source};

/// A checked problem.
#[derive(Clone, Debug)]
pub struct Problem {
    /// Where the statement begins; values in other files come from includes.
    pub place: Place,
    /// Title of the statement.
    pub title: Option<String>,
    /// Note of the statement.
    pub note: Option<String>,
    /// The one currency.
    pub currency: String,
    /// The system of units in which most of the statement is written.
    pub system: System,
    /// The space of mixes.
    pub mixture: Mixture,
    /// Responses in file order.
    pub responses: Vec<Response>,
    /// The classes asked for, and where.
    pub classes: Vec<AskedClass>,
    /// Which figures usual limits speak of.
    pub figures: NamedFigures,
    /// What is said about the classes whose limits were taken: source and assumptions.
    pub bases: Vec<String>,
    /// What the classes demand and no requirement stands for.
    pub unchecked: Vec<Unchecked>,
    /// Requirements: limits in file order, then bounds of materials, then regions.
    pub requirements: Vec<Requirement>,
    /// The requirements as conditions on the mix.
    pub conditions: Vec<Condition>,
    /// Materials whose use is a yes/no decision.
    pub switches: Vec<Switch>,
    /// Conditions on the decisions alone.
    pub logic: Vec<Logic>,
    /// "If this is used, at least so much of that".
    pub needs: Vec<Need>,
    /// Materials that come in steps: none in a statement, where mixes are solved before they are rounded.
    pub counts: Vec<Count>,
    /// The column of the volume that steps by mass are weighed for over the volume they make, where the two may differ.
    pub weighed_for: Option<usize>,
    /// Requirements that a variation of the problem leaves out.
    pub dropped: Vec<bool>,
    /// Affine functions that may not be negative because something divides by them: none in the author's own problem,
    /// where limits see to it, but where some of those are left out.
    pub divisors: Vec<Affine>,
    /// Steps of the plant's scales, if the author gave any; `with_steps` puts them to work.
    pub rounding: Option<Rounding>,
    /// What trial batches or a submittal have approved, if the author said so.
    pub approved: Option<Approved>,
    /// How the concrete is produced, if the author said so.
    pub production: Option<Production>,
    /// The goal.
    pub goal: Goal,
    /// The box of columns that all linear conditions leave.
    pub reach: Reach,
}

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
    pub fn predict(&self, response: usize, mix: &[f64]) -> Option<Prediction> {
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
    pub fn predictor_gradient(&self, response: usize, mix: &[f64]) -> (f64, Vec<f64>) {
        let (factors, derivatives) = self.factors_at(response, mix);
        let (value, by_factor) = self.responses[response].predictor(&factors);
        (value, chained(&by_factor, &derivatives, mix.len()))
    }

    /// The leverage that the region of a response is measured by, at a mix.
    pub fn region_leverage(&self, response: usize, mix: &[f64]) -> Option<f64> {
        let prediction = self.predict(response, mix)?;
        Some(self.responses[response].region_leverage_at(&prediction.factors)?.0)
    }

    /// The same with its gradient over the columns of the mix; zero without a covariance.
    pub fn region_leverage_gradient(&self, response: usize, mix: &[f64]) -> (f64, Vec<f64>) {
        let (factors, derivatives) = self.factors_at(response, mix);
        match self.responses[response].region_leverage_at(&factors) {
            Some((value, by_factor)) => (value, chained(&by_factor, &derivatives, mix.len())),
            None => (0.0, vec![0.0; mix.len()]),
        }
    }

    /// The leverage of a response with its gradient over the columns of the mix; zero without a covariance.
    pub fn leverage_gradient(&self, response: usize, mix: &[f64]) -> (f64, Vec<f64>) {
        let (factors, derivatives) = self.factors_at(response, mix);
        match self.responses[response].leverage_at(&factors) {
            Some((value, by_factor)) => (value, chained(&by_factor, &derivatives, mix.len())),
            None => (0.0, vec![0.0; mix.len()]),
        }
    }

    /// Factor values in their units, each with its gradient over the columns.
    fn factors_at(&self, response: usize, mix: &[f64]) -> (Vec<f64>, Vec<Vec<f64>>) {
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
}

/// A number of one unit as a number of another of the same dimension.
pub fn convert(value: f64, from: &Unit, to: &Unit) -> f64 {
    if from == to { value } else { to.from_base(from.to_base(value)) }
}

fn chained(by_factor: &[f64], derivatives: &[Vec<f64>], columns: usize) -> Vec<f64> {
    let mut gradient = vec![0.0; columns];
    for (slope, derivative) in by_factor.iter().zip(derivatives) {
        for (total, part) in gradient.iter_mut().zip(derivative) {
            *total += slope * part;
        }
    }
    gradient
}
