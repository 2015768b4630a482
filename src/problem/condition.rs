//! Requirements as conditions `value >= 0`: exact affine ones where possible, curved ones with gradients.

use super::requirement::{Doubt, Requirement};
use crate::listed::Id;
use crate::mixture::{Affine, Measure};
use crate::response::Response;

/// Where a condition comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ConditionOrigin {
    /// A requirement, by index.
    Requirement(Id<Requirement>),
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
    pub fn requirement(self) -> Option<Id<Requirement>> {
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
        response: Id<Response>,
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
        response: Id<Response>,
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
        left: Id<Response>,
        /// Right.
        right: Id<Response>,
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
        response: Id<Response>,
        /// Largest leverage.
        most: f64,
    },
    /// `sign (level - predictor) >= 0`: the goal's column on the predictor's scale.
    Level {
        /// The response.
        response: Id<Response>,
        /// The column.
        column: usize,
        /// +1 when the goal is least, -1 when most.
        sign: f64,
    },
    /// `failure level - stress >= 0` at one point of the grid of an age at cracking, MPa.
    Cracking {
        /// The response.
        response: Id<Response>,
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
    pub fn responses(&self) -> Vec<Id<Response>> {
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
