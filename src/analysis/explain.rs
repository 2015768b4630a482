//! The reasons of a verdict: what each binding limit costs, or why nothing fits.

use super::conflict::{Conflict, Stage, conflict};
use super::price_steps::{PriceStep, price_steps};
use super::shadow_prices::{Price, assignment_of, shadow_prices};
use super::uncertainty::{Uncertainty, uncertainty};
use crate::listed::Id;
use crate::parallel::Stop;
use crate::problem::{Problem, Requirement};
use crate::solve::Verdict;

/// The reasons of a verdict; empty where they were not asked for.
#[derive(Clone, Debug, Default)]
pub struct Explanation {
    /// What each binding requirement costs, by requirement index.
    pub prices: Vec<(Id<Requirement>, Price)>,
    /// What one step of each of them does, solved again, by requirement index.
    pub steps: Vec<(Id<Requirement>, PriceStep)>,
    /// Why nothing fits, where that was proven.
    pub conflict: Option<Conflict>,
    /// What uncertainty about fitted responses costs, and what lies beyond the regions that bind.
    pub uncertainty: Uncertainty,
}

/// Explains a verdict: prices of limits at a mix that was found, the conflict where it was proven that there is none.
///
/// What is not settled when work has to end is left out, or told as unsettled.
pub fn explain(problem: &Problem, verdict: &Verdict, stop: Stop) -> Explanation {
    explain_watched(problem, verdict, stop, &|_| ())
}

/// The same; `told` hears what is being done about a conflict.
pub fn explain_watched(
    problem: &Problem,
    verdict: &Verdict,
    stop: Stop,
    told: &(dyn Fn(Stage) + Sync),
) -> Explanation {
    match verdict {
        Verdict::Found(found) => {
            let prices = shadow_prices(problem, found, stop);
            let has_slope = |price: &Price| matches!(price, Price::Single(_) | Price::Between { .. });
            let priced: Vec<Id<Requirement>> =
                prices.iter().filter(|(_, price)| has_slope(price)).map(|(index, _)| *index).collect();
            let assignment = assignment_of(problem, &found.mix);
            Explanation {
                steps: price_steps(problem, found, &assignment, &priced, stop),
                prices,
                conflict: None,
                uncertainty: uncertainty(problem, &found.mix, &found.audit, stop),
            }
        }
        Verdict::Nothing(nothing) if nothing.certainty.is_some_and(|certainty| certainty.complete) => {
            let known = (nothing.mix.as_slice(), nothing.effort.programs);
            let conflict = Some(conflict(problem, known, stop, told));
            Explanation { conflict, ..Explanation::default() }
        }
        Verdict::Nothing(_) | Verdict::Unsettled(_) | Verdict::Failed(_) => Explanation::default(),
    }
}
