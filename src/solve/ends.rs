//! Where the local loop ends from many starts: mixes that meet a problem, or come as near as their valleys allow.
//!
//! What enters: a problem that may have no mix. What leaves: one mix for each start of each assignment within reach. Nothing
//! is judged here, and nothing proven.

use super::assignments::{admissible, neighbours};
use super::engine::solve_program;
use super::local::{Precision, improve};
use super::outcome::Outcome;
use super::search::first_assignment;
use super::starts::starts;
use crate::model::{Assignment, Frame, Wholeness};
use crate::parallel::{self, Stop};
use crate::problem::Problem;

/// Assignments up to which all are tried; beyond them the one that the exact part takes, and its neighbours.
const MOST: usize = 256;
/// Starts of each, as far as so many runs allow.
const STARTS: usize = 3;
const RUNS: usize = 128;

/// Ends of the local loop, in the problem's columns, and the linear programs that they took.
pub fn ends(problem: &Problem, stop: Stop) -> (Vec<Vec<f64>>, usize) {
    let frame = Frame::new(problem).until(stop);
    let assignments = admissible(&frame, MOST).unwrap_or_else(|| {
        let first = first_assignment(&frame);
        let mut list = first.as_ref().map(|first| neighbours(&frame, first)).unwrap_or_default();
        list.splice(0..0, first);
        list.truncate(MOST);
        list
    });
    let count = (RUNS / assignments.len().max(1)).clamp(1, STARTS);
    let from = |_: usize, assignment: &Assignment| -> (Vec<Vec<f64>>, usize) {
        if frame.stop.is_due() {
            return (Vec::new(), 0);
        }
        let exact = frame.exact_part(assignment, Wholeness::Relaxed);
        let Outcome::Optimal(cheapest, _) = solve_program(&exact) else { return (Vec::new(), 1) };
        let mut programs = 1;
        let mut mixes = Vec::with_capacity(count);
        for start in starts(&frame, assignment, &cheapest, count) {
            let Ok(stop) = improve(&frame, assignment, start, Precision::ANY) else { continue };
            programs += stop.programs;
            if stop.violation.is_finite() {
                mixes.push(stop.mix);
            }
        }
        (mixes, programs)
    };
    let found = parallel::in_order(&assignments, from, |_| {});
    let programs = found.iter().map(|(_, programs)| programs).sum();
    (found.into_iter().flat_map(|(mixes, _)| mixes).collect(), programs)
}
