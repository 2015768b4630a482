//! When a search over nodes may stop, how far it has come, and what it came to.
//!
//! What enters: nothing but figures. What leaves: the gap that an answer may have. It searches nothing.

use crate::model::{Assignment, CutVectors, Frame};
use crate::solve::local::Stopped;

/// When to stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Relative gap at which the answer counts as proven; infinite where any mix will do.
    pub gap: f64,
    /// Most nodes looked at.
    pub nodes: usize,
    /// A wider gap where the answer lies far above another one.
    pub rise: Option<Rise>,
    /// Linear programs after which no more is begun: what work may cost where a clock must not decide.
    pub programs: Option<usize>,
}

/// A gap that grows with what an answer costs more than another one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rise {
    /// The goal of the other one, in base units.
    pub over: f64,
    /// Share of the difference that the gap may be.
    pub share: f64,
    /// Less this, in base units: what is open in the difference already.
    pub less: f64,
}

impl Default for Limits {
    fn default() -> Self {
        Self { gap: 1e-3, nodes: 20_000, rise: None, programs: None }
    }
}

impl Limits {
    /// What a bound must reach for a node to be closed beside an answer, both on the programs' scale.
    pub fn cutoff(&self, frame: &Frame<'_>, goal: f64) -> f64 {
        let better = frame.better_by(goal, self.gap);
        self.rise.map_or(better, |rise| better.min(rise.cutoff(frame, goal)))
    }
}

impl Rise {
    fn cutoff(&self, frame: &Frame<'_>, goal: f64) -> f64 {
        let over = frame.problem.goal.direction.sign() * self.over / frame.goal_scale;
        goal - self.share * (goal - over) + self.less / frame.goal_scale
    }
}

/// What was proven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proof {
    /// No mix has a (scaled, minimised) goal below this; infinite if no mix exists at all.
    pub bound: f64,
    /// Whether nothing is left open within the gap.
    pub complete: bool,
    /// Nodes looked at.
    pub nodes: usize,
    /// Nodes left open.
    pub open: usize,
    /// Linear programs solved.
    pub programs: usize,
}

/// How far a search has come.
#[derive(Clone, Copy, Debug)]
pub struct Progress {
    /// The best goal so far; infinite without a mix.
    pub best: f64,
    /// The proven bound.
    pub bound: f64,
    /// Nodes looked at.
    pub nodes: usize,
}

/// Told after every round.
pub type Watch<'w> = dyn Fn(Progress) + Sync + 'w;

/// The outcome of a search.
#[derive(Clone, Debug)]
pub struct SearchResult {
    /// The best stop of the local loop, with its decisions.
    pub best: Option<(Assignment, Stopped)>,
    /// What was proven.
    pub proof: Proof,
    /// Vectors of the cuts that the whole space asked for.
    pub cuts: CutVectors,
}
