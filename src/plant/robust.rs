//! The cheapest mix whose limits are missed no more often than asked, as batches are really weighed.
//!
//! What enters: a problem whose limits ask for at most so much risk, and its production. What leaves: the problem with the
//! margins that meet the risks, what a fresh sample says of them, and the premium. Margins are iterated against a simulation
//! that keeps its random numbers; a mix is accepted on the upper confidence end of a fresh sample. That gives a mix, not a
//! bound: the bound that is told is that of the scatter alone, whose margin every mix needs.

use super::risk::{Risk, Sampling, risk};
use crate::listed::Id;
use crate::problem::{Margin, Problem, Production, Requirement};
use crate::solve::{Found, Settings, Verdict, solve};

/// One limit with its risk.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MetRisk {
    /// The requirement's index.
    pub requirement: Id<Requirement>,
    /// The risk asked for.
    pub target: f64,
    /// The risk in the fresh sample: estimate and interval.
    pub fresh: (f64, f64, f64),
    /// Margin added to that of the scatter, in the limit's unit.
    pub added: f64,
}

/// A mix that meets its risks.
#[derive(Clone, Debug)]
pub struct Robust {
    /// The problem with its margins.
    pub problem: Problem,
    /// The mix.
    pub found: Found,
    /// The risks.
    pub risks: Vec<MetRisk>,
    /// Goal without any margin for risk.
    pub without: f64,
    /// No mix that meets the risks by the scatter alone does better; where other sources help on average it may.
    pub bound: Option<f64>,
    /// Rounds that it took.
    pub rounds: usize,
}

/// Why no mix meets the risks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotRobust {
    /// No mix meets the margins of the scatter alone.
    Scatter,
    /// No mix meets the margins that the simulation asks for.
    Margins,
    /// The rounds did not settle.
    Unsettled,
    /// Work had to end before the margins were known.
    Stopped,
}

/// Most rounds.
const ROUNDS: usize = 16;
/// Rounds after which a margin is never taken back: mixes that are as good as one another may ask for now more, now less.
const BOTH_WAYS: usize = 6;
/// What a margin that is short is raised by then, over what the sample asks for.
const OVER: f64 = 1.05;
/// Batches of a round, and of a fresh sample.
const BATCHES: usize = 16_384;
const FRESH: usize = 65_536;
/// Seeds: rounds share one, each acceptance has its own.
const ROUND_SEED: u32 = 1;
const FRESH_SEED: u32 = 1000;
/// Share of a target that rounds aim at, so that a fresh sample's upper end is below it; once more after each refusal.
const TIGHTER: f64 = 0.985;
/// Share of a target below which a margin is larger than it need be.
const TOO_SAFE: f64 = 0.96;

/// The limits that ask for a risk: requirement and target.
pub fn risk_limits(problem: &Problem) -> Vec<(Id<Requirement>, f64)> {
    problem
        .requirements
        .named()
        .filter_map(|(index, requirement)| Some((index, requirement.margin.risk?)))
        .collect()
}

/// The cheapest mix that meets the risks of its limits.
///
/// # Errors
/// Why there is none.
pub fn robust(problem: &Problem, production: &Production, settings: &Settings) -> Result<Robust, NotRobust> {
    let limits = risk_limits(problem);
    let none = |requirement: Id<Requirement>| Margin {
        risk: problem.requirements[requirement].margin.risk,
        ..Margin::default()
    };
    let free =
        problem.with_margins(&limits.iter().map(|(index, _)| (*index, none(*index))).collect::<Vec<_>>());
    let local = Settings { proof: None, ..*settings };
    let stop = settings.stop;
    // Nothing is said of mixes for which there was no time.
    let unless_stopped = |why| if stop.is_due() { NotRobust::Stopped } else { why };
    let without = goal(&free, &local).ok_or_else(|| unless_stopped(NotRobust::Scatter))?.goal;
    let first = goal(problem, settings).ok_or_else(|| unless_stopped(NotRobust::Scatter))?;
    let bound = first.certainty.map(|certainty| certainty.bound);
    let mut added = vec![0.0; limits.len()];
    let mut tightened = TIGHTER;
    for round in 0..ROUNDS {
        let margins: Vec<(Id<Requirement>, Margin)> = limits
            .iter()
            .zip(&added)
            .map(|((index, _), added)| {
                let margin = problem.requirements[*index].margin;
                (*index, Margin { natural: margin.natural + added, ..margin })
            })
            .collect();
        let with = problem.with_margins(&margins);
        let found = goal(&with, &local).ok_or_else(|| unless_stopped(NotRobust::Margins))?;
        let sampling =
            Sampling { batches: BATCHES, seed: ROUND_SEED, tightened, stop, ..Sampling::default() };
        let simulated = risk(&with, production, &found.mix, &sampling).ok_or(NotRobust::Stopped)?;
        // Intervals of a round are wider than those of the fresh sample, which decides.
        let met = limits.iter().all(|(index, target)| of(&simulated, *index).beyond.estimate <= *target);
        let dear = limits.iter().zip(&added).any(|((index, target), added)| {
            0.0 < *added && of(&simulated, *index).beyond.estimate < TOO_SAFE * target
        });
        if met && (!dear || BOTH_WAYS <= round) {
            let seed = FRESH_SEED + u32::try_from(round).unwrap_or(0);
            let sampling = Sampling { batches: FRESH, seed, stop, ..Sampling::default() };
            let fresh = risk(&with, production, &found.mix, &sampling).ok_or(NotRobust::Stopped)?;
            if limits.iter().all(|(index, target)| of(&fresh, *index).beyond.high <= *target) {
                let risks = limits.iter().zip(&added).map(|((index, target), added)| {
                    let beyond = &of(&fresh, *index).beyond;
                    MetRisk {
                        requirement: *index,
                        target: *target,
                        fresh: (beyond.estimate, beyond.low, beyond.high),
                        added: *added,
                    }
                });
                let risks = risks.collect();
                return Ok(Robust { problem: with, found, risks, without, bound, rounds: round + 1 });
            }
            tightened *= TIGHTER;
        }
        for ((index, _), added) in limits.iter().zip(&mut added) {
            let more = of(&simulated, *index).margin;
            let more = if round < BOTH_WAYS { more } else { OVER * more.max(0.0) };
            *added = (*added + more).max(0.0);
        }
    }
    Err(unless_stopped(NotRobust::Unsettled))
}

fn goal(problem: &Problem, settings: &Settings) -> Option<Found> {
    match solve(problem, settings) {
        Verdict::Found(found) => Some(found),
        _ => None,
    }
}

fn of(risk: &Risk, requirement: Id<Requirement>) -> &super::risk::LimitRisk {
    risk.limits
        .iter()
        .find(|limit| limit.requirement == requirement)
        .expect("a limit with a risk is a limit, and all limits are judged")
}
