//! Limits that ask for at most so much risk: `solve` seeks the margins that meet it before it tells the mix.

use super::outside::tell;
use crate::answer::report::State;
use crate::finding::clean;
use crate::plant::{NotRobust, Robust, risk_limits, robust};
use crate::problem::Problem;
use crate::quantity::trimmed;
use crate::solve::Settings;

/// Why there are no margins.
#[derive(Clone, Copy, Debug)]
pub struct NoMargins {
    /// What the statement came to.
    pub state: State,
    /// In words for its author.
    pub told: &'static str,
}

/// The problem with the margins that meet its risks, and how its mix is then sought; `None` where there is nothing to
/// iterate: no risk is asked for, or the scatter is all there is, for which the margin is exact.
///
/// # Errors
/// Why there are none, which the caller tells.
pub fn with_risk_margins(
    problem: &Problem,
    settings: &Settings,
) -> Result<Option<(Problem, Settings)>, NoMargins> {
    let limits = risk_limits(problem);
    let Some(production) = problem.production.as_ref().filter(|_| !limits.is_empty()) else {
        return Ok(None);
    };
    let none = |state, told| Err(NoMargins { state, told });
    match robust(problem, production, settings) {
        Ok(found) => {
            let with = found.problem.varied(|draft| draft.bases.extend(said(problem, &found)));
            // Margins of one mix prove nothing of others: the answer is the best found.
            Ok(Some((with, Settings { proof: None, ..*settings })))
        }
        Err(NotRobust::Scatter) => Ok(None),
        Err(NotRobust::Margins) => none(
            State::NothingFound,
            "no mix found: none meets the margins that the risks ask for\n  = help: allow more risk, or weigh and measure \
             more surely\n",
        ),
        Err(NotRobust::Unsettled) => none(
            State::NothingFound,
            "no mix found: the margins for the risks did not settle\n  = help: give margins in place of risks\n",
        ),
        Err(NotRobust::Stopped) => {
            none(State::Unsettled, "stopped before the margins for the risks were known\n")
        }
    }
}

/// What a study says of limits that ask for a risk: it takes the margin of the scatter alone, mix by mix.
pub fn note_of_scatter(problem: &Problem) {
    if problem.production.is_some() && !risk_limits(problem).is_empty() {
        tell(
            "note: limits that ask for a risk have the margin of their scatter alone here; `mixbound risk` tells what weighing \
             and moisture add to a mix that is chosen\n",
        );
    }
}

/// What is said of the risks beside the answer.
fn said(problem: &Problem, found: &Robust) -> Vec<String> {
    let percent = |share: f64| trimmed(100.0 * share, 3);
    let mut list: Vec<String> = found
        .risks
        .iter()
        .map(|risk| {
            let requirement = &problem.requirements[risk.requirement];
            let (estimate, low, high) = risk.fresh;
            format!(
                "Risk of {}: asked for at most {} %, {} % ({} to {} %) in a fresh sample of batches; margin added to that of \
                 the scatter: {}.",
                clean(&requirement.name),
                percent(risk.target),
                percent(estimate),
                percent(low),
                percent(high),
                requirement.unit.with_number(&trimmed(risk.added, 3))
            )
        })
        .collect();
    let unit = &problem.goal.unit;
    let shown = |goal: f64| unit.with_number(&trimmed(unit.from_base(goal), 6));
    let bound = found.bound.map_or(String::new(), |bound| {
        format!("; no mix that meets the risks by the scatter alone does better than {}", shown(bound))
    });
    list.push(format!(
        "The margins for risk were iterated against simulated batches: the mix is the best found, not proven. Without any \
         margin for risk the goal would be {}, with it it is {}{bound}.",
        shown(found.without),
        shown(found.found.goal)
    ));
    list
}
