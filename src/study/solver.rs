//! Who solves a case of a study.
//!
//! What enters: a problem, what a solve may take, and what is carried from problems like it. What leaves: a verdict. A study
//! knows no more of it: what limits ask for that is met by simulation is no business of this room.

use crate::problem::Problem;
use crate::solve::{Carried, Settings, Verdict, solve_carrying};

/// Solves one problem; what it met is added to what it was given.
pub type Solver = fn(&Problem, &Settings, &mut Carried) -> Verdict;

/// The solve itself.
pub fn as_stated(problem: &Problem, settings: &Settings, carried: &mut Carried) -> Verdict {
    solve_carrying(problem, settings, &|_| (), carried)
}
