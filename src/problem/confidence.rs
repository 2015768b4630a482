//! Margins by a confidence: which quantile, and the scatter of what it is to hold for.
//!
//! What enters: a confidence as stated, and the response with what its trials tell. What leaves: a [`Doubt`], whose scatter
//! is a constant of the limit.

use super::requirement::Doubt;
use crate::finding::{Finding, Findings};
use crate::response::{Basis, Link, Response};
use crate::standard::Side;
use crate::statement::{ConfidenceEntry, Holds};

/// Student's quantile, and the scatter of what the confidence is to hold for.
///
/// A production batch scatters by the residual with the batch scatter of the trials, where repeated batches tell it,
/// replaced by that of production: `s2 - s2(batch) + production2`; else `s2 + production2`, which counts it twice.
pub fn by_confidence(
    entry: &ConfidenceEntry,
    response: &Response,
    owner: &str,
    findings: &mut Findings,
) -> Option<Doubt> {
    let deviations = response.quantile(entry.share);
    let residual = response.residual?;
    let Some(given) = &entry.deviation else {
        let scatter = if entry.holds == Holds::Mean { 0.0 } else { 1.0 };
        return Some(Doubt { deviations, scatter });
    };
    let production = if response.link.keeps_unit() {
        // A bent law scatters on the scale of the law: the deviation is taken there, at the usual prediction.
        let usual = response.basis.as_ref().map_or(1.0, |basis| response.slope(response.on_link(basis.at)));
        let slope = if response.link == Link::Identity { 1.0 } else { usual };
        (given.value.unit.dimension == response.unit.dimension)
            .then(|| response.unit.difference_from_base(given.value.base) / slope)
    } else {
        given.value.unit.text.is_empty().then_some(given.value.base)
    };
    let Some(production) = production else {
        findings.push(
            Finding::error(given.place, format!("the production deviation of {owner} is in another unit"))
                .help(match response.link {
                    link if link.keeps_unit() => format!("give it in `{}`", response.unit.text),
                    link => format!("give it on the {} scale, as a plain number", link.word()),
                }),
        );
        return None;
    };
    let batch = response.basis.as_ref().and_then(|basis| basis.batch);
    if batch.is_none() {
        findings.push(
            Finding::warning(
                given.place,
                format!("the margin of {owner} counts the scatter between batches twice"),
            )
            .note("no repeated batches of a mix tell what part of the residual it is")
            .help("repeat some batches in the next trials; the margin is on the safe side until then"),
        );
    }
    let other = (residual * residual - batch.unwrap_or(0.0).powi(2)).max(0.0);
    let scatter = (other + production * production) / (residual * residual).max(f64::MIN_POSITIVE);
    Some(Doubt { deviations, scatter })
}

/// The doubt with the scatter that results have at the limit and its margin: a constant, so that conditions stay convex.
pub fn grown(doubt: Doubt, wanted: f64, side: Side, response: &Response, basis: &Basis) -> Doubt {
    let residual = response.residual.unwrap_or(0.0);
    let mut scatter = doubt.scatter;
    for _ in 0..20 {
        let margin = doubt.deviations * residual * scatter.sqrt();
        let needed = response.natural(response.on_link(wanted) + side.sign() * margin);
        if !needed.is_finite() {
            break;
        }
        scatter = doubt.scatter * basis.scatter(needed);
    }
    Doubt { scatter, ..doubt }
}
