//! Programs to a solver and back: the only home of `good_lp`.
//!
//! Every point is verified against the program it answers; an error, a point that fails, or a claim of
//! infeasibility is put to a second engine before anyone believes it.

use good_lp::{Expression, ProblemVariables, ResolutionError, Solution, SolverModel, constraint, variable};

use super::second_engine;
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
}

/// Largest violation of a (scaled) row or bound in a point that is accepted.
const FEASIBLE: f64 = 2e-7;

/// Solves a program.
pub fn solve_program(program: &Program) -> Outcome {
    if let Some(fault) = program.fault() {
        return Outcome::Failed(fault);
    }
    if program.columns.iter().any(|column| column.high < column.low) {
        return if program.columns.iter().any(|column| column.high < column.low - 1e-9) {
            Outcome::Infeasible
        } else {
            solve_program(&with_ordered_bounds(program))
        };
    }
    if let Some(outcome) = first_engine(program) {
        return outcome;
    }
    second_engine::solve(program, FEASIBLE)
}

fn with_ordered_bounds(program: &Program) -> Program {
    let mut ordered = program.clone();
    for column in &mut ordered.columns {
        if column.high < column.low {
            let middle = 0.5 * (column.low + column.high);
            (column.low, column.high) = (middle, middle);
        }
    }
    ordered
}

/// `None` if the answer needs a second opinion.
fn first_engine(program: &Program) -> Option<Outcome> {
    let mut variables = ProblemVariables::new();
    let handles: Vec<_> = program
        .columns
        .iter()
        .map(|column| {
            let definition = variable().min(column.low);
            let definition = if column.high.is_finite() { definition.max(column.high) } else { definition };
            variables.add(if column.integer { definition.integer() } else { definition })
        })
        .collect();
    let sum = |terms: &[(usize, f64)]| -> Expression {
        let mut sum = Expression::with_capacity(terms.len());
        for (column, factor) in terms {
            sum.add_mul(*factor, handles[*column]);
        }
        sum
    };
    let costs: Vec<(usize, f64)> = program
        .columns
        .iter()
        .enumerate()
        .filter(|(_, column)| column.cost != 0.0)
        .map(|(index, column)| (index, column.cost))
        .collect();
    let mut model = variables.minimise(sum(&costs)).using(good_lp::microlp);
    for row in &program.rows {
        if row.low == row.high {
            model = model.with(constraint!(sum(&row.terms) == row.low));
            continue;
        }
        if row.low.is_finite() {
            model = model.with(constraint!(sum(&row.terms) >= row.low));
        }
        if row.high.is_finite() {
            model = model.with(constraint!(sum(&row.terms) <= row.high));
        }
    }
    match model.solve() {
        Ok(solution) => {
            let point: Vec<f64> = handles.iter().map(|handle| solution.value(*handle)).collect();
            accepted(program, point, FEASIBLE)
        }
        Err(ResolutionError::Unbounded) => Some(Outcome::Unbounded),
        Err(_) => None,
    }
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
