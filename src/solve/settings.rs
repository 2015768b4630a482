//! What a solve may take, and what it took.

use super::branch_and_bound::Limits;
use crate::model::{Assignment, CutVectors};
use crate::parallel::Stop;

/// What a solve may take.
#[derive(Clone, Copy, Debug)]
pub struct Settings {
    /// When the proof may stop; `None` for the local answer alone.
    pub proof: Option<Limits>,
    /// Assignments up to which all are tried.
    pub most_assignments: usize,
    /// Assignments that get all starts after the first look.
    pub finalists: usize,
    /// Starts per finalist; none leaves the local loop to branch and bound.
    pub starts: usize,
    /// When it has to end, whatever has been reached by then.
    pub stop: Stop,
}

impl Settings {
    /// The local answer alone: every admissible assignment within reach, several starts each for the best.
    pub fn local() -> Self {
        Self { proof: None, most_assignments: 512, finalists: 6, starts: 3, stop: Stop::NEVER }
    }

    /// With a proof: branch and bound polishes the mixes it meets.
    pub fn proven(limits: Limits) -> Self {
        Self { proof: Some(limits), ..Self::local() }
    }
}

impl Settings {
    /// The same, to end at this.
    #[must_use]
    pub fn until(self, stop: Stop) -> Self {
        Self { stop, ..self }
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self::proven(Limits::default())
    }
}

/// What is carried from one problem to another: nothing that is true of one alone.
#[derive(Clone, Debug, Default)]
pub struct Carried {
    /// Vectors of cuts from problems with the same factors.
    pub cuts: CutVectors,
    /// A mix from which the local loop begins, in the columns of the problem to be solved, with its decisions.
    pub mix: Option<(Assignment, Vec<f64>)>,
}

/// What a solve took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Effort {
    /// Assignments of decisions that obey the choices; zero if they were not counted.
    pub assignments: usize,
    /// Assignments tried.
    pub tried: usize,
    /// Linear programs solved.
    pub programs: usize,
    /// Whether it had to end before its own end: by a signal, or by the time.
    pub ended: Ended,
}

/// How a solve ended.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ended {
    /// By itself.
    #[default]
    ByItself,
    /// Its time was over.
    OutOfTime,
    /// A signal asked for it.
    Interrupted,
}

impl Ended {
    /// How work that has come to its end now has ended.
    pub fn now(stop: Stop) -> Self {
        match (stop.is_interrupted(), stop.is_due()) {
            (true, _) => Self::Interrupted,
            (_, true) => Self::OutOfTime,
            _ => Self::ByItself,
        }
    }
}
