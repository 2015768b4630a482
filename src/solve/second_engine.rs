//! The second engine: a newer release of the same family, asked only when the first is in doubt.

use microlp::{ComparisonOp, Error, OptimizationDirection, Problem, SolveOptions, TerminationReason};

use super::outcome::{Outcome, accepted};
use crate::model::Program;

/// Solves a program with the second engine.
pub fn solve(program: &Program, tolerance: f64) -> Outcome {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut handles = Vec::with_capacity(program.columns.len());
    for column in &program.columns {
        let handle = if column.integer {
            #[expect(clippy::cast_possible_truncation, reason = "decisions are small whole numbers")]
            let bounds = (column.low.ceil() as i32, column.high.floor() as i32);
            if bounds.1 < bounds.0 {
                return Outcome::Infeasible;
            }
            problem.add_integer_var(column.cost, bounds)
        } else {
            problem.add_var(column.cost, (column.low, column.high))
        };
        handles.push(handle);
    }
    for row in &program.rows {
        let terms: Vec<_> = row.terms.iter().map(|(column, factor)| (handles[*column], *factor)).collect();
        if row.low == row.high {
            problem.add_constraint(&terms, ComparisonOp::Eq, row.low);
            continue;
        }
        if row.low.is_finite() {
            problem.add_constraint(&terms, ComparisonOp::Ge, row.low);
        }
        if row.high.is_finite() {
            problem.add_constraint(&terms, ComparisonOp::Le, row.high);
        }
    }
    let mut options = SolveOptions::default();
    options.time_limit = program.stop.time_left();
    match problem.solve_with(options).map(microlp::SolveOutcome::into_solution) {
        Ok(Ok(solution)) if solution.termination_reason() == TerminationReason::TimeLimit => {
            Outcome::Interrupted
        }
        Ok(Ok(solution)) => {
            let point = handles.iter().map(|handle| solution[*handle]).collect();
            accepted(program, point, tolerance).unwrap_or_else(|| {
                Outcome::Failed("the point of the solver does not satisfy its program".to_owned())
            })
        }
        Ok(Err(_)) => Outcome::Interrupted,
        Err(Error::Infeasible) => Outcome::Infeasible,
        Err(Error::Unbounded) => Outcome::Unbounded,
        Err(error) => Outcome::Failed(error.to_string()),
    }
}
