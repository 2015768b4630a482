//! Limits that lie outside everything their subject can be: never met, or always.
//!
//! What enters: a requirement with its margin. What leaves: findings. A response is judged by what its rule gives anywhere
//! in its region, whatever the materials; a quantity only by its sign. What materials and other limits leave is for the
//! solver to say.

use super::context::Context;
use super::requirement::{Requirement, Subject, Wanted};
use crate::finding::{Finding, Findings, RestsOn};
use crate::quantity::convert;
use crate::quantity::trimmed;
use crate::response::{Response, Rule};
use crate::standard::Side;

/// Share of the range by which a limit must lie outside it before anything is said.
const CLEAR: f64 = 1e-6;

/// Times that a limit which is met everywhere must be off to look like a slip of unit.
const FAR: f64 = 10.0;

/// A limit outside the range of its response or its quantity.
pub fn check_magnitude(
    requirement: &Requirement,
    owner: &str,
    context: &Context<'_>,
    findings: &mut Findings,
) {
    let Wanted::Value(value) = &requirement.wanted else { return };
    match &requirement.subject {
        Subject::Response(index) => {
            let response = &context.responses[*index];
            let wanted = convert(
                value + requirement.side.sign() * requirement.margin.natural,
                &requirement.unit,
                &response.unit,
            );
            if !link(response, wanted, requirement, owner, findings) {
                region(response, wanted, requirement, owner, findings);
            }
        }
        Subject::Quantity(quantity) => {
            let base = requirement.unit.to_base(*value);
            if base < 0.0 && quantity.measure.is_never_negative() {
                let word = if requirement.side == Side::AtMost { "never" } else { "always" };
                findings.push(
                    Finding::warning(requirement.place, format!("{owner} is {word} met"))
                        .note(format!("`{}` is never negative", quantity.label))
                        .help("check the sign"),
                );
            }
        }
    }
}

/// What no mix reaches because the link of the response does not; whether anything was said.
fn link(
    response: &Response,
    wanted: f64,
    requirement: &Requirement,
    owner: &str,
    findings: &mut Findings,
) -> bool {
    let target = response.on_link(wanted);
    if target.is_finite() {
        return false;
    }
    let never = (target < 0.0) == (requirement.side == Side::AtMost);
    let range = match response.link {
        crate::response::Link::Logit => "between 0 and 100 %, the ends not reached",
        _ => "above zero",
    };
    let kind = match response.link {
        crate::response::Link::Bent { .. } => "corrected",
        link => link.word(),
    };
    let text =
        format!("{owner} is {} met: a {kind} response lies {range}", if never { "never" } else { "always" });
    let at = format!("the limit with its margin is {} {}", trimmed(wanted, 5), response.unit.text);
    findings.push(if never {
        Finding::error(requirement.place, text).note(at).help("move the limit into that range")
    } else {
        Finding::warning(requirement.place, text).note(at).help("move the limit, or take it out")
    });
    true
}

/// Whether two values are of one sign and not [`FAR`] times one another: a limit that is met everywhere may be meant.
fn is_of_size(wanted: f64, near: f64) -> bool {
    let times = wanted / near;
    (1.0 / FAR..=FAR).contains(&times)
}

/// What no mix reaches because the response gives nothing of the kind in its region.
fn region(response: &Response, wanted: f64, requirement: &Requirement, owner: &str, findings: &mut Findings) {
    if matches!(response.rule, Rule::Cracking(_)) || response.factors.is_empty() {
        return;
    }
    let predictor = response.bounds(&response.region());
    let (low, high) = (response.natural(predictor.low()), response.natural(predictor.high()));
    if !(low.is_finite() && high.is_finite() && low <= high) {
        return;
    }
    let clear = CLEAR * low.abs().max(high.abs());
    let (below, above) = (wanted < low - clear, high + clear < wanted);
    if !below && !above {
        return;
    }
    let never = below == (requirement.side == Side::AtMost);
    let near = if below { low } else { high };
    if !never && (wanted == 0.0 || is_of_size(wanted, near)) {
        return;
    }
    let figure = |value: f64| trimmed(value, 3);
    let finding = Finding::warning(
        requirement.place,
        format!(
            "{owner} is {} met in the region of `{}`",
            if never { "never" } else { "always" },
            response.name
        ),
    )
    .note(format!(
        "there it gives {} .. {}; the limit with its margin is {}",
        figure(low),
        response.unit.with_number(&figure(high)),
        response.unit.with_number(&figure(wanted))
    ));
    findings.push(finding.help("check the figure and its unit").resting_on(RestsOn::Regions));
}
