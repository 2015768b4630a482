//! From a mix to the bottom of its own valley, decisions kept.
//!
//! What enters: a problem, a mix and decisions. What leaves: the mix at which the local loop ends, where that meets the
//! problem, and the programs that it took. It knows no other valley.

use super::local::{Precision, Stopped, improve};
use super::verdict::audit;
use crate::model::{Assignment, Frame};
use crate::parallel::Stop;
use crate::problem::Problem;

/// Relative violation at which a stop of the loop counts as a mix.
pub const FEASIBLE: f64 = 2e-7;

/// Where the local loop ended from a mix.
#[derive(Clone, Debug)]
pub struct Nearby {
    /// The mix, in the problem's columns; none where it ended at nothing that meets the problem.
    pub mix: Option<Vec<f64>>,
    /// Linear programs solved.
    pub programs: usize,
}

/// The mix to which the local loop goes from another one, decisions kept.
pub fn nearby(
    problem: &Problem,
    assignment: &Assignment,
    mix: &[f64],
    precision: Precision,
    stop: Stop,
) -> Nearby {
    let frame = Frame::new(problem).until(stop);
    let Ok(stop) = improve(&frame, assignment, mix.to_vec(), precision) else {
        return Nearby { mix: None, programs: 1 };
    };
    let meets = stop.violation <= FEASIBLE && audit(problem, &stop.mix).passes();
    Nearby { programs: stop.programs, mix: meets.then_some(stop.mix) }
}

/// A mix that is known as branch and bound takes it up: improved first, counts at the whole numbers of the assignment, and none
/// where it leads to no mix.
pub fn begun_from(
    frame: &Frame<'_>,
    (assignment, mix): &(Assignment, Vec<f64>),
) -> Option<(Assignment, Stopped)> {
    let stop = improve(frame, assignment, mix.clone(), Precision::FINE).ok()?;
    (stop.violation <= FEASIBLE).then(|| (assignment.clone(), stop))
}

/// Branch and bound stops at its gap; the best mix goes on to the bottom of its own valley.
pub fn to_the_bottom(frame: &Frame<'_>, (assignment, stop): (Assignment, Stopped)) -> (Assignment, Stopped) {
    match improve(frame, &assignment, stop.mix.clone(), Precision::FINE) {
        Ok(finer) if finer.violation <= FEASIBLE && finer.goal < stop.goal => (assignment, finer),
        _ => (assignment, stop),
    }
}
