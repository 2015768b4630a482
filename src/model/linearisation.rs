//! The tangent program at a mix: exact part, tangents with elastic slack, trust region.

use super::frame::{Frame, Wholeness};
use super::program::{Program, RowOrigin};
use crate::number::Interval;
use crate::problem::{Condition, ConditionOrigin, DecisionRange, Form};

/// A tangent program and how to read its point.
#[derive(Clone, Debug)]
pub struct Linearisation {
    /// The program; mix columns first.
    pub program: Program,
    /// The elastic column of each curved condition, in order.
    pub elastic: Vec<usize>,
}

impl Linearisation {
    /// The same program with each tangent moved to touch its condition at another mix, where the condition has this
    /// relative value: the slopes of the first mix, the true value of the second (second-order correction).
    pub fn moved_to(&self, frame: &Frame<'_>, mix: &[f64], values: &[f64]) -> Program {
        let mut program = self.program.clone();
        let first = program.rows.len() - self.elastic.len();
        for ((row, elastic), value) in program.rows[first..].iter_mut().zip(&self.elastic).zip(values) {
            let mut sum = 0.0;
            let mut unit = 1.0;
            for (column, factor) in &row.terms {
                if column == elastic {
                    unit = *factor;
                } else {
                    sum += factor * mix[*column] / frame.scales[*column];
                }
            }
            row.low = sum - unit * value;
        }
        program
    }
}

/// Builds the tangent program around `mix`.
///
/// Each curved condition g becomes `g(mix) + g'(mix) (x - mix) + scale s >= 0` with `s >= 0` at the price
/// `penalty`; every column stays within `radius` (in program units) of the mix.
pub fn linearised(
    frame: &Frame<'_>,
    assignment: &[DecisionRange],
    mix: &[f64],
    radius: f64,
    penalty: f64,
) -> Linearisation {
    let mut program = frame.exact_part(assignment, Wholeness::Relaxed);
    for (column, (value, scale)) in program.columns.iter_mut().zip(mix.iter().zip(&frame.scales)) {
        // Bounds that contradict one another are left as they are: the program then says that nothing meets them.
        let bounds = Interval::between(column.low, column.high);
        let centre = bounds.map_or(value / scale, |bounds| bounds.nearest(value / scale));
        column.low = column.low.max(centre - radius);
        column.high = column.high.min(centre + radius);
    }
    let mut elastic = Vec::new();
    let curved =
        frame.problem.conditions.iter().filter(|condition| matches!(condition.form, Form::Curved(_)));
    for (condition, (value, gradient)) in curved.zip(frame.problem.curved_gradients(mix)) {
        let s =
            program.add_column(format!("short of {}", label(frame, condition)), 0.0, f64::INFINITY, penalty);
        elastic.push(s);
        let origin = match condition.origin {
            ConditionOrigin::Requirement(index) => RowOrigin::Requirement(index),
            ConditionOrigin::Divisor => RowOrigin::Divisor,
            ConditionOrigin::Goal => RowOrigin::Goal,
        };
        let mut terms: Vec<(usize, f64)> = gradient
            .iter()
            .zip(&frame.scales)
            .enumerate()
            .filter(|(_, (slope, _))| **slope != 0.0)
            .map(|(column, (slope, scale))| (column, slope * scale / condition.scale))
            .collect();
        let at_mix: f64 =
            terms.iter().map(|(column, factor)| factor * mix[*column] / frame.scales[*column]).sum();
        terms.push((s, 1.0));
        program.add_row(
            origin,
            label(frame, condition),
            terms,
            at_mix - value / condition.scale,
            f64::INFINITY,
        );
    }
    Linearisation { program, elastic }
}

fn label(frame: &Frame<'_>, condition: &Condition) -> String {
    match condition.origin.requirement() {
        Some(index) => frame.problem.requirements[index].name.clone(),
        None => "goal".to_owned(),
    }
}
