//! From a mix to one whose amounts are whole numbers of steps.

use super::local::{Precision, Stopped, improve};
use crate::model::{Assignment, Frame};
use crate::problem::DecisionRange;

/// Relative violation at which a stop of the loop counts as a mix.
const FEASIBLE: f64 = 2e-7;

/// A mix in steps near one that is not, its choices kept: all counts at their nearest numbers, and where that meets no
/// mix, one after the other, the nearest to a whole number first. The stop that came nearest where none is met.
///
/// # Errors
/// What both engines said when they failed.
pub fn in_steps(
    frame: &Frame<'_>,
    assignment: &Assignment,
    stop: Stopped,
    precision: Precision,
) -> Result<(Assignment, Stopped), String> {
    let first = frame.decisions.choices();
    let steps =
        |mix: &[f64], at: usize| frame.problem.steps_in(&frame.problem.counts[at].step, mix).unwrap_or(0.0);
    let mut programs = stop.programs;
    let mut attempt = |assignment: &Assignment, mix: &[f64]| -> Result<Stopped, String> {
        let tried = improve(frame, assignment, mix.to_vec(), precision)?;
        programs += tried.programs;
        Ok(Stopped { programs, ..tried })
    };
    let mut all = assignment.clone();
    for at in 0..frame.decisions.counts {
        all[first + at] = DecisionRange::at(all[first + at].nearest(steps(&stop.mix, at)));
    }
    let nearest = attempt(&all, &stop.mix)?;
    if nearest.violation <= FEASIBLE {
        return Ok((all, nearest));
    }
    let mut open: Vec<usize> =
        (0..frame.decisions.counts).filter(|at| assignment[first + at].fixed().is_none()).collect();
    let mut taken = assignment.clone();
    let mut mix = stop.mix;
    let mut best = None;
    while !open.is_empty() {
        let broken = |at: usize| (steps(&mix, at) - steps(&mix, at).round()).abs();
        open.sort_by(|a, b| broken(*b).total_cmp(&broken(*a)).then(b.cmp(a)));
        let Some(at) = open.pop() else { break };
        if frame.stop.is_due() {
            return Ok((all, nearest));
        }
        let (range, value) = (assignment[first + at], steps(&mix, at));
        let near = range.nearest(value);
        let other = if f64::from(near) < value { near.saturating_add(1) } else { near.saturating_sub(1) };
        let mut met = None;
        for count in [near, other] {
            if count < range.low() || range.high() < count {
                continue;
            }
            taken[first + at] = DecisionRange::at(count);
            let tried = attempt(&taken, &mix)?;
            if tried.violation <= FEASIBLE {
                met = Some(tried);
                break;
            }
        }
        let Some(tried) = met else { return Ok((all, nearest)) };
        mix.clone_from(&tried.mix);
        best = Some(tried);
    }
    Ok(match best {
        Some(best) => (taken, best),
        None => (all, nearest),
    })
}
