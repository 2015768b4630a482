//! The dense simplex in front of the engines, for programs without whole numbers.
//!
//! What enters: a program. What leaves: its optimum, if the multipliers at hand say that it is one; nothing in every other
//! case, a program without a point included: then the engines behind it are asked. The local loop solves one small program
//! after the other, and most of its time went into setting them up.

use super::dense_simplex::{DenseSimplex, Ending};
use super::outcome::{Outcome, accepted};
use crate::model::Program;

/// Columns and rows up to which a full table pays.
const MOST: usize = 200;
/// End of a column that has none and costs something: an optimum there is not believed.
const FAR: f64 = 1e6;
/// Reduced cost of the wrong sign, relative to its terms, that is rounding, and distance from an end that is.
const WRONG: f64 = 1e-10;
const NEAR: f64 = 1e-8;

/// The optimum of a program, or nothing.
pub fn solve(program: &Program, tolerance: f64) -> Option<Outcome> {
    if MOST < program.columns.len().max(program.rows.len()) {
        return None;
    }
    let mut boxed = Program { rows: Vec::new(), columns: program.columns.clone(), ..*program };
    for column in &mut boxed.columns {
        if column.high == f64::INFINITY && 0.0 < column.cost && column.low < FAR {
            column.high = FAR;
        }
    }
    let mut simplex = DenseSimplex::without_rows(&boxed)?.exactly();
    if simplex.optimise_among(&program.rows) != Ending::Optimal {
        return None;
    }
    let point = simplex.point();
    let is_optimum = is_optimal_by(simplex.program(), &point, &simplex.multipliers());
    let lies_far =
        point.iter().zip(&program.columns).any(|(value, column)| column.high < *value || FAR <= *value);
    if lies_far || !is_optimum {
        return None;
    }
    accepted(program, point, tolerance)
}

/// Whether no reduced cost and no multiplier asks for a move from a point.
fn is_optimal_by(program: &Program, point: &[f64], multipliers: &[f64]) -> bool {
    let mut reduced: Vec<f64> = program.columns.iter().map(|column| column.cost).collect();
    let mut size: Vec<f64> = reduced.iter().map(|cost| cost.abs()).collect();
    let largest = size.iter().fold(1.0_f64, |largest, cost| largest.max(*cost));
    // What moves up must cost nothing less, except at its high end, and the other way round.
    let stands = |asks: f64, size: f64, value: f64, low: f64, high: f64| {
        let room = NEAR * (1.0 + value.abs());
        let wrong = WRONG * size.max(largest);
        (-wrong <= asks || high - room <= value) && (asks <= wrong || value <= low + room)
    };
    for (row, y) in program.rows.iter().zip(multipliers) {
        if *y == 0.0 {
            continue;
        }
        let mut sum = 0.0;
        for (column, factor) in &row.terms {
            sum += factor * point[*column];
            reduced[*column] -= y * factor;
            size[*column] += (y * factor).abs();
        }
        if !stands(*y, 0.0, sum, row.low, row.high) {
            return false;
        }
    }
    let columns = program.columns.iter().zip(point).zip(reduced.iter().zip(&size));
    columns.into_iter().all(|((column, value), (r, size))| stands(*r, *size, *value, column.low, column.high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::RowOrigin;

    /// min x + 2 y, x + y >= 3, x <= 2, y without an end: optimum (2, 1).
    fn two_by_two() -> Program {
        let mut program = Program::default();
        let x = program.add_column("x", 0.0, 2.0, 1.0);
        let y = program.add_column("y", 0.0, f64::INFINITY, 2.0);
        program.add_row(RowOrigin::Derived, "sum", vec![(x, 1.0), (y, 1.0)], 3.0, f64::INFINITY);
        program
    }

    #[test]
    fn an_optimum_is_told_and_another_point_is_none() {
        let program = two_by_two();
        let Some(Outcome::Optimal(point, objective)) = solve(&program, 1e-9) else { panic!("it has one") };
        assert_eq!((point, objective), (vec![2.0, 1.0], 4.0));
        assert!(is_optimal_by(&program, &[2.0, 1.0], &[2.0]));
        assert!(!is_optimal_by(&program, &[0.0, 3.0], &[2.0]), "x may rise and saves one");
        assert!(!is_optimal_by(&program, &[2.0, 1.5], &[2.0]), "the row is not tight");
    }

    #[test]
    fn what_has_no_point_or_falls_without_end_is_left_to_others() {
        let mut program = two_by_two();
        program.add_row(RowOrigin::Derived, "too little", vec![(1, 1.0)], f64::NEG_INFINITY, 0.5);
        assert_eq!(solve(&program, 1e-9), None);
        let mut program = two_by_two();
        program.columns[1].cost = -1.0;
        assert_eq!(solve(&program, 1e-9), None);
    }
}
