//! What solving a program came to, and when a point counts as its optimum.

use crate::model::Program;

/// What solving a program came to.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// A verified optimum: the point and its objective.
    Optimal(Vec<f64>, f64),
    /// No point satisfies all rows.
    Infeasible,
    /// The objective falls without end.
    Unbounded,
    /// Neither engine gave an answer that stands up.
    Failed(String),
    /// Work had to end before there was an answer.
    Interrupted,
}

/// The point as an optimum, if it stands up to its program.
pub fn accepted(program: &Program, mut point: Vec<f64>, tolerance: f64) -> Option<Outcome> {
    if point.iter().any(|value| !value.is_finite()) || tolerance < program.violation(&point) {
        return None;
    }
    for (value, column) in point.iter_mut().zip(&program.columns) {
        *value = value.max(column.low).min(column.high);
    }
    let objective = program.objective(&point);
    Some(Outcome::Optimal(point, objective))
}
