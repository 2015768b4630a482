//! A node's mix put to the local loop.
//!
//! What enters: a processed node and the best goal so far. What leaves: where the loop stopped from the relaxation's mix.

use super::node::Processed;
use crate::model::{Assignment, Frame};
use crate::solve::local::{Precision, Stopped, improve};
use crate::solve::steps::in_steps;

/// Relative violation at which a stop of the local loop counts as a mix.
pub const FEASIBLE: f64 = 2e-7;

/// Relative distance from the best goal within which a rough polish is refined.
const NEAR: f64 = 2e-3;

/// The relaxation's mix of a node, improved by the local loop.
///
/// A rough run tells whether it is worth a fine one: it must come near the best goal so far.
pub fn polished(frame: &Frame<'_>, processed: &mut Processed, best: f64) -> Option<(Assignment, Stopped)> {
    let (mix, mut assignment) = processed.candidate.take()?;
    // Counts stay open until the loop has met a mix: they are branched on from there.
    let first = frame.decisions.choices();
    for (range, count) in assignment[first..].iter_mut().zip(&frame.problem.counts) {
        *range = count.range;
    }
    let rough = improve(frame, &assignment, mix, Precision::ROUGH).ok()?;
    let near = !best.is_finite() || rough.goal <= best + NEAR * best.abs();
    if !near || best.is_finite() && 1e-3 < rough.violation {
        return Some((assignment, rough));
    }
    let programs = rough.programs;
    let mut fine = improve(frame, &assignment, rough.mix, Precision::FINE).ok()?;
    fine.programs += programs;
    if 0 < frame.decisions.counts && fine.violation <= FEASIBLE {
        return in_steps(frame, &assignment, fine, Precision::FINE).ok();
    }
    Some((assignment, fine))
}
