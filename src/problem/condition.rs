//! Requirements as conditions `value >= 0`: exact affine ones where possible, curved ones with gradients.

use super::cracking::cracking_conditions;
use super::exact::exactly_affine;
use super::requirement::{Doubt, Origin, Requirement, Subject, Wanted};
use super::{Problem, convert};
use crate::mixture::{Affine, Measure};
use crate::response::{Link, Response, Rule};
use crate::standard::Side;

/// Where a condition comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ConditionOrigin {
    /// A requirement, by index.
    Requirement(usize),
    /// Something divides by it, and what kept it above zero is left out.
    Divisor,
    /// A curved goal and its level column.
    Goal,
}

/// One condition.
#[derive(Clone, Debug)]
pub struct Condition {
    /// Where it comes from.
    pub origin: ConditionOrigin,
    /// Its form.
    pub form: Form,
    /// The magnitude of its value that corresponds to the magnitude of what is wanted.
    pub scale: f64,
}

impl ConditionOrigin {
    /// The requirement, if it comes from one.
    pub fn requirement(self) -> Option<usize> {
        match self {
            Self::Requirement(index) => Some(index),
            Self::Divisor | Self::Goal => None,
        }
    }
}

/// How a condition is stated.
#[derive(Clone, Debug)]
pub enum Form {
    /// `affine >= 0`, exact.
    Linear(Affine),
    /// `curved >= 0`.
    Curved(Curved),
}

/// A condition that is not affine in the amounts.
#[derive(Clone, Debug)]
pub enum Curved {
    /// `sign (predictor - target) - deviations s sqrt(scatter + leverage) >= 0`.
    Predictor {
        /// The response.
        response: usize,
        /// +1 or -1.
        sign: f64,
        /// On the link's scale.
        target: f64,
        /// Margin in deviations.
        doubt: Doubt,
    },
    /// `sign (response - times x measure) - margin >= 0`, in the unit `factor` of base.
    Against {
        /// The response on the left.
        response: usize,
        /// +1 or -1.
        sign: f64,
        /// What it is compared with, in base units.
        measure: Measure,
        /// Times so much.
        times: f64,
        /// Margin in base units.
        margin: f64,
        /// Margin in deviations.
        doubt: Doubt,
    },
    /// `sign (left - times x right) - margin >= 0` for two responses, in base units.
    Responses {
        /// Left.
        left: usize,
        /// Right.
        right: usize,
        /// Times so much.
        times: f64,
        /// +1 or -1.
        sign: f64,
        /// Margin in base units.
        margin: f64,
    },
    /// `sign (left - times x right) >= 0` for two measures of which at least one is a ratio.
    Measures {
        /// Left.
        left: Measure,
        /// Right.
        right: Measure,
        /// Times so much.
        times: f64,
        /// +1 or -1.
        sign: f64,
    },
    /// `most - leverage >= 0`.
    Leverage {
        /// The response.
        response: usize,
        /// Largest leverage.
        most: f64,
    },
    /// `sign (level - predictor) >= 0`: the goal's column on the predictor's scale.
    Level {
        /// The response.
        response: usize,
        /// The column.
        column: usize,
        /// +1 when the goal is least, -1 when most.
        sign: f64,
    },
    /// `failure level - stress >= 0` at one point of the grid of an age at cracking, MPa.
    Cracking {
        /// The response.
        response: usize,
        /// Point of its grid.
        step: usize,
    },
    /// `sign (level - ratio) >= 0`.
    LevelOfRatio {
        /// The ratio.
        measure: Measure,
        /// The column.
        column: usize,
        /// +1 when the goal is least, -1 when most.
        sign: f64,
    },
}

impl Curved {
    /// The responses it speaks of, by index.
    pub fn responses(&self) -> Vec<usize> {
        match self {
            Self::Predictor { response, .. }
            | Self::Against { response, .. }
            | Self::Leverage { response, .. }
            | Self::Level { response, .. }
            | Self::Cracking { response, .. } => vec![*response],
            Self::Responses { left, right, .. } => vec![*left, *right],
            Self::Measures { .. } | Self::LevelOfRatio { .. } => Vec::new(),
        }
    }
}

impl Problem {
    /// Whether a curved condition speaks of a surface with more products of factors than factors.
    pub fn has_dense_surfaces(&self) -> bool {
        let is_dense = |response: &usize| {
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
    fn response_gradient(&self, response: usize, mix: &[f64]) -> (f64, Vec<f64>) {
        let described = &self.responses[response];
        let (predictor, mut gradient) = self.predictor_gradient(response, mix);
        scale(&mut gradient, described.slope(predictor) * described.unit.factor);
        (described.unit.to_base(described.natural(predictor)), gradient)
    }

    /// `deviations x s sqrt(scatter + h) x slope`, its gradient taken off `gradient` (the slope taken as constant).
    fn margin(&self, response: usize, doubt: Doubt, slope: f64, mix: &[f64], gradient: &mut [f64]) -> f64 {
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

/// The conditions of one requirement.
pub fn conditions(problem: &Problem, index: usize, requirement: &Requirement) -> Vec<Condition> {
    let sign = requirement.side.sign();
    let unit = &requirement.unit;
    let form = match (&requirement.subject, &requirement.wanted) {
        (Subject::Response(_), Wanted::Value(most)) if matches!(requirement.origin, Origin::Leverage(_)) => {
            let Subject::Response(response) = requirement.subject else { return Vec::new() };
            Form::Curved(Curved::Leverage { response, most: *most })
        }
        (Subject::Quantity(quantity), Wanted::Value(value)) => {
            let bound = unit.to_base(value + sign * requirement.margin.natural);
            Form::Linear(quantity.measure.minus_bound(bound).times(sign))
        }
        (Subject::Quantity(left), Wanted::Quantity(times, right)) => match (&left.measure, &right.measure) {
            (Measure::Linear(left), Measure::Linear(right)) => {
                Form::Linear(left.clone().plus(-times, right).times(sign))
            }
            (left, right) => Form::Curved(Curved::Measures {
                left: left.clone(),
                right: right.clone(),
                times: *times,
                sign,
            }),
        },
        (Subject::Quantity(quantity), Wanted::Response(times, response)) => Form::Curved(Curved::Against {
            response: *response,
            sign: -sign,
            measure: quantity.measure.clone(),
            times: 1.0 / times,
            margin: requirement.margin.natural * unit.factor / times,
            doubt: requirement.margin.doubt,
        }),
        (Subject::Response(response), Wanted::Quantity(times, quantity)) => Form::Curved(Curved::Against {
            response: *response,
            sign,
            measure: quantity.measure.clone(),
            times: *times,
            margin: requirement.margin.natural * unit.factor,
            doubt: requirement.margin.doubt,
        }),
        (Subject::Response(left), Wanted::Response(times, right)) => Form::Curved(Curved::Responses {
            left: *left,
            right: *right,
            times: *times,
            sign,
            margin: requirement.margin.natural * unit.factor,
        }),
        (Subject::Response(response), Wanted::Value(_))
            if matches!(problem.responses[*response].rule, Rule::Cracking(_)) =>
        {
            return cracking_conditions(problem, index, requirement, *response);
        }
        (Subject::Response(response), Wanted::Value(value)) => {
            return predictor_conditions(problem, index, requirement, *response, *value);
        }
    };
    let scale = match (&form, &requirement.wanted) {
        (Form::Curved(Curved::Leverage { most, .. }), _) => *most,
        (Form::Curved(Curved::Against { response, .. }), _) => typical(&problem.responses[*response]),
        (Form::Curved(Curved::Responses { left, .. }), _) => typical(&problem.responses[*left]),
        _ => 1.0,
    };
    vec![Condition { origin: ConditionOrigin::Requirement(index), form, scale }]
}

/// A typical magnitude of a response, base units: its value at the middle of its region.
pub fn typical(response: &Response) -> f64 {
    let middle: Vec<f64> = response.region().iter().map(crate::number::Interval::middle).collect();
    response.unit.to_base(response.natural(response.predictor(&middle).0)).abs().max(1e-9)
}

/// The limit moved through the link: the predictor against a target, with the edges of the link's range.
fn predictor_conditions(
    problem: &Problem,
    index: usize,
    requirement: &Requirement,
    response: usize,
    value: f64,
) -> Vec<Condition> {
    let described = &problem.responses[response];
    let sign = requirement.side.sign();
    let wanted = convert(value + sign * requirement.margin.natural, &requirement.unit, &described.unit);
    let target = described.on_link(wanted);
    let mut list = Vec::new();
    if described.link.needs_rising_predictor() && requirement.side == Side::AtMost {
        list.push(curved(
            problem,
            index,
            Curved::Predictor { response, sign: 1.0, target: 0.0, doubt: Doubt::default() },
            1.0,
        ));
    }
    if !target.is_finite() {
        // Outside the link's range the limit is always or never met; `limits` has said which.
        return list;
    }
    let slope = described.slope(target).abs();
    let scale = if described.link == Link::Identity || slope == 0.0 {
        wanted.abs().max(described.absolute_scale()).max(1e-6)
    } else {
        (wanted.abs() / slope).max(1e-6)
    };
    let doubt = requirement.margin.doubt;
    list.push(curved(problem, index, Curved::Predictor { response, sign, target, doubt }, scale));
    list
}

/// A curved condition, stated as an affine one where the surface allows it exactly.
fn curved(problem: &Problem, requirement: usize, curved: Curved, scale: f64) -> Condition {
    let origin = ConditionOrigin::Requirement(requirement);
    if let Curved::Predictor { response, sign, target, doubt } = curved
        && let Some(affine) = exactly_affine(&problem.responses, response, sign, target, doubt)
    {
        return Condition { origin, form: Form::Linear(affine), scale };
    }
    Condition { origin, form: Form::Curved(curved), scale }
}
