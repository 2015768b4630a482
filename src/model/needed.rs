//! What a program need not state: rows that follow from others, and counted additions that may stay inequalities.

use crate::listed::Id;
use crate::mixture::{Affine, Counted, Measure};
use crate::problem::{Form, Problem};
use crate::response::Source;

/// Marks the linear conditions that do not follow from the reach or from another marked one.
///
/// Responses share factors, so the same region often stands in several of them.
pub fn needed(problem: &Problem) -> Vec<bool> {
    let mut needed = vec![true; problem.conditions.len()];
    let affine = |index: usize| match &problem.conditions[index].form {
        Form::Linear(affine) => Some(affine),
        Form::Curved(_) => None,
    };
    // What is negative at some mix in reach is not worth a bound over all of them.
    let samples = problem.reach.samples();
    let values = |affine: &Affine| samples.iter().map(|mix| affine.at(mix)).collect::<Vec<f64>>();
    let sampled: Vec<Option<Vec<f64>>> = (0..needed.len()).map(|index| affine(index).map(values)).collect();
    let never_below =
        |one: &[f64], other: &[f64]| one.iter().zip(other).all(|(a, b)| -1e-9 * (a.abs() + b.abs()) <= a - b);
    let zeros = vec![0.0; samples.len()];
    let is_never_negative = |affine: &Affine| 0.0 <= problem.reach.of_affine(affine).low();
    for index in 0..needed.len() {
        let (Some(row), Some(at)) = (affine(index), &sampled[index]) else { continue };
        let follows = |other: usize| {
            other != index
                && sampled[other].as_ref().is_some_and(|kept| never_below(at, kept))
                && affine(other).is_some_and(|kept| is_never_negative(&row.clone().plus(-1.0, kept)))
        };
        let holds = never_below(at, &zeros) && is_never_negative(row);
        needed[index] = !holds && !(0..needed.len()).any(|other| needed[other] && follows(other));
    }
    needed
}

/// A counted addition may stay an inequality only where more of it can never hurt.
pub fn must_be_exact(problem: &Problem, index: Id<Counted>) -> bool {
    let column = problem.mixture.counted[index].column;
    let curved = problem.conditions.iter().any(|condition| matches!(condition.form, Form::Curved(_)));
    let in_curved = curved
        && problem.responses.iter().flat_map(|response| &response.factors).any(|factor| {
            matches!(&factor.source, Source::Quantity(quantity) if mentions(&quantity.measure, column))
        });
    let hurts = problem.conditions.iter().any(|condition| match &condition.form {
        Form::Linear(affine) => affine.terms.iter().any(|(known, factor)| *known == column && *factor < 0.0),
        Form::Curved(_) => false,
    });
    let in_goal = problem.goal.objective.terms.iter().any(|(known, _)| *known == column);
    in_curved || hurts || in_goal
}

fn mentions(measure: &Measure, column: usize) -> bool {
    let in_affine = |affine: &Affine| affine.terms.iter().any(|(known, _)| *known == column);
    match measure {
        Measure::Linear(affine) => in_affine(affine),
        Measure::Ratio(ratio) => in_affine(&ratio.numerator) || in_affine(&ratio.denominator),
    }
}
