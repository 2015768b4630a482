//! How late an age at cracking can be asked for: the limit is raised until no mix is found.
//!
//! What enters: a problem and its limit on such an age. What leaves: the latest age for which a mix was found, and
//! whether that is the last day looked at. An age need not exist, so it cannot be made as large as possible; and that no
//! mix was found is no proof that there is none: one is tried just beyond the latest age.

use super::affordable::is_provable;
use super::shadow_prices::assignment_of;
use super::value::Value;
use crate::listed::Id;
use crate::parallel::Stop;
use crate::problem::{Problem, Requirement, Subject, in_unit, restrained};
use crate::response::law::cracking::Cracking;
use crate::solve::{Limits, Precision, Settings, Verdict, nearby, solve};

/// Halvings of the days in question.
const HALVINGS: usize = 14;
/// Nodes that are looked at for any mix at one age, where a proof sees the stress well.
const SEEKING_NODES: usize = 64;
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

/// What was found at one age.
enum Tried {
    /// A mix, and the age that it reaches.
    Mix(f64, Vec<f64>),
    /// None; proven or not.
    Nothing(bool),
}

/// Looks for any mix that reaches an age: where the local loop goes from the last one found, then by a search of its own.
fn tried(problem: &Problem, index: Id<Requirement>, age: f64, from: Option<&[f64]>, stop: Stop) -> Tried {
    let wanted = problem.with_wanted(index, age);
    // At least what was asked for; the mix's own age where it is later.
    let reached = |mix: Vec<f64>| {
        let measured = problem.measure(&problem.requirements[index], &mix);
        Tried::Mix(measured.map_or(age, |measured| (measured.got - measured.margin).max(age)), mix)
    };
    let ended = |mix: &[f64]| nearby(&wanted, &assignment_of(&wanted, mix), mix, Precision::FINE, stop).mix;
    if let Some(mix) = from.and_then(ended) {
        return reached(mix);
    }
    let settings = if is_provable(&wanted) {
        let any = Limits { gap: f64::INFINITY, nodes: SEEKING_NODES, ..Limits::default() };
        Settings { starts: 0, ..Settings::proven(any) }
    } else {
        Settings::local()
    };
    match solve(&wanted, &settings.until(stop)) {
        Verdict::Found(found) => reached(found.mix),
        Verdict::Nothing(nothing) => Tried::Nothing(nothing.certainty.is_some_and(|c| c.complete)),
        Verdict::Unsettled(_) | Verdict::Failed(_) => Tried::Nothing(false),
    }
}

/// Raises the limit from an age that some mix reaches, and from that mix; nothing if no mix was found at all. When work
/// has to end before its own end the answer means nothing.
pub fn latest_age(
    problem: &Problem,
    index: Id<Requirement>,
    (reached, mix): (Option<f64>, Option<Vec<f64>>),
    last: f64,
    stop: Stop,
) -> Option<Latest> {
    let mut mix = mix;
    let mut proven = match tried(problem, index, last, mix.as_deref(), stop) {
        Tried::Mix(..) => return Some(Latest::Beyond(last)),
        Tried::Nothing(proven) => proven,
    };
    let (mut low, mut high) = (reached?, last);
    for _ in 0..HALVINGS {
        if high - low <= GRAIN * low.abs() || stop.is_due() {
            break;
        }
        let middle = 0.5 * (low + high);
        match tried(problem, index, middle, mix.as_deref(), stop) {
            Tried::Mix(age, found) => (low, mix) = (age.min(last), Some(found)),
            Tried::Nothing(is_proven) => (high, proven) = (middle, is_proven),
        }
    }
    // The proof that no mix reaches the next age told apart, where it closes soon.
    if !proven && is_provable(problem) {
        let settings = Settings::proven(Limits { nodes: BEYOND_NODES, ..Limits::default() }).until(stop);
        proven = matches!(
            solve(&problem.with_wanted(index, high), &settings),
            Verdict::Nothing(nothing) if nothing.certainty.is_some_and(|c| c.complete)
        );
    }
    Some(Latest::At(Value { value: low, proven }))
}
