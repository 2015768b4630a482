//! Where the local loop goes from a mix that is known already.
//!
//! What enters: a problem, a mix, its decisions. What leaves: the mix that it leads to, if that meets the problem. Other
//! decisions are not looked at.

use super::local::{Precision, Stopped, improve};
use super::verdict::audit;
use crate::model::{Assignment, Frame};
use crate::parallel::Stop;
use crate::problem::Problem;

/// Relative violation at which a stop of the loop counts as a mix.
pub(super) const FEASIBLE: f64 = 2e-7;

/// A mix that a search may begin with; `programs` grows by what it took. Where amounts go in steps a mix between them is none.
pub(super) fn started(
    frame: &Frame<'_>,
    assignment: &Assignment,
    mix: &[f64],
    programs: &mut usize,
) -> Option<(Assignment, Stopped)> {
    if 0 < frame.decisions.counts {
        return None;
    }
    let stop = improve(frame, assignment, mix.to_vec(), Precision::FINE).ok()?;
    *programs += stop.programs;
    (stop.violation <= FEASIBLE).then(|| (assignment.clone(), stop))
}

/// The mix to which the local loop goes from another one, decisions kept; none where it ends at nothing that meets the problem.
pub fn improved_from(
    problem: &Problem,
    assignment: &Assignment,
    mix: &[f64],
    stop: Stop,
) -> Option<Vec<f64>> {
    let frame = Frame::new(problem).until(stop);
    let stop = improve(&frame, assignment, mix.to_vec(), Precision::FINE).ok()?;
    (stop.violation <= FEASIBLE && audit(problem, &stop.mix).passes()).then_some(stop.mix)
}
