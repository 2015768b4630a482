//! The value of the goal at a mix, in the reader's unit.

use crate::problem::{Level, Problem};
use crate::quantity::Unit;

/// The goal's value; none where it cannot be worked out.
pub fn goal_value(problem: &Problem, mix: &[f64], unit: &Unit) -> Option<f64> {
    match &problem.goal.level {
        None => Some(unit.from_base(problem.goal.objective.at(mix))),
        Some(Level::Response(index)) => {
            let response = &problem.responses[*index];
            Some(crate::problem::convert(problem.predict(*index, mix)?.value, &response.unit, unit))
        }
        Some(Level::Ratio(measure)) => Some(unit.from_base(measure.at(mix)?)),
    }
}
