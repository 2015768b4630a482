//! From a mix to one near it whose amounts are whole numbers of steps.
//!
//! What enters: where the local loop stopped without steps, its choices taken. What leaves: where it stops in steps. Counts
//! are branched on the tangent program at that mix, which says nearly the truth within a step or two, the best first; each
//! whole answer of it is put to the loop. Nothing is proven here.

use super::dense_simplex::{DenseSimplex, Ending};
use super::local::{Precision, Stopped, improve};
use super::whole::{Child, Leaf, Rises};
use crate::model::{Assignment, Frame, linearised};

/// Relative violation at which a stop of the loop counts as a mix.
const FEASIBLE: f64 = 2e-7;
/// How far a tangent may be missed, and at what price.
const MISSED: f64 = 1e-6;
const PRICE: f64 = 20.0;
/// Branchings, and whole answers put to the loop.
const BRANCHINGS: usize = 80;
const TRIES: usize = 5;

/// A mix in steps near one that is not, its choices kept; the stop that came nearest where none is met.
///
/// # Errors
/// What both engines said when they failed.
pub fn in_steps(
    frame: &Frame<'_>,
    assignment: &Assignment,
    stop: Stopped,
    precision: Precision,
) -> Result<(Assignment, Stopped), String> {
    let mut programs = stop.programs;
    let mut best: Option<(Assignment, Stopped)> = None;
    let mut tries = 0;
    let first = first_leaf(frame, assignment, &stop);
    let mut stack: Vec<Leaf> = first.into_iter().collect();
    let mut branched = 0;
    let mut rises = Rises::default();
    while let Some(leaf) = stack.pop() {
        let goal = best.as_ref().map_or(f64::INFINITY, |(_, stop)| goal_of(stop));
        if goal <= leaf.bound {
            continue;
        }
        if BRANCHINGS <= branched || TRIES <= tries || frame.stop.is_due() {
            break;
        }
        if let Some(split) = leaf.most_broken(frame, assignment, &rises) {
            branched += 1;
            let mut better: Vec<Leaf> = Vec::with_capacity(2);
            for (place, child) in leaf.children(split, &[]) {
                programs += 1;
                if let Child::Open(mut child) = child {
                    child.bound = child.simplex.program().objective(&child.point);
                    rises.learn(place, child.bound - leaf.bound);
                    better.push(*child);
                }
            }
            better.sort_by(|a, b| b.bound.total_cmp(&a.bound));
            stack.extend(better);
            continue;
        }
        tries += 1;
        let taken = leaf.with_nearest_counts(frame);
        let tried = improve(frame, &taken, frame.raise(&leaf.point[..frame.scales.len()]), precision)?;
        programs += tried.programs;
        if best.as_ref().is_none_or(|(_, known)| is_better(&tried, known)) {
            best = Some((taken, tried));
        }
    }
    if best.is_none() {
        // No tangent program to go by: all counts at their nearest numbers.
        let taken = nearest(frame, assignment, &stop.mix);
        let tried = improve(frame, &taken, stop.mix, precision)?;
        programs += tried.programs;
        best = Some((taken, tried));
    }
    let (taken, stop) = best.expect("one was tried");
    Ok((taken, Stopped { programs, ..stop }))
}

/// The goal of a mix; none of what is no mix.
fn goal_of(stop: &Stopped) -> f64 {
    if stop.violation <= FEASIBLE { stop.goal } else { f64::INFINITY }
}

fn is_better(tried: &Stopped, known: &Stopped) -> bool {
    let order = goal_of(tried).total_cmp(&goal_of(known));
    order.then(tried.violation.total_cmp(&known.violation)).is_lt()
}

fn first_leaf(frame: &Frame<'_>, assignment: &Assignment, stop: &Stopped) -> Option<Leaf> {
    let mut tangents = linearised(frame, assignment, &stop.mix, f64::INFINITY, PRICE);
    for elastic in &tangents.elastic {
        tangents.program.columns[*elastic].high = MISSED;
    }
    let mut simplex = DenseSimplex::new(tangents.program)?;
    let Ending::Optimal = simplex.optimise() else { return None };
    let point = simplex.point();
    let bound = simplex.program().objective(&point);
    Some(Leaf { bound, assignment: assignment.clone(), simplex, point })
}

fn nearest(frame: &Frame<'_>, assignment: &Assignment, mix: &[f64]) -> Assignment {
    let first = frame.decisions.choices();
    let mut taken = assignment.clone();
    for (range, count) in taken[first..].iter_mut().zip(&frame.problem.counts) {
        let steps = frame.problem.steps_in(&count.step, mix).unwrap_or(0.0);
        *range = crate::problem::DecisionRange::at(range.nearest(steps));
    }
    taken
}
