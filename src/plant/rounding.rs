//! A mix whose amounts are whole steps of the plant's scales, and what that costs.
//!
//! What enters: a problem with its rounding. What leaves: the cheapest mix in steps with its bound, beside the mix without
//! them, and the cost of rounding as an interval; or which step stands in the way. Rounding is part of the search: counts
//! are branched on, and an unrounded material or a band on the yield takes up what they leave of the volume. Amounts,
//! limits and goal refer to the volume really made.
//!
//! The interval is proven to a tenth of itself or to 0.01 % of the goal: the gap of the proof in steps grows with what its
//! best mix costs more than the proven bound without steps. `scripts/cross-check-rounding` measures what that takes.

use super::lattice::{Counted, Lattice};
use crate::model::Frame;
use crate::parallel::Stop;
use crate::problem::{DecisionRange, Filling, Problem, Rounding, Step, WHOLE};
use crate::solve::{Carried, Found, Limits, Rise, Settings, Verdict, decided_at, solve, solve_carrying};

/// A mix in steps.
#[derive(Clone, Debug)]
pub struct Rounded {
    /// Bound and cost without steps.
    pub plain: (f64, f64),
    /// Bound and cost in steps.
    pub rounded: (f64, f64),
    /// The mix without steps.
    pub plain_mix: Vec<f64>,
    /// The mix in steps, per m3 really made.
    pub mix: Vec<f64>,
    /// Volume really made for one m3 weighed for.
    pub made: f64,
    /// How many steps of each, in the order of the rounding; of a load where steps are of one.
    pub counts: Vec<f64>,
    /// Linear programs solved without steps and in steps.
    pub programs: (usize, usize),
    /// +1 where the least is wanted, -1 where the most is.
    pub sign: f64,
}

impl Rounded {
    /// What rounding costs: at least and at most; how much less is reached where the most is wanted.
    pub fn cost(&self) -> (f64, f64) {
        let worse = |with: f64, without: f64| (self.sign * (with - without)).max(0.0);
        (worse(self.rounded.0, self.plain.1), worse(self.rounded.1, self.plain.0))
    }
}

impl Rounded {
    /// Whether what rounding costs is known to a tenth of itself, or to 0.01 % of the goal.
    pub fn is_narrow(&self) -> bool {
        const ROUNDING: f64 = 1e-6;
        let (low, high) = self.cost();
        high - low <= (OF_ITSELF * high).max(GAP * self.rounded.1.abs()) * (1.0 + ROUNDING)
    }
}

/// Why there is no mix in steps.
#[derive(Clone, Debug, PartialEq)]
pub enum NotRounded {
    /// None without steps either.
    Plain,
    /// Work had to end before a mix was found.
    Unfinished,
    /// Steps without which there would be one, each alone, by their index; none where only all together are too coarse.
    Blocked(Vec<usize>),
    /// With a yield band that is wider there would be one: about so wide.
    Band(f64),
}

/// Gap of the proof without steps.
const PLAIN_GAP: f64 = 3e-5;
/// Share of the goal that the interval may be wide.
const GAP: f64 = 1e-4;
/// Share of the cost of rounding that its interval may be wide.
const OF_ITSELF: f64 = 0.1;
/// Most linear programs of the proof in steps, and at least so many times those of the proof without: flat goals would take
/// the night for the last digit.
const PROGRAMS: usize = 20_000;
const TIMES: usize = 10;
/// Yield bands that are tried where the one asked for leaves nothing, shares.
const WIDER: [f64; 3] = [0.005, 0.01, 0.02];

/// The cheapest mix in steps.
///
/// # Errors
/// Which steps stand in the way.
pub fn rounded(problem: &Problem, rounding: &Rounding, stop: Stop) -> Result<Rounded, NotRounded> {
    let steps: Vec<Step> = rounding.steps.iter().map(|step| step.step).collect();
    let unfinished = |otherwise: NotRounded| if stop.is_due() { NotRounded::Unfinished } else { otherwise };
    let plain_limits = Limits { gap: PLAIN_GAP, ..Limits::default() };
    let without = best_from(&problem.with_steps(&[]), plain_limits, None, stop)
        .ok_or_else(|| unfinished(NotRounded::Plain))?;
    let bound = |found: &Found| found.certainty.map_or(f64::NEG_INFINITY, |certainty| certainty.bound);
    let sign = problem.goal.direction.sign();
    let open = sign * (without.goal - bound(&without));
    // What is open without steps is part of the interval: the proof in steps has the rest.
    let limits = Limits {
        gap: (GAP - open / without.goal.abs().max(1e-9)).max(0.1 * GAP),
        rise: bound(&without).is_finite().then_some(Rise {
            over: bound(&without),
            share: OF_ITSELF,
            less: open,
        }),
        programs: Some(PROGRAMS.max(TIMES * without.effort.programs)),
        ..Limits::default()
    };
    let stepped = in_band(problem, &steps, rounding.filling);
    let near = near(&stepped, &steps, rounding.filling, &without.mix);
    let (mut proven, mut programs) = (bound(&without), 0);
    let mut best_known = near.map(|near| (near.mix, near.goal));
    let frame = Frame::new(&stepped);
    let scaled = |goal: f64| sign * goal / frame.goal_scale;
    let is_close = |goal: f64| limits.cutoff(&frame, scaled(goal)) <= scaled(proven);
    // Where the nearest steps are as good as the bound without steps asks for, nothing is left to prove.
    if !best_known.as_ref().is_some_and(|(_, goal)| is_close(*goal)) {
        let start = best_known.as_ref().map(|(mix, _)| mix.as_slice());
        let found = in_whole_steps(problem, &steps, rounding.filling)
            .and_then(|stepped| best_from(&stepped, limits, start, stop));
        if let Some(with) = found {
            // Steps only take mixes away: the bound without them holds too.
            proven = if sign < 0.0 { bound(&with).min(proven) } else { bound(&with).max(proven) };
            programs = with.effort.programs;
            let lattice = Lattice::around(&stepped, &steps, rounding.filling, &with.mix);
            let exact = lattice.nearest(&with.mix).and_then(|counts| lattice.counted(counts));
            let exact = exact.filter(Counted::passes).map(|exact| (exact.mix, exact.goal));
            let (mix, goal) = exact.unwrap_or((with.mix, with.goal));
            if best_known.as_ref().is_none_or(|(_, known)| sign * goal < sign * known) {
                best_known = Some((mix, goal));
            }
        }
    }
    let Some((mix, goal)) = best_known else {
        return Err(unfinished(blocking(problem, &steps, rounding.filling, stop)));
    };
    let columns = problem.mixture.columns.len();
    Ok(Rounded {
        plain: (bound(&without), without.goal),
        rounded: (proven, goal),
        plain_mix: without.mix,
        made: stepped.weighed_for.map_or(1.0, |column| 1.0 / mix[column]),
        counts: steps.iter().map(|step| stepped.steps_in(step, &mix).unwrap_or(0.0).round()).collect(),
        mix: mix[..columns].to_vec(),
        programs: (without.effort.programs, programs),
        sign,
    })
}

/// The best mix in steps that single and double steps lead to from a mix without them.
fn near(stepped: &Problem, steps: &[Step], filling: Filling, plain: &[f64]) -> Option<Counted> {
    let mut mix = plain.to_vec();
    if let Some(column) = stepped.weighed_for {
        mix.insert(column, 1.0);
    }
    let lattice = Lattice::around(stepped, steps, filling, &mix);
    let from = lattice.nearest(&mix).and_then(|counts| lattice.counted(counts))?;
    Some(lattice.descended(from)).filter(Counted::passes)
}

/// The problem in steps, with a column for the volume weighed for where there is a band.
fn in_band(problem: &Problem, steps: &[Step], filling: Filling) -> Problem {
    match filling {
        Filling::Unrounded(_) => problem.with_steps(steps),
        Filling::Band(band) => problem.with_steps_in_band(steps, band),
    }
}

/// The same, its counts from the least to the most whole number that the bounds of each amount leave: a proof then begins
/// at whole numbers. `None` where they leave none.
fn in_whole_steps(problem: &Problem, steps: &[Step], filling: Filling) -> Option<Problem> {
    let stepped = in_band(problem, steps, filling);
    let weighed_for = stepped.weighed_for.map_or((1.0, 1.0), |column| stepped.reach.columns[column]);
    let mut counts = stepped.counts.clone();
    for count in counts.iter_mut().filter(|count| count.step.base.is_none()) {
        let (low, high) = problem.reach.columns[count.step.material.index()];
        let least =
            (low / (weighed_for.1 * count.step.size) - WHOLE).ceil().max(f64::from(count.range.low()));
        let most =
            (high / (weighed_for.0 * count.step.size) + WHOLE).floor().min(f64::from(count.range.high()));
        if most < least {
            return None;
        }
        count.range = DecisionRange::new(count.range.nearest(least), count.range.nearest(most))?;
    }
    Some(stepped.varied(|draft| draft.counts = counts))
}

fn best_from(problem: &Problem, limits: Limits, start: Option<&[f64]>, stop: Stop) -> Option<Found> {
    let settings = Settings::proven(limits).until(stop);
    let verdict = match start {
        Some(start) => {
            let decided = decided_at(&Frame::new(problem), start);
            let mut carried = Carried { mix: Some((decided, start.to_vec())), ..Carried::default() };
            solve_carrying(problem, &settings, &|_| (), &mut carried)
        }
        None => solve(problem, &settings),
    };
    match verdict {
        Verdict::Found(found) => Some(found),
        _ => None,
    }
}

/// What stands in the way: steps that fit nowhere first, then steps without which there would be a mix, each alone, then
/// the yield band.
fn blocking(problem: &Problem, steps: &[Step], filling: Filling, stop: Stop) -> NotRounded {
    let any = Limits { gap: f64::INFINITY, ..Limits::default() };
    let is_blocked = |at: &usize| match steps[*at].base {
        Some(_) => problem.is_blocked(&steps[*at]),
        None => in_whole_steps(problem, &steps[*at..=*at], filling).is_none(),
    };
    let blocked: Vec<usize> = (0..steps.len()).filter(is_blocked).collect();
    if !blocked.is_empty() {
        return NotRounded::Blocked(blocked);
    }
    let is_met = |steps: &[Step], filling: Filling| {
        in_whole_steps(problem, steps, filling)
            .is_some_and(|stepped| best_from(&stepped, any, None, stop).is_some())
    };
    if let Filling::Band(band) = filling
        && let Some(wider) =
            WIDER.into_iter().find(|wider| band < *wider && is_met(steps, Filling::Band(*wider)))
    {
        return NotRounded::Band(wider);
    }
    let coarse = (0..steps.len())
        .filter(|at| {
            let others: Vec<Step> =
                steps.iter().enumerate().filter(|(other, _)| other != at).map(|(_, step)| *step).collect();
            is_met(&others, filling)
        })
        .collect();
    NotRounded::Blocked(coarse)
}
