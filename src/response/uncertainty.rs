//! From what a statement says of a fit's uncertainty to deviations, covariances and what the trials tell.

use super::basis::Basis;
use super::covariance::Covariance;
use super::link::Link;
use super::terms::position;
use crate::finding::{Finding, Findings};
use crate::quantity::{Scalar, Unit};
use crate::statement::{Located, ResponseEntry, TrialsEntry};

/// The scale on which deviations of a response are told.
pub struct Scale<'a> {
    /// Unit of the response.
    pub unit: &'a Unit,
    /// Its link.
    pub link: Link,
    /// The response, for findings.
    pub owner: &'a str,
}

/// A standard deviation on the link's scale.
pub fn deviation(
    given: &Located<Scalar>,
    what: &str,
    scale: &Scale<'_>,
    findings: &mut Findings,
) -> Option<f64> {
    let Scale { unit, link, owner } = scale;
    let unit_fits = if link.keeps_unit() {
        given.value.unit.dimension == unit.dimension
    } else {
        given.value.unit.text.is_empty()
    };
    if unit_fits {
        return Some(if link.keeps_unit() {
            unit.difference_from_base(given.value.base)
        } else {
            given.value.base
        });
    }
    let finding =
        Finding::error(given.place, format!("`{what}` of {owner} is in `{}`", given.value.unit.text));
    findings.push(if link.keeps_unit() {
        finding.help(format!("give it in the unit of the response, `{}`", unit.text))
    } else {
        finding.help(format!("give it on the {} scale, as a plain number without unit", link.word()))
    });
    None
}

/// A covariance over the terms of a response.
pub fn covariance(
    entry: &ResponseEntry,
    given: &Located<Vec<Vec<f64>>>,
    what: &str,
    owner: &str,
    findings: &mut Findings,
) -> Option<Covariance> {
    let monomials = entry
        .terms
        .iter()
        .map(|term| term.factors.iter().filter_map(|word| position(entry, &word.value)).collect())
        .collect();
    let covariance = Covariance { monomials, matrix: given.value.clone() };
    let Some(fault) = covariance.fault() else { return Some(covariance) };
    findings.push(
        Finding::error(
            given.place,
            format!("`{what}` of {owner} is no covariance matrix of its {} terms", entry.terms.len()),
        )
        .note(fault)
        .help("give one row and column for each term in the order of `terms`, from the fit"),
    );
    None
}

/// Whether coefficients and trials stand in one file: own keys stand in place of included ones, and the coefficients of one
/// file with the covariance of another are no fit.
pub fn is_of_one_file(entry: &ResponseEntry, owner: &str, findings: &mut Findings) -> bool {
    let Some(trials) = &entry.trials else { return true };
    let Some(term) = entry.terms.iter().find(|term| term.coefficient.place.source != trials.place.source)
    else {
        return true;
    };
    findings.push(
        Finding::error(
            term.coefficient.place,
            format!("the terms of {owner} stand in another file than its trials"),
        )
        .note("keys of the statement stand in place of those of an included file: these coefficients are not those of the fit")
        .help("take the response out of the statement where it includes a fit of it, or leave the fit out"),
    );
    false
}

/// What the trials tell.
pub fn basis(
    entry: &ResponseEntry,
    trials: &TrialsEntry,
    scale: &Scale<'_>,
    findings: &mut Findings,
) -> Basis {
    let owner = scale.owner;
    if entry.residual.is_none() {
        findings.push(
            Finding::error(trials.place, format!("{owner} tells of its trials and has no `residual`"))
                .help("add the residual standard deviation of the fit"),
        );
    }
    let batch = trials.batch.as_ref().and_then(|given| deviation(given, "batch deviation", scale, findings));
    let at = trials.at.as_ref().and_then(|given| {
        let fits = given.value.unit.dimension == scale.unit.dimension && 0.0 < given.value.base;
        if !fits {
            findings.push(
                Finding::error(given.place, format!("`at` of the trials of {owner} is no such prediction"))
                    .note(format!("allowed: above zero, in units such as `{}`", scale.unit.text)),
            );
        }
        fits.then(|| scale.unit.from_base(given.value.base))
    });
    let region = trials
        .region
        .as_ref()
        .and_then(|given| covariance(entry, given, "region covariance", owner, findings));
    let text = |word: &Option<crate::statement::Word>| word.as_ref().map(|word| word.value.clone());
    Basis {
        freedom: trials.freedom.value,
        batch,
        power: if at.is_some() { trials.power.as_ref().map_or(0.0, |power| power.value) } else { 0.0 },
        slope: if at.is_some() { trials.slope.as_ref().map_or(0.0, |slope| slope.value) } else { 0.0 },
        at: at.unwrap_or(1.0),
        region,
        measured: text(&trials.measured),
        age: trials.age.as_ref().map(|age| age.value.base / 86_400.0),
        batches: trials.batches,
        data: text(&trials.data),
        date: text(&trials.date),
    }
}
