//! The combined grading of all aggregates beside the limits on it.
//!
//! What enters: the problem and a mix. What leaves: for each sieve that an aggregate declares and all are known for, the share
//! passing, and what the statement asks there. A limit is found by what it measures, not by its name.

use crate::mixture::Measure;
use crate::problem::{Origin, Problem, Subject, Wanted};
use crate::quantity::trimmed;
use crate::standard::Side;

/// Fewer limited sieves than this are no curve.
const LEAST: usize = 3;

/// The combined grading, sieves with rising openings.
#[derive(Clone, Debug, PartialEq)]
pub struct GradingLine {
    /// The sieves.
    pub sieves: Vec<SieveLine>,
}

/// One sieve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SieveLine {
    /// Its opening, m.
    pub opening: f64,
    /// Share of all aggregates passing, by absolute volume.
    pub passing: f64,
    /// The least share asked for.
    pub low: Option<f64>,
    /// The greatest share asked for.
    pub high: Option<f64>,
}

/// The combined grading, where at least three sieves are limited.
pub fn grading_line(problem: &Problem, mix: &[f64]) -> Option<GradingLine> {
    let materials = &problem.mixture.catalogue.materials;
    let mut openings: Vec<f64> = materials
        .iter()
        .filter_map(|material| material.grading.as_ref())
        .flat_map(|grading| grading.sieves.iter().map(|(opening, _)| *opening))
        .collect();
    openings.sort_by(f64::total_cmp);
    openings.dedup_by(|a, b| (*a / *b - 1.0).abs() < 1e-6);
    let sieve = |opening: f64| -> Option<SieveLine> {
        // The same quantity that a limit on this sieve would be about.
        let quantity = problem.mixture.passing(&format!("{} mm", trimmed(1e3 * opening, 6))).ok()?;
        Some(SieveLine {
            opening,
            passing: quantity.measure.at(mix)?,
            low: asked(problem, &quantity.measure, Side::AtLeast),
            high: asked(problem, &quantity.measure, Side::AtMost),
        })
    };
    let sieves: Vec<SieveLine> = openings.into_iter().filter_map(sieve).collect();
    let limited = sieves.iter().filter(|sieve| sieve.low.is_some() || sieve.high.is_some()).count();
    (LEAST <= limited).then_some(GradingLine { sieves })
}

/// The sharpest limit of the author's on what a measure measures.
fn asked(problem: &Problem, measure: &Measure, side: Side) -> Option<f64> {
    let values = problem.requirements.iter().filter_map(|requirement| {
        let Subject::Quantity(quantity) = &requirement.subject else { return None };
        let Wanted::Value(value) = requirement.wanted else { return None };
        let is_it =
            requirement.origin == Origin::Limit && requirement.side == side && quantity.measure == *measure;
        is_it.then(|| requirement.unit.to_base(value))
    });
    match side {
        Side::AtLeast => values.reduce(f64::max),
        Side::AtMost => values.reduce(f64::min),
    }
}
