//! Limits that ask for at most so much risk: commands seek the margins that meet it before they tell a mix.

use super::ending::NO_MIX;
use super::outside::{tell, undivided_until};
use crate::answer::report::State;
use crate::answer::units::Units;
use crate::finding::clean;
use crate::plant::{NotRobust, Robust, risk_limits, robust};
use crate::problem::{Problem, Production};
use crate::quantity::trimmed;
use crate::solve::{Carried, Found, Nothing, Settings, Verdict, solve_carrying};
use crate::study::level_in;

/// What is said where the time for the margins is over.
const UNKNOWN_MARGINS: &str = "the margins for the risks were known";

/// How batches are weighed, where a limit asks for a risk and batches vary beside the scatter.
fn asks_for_risk(problem: &Problem) -> Option<&Production> {
    problem.production.as_ref().filter(|_| !risk_limits(problem).is_empty())
}

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
    units: Units,
) -> Result<Option<(Problem, Settings)>, NoMargins> {
    let Some(production) = asks_for_risk(problem) else { return Ok(None) };
    let none = |state, told| Err(NoMargins { state, told });
    match robust(problem, production, settings) {
        Ok(found) => {
            let with = found.problem.varied(|draft| draft.bases.extend(said(problem, &found, units)));
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

/// The same within the time of the settings, for a command with nothing else to do: where there are none, `before` is done,
/// why is told, and the exit code is left.
pub fn margins_or_told(
    problem: &Problem,
    settings: &Settings,
    units: Units,
    before: impl FnOnce(),
) -> Result<Option<(Problem, Settings)>, u8> {
    let margins = || with_risk_margins(problem, settings, units);
    undivided_until(settings.stop, UNKNOWN_MARGINS, margins).map_err(|why| {
        before();
        tell(why.told);
        NO_MIX
    })
}

/// One case of a study: where limits ask for a risk, the mix that meets it as batches are weighed, best found.
pub fn solved_with_risk(problem: &Problem, settings: &Settings, carried: &mut Carried) -> Verdict {
    let Some(production) = asks_for_risk(problem) else {
        return solve_carrying(problem, settings, &|_| (), carried);
    };
    match robust(problem, production, &Settings { proof: None, ..*settings }) {
        Ok(met) => Verdict::Found(Found { certainty: None, ..met.found }),
        // By the scatter alone there is none, or work had to end: that is told as any other.
        Err(NotRobust::Scatter | NotRobust::Stopped) => solve_carrying(problem, settings, &|_| (), carried),
        Err(NotRobust::Margins | NotRobust::Unsettled) => {
            match solve_carrying(problem, &Settings { proof: None, ..*settings }, &|_| (), carried) {
                Verdict::Found(nearest) => Verdict::Nothing(Nothing {
                    audit: nearest.audit,
                    effort: nearest.effort,
                    mix: nearest.mix,
                    certainty: None,
                }),
                other => other,
            }
        }
    }
}

/// What a study says of limits that ask for a risk.
pub fn note_of_studies(problem: &Problem) {
    if asks_for_risk(problem).is_some() {
        tell(
            "note: each mix meets the risks that limits ask for as batches are weighed: its margins were iterated against \
             simulated batches, so that it is the best found, not proven\n",
        );
    }
}

/// What a command says that judges limits asking for a risk by the margin of the scatter alone.
pub fn note_of_scatter(problem: &Problem) {
    if asks_for_risk(problem).is_some() {
        tell(
            "note: limits that ask for a risk have the margin of their scatter alone here; `mixbound risk` with `--mix` tells \
             what weighing and moisture add\n",
        );
    }
}

/// What is said of the risks beside the answer.
fn said(problem: &Problem, found: &Robust, units: Units) -> Vec<String> {
    let percent = |share: f64| trimmed(100.0 * share, 3);
    let mut list: Vec<String> = found
        .risks
        .iter()
        .map(|risk| {
            let requirement = &problem.requirements[risk.requirement];
            let (estimate, low, high) = risk.fresh;
            let unit = units.shown(&requirement.unit, &problem.currency);
            let added = risk.added * requirement.unit.factor / unit.factor;
            format!(
                "Risk of {}: asked for at most {} %, {} % ({} to {} %) in a fresh sample of batches; margin added to that of \
                 the scatter: {}.",
                clean(&requirement.name),
                percent(risk.target),
                percent(estimate),
                percent(low),
                percent(high),
                unit.with_number(&trimmed(added, 3))
            )
        })
        .collect();
    let unit = units.shown(&problem.goal.unit, &problem.currency);
    let shown = |goal: f64| unit.with_number(&trimmed(level_in(problem, goal, &unit), 6));
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
