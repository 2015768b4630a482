//! The linear program that a found mix is the optimum of, for other solvers to repeat.

use super::shadow_prices::assignment_of;
use crate::model::{Frame, Program, linearised};
use crate::parallel::Stop;
use crate::problem::Problem;
use crate::solve::{Outcome, solve_program};

/// The tangent program at a found mix, its decisions taken, in the goal's base units.
#[derive(Clone, Debug)]
pub struct LastProgram {
    /// The program.
    pub program: Program,
    /// The mix as a point of it.
    pub point: Vec<f64>,
    /// How far each column may move from the mix, in its own units; infinite if as far as its bounds reach.
    pub radius: f64,
}

/// Relative difference up to which the optimum of the program is the mix.
const SAME: f64 = 1e-8;

/// Power of ten of the smallest radius.
const SMALLEST: i32 = -9;

/// The tangent program at a found mix.
///
/// At a settled mix the tangents alone hold the optimum, and no column needs to stay near. Where the mix stopped on a
/// curve that the tangents leave, columns stay within the largest radius that keeps the optimum at the mix.
pub fn last_program(problem: &Problem, mix: &[f64], stop: Stop) -> LastProgram {
    let frame = Frame::new(problem).until(stop);
    let assignment = assignment_of(problem, mix);
    let point: Vec<f64> = mix.iter().zip(&frame.scales).map(|(value, scale)| value / scale).collect();
    let mut power = 1;
    loop {
        let radius = if power == 1 { f64::INFINITY } else { 10_f64.powi(power) };
        let with_slack = linearised(&frame, &assignment, mix, radius, 0.0);
        let mut program = with_slack.program;
        program.columns.truncate(point.len());
        for row in &mut program.rows {
            row.terms.retain(|(column, _)| *column < point.len());
        }
        for column in &mut program.columns {
            column.cost *= frame.goal_scale;
        }
        program.offset *= frame.goal_scale;
        let at_mix = program.objective(&point);
        let same = match solve_program(&program) {
            Outcome::Optimal(_, objective) => (at_mix - objective).abs() <= SAME * (1.0 + at_mix.abs()),
            _ => false,
        };
        if same || power == SMALLEST || stop.is_due() {
            return LastProgram { program, point, radius };
        }
        power -= 1;
    }
}
