//! Varied problems put to the solver within a budget, the cheapest question first.
//!
//! What enters: a problem that nothing meets, and the linear programs that explaining it may take: programs, not seconds, so
//! that an explanation is the same on a slow machine. What leaves: whether a variation can be met, cannot, or is open. Mixes
//! that were met on the way are kept: one of them, or the local loop from one, often answers the next question.

use super::shadow_prices::assignment_of;
use crate::parallel::Stop;
use crate::problem::{Member, Problem};
use crate::solve::{
    Carried, Found, Limits, Precision, Settings, Verdict, audit, ends, first_end, is_impossible_at_a_glance,
    nearby, solve_carrying,
};

/// What was shown of a variation.
pub enum Shown<Mix> {
    /// It has a mix.
    Possible(Mix),
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
    carried: Carried,
    /// Mixes that met a variation or came near, in the problem's own columns, the latest last.
    mixes: Vec<Vec<f64>>,
}

/// Most nodes a search for any mix may look at.
const NODES: usize = 400;
/// Known mixes from which the local loop begins, and how many are kept.
const BEGUN: usize = 6;
const KEPT: usize = 16;
/// Programs of the local loop that take the time of one of a search, which has ten times the rows.
const LIGHT: usize = 32;

impl<'p> Trials<'p> {
    /// Variations of a problem for at most so many programs.
    pub fn new(problem: &'p Problem, most: usize, stop: Stop) -> Self {
        Self { problem, stop, programs: 0, most, carried: Carried::default(), mixes: Vec::new() }
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
        let (is_hopeless, programs) = is_impossible_at_a_glance(problem, self.stop, &mut self.carried.cuts);
        self.programs += programs;
        is_hopeless
    }

    /// Keeps a mix of some variation.
    pub fn knows(&mut self, mix: &[f64]) {
        let mix = in_columns_of(self.problem, mix);
        self.mixes.retain(|known| *known != mix);
        self.mixes.push(mix);
        if KEPT < self.mixes.len() {
            self.mixes.remove(0);
        }
    }

    /// Mixes that met a variation or came near, the latest first.
    pub fn mixes(&self) -> impl Iterator<Item = &Vec<f64>> {
        self.mixes.iter().rev()
    }

    /// A mix of a variation among those known, or where the local loop ends from one of them.
    pub fn near_known(&mut self, problem: &Problem, precision: Precision) -> Option<Vec<f64>> {
        let mixes: Vec<Vec<f64>> = self.mixes().map(|mix| in_columns_of(problem, mix)).collect();
        if let Some(mix) = mixes.iter().find(|mix| audit(problem, mix).passes()) {
            return Some(mix.clone());
        }
        for mix in mixes.iter().take(BEGUN) {
            if self.is_over() {
                break;
            }
            if let Some(mix) = self.from(problem, mix, precision) {
                return Some(mix);
            }
        }
        None
    }

    /// The best mix of a variation to which the local loop leads from those known.
    pub fn best_near_known(&mut self, problem: &Problem) -> Option<Vec<f64>> {
        let mixes: Vec<Vec<f64>> = self.mixes().take(BEGUN).map(|mix| in_columns_of(problem, mix)).collect();
        let goal = problem.goal.to_minimise();
        let mut best: Option<Vec<f64>> = None;
        for mix in mixes {
            if self.is_over() {
                break;
            }
            let Some(mix) = self.from(problem, &mix, Precision::FINE) else { continue };
            if best.as_ref().is_none_or(|best| goal.at(&mix) < goal.at(best)) {
                best = Some(mix);
            }
        }
        best
    }

    /// Where the local loop ends from many starts.
    pub fn ends(&mut self, problem: &Problem) -> Vec<Vec<f64>> {
        let (mixes, programs) = ends(problem, self.stop);
        self.programs += programs.div_ceil(LIGHT);
        mixes
    }

    /// The first mix of a variation that the local loop meets from many starts.
    pub fn first_end(&mut self, problem: &Problem) -> Option<Vec<f64>> {
        if self.is_over() {
            return None;
        }
        let (mix, programs) = first_end(problem, self.stop);
        self.programs += programs.div_ceil(LIGHT);
        if let Some(mix) = &mix {
            self.knows(mix);
        }
        mix
    }

    /// Where the local loop ends from a mix, decisions kept, if that meets a variation.
    pub fn from(&mut self, problem: &Problem, mix: &[f64], precision: Precision) -> Option<Vec<f64>> {
        let ended = nearby(problem, &assignment_of(problem, mix), mix, precision, self.stop);
        self.programs += ended.programs.div_ceil(LIGHT);
        if let Some(mix) = &ended.mix {
            self.knows(mix);
        }
        ended.mix
    }

    /// Whether a variation can be met at all, for at most so many programs.
    pub fn any_mix(&mut self, problem: &Problem, most: usize) -> Shown<Vec<f64>> {
        let known = self.near_known(problem, Precision::ANY);
        if let Some(mix) = known.or_else(|| self.first_end(problem)) {
            return Shown::Possible(mix);
        }
        let limits = Limits { gap: f64::INFINITY, nodes: NODES, programs: Some(most), ..Limits::default() };
        match self.solved(problem, None, limits) {
            Shown::Possible(found) => Shown::Possible(found.mix),
            Shown::Impossible => Shown::Impossible,
            Shown::Open => Shown::Open,
        }
    }

    /// The best mix of a variation within limits and within what is left, from a mix of it that is known.
    pub fn solved(&mut self, problem: &Problem, known: Option<&[f64]>, limits: Limits) -> Shown<Box<Found>> {
        if self.is_over() {
            return Shown::Open;
        }
        let most = limits.programs.map_or(self.left(), |most| most.min(self.left()));
        let limits = Limits { programs: Some(most), ..limits };
        let settings = Settings { starts: 0, ..Settings::proven(limits) };
        self.carried.mix = known.map(|mix| (assignment_of(problem, mix), mix.to_vec()));
        match solve_carrying(problem, &settings.until(self.stop), &|_| (), &mut self.carried) {
            Verdict::Found(found) => {
                self.programs += found.effort.programs;
                self.knows(&found.mix);
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

/// A mix in the columns of a problem that differs in its goal alone.
pub fn in_columns_of(problem: &Problem, mix: &[f64]) -> Vec<f64> {
    let own = problem.mixture.columns.len() - usize::from(problem.goal.level.is_some());
    let mut mix = mix[..own].to_vec();
    mix.resize(problem.mixture.columns.len(), 0.0);
    problem.settle_level(&mut mix);
    mix
}
