//! The reasons of a verdict: what each binding limit costs, or why nothing fits.

use super::conflict::{Conflict, conflict};
use super::shadow_prices::{Price, shadow_prices};
use super::uncertainty::{Uncertainty, uncertainty};
use crate::parallel::Stop;
use crate::problem::Problem;
use crate::solve::Verdict;

/// The reasons of a verdict; empty where they were not asked for.
#[derive(Clone, Debug, Default)]
pub struct Explanation {
    /// What each binding requirement costs, by requirement index.
    pub prices: Vec<(usize, Price)>,
    /// Why nothing fits, where that was proven.
    pub conflict: Option<Conflict>,
    /// What uncertainty about fitted responses costs, and what lies beyond the regions that bind.
    pub uncertainty: Uncertainty,
}

/// Explains a verdict: prices of limits at a mix that was found, the conflict where it was proven that there is none.
///
/// What is not settled when work has to end is left out, or told as unsettled.
pub fn explain(problem: &Problem, verdict: &Verdict, stop: Stop) -> Explanation {
    match verdict {
        Verdict::Found(found) => Explanation {
            prices: shadow_prices(problem, found, stop),
            conflict: None,
            uncertainty: uncertainty(problem, &found.mix, &found.audit, stop),
        },
        Verdict::Nothing(nothing) if nothing.certainty.is_some_and(|certainty| certainty.complete) => {
            Explanation { conflict: Some(conflict(problem, stop)), ..Explanation::default() }
        }
        Verdict::Nothing(_) | Verdict::Unsettled(_) | Verdict::Failed(_) => Explanation::default(),
    }
}
