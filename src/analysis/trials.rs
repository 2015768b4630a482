//! Varied problems put to the solver within a budget, the cheapest question first.
//!
//! What enters: a problem that nothing meets, and the linear programs that explaining it may take: programs, not seconds, so
//! that an explanation is the same on a slow machine. What leaves: whether a variation can be met, cannot, or is open.

use crate::model::CutVectors;
use crate::parallel::Stop;
use crate::problem::{Member, Problem};
use crate::solve::{Found, Limits, Settings, Verdict, is_impossible_at_a_glance, solve_carrying};

/// What solving a variation showed.
pub enum Shown {
    /// It has a mix.
    Possible(Box<Found>),
    /// It has none: proven.
    Impossible,
    /// Neither was shown.
    Open,
}

/// Variations of one problem, and what is left for them.
pub struct Trials<'p> {
    /// The problem.
    pub problem: &'p Problem,
    /// When to end, whatever is left.
    pub stop: Stop,
    /// Programs solved so far.
    pub programs: usize,
    most: usize,
    /// Cuts that one variation asked for hold in all of them.
    cuts: CutVectors,
}

/// Most nodes a search for any mix may look at.
const NODES: usize = 400;

impl<'p> Trials<'p> {
    /// Variations of a problem for at most so many programs.
    pub fn new(problem: &'p Problem, most: usize, stop: Stop) -> Self {
        Self { problem, stop, programs: 0, most, cuts: CutVectors::default() }
    }

    /// Programs left.
    pub fn left(&self) -> usize {
        self.most.saturating_sub(self.programs)
    }

    /// Whether nothing is left, or work has to end.
    pub fn is_over(&self) -> bool {
        self.left() == 0 || self.stop.is_due()
    }

    /// Does some work with a part of what is left.
    pub fn within<Result>(&mut self, share: f64, work: impl FnOnce(&mut Self) -> Result) -> Result {
        let most = self.most;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a small count"
        )]
        let part = (share * self.left() as f64) as usize;
        self.most = self.programs + part;
        let result = work(self);
        self.most = most;
        result
    }

    /// The problem without some members.
    pub fn without(&self, members: &[Member]) -> Problem {
        self.problem.without(members)
    }

    /// Whether bounds and one relaxation prove that nothing meets a variation: a few programs.
    pub fn is_hopeless(&mut self, problem: &Problem) -> bool {
        if self.is_over() {
            return false;
        }
        let (is_hopeless, programs) = is_impossible_at_a_glance(problem, self.stop, &mut self.cuts);
        self.programs += programs;
        is_hopeless
    }

    /// Whether a variation can be met at all, for at most so many programs.
    pub fn any_mix(&mut self, problem: &Problem, most: usize) -> Shown {
        self.solved(
            problem,
            Limits { gap: f64::INFINITY, nodes: NODES, programs: Some(most), ..Limits::default() },
        )
    }

    /// The best mix of a variation within limits and within what is left.
    pub fn solved(&mut self, problem: &Problem, limits: Limits) -> Shown {
        if self.is_over() {
            return Shown::Open;
        }
        let most = limits.programs.map_or(self.left(), |most| most.min(self.left()));
        let limits = Limits { programs: Some(most), ..limits };
        let settings = Settings { starts: 0, ..Settings::proven(limits) };
        match solve_carrying(problem, &settings.until(self.stop), &|_| (), &mut self.cuts) {
            Verdict::Found(found) => {
                self.programs += found.effort.programs;
                Shown::Possible(Box::new(found))
            }
            Verdict::Nothing(nothing) => {
                self.programs += nothing.effort.programs;
                if nothing.certainty.is_some_and(|certainty| certainty.complete) {
                    Shown::Impossible
                } else {
                    Shown::Open
                }
            }
            Verdict::Unsettled(nothing) => {
                self.programs += nothing.effort.programs;
                Shown::Open
            }
            Verdict::Failed(_) => Shown::Open,
        }
    }
}
