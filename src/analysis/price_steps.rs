//! What moving a limit by one whole step does to the goal, solved again from the best mix with its choices kept.
//!
//! What enters: a problem, its best mix and the limits that bind. What leaves: the goal lost and gained one step away, in the
//! limit's own unit. A derivative holds at the mix; where the goal bends within a step it says nothing of the step.

use crate::listed::Id;
use crate::model::Assignment;
use crate::parallel::{self, Stop};
use crate::problem::{Problem, Requirement, Wanted};
use crate::solve::{Found, Precision, nearby};

/// What one step of a limit does, goals in base units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PriceStep {
    /// The step, in the requirement's own unit.
    pub step: f64,
    /// Goal lost where the limit is tightened by the step; absent where no mix was found there.
    pub tighter: Option<f64>,
    /// Goal gained where it is loosened by the step.
    pub looser: Option<f64>,
}

/// A round step of about a tenth to a hundredth of what is wanted, in the requirement's own unit: 1 MPa on 38 MPa, 0.01 on
/// 0.42. `None` where there is no number to move.
pub fn step_of(requirement: &Requirement) -> Option<f64> {
    let Wanted::Value(wanted) = requirement.wanted else { return None };
    let wanted = wanted.abs();
    Some(if wanted == 0.0 { 1.0 } else { 10_f64.powf(wanted.log10().floor() - 1.0) })
}

/// Steps of some requirements, by requirement index; those that are not known when work has to end are left out.
pub fn price_steps(
    problem: &Problem,
    found: &Found,
    assignment: &Assignment,
    requirements: &[Id<Requirement>],
    stop: Stop,
) -> Vec<(Id<Requirement>, PriceStep)> {
    let goal = problem.goal.to_minimise();
    let here = goal.at(&found.mix);
    let stepped = |_: usize, index: &Id<Requirement>| {
        let requirement = &problem.requirements[*index];
        let (Some(step), Wanted::Value(wanted)) = (step_of(requirement), &requirement.wanted) else {
            return None;
        };
        let sign = requirement.side.sign();
        let there = |by: f64| {
            let changed = problem.with_wanted(*index, wanted + by);
            nearby(&changed, assignment, &found.mix, Precision::FINE, stop).mix.map(|mix| goal.at(&mix))
        };
        // The best mix stays one where a limit is loosened.
        let looser = there(-sign * step).map(|goal| (here - goal).max(0.0));
        let tighter = there(sign * step).map(|goal| (goal - here).max(0.0));
        (!stop.is_due()).then_some((*index, PriceStep { step, tighter, looser }))
    };
    parallel::in_order(requirements, stepped, |_| {}).into_iter().flatten().collect()
}
