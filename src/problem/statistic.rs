//! Whether a limit and the strength that it limits speak of the same statistic.
//!
//! What enters: the limit as written and as resolved. What leaves: findings. How large a margin has to be, nothing here
//! knows.

use super::context::Context;
use super::requirement::{Requirement, Subject};
use crate::finding::{Finding, Findings};
use crate::standard::Statistic;
use crate::statement::LimitEntry;

/// A limit that speaks of another statistic than the response needs a margin.
pub fn check_statistic(
    entry: &LimitEntry,
    requirement: &Requirement,
    owner: &str,
    context: &Context<'_>,
    findings: &mut Findings,
) {
    let Some(statistic) = &entry.statistic else { return };
    if let Some(rule) =
        requirement.margin.rule.filter(|rule| Some(rule.statistic()) != Statistic::named(&statistic.value))
    {
        findings.push(
            Finding::error(
                statistic.place,
                format!(
                    "{owner} is {}, and its margin rule starts from a {} strength",
                    statistic.value,
                    rule.statistic().word()
                ),
            )
            .help(format!("write `statistic: {}`, or choose another rule", rule.statistic().word())),
        );
    }
    let response = match &requirement.subject {
        Subject::Response(index) => &context.responses[*index],
        Subject::Quantity(_) => {
            findings.push(
                Finding::error(statistic.place, format!("{owner} has a `statistic` and limits no response"))
                    .note("only strengths are means or characteristic values")
                    .help("take `statistic` out"),
            );
            return;
        }
    };
    let Some(strength) = &response.strength else {
        findings.push(
            Finding::error(
                statistic.place,
                format!(
                    "{owner} speaks of a {} strength, and response `{}` does not say what it is",
                    statistic.value, response.name
                ),
            )
            .help("add `strength:` with specimen, statistic, age and curing to the response"),
        );
        return;
    };
    if Some(strength.statistic) != Statistic::named(&statistic.value) && entry.margin.is_none() {
        findings.push(
            Finding::error(
                statistic.place,
                format!(
                    "{owner} compares a {} prediction with a {} limit without a margin",
                    strength.statistic.word(),
                    statistic.value
                ),
            )
            .note("a mean strength must exceed a characteristic or specified one by an overdesign")
            .help(context.codes.margin()),
        );
    }
}
