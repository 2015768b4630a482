//! Where the local loop begins.

use super::dense_simplex::{DenseSimplex, Ending};
use super::engine::solve_program;
use super::outcome::Outcome;
use crate::model::{Assignment, Frame, Program, Wholeness};

/// Deterministic starts: the cheapest point of the exact part, and middles of its extreme points.
pub fn starts(frame: &Frame<'_>, assignment: &Assignment, cheapest: &[f64], count: usize) -> Vec<Vec<f64>> {
    let mut list = vec![frame.raise(cheapest)];
    if count < 2 {
        return list;
    }
    let program = frame.exact_part(assignment, Wholeness::Relaxed);
    let columns = frame.problem.mixture.columns.len();
    let mut simplex = DenseSimplex::new(program.clone());
    for seed in 1..count {
        if frame.stop.is_due() {
            break;
        }
        let mut corners: Vec<Vec<f64>> = Vec::new();
        for corner in 0..4 {
            let costs: Vec<(usize, f64)> =
                (0..columns).map(|index| (index, direction(seed * 4 + corner, index))).collect();
            corners.extend(corner_of(&program, simplex.as_mut(), &costs));
        }
        if corners.is_empty() {
            continue;
        }
        let size = corners.len() as f64;
        let middle: Vec<f64> = (0..cheapest.len())
            .map(|at| corners.iter().map(|corner| corner[at]).sum::<f64>() / size)
            .collect();
        list.push(frame.raise(&middle));
    }
    list
}

/// The extreme point of a program for other costs, by the simplex that found the last one where there is one.
fn corner_of(
    program: &Program,
    simplex: Option<&mut DenseSimplex>,
    costs: &[(usize, f64)],
) -> Option<Vec<f64>> {
    if let Some(simplex) = simplex {
        simplex.set_costs(costs);
        if simplex.optimise() == Ending::Optimal {
            return Some(simplex.point());
        }
    }
    let mut turned = program.clone();
    for column in &mut turned.columns {
        column.cost = 0.0;
    }
    for (column, cost) in costs {
        turned.columns[*column].cost = *cost;
    }
    match solve_program(&turned) {
        Outcome::Optimal(point, _) => Some(point),
        Outcome::Infeasible | Outcome::Unbounded | Outcome::Failed(_) | Outcome::Interrupted => None,
    }
}

/// A fixed, scattered number between -1 and 1 (a low-discrepancy sequence on the golden ratio).
fn direction(seed: usize, index: usize) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let position = (seed as f64) * GOLDEN + (index as f64) * 0.754_877_666_246_692_7;
    2.0 * position.fract() - 1.0
}
