//! Where the local loop ends from many starts: mixes that meet a problem, or come as near as their valleys allow.
//!
//! What enters: a problem that may have no mix. What leaves: one mix for each start of each assignment within reach, or the
//! first that meets the problem. Nothing is proven here.

use super::assignments::{admissible, neighbours};
use super::engine::solve_program;
use super::from_mix::FEASIBLE;
use super::local::{Precision, Stopped, improve};
use super::outcome::Outcome;
use super::search::first_assignment;
use super::starts::starts;
use super::verdict::audit;
use crate::model::{Assignment, Frame, Wholeness};
use crate::parallel::{self, Stop};
use crate::problem::Problem;

/// Assignments up to which all are tried; beyond them the one that the exact part takes, and its neighbours.
const MOST: usize = 256;
/// Starts of each, as far as so many runs allow.
const STARTS: usize = 4;
const RUNS: usize = 192;
/// Assignments that are tried together; fixed, so that results do not depend on threads.
const BLOCK: usize = 16;

/// Ends of the local loop, in the problem's columns, and the linear programs that they took.
pub fn ends(problem: &Problem, stop: Stop) -> (Vec<Vec<f64>>, usize) {
    let frame = Frame::new(problem).until(stop);
    let assignments = within_reach(&frame);
    let found = parallel::in_order(&assignments, |_, one| runs(&frame, one, assignments.len()), |_| {});
    let programs = found.iter().map(|(_, programs)| programs).sum();
    let stops = found.into_iter().flat_map(|(stops, _)| stops);
    (stops.filter(|stop| stop.violation.is_finite()).map(|stop| stop.mix).collect(), programs)
}

/// The first end that meets the problem, and the linear programs that it took.
pub fn first_end(problem: &Problem, stop: Stop) -> (Option<Vec<f64>>, usize) {
    let frame = Frame::new(problem).until(stop);
    let assignments = within_reach(&frame);
    let mut programs = 0;
    for block in assignments.chunks(BLOCK) {
        for (stops, taken) in parallel::in_order(block, |_, one| runs(&frame, one, assignments.len()), |_| {})
        {
            programs += taken;
            let met = |stop: &Stopped| stop.violation <= FEASIBLE && audit(problem, &stop.mix).passes();
            if let Some(stop) = stops.into_iter().find(met) {
                return (Some(stop.mix), programs);
            }
        }
    }
    (None, programs)
}

fn within_reach(frame: &Frame<'_>) -> Vec<Assignment> {
    admissible(frame, MOST).unwrap_or_else(|| {
        let first = first_assignment(frame);
        let mut list = first.as_ref().map(|first| neighbours(frame, first)).unwrap_or_default();
        list.splice(0..0, first);
        list.truncate(MOST);
        list
    })
}

/// Where the loop ends from the starts of one of so many assignments, and the programs that it took.
fn runs(frame: &Frame<'_>, assignment: &Assignment, assignments: usize) -> (Vec<Stopped>, usize) {
    if frame.stop.is_due() {
        return (Vec::new(), 0);
    }
    let exact = frame.exact_part(assignment, Wholeness::Relaxed);
    let Outcome::Optimal(cheapest, _) = solve_program(&exact) else { return (Vec::new(), 1) };
    let count = (RUNS / assignments.max(1)).clamp(1, STARTS);
    let from = starts(frame, assignment, &cheapest, count);
    let stops: Vec<Stopped> =
        from.into_iter().filter_map(|start| improve(frame, assignment, start, Precision::ANY).ok()).collect();
    let programs = 1 + stops.iter().map(|stop| stop.programs).sum::<usize>();
    (stops, programs)
}
