//! A trace is no use of a material: the last polish leaves none behind.
//!
//! What enters: a mix and the decisions it has taken. What leaves: the same without amounts too small to weigh out, or
//! with as much of them as can be; the mix as it was if neither meets everything as well.

use super::engine::solve_program;
use super::local::{Precision, Stopped, improve};
use super::outcome::Outcome;
use crate::listed::Id;
use crate::material::Material;
use crate::model::{Assignment, Frame, linearised};
use crate::number::Interval;
use crate::problem::{DecisionRange, Problem};

/// Least amount of a material, kg per m3 of concrete: a gram (common practice, no source: nothing less is weighed out).
pub const LEAST: f64 = 1e-3;
/// How far other materials may move to make up for a trace, in program units.
const NEAR: f64 = 0.05;
/// Price of what is short of a curved condition meanwhile.
const PENALTY: f64 = 1e3;
/// Relative violation at which a stop of the loop counts as a mix.
const FEASIBLE: f64 = 2e-7;

/// Materials of which there is some, and less than a gram, though that is not what they are bound to.
pub fn traces(problem: &Problem, mix: &[f64]) -> Vec<Id<Material>> {
    problem
        .mixture
        .catalogue
        .materials
        .ids()
        .filter(|material| {
            let amount = mix[material.index()];
            0.0 < amount && amount < LEAST && problem.mixture.columns[material.index()].low < amount
        })
        .collect()
}

/// The mix without traces.
pub fn without_traces(
    frame: &Frame<'_>,
    (assignment, stopped): (Assignment, Stopped),
) -> (Assignment, Stopped) {
    let problem = frame.problem;
    let found = traces(problem, &stopped.mix);
    if found.is_empty() {
        return (assignment, stopped);
    }
    let mut none = assignment.clone();
    let mut some = assignment.clone();
    for (at, switch) in problem.switches.iter().enumerate() {
        if found.contains(&switch.material) {
            none[at] = DecisionRange::at(0);
            some[at] = DecisionRange::at(1);
        }
    }
    let kept = |problem: &Problem, assignment: Assignment| {
        let start = start(&stopped.mix, &found, problem);
        let frame = Frame::new(problem).until(frame.stop);
        // Near the mix: what the trace took is made up for by other materials.
        let program = linearised(&frame, &assignment, &start, NEAR, PENALTY).program;
        let Outcome::Optimal(point, _) = solve_program(&program) else { return None };
        let mut polished = improve(&frame, &assignment, frame.raise(&point), Precision::FINE).ok()?;
        let holds = polished.violation <= FEASIBLE && traces(problem, &polished.mix).is_empty();
        polished.programs += stopped.programs;
        holds.then_some((assignment, polished))
    };
    let nothing = with_amounts(problem, &found, |_| Interval::point(0.0));
    let enough = with_amounts(problem, &found, |bounds| bounds.from(LEAST));
    let polished = [kept(&nothing, none), kept(&enough, some)].into_iter().flatten();
    polished.min_by(|a, b| a.1.goal.total_cmp(&b.1.goal)).unwrap_or((assignment, stopped))
}

/// The problem with other bounds on the amounts of some materials.
fn with_amounts(
    problem: &Problem,
    materials: &[Id<Material>],
    bounds: impl Fn(Interval) -> Interval,
) -> Problem {
    let mut reach = problem.reach.clone();
    for material in materials {
        let (low, high) = reach.columns[material.index()];
        let range = bounds(Interval::new(low, high));
        reach.columns[material.index()] = (range.low(), range.high());
    }
    problem.within(reach)
}

fn start(mix: &[f64], materials: &[Id<Material>], problem: &Problem) -> Vec<f64> {
    let mut mix = mix.to_vec();
    for material in materials {
        let (low, high) = problem.reach.columns[material.index()];
        mix[material.index()] = Interval::new(low, high).nearest(mix[material.index()]);
    }
    problem.mixture.settle(&mut mix);
    problem.settle_level(&mut mix);
    mix
}
