//! Ages at cracking: what a limit asks for, and outcomes in a unit of time.
//!
//! A limit `at least T` says that the stress stays below the failure level at every age up to T; that has a meaning
//! also for a mix that never cracks. The age itself is only told, never compared: where nothing cracks by the last
//! day looked at there is none.

use super::requirement::{Requirement, Wanted};
use crate::quantity::Unit;
use crate::response::law::cracking::Cracking;
use crate::response::{Response, Restrained, Rule, StressTerms};

/// The rule of a response that is an age at cracking.
pub fn restrained(response: &Response) -> Option<&Restrained> {
    match &response.rule {
        Rule::Cracking(restrained) => Some(restrained),
        Rule::Surface(_) | Rule::Law(_) => None,
    }
}

/// Whether proofs know the stress of an age at cracking by its slopes alone: growth, creep or restraint follows the mix in a
/// way that leaves no sum of products.
pub fn is_known_by_slopes(response: &Response) -> bool {
    restrained(response).is_some_and(|rule| StressTerms::new(rule, &response.region()).is_none())
}

/// The age that a limit asks for, d since casting, its margin on top.
pub(super) fn asked(requirement: &Requirement, restrained: &Restrained) -> Option<f64> {
    let Wanted::Value(wanted) = requirement.wanted else { return None };
    let base = requirement.unit.to_base(wanted + requirement.margin.natural);
    Some(Unit::known("d").from_base(base) + restrained.counted_since())
}

/// An outcome in a unit of time, counted as the response counts.
pub fn in_unit(outcome: Cracking, rule: &Restrained, unit: &Unit) -> f64 {
    match outcome {
        Cracking::At(days) => unit.from_base(Unit::known("d").to_base(days - rule.counted_since())),
        Cracking::NoneBy(_) => f64::INFINITY,
    }
}
