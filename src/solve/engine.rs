//! Programs to a solver and back: the only home of `good_lp`.
//!
//! Every point is verified against the program it answers; an error, a point that fails, or a claim of
//! infeasibility is put to a second engine before anyone believes it.

use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution, SolutionStatus, SolverModel, WithTimeLimit,
    constraint, variable,
};

use super::outcome::{Outcome, accepted};
use super::{own_engine, second_engine};
use crate::model::Program;
use crate::parallel::{Stop, unless_due};

/// Largest violation of a (scaled) row or bound in a point that is accepted.
const FEASIBLE: f64 = 2e-7;

/// Terms in all rows beyond which the engines, which look at the clock once in a thousand steps, may look too late.
const LARGE: usize = 10_000;

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
    if program.stop.is_due() {
        return Outcome::Interrupted;
    }
    if LARGE <= program.rows.iter().map(|row| row.terms.len()).sum() && program.stop != Stop::NEVER {
        let own = program.clone();
        return unless_due(program.stop, move || by_engines(&own)).unwrap_or(Outcome::Interrupted);
    }
    by_engines(program)
}

fn by_engines(program: &Program) -> Outcome {
    if let Some(outcome) = own_engine::solve(program, FEASIBLE).or_else(|| first_engine(program)) {
        return outcome;
    }
    // An answer that failed for want of time is no reason to ask again.
    if program.stop.is_due() { Outcome::Interrupted } else { second_engine::solve(program, FEASIBLE) }
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
    if let Some(left) = program.stop.time_left() {
        model = model.with_time_limit(left.as_secs_f64());
    }
    match model.solve() {
        // A whole-number program that ran out of time may come with a point that is not the best.
        Ok(solution) if matches!(solution.status(), SolutionStatus::TimeLimit) => Some(Outcome::Interrupted),
        Ok(solution) => {
            let point: Vec<f64> = handles.iter().map(|handle| solution.value(*handle)).collect();
            accepted(program, point, FEASIBLE)
        }
        Err(ResolutionError::Unbounded) => Some(Outcome::Unbounded),
        Err(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::RowOrigin;

    /// least -5 a - 4 b - 3 c, a b c whole in 0 .. 3, by enumeration.
    #[test]
    fn both_engines_take_whole_columns_beyond_one() {
        for (first, second) in [(6.0, 7.5), (4.0, 3.0), (10.5, 8.0), (0.4, 9.0)] {
            let mut program = Program::default();
            for (label, cost) in [("a", -5.0), ("b", -4.0), ("c", -3.0)] {
                let column = program.add_column(label, 0.0, 3.0, cost);
                program.columns[column].integer = true;
            }
            program.add_row(
                RowOrigin::Derived,
                "first",
                vec![(0, 2.0), (1, 3.0), (2, 1.0)],
                f64::NEG_INFINITY,
                first,
            );
            program.add_row(
                RowOrigin::Derived,
                "second",
                vec![(0, 4.0), (1, 1.0), (2, 2.0)],
                f64::NEG_INFINITY,
                second,
            );
            let whole = (0..64_u32).map(|case| [case % 4, case / 4 % 4, case / 16].map(f64::from).to_vec());
            let best = whole
                .filter(|point| program.violation(point) <= 1e-9)
                .map(|point| program.objective(&point))
                .min_by(f64::total_cmp);
            for outcome in [first_engine(&program), Some(second_engine::solve(&program, FEASIBLE))] {
                let Some(Outcome::Optimal(_, objective)) = outcome else { panic!("{outcome:?}") };
                assert!(best.is_some_and(|best| (objective - best).abs() < 1e-9), "{objective}, {best:?}");
            }
        }
    }
}
