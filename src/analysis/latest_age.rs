//! How late an age at cracking can be asked for: the limit is raised until no mix is found.
//!
//! What enters: a problem and its limit on such an age. What leaves: the latest age for which a mix was found, and
//! whether that is the last day looked at. An age need not exist, so it cannot be made as large as possible; and that no
//! mix was found is no proof that there is none: one is tried just beyond the latest age.

use super::affordable::is_provable;
use super::value::Value;
use crate::listed::Id;
use crate::parallel::Stop;
use crate::problem::{Problem, Requirement, Subject, in_unit, restrained};
use crate::response::law::cracking::Cracking;
use crate::solve::{Limits, Settings, Verdict, solve};

/// Halvings of the days in question.
const HALVINGS: usize = 14;
/// Nodes of the proof that nothing lies beyond.
const BEYOND_NODES: usize = 2000;
/// Share of an age to which the latest one is told apart from the next.
const GRAIN: f64 = 2e-3;

/// How far a limit on an age can go, in its own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Latest {
    /// The latest age for which a mix was found.
    At(Value),
    /// Mixes go beyond the last day looked at, this one.
    Beyond(f64),
}

/// The last value that can be asked, if a limit is on an age at cracking: the horizon less the margin.
pub fn last_day(problem: &Problem, index: Id<Requirement>) -> Option<f64> {
    let requirement = &problem.requirements[index];
    let Subject::Response(response) = requirement.subject else { return None };
    let rule = restrained(&problem.responses[response])?;
    Some(in_unit(Cracking::At(rule.setting.horizon), rule, &requirement.unit) - requirement.margin.natural)
}

/// Raises the limit from an age that some mix reaches; nothing if no mix was found at all. When work has to end before
/// its own end the answer means nothing.
pub fn latest_age(
    problem: &Problem,
    index: Id<Requirement>,
    reached: Option<f64>,
    last: f64,
    stop: Stop,
) -> Option<Latest> {
    let settings = Settings::local().until(stop);
    let found = |age: f64| match solve(&problem.with_wanted(index, age), &settings) {
        Verdict::Found(found) => {
            let measured = problem.measure(&problem.requirements[index], &found.mix)?;
            // At least what was asked for; the mix's own age where it is later.
            Some((measured.got - measured.margin).max(age).min(last))
        }
        Verdict::Nothing(_) | Verdict::Unsettled(_) | Verdict::Failed(_) => None,
    };
    if found(last).is_some() {
        return Some(Latest::Beyond(last));
    }
    let (mut low, mut high) = (reached?, last);
    for _ in 0..HALVINGS {
        if high - low <= GRAIN * low.abs() || stop.is_due() {
            break;
        }
        let middle = 0.5 * (low + high);
        match found(middle) {
            Some(age) => low = age,
            None => high = middle,
        }
    }
    // The proof that no mix reaches the next age told apart, where it closes soon.
    let beyond = problem.with_wanted(index, high);
    let settings = Settings::proven(Limits { nodes: BEYOND_NODES, ..Limits::default() }).until(stop);
    let proven = is_provable(problem)
        && matches!(solve(&beyond, &settings), Verdict::Nothing(nothing) if nothing.certainty.is_some_and(|c| c.complete));
    Some(Latest::At(Value { value: low, proven }))
}
