//! A mix whose amounts are whole steps of the plant's scales, and what that costs.
//!
//! What enters: a problem with its rounding. What leaves: the cheapest mix in steps with its bound, beside the mix without
//! them, and the cost of rounding as an interval; or which step stands in the way. Rounding is part of the search: counts
//! are branched on, and the one unrounded material fills the volume, so that every limit is met by the mix as batched.

use crate::parallel::Stop;
use crate::problem::{DecisionRange, Problem, Rounding, Step, WHOLE};
use crate::solve::{Found, Limits, Settings, Verdict, solve};

/// A mix in steps.
#[derive(Clone, Debug)]
pub struct Rounded {
    /// Bound and cost without steps.
    pub plain: (f64, f64),
    /// Bound and cost in steps.
    pub rounded: (f64, f64),
    /// The mix without steps.
    pub plain_mix: Vec<f64>,
    /// The mix in steps.
    pub found: Found,
    /// How many steps of each, in the order of the rounding; of a load where steps are of one.
    pub counts: Vec<f64>,
}

impl Rounded {
    /// What rounding costs: at least and at most.
    pub fn cost(&self) -> (f64, f64) {
        ((self.rounded.0 - self.plain.1).max(0.0), (self.rounded.1 - self.plain.0).max(0.0))
    }
}

/// Why there is no mix in steps.
#[derive(Clone, Debug)]
pub enum NotRounded {
    /// None without steps either.
    Plain,
    /// Work had to end before a mix was found.
    Unfinished,
    /// Steps without which there would be one, each alone, by their index.
    Blocked(Vec<usize>),
}

/// Gap of both proofs at first, and the least that is asked for.
const GAP: f64 = 1e-4;
const LEAST_GAP: f64 = 1e-5;
/// Share of the cost of rounding that its interval may be wide.
const OF_ITSELF: f64 = 0.1;

/// The cheapest mix in steps.
///
/// # Errors
/// Which steps stand in the way.
pub fn rounded(problem: &Problem, rounding: &Rounding, stop: Stop) -> Result<Rounded, NotRounded> {
    let steps: Vec<Step> = rounding.steps.iter().map(|(step, _)| *step).collect();
    let plain = problem.with_steps(&[]);
    let mut gap = GAP;
    loop {
        let Some(without) = best(&plain, gap, stop) else {
            return Err(if stop.is_due() { NotRounded::Unfinished } else { NotRounded::Plain });
        };
        let Some(stepped) = in_whole_steps(problem, &steps) else {
            return Err(blocking(problem, &steps, stop));
        };
        let Some(with) = best(&stepped, gap, stop) else {
            return Err(if stop.is_due() { NotRounded::Unfinished } else { blocking(problem, &steps, stop) });
        };
        let bound = |found: &Found| found.certainty.map_or(f64::NEG_INFINITY, |certainty| certainty.bound);
        let rounded = Rounded {
            plain: (bound(&without), without.goal),
            // Steps only take mixes away: the bound without them holds too.
            rounded: (bound(&with).max(bound(&without)), with.goal),
            plain_mix: without.mix,
            counts: steps
                .iter()
                .map(|step| problem.steps_in(step, &with.mix).unwrap_or(0.0).round())
                .collect(),
            found: with,
        };
        let (low, high) = rounded.cost();
        let narrow = high - low <= (OF_ITSELF * high).max(GAP * rounded.plain.1.abs());
        if narrow || gap <= LEAST_GAP || stop.is_due() {
            return Ok(rounded);
        }
        gap = LEAST_GAP;
    }
}

/// The problem in steps, its counts from the least to the most whole number that the bounds of each amount leave: a proof
/// then begins at whole numbers. `None` where they leave none.
fn in_whole_steps(problem: &Problem, steps: &[Step]) -> Option<Problem> {
    let mut stepped = problem.with_steps(steps);
    for count in stepped.counts.iter_mut().filter(|count| count.step.base.is_none()) {
        let (low, high) = problem.reach.columns[count.step.material];
        let least = (low / count.step.size - WHOLE).ceil().max(f64::from(count.range.low()));
        let most = (high / count.step.size + WHOLE).floor().min(f64::from(count.range.high()));
        if most < least {
            return None;
        }
        count.range = DecisionRange::new(count.range.nearest(least), count.range.nearest(most))?;
    }
    Some(stepped)
}

fn best(problem: &Problem, gap: f64, stop: Stop) -> Option<Found> {
    match solve(problem, &Settings::proven(Limits { gap, ..Limits::default() }).until(stop)) {
        Verdict::Found(found) => Some(found),
        _ => None,
    }
}

/// The steps without which there would be a mix, each alone; those that fit nowhere first.
fn blocking(problem: &Problem, steps: &[Step], stop: Stop) -> NotRounded {
    let blocked: Vec<usize> = (0..steps.len()).filter(|at| problem.is_blocked(&steps[*at])).collect();
    if !blocked.is_empty() {
        return NotRounded::Blocked(blocked);
    }
    let coarse = (0..steps.len())
        .filter(|at| {
            let others: Vec<Step> =
                steps.iter().enumerate().filter(|(other, _)| other != at).map(|(_, step)| *step).collect();
            best(&problem.with_steps(&others), f64::INFINITY, stop).is_some()
        })
        .collect();
    NotRounded::Blocked(coarse)
}
