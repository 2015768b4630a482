//! What strengths responses by laws are, and whether they fit where they go.
//!
//! What enters: laws with their inputs bound, and responses. What leaves: strengths as far as cards say them, and findings
//! where a statistic or a dimension does not fit. How inputs are bound, nothing here knows.

use super::formula::{Formula, Slot};
use super::law::card::{AGE, Output};
use super::response_kind::{Factor, Response, Rule, Source, Strength};
use crate::finding::{Finding, Findings};
use crate::listed::Listed;
use crate::standard::{Shape, Statistic};
use crate::statement::ResponseEntry;

/// Seconds in a day.
const DAY: f64 = 86_400.0;
/// Age at which a strength is tested unless the law has the age as an input, s.
const USUAL_AGE: f64 = 28.0 * DAY;

/// What a strength by a law is, as far as its card says; `None` if it is none.
pub fn strength_of(formula: &Formula) -> Option<Strength> {
    let card = formula.law.card();
    let Output::Strength(statistic) = card.output else { return None };
    let age = card.inputs.iter().zip(&formula.slots).find(|(input, _)| input.name == AGE.name);
    let age = match age {
        Some((_, Slot::Fixed(days))) => days * DAY,
        _ => USUAL_AGE,
    };
    Some(Strength {
        specimen: "specimen of the law's source".to_owned(),
        shape: Shape::Unsaid,
        statistic,
        age,
        curing: "curing of the law's source".to_owned(),
    })
}

/// Strengths of laws that change a strength without changing its statistic: they are what their input is.
pub fn inherit_strengths(responses: &mut Listed<Response>) {
    // As many rounds as a chain of laws can be long.
    for _ in 0..responses.len() {
        for index in responses.ids() {
            let inherited = {
                let response = &responses[index];
                let Rule::Law(formula) = &response.rule else { continue };
                let Output::StrengthLike(input) = formula.law.card().output else { continue };
                let Slot::Factor(factor) = formula.slots[input] else { continue };
                let Source::Response(inner) = response.factors[factor].source else { continue };
                if response.strength.is_some() {
                    continue;
                }
                responses[inner].strength.clone()
            };
            responses[index].strength = inherited;
        }
    }
}

/// Strengths written beside a law must be the strengths that the law gives.
pub fn check_written(entry: &ResponseEntry, formula: &Formula, owner: &str, findings: &mut Findings) {
    let (Some(written), Some(statistic)) = (&entry.strength, formula.law.card().output.statistic()) else {
        return;
    };
    if Statistic::named(&written.value.statistic.value) != Some(statistic) {
        findings.push(
            Finding::error(
                written.value.statistic.place,
                format!(
                    "{owner} is said to be {}, and law `{}` gives a {} strength",
                    written.value.statistic.value,
                    formula.law.card().name,
                    statistic.word()
                ),
            )
            .help(format!("write `statistic: {}`", statistic.word())),
        );
    }
}

/// Responses inside responses: dimensions, and strengths of the statistic that a law takes.
pub fn check_bindings(responses: &Listed<Response>, findings: &mut Findings) {
    for response in responses {
        for factor in &response.factors {
            let Source::Response(inner) = factor.source else { continue };
            let inner = &responses[inner];
            let what = match response.rule {
                Rule::Law(_) | Rule::Cracking(_) => "input",
                Rule::Surface(_) => "factor",
            };
            let owner = format!("{what} `{}` of response `{}`", factor.name, response.name);
            if matches!(inner.rule, Rule::Cracking(_)) {
                findings.push(
                    Finding::error(factor.place, format!("{owner} is `{}`, an age at cracking", inner.name))
                        .note("a mix need not crack at all, and then there is no age to reckon with")
                        .help("bind it to a strain, a modulus or a strength instead"),
                );
                continue;
            }
            if inner.unit.dimension != factor.unit.dimension {
                findings.push(
                    Finding::error(
                        factor.place,
                        format!(
                            "{owner} is {}; response `{}` is {}",
                            factor.unit.dimension, inner.name, inner.unit.dimension
                        ),
                    )
                    .help(format!(
                        "set a unit like `{}` where the coefficients are meant for it",
                        inner.unit.text
                    )),
                );
                continue;
            }
            if !matches!(response.rule, Rule::Surface(_)) {
                check_statistic(factor, inner, &owner, findings);
            }
        }
    }
}

fn check_statistic(factor: &Factor, inner: &Response, owner: &str, findings: &mut Findings) {
    let Some(wanted) = factor.statistic else { return };
    let Some(strength) = &inner.strength else {
        findings.push(
            Finding::error(
                factor.place,
                format!(
                    "{owner} takes a {} strength, and response `{}` does not say what it is",
                    wanted.word(),
                    inner.name
                ),
            )
            .help("add `strength:` with specimen, statistic, age and curing to that response"),
        );
        return;
    };
    if strength.statistic != wanted {
        findings.push(
            Finding::error(
                factor.place,
                format!(
                    "{owner} takes a {} strength, and response `{}` is a {} one",
                    wanted.word(),
                    inner.name,
                    strength.statistic.word()
                ),
            )
            .note("a mean lies above the characteristic strength by a margin: 8 MPa in EN 1992-1-1:2004, table 3.1")
            .help("put a response between them: law `eurocode mean strength`, or a surface that takes the margin off"),
        );
    }
}
