//! What a page is made from.

use crate::analysis::Tightness;
use crate::answer::curve::Curve;
use crate::answer::report::Report;
use crate::finding::Sources;
use crate::problem::Problem;

/// Everything that a page tells.
#[derive(Clone, Copy, Debug)]
pub struct Sheet<'s> {
    /// The problem.
    pub problem: &'s Problem,
    /// The statement and the files it includes.
    pub sources: &'s Sources,
    /// The answer.
    pub report: &'s Report,
    /// Names of the properties that the comparison draws; those that tell most where there are none.
    pub drawn: &'s [String],
    /// Mixes that were given, each by its name, the reference first.
    pub given: &'s [(String, Report)],
    /// How tight each limit is; empty if that was not asked.
    pub tightness: &'s [Tightness],
    /// Fronts and sweeps.
    pub curves: &'s [Curve],
}
