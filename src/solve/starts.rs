//! Where the local loop begins.

use super::engine::solve_program;
use super::outcome::Outcome;
use crate::model::{Assignment, Frame, Wholeness};

/// Deterministic starts: the cheapest point of the exact part, and middles of its extreme points.
pub fn starts(frame: &Frame<'_>, assignment: &Assignment, cheapest: &[f64], count: usize) -> Vec<Vec<f64>> {
    let program = frame.exact_part(assignment, Wholeness::Relaxed);
    let columns = frame.problem.mixture.columns.len();
    let mut list = vec![frame.raise(cheapest)];
    for seed in 1..count {
        if frame.stop.is_due() {
            break;
        }
        let mut corners: Vec<Vec<f64>> = Vec::new();
        for corner in 0..4 {
            let mut turned = program.clone();
            for (index, column) in turned.columns.iter_mut().enumerate() {
                column.cost = if index < columns { direction(seed * 4 + corner, index) } else { 0.0 };
            }
            if let Outcome::Optimal(point, _) = solve_program(&turned) {
                corners.push(point);
            }
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

/// A fixed, scattered number between -1 and 1 (a low-discrepancy sequence on the golden ratio).
fn direction(seed: usize, index: usize) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let position = (seed as f64) * GOLDEN + (index as f64) * 0.754_877_666_246_692_7;
    2.0 * position.fract() - 1.0
}
