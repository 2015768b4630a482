//! How far a prediction must stay from its limit: the author's margin, and the overdesign rules of standards.
//!
//! What enters: margin entries, and the limit they belong to. What leaves: a [`Margin`] in the limit's unit. A rule
//! depends on the specified strength, so it is worked out anew wherever the limit is moved.

use super::confidence::{by_confidence, grown};
use super::context::{Context, response_of};
use super::requirement::{Doubt, Margin, Requirement, Subject, Wanted};
use crate::finding::{Finding, Findings, Place};
use crate::listed::Id;
use crate::number::distribution::normal_quantile;
use crate::quantity::convert;
use crate::quantity::{Dimension, Scalar, Unit, trimmed};
use crate::response::Response;
use crate::response::law::Law;
use crate::standard::required_average::{FEWEST_TESTS, TARGET_DEVIATIONS, aci_sample_factor};
use crate::standard::{MarginRule, Side, Statistic};
use crate::statement::{Located, MarginEntry, RuleEntry};

/// Margin of an initial test without tests on record, MPa (EN 206-1:2000, annex A.5, value from memory).
const OFFSETS: std::ops::RangeInclusive<f64> = 6.0..=12.0;
/// Halvings of the search for the strength that a result just meets.
const HALVINGS: usize = 100;

impl Margin {
    /// The margin of the same limit at another wanted value, in its unit.
    #[must_use]
    pub fn at(self, wanted: f64, unit: &Unit) -> Self {
        match self.rule {
            Some(rule) => Self { natural: rule.required(wanted, unit) - wanted, ..self },
            None => self,
        }
    }
}

impl Requirement {
    /// The severest figure that a result meets, in the requirement's unit, `margin` being what was measured with it.
    pub fn severest_met(&self, got: f64, margin: f64) -> f64 {
        let sign = self.side.sign();
        let Some(rule) = self.margin.rule else { return got - sign * margin };
        // What the prediction is unsure of comes off first, then the rule is turned over.
        let sure = got - (margin - self.margin.natural);
        let (mut low, mut high) = (0.0, sure.max(0.0));
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if rule.required(middle, &self.unit) <= sure {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }
}

/// The margin of one side of a limit.
pub fn margin_of(
    margin: &Located<MarginEntry>,
    requirement: &Requirement,
    owner: &str,
    context: &Context<'_>,
    findings: &mut Findings,
) -> Option<Margin> {
    let deviations = match &margin.value {
        MarginEntry::Natural(scalar) => {
            let fits = scalar.unit.dimension == requirement.unit.dimension && scalar.words.is_empty();
            if !fits {
                findings.push(
                    Finding::error(
                        margin.place,
                        format!(
                            "the margin of {owner} is {}; {} is needed",
                            scalar.unit.dimension, requirement.unit.dimension
                        ),
                    )
                    .note(format!(
                        "allowed units: {}",
                        crate::quantity::accepted(&[requirement.unit.dimension])
                    )),
                );
                return None;
            }
            if let Wanted::Quantity(..) = requirement.wanted {
                findings.push(
                    Finding::error(margin.place, format!("{owner} compares two quantities and has a margin"))
                        .help("multiply instead: `1.1 x ...`"),
                );
                return None;
            }
            return Some(Margin {
                natural: requirement.unit.difference_from_base(scalar.base),
                ..Margin::default()
            });
        }
        MarginEntry::Rule(rule) => return by_rule(rule, margin.place, requirement, owner, context, findings),
        MarginEntry::Risk(share) if !scatters(requirement, context) => {
            return Some(Margin { risk: Some(*share), ..Margin::default() });
        }
        MarginEntry::Risk(share) => Some(normal_quantile(1.0 - share)),
        MarginEntry::Deviations(count) => Some(*count),
        MarginEntry::Confidence(_) => None,
    };
    let response = response_of(requirement).filter(|index| context.responses[*index].residual.is_some());
    if response.is_none() {
        findings.push(
            Finding::error(
                margin.place,
                format!("the margin of {owner} is in deviations, and no residual deviation is known"),
            )
            .help("add `residual:` to the response, or give the margin in its unit"),
        );
        return None;
    }
    let response = &context.responses[response?];
    let doubt = match (&margin.value, deviations) {
        (MarginEntry::Confidence(entry), _) => by_confidence(entry, response, owner, findings)?,
        (_, count) => Doubt::of_batch(count.unwrap_or(0.0)),
    };
    let risk = if let MarginEntry::Risk(share) = &margin.value { Some(*share) } else { None };
    let plain = Margin { doubt, risk, ..Margin::default() };
    let Some(basis) = response.basis.as_ref().filter(|basis| basis.power != 0.0) else { return Some(plain) };
    let Wanted::Value(value) = requirement.wanted else { return Some(plain) };
    let wanted = convert(value, &requirement.unit, &response.unit);
    Some(Margin { doubt: grown(doubt, wanted, requirement.side, response, basis), ..plain })
}

/// Whether a limit is on a response whose scatter is known: its margin then begins with that of the scatter.
fn scatters(requirement: &Requirement, context: &Context<'_>) -> bool {
    let Subject::Response(index) = requirement.subject else { return false };
    context.responses[index].residual.is_some()
}

fn by_rule(
    entry: &RuleEntry,
    place: Place,
    requirement: &Requirement,
    owner: &str,
    context: &Context<'_>,
    findings: &mut Findings,
) -> Option<Margin> {
    let rule = rule_of(entry, owner, findings)?;
    let mean = |index: Id<Response>| {
        context.responses[index]
            .strength
            .as_ref()
            .is_some_and(|strength| strength.statistic == Statistic::Mean)
    };
    let (Subject::Response(index), Wanted::Value(asked), Side::AtLeast) =
        (&requirement.subject, &requirement.wanted, requirement.side)
    else {
        findings.push(
            Finding::error(place, format!("the margin rule of {owner} has no strength that must be reached"))
                .note("an overdesign rule raises `at least` so much strength, given as a value")
                .help("give the margin as a value, or take it out"),
        );
        return None;
    };
    if requirement.unit.dimension != Dimension::STRESS || !mean(*index) {
        findings.push(
            Finding::error(
                place,
                format!(
                    "the margin rule of {owner} needs a mean strength; response `{}` is none",
                    context.responses[*index].name
                ),
            )
            .note("an overdesign rule gives the average that tests must reach")
            .help("say in `strength:` of the response that its statistic is the mean, if it is"),
        );
        return None;
    }
    let mut doubt = Doubt::default();
    if let Some(confidence) = entry.confidence {
        let response = &context.responses[*index];
        if response.residual.is_none() || response.covariance.is_none() {
            findings.push(
                Finding::error(
                    place,
                    format!("the margin of {owner} bounds a mean whose uncertainty is not known"),
                )
                .help(
                    "add `residual` and `covariance` to the response, from its fit, or take `confidence` out",
                ),
            );
            return None;
        }
        doubt = Doubt { deviations: response.quantile(confidence), scatter: 0.0 };
    }
    Some(Margin { rule: Some(rule), doubt, ..Margin::default() }.at(*asked, &requirement.unit))
}

fn rule_of(entry: &RuleEntry, owner: &str, findings: &mut Findings) -> Option<MarginRule> {
    let aci = matches!(entry.rule.value.as_str(), "aci 301" | "aci 318");
    let deviation = match &entry.deviation {
        Some(scalar) => {
            let allowed = Law::AciRequired.card().inputs[1].allowed;
            let deviation = Unit::known("MPa").from_base(scalar.value.base);
            if !(0.0 < deviation && deviation <= allowed.1) {
                findings.push(
                    Finding::error(
                        scalar.place,
                        format!("the deviation of {owner} is {} MPa", trimmed(deviation, 5)),
                    )
                    .note(format!("allowed: above 0, up to {} MPa", trimmed(allowed.1, 4))),
                );
                return None;
            }
            Some(deviation)
        }
        None => None,
    };
    if let Some(tests) = &entry.tests {
        let misfit = if !aci {
            Some("`tests` belong to the rules of ACI 301 and ACI 318")
        } else if deviation.is_none() {
            Some("a number of tests says nothing without their `deviation`")
        } else if f64::from(tests.value) < FEWEST_TESTS {
            Some("from fewer than 15 tests no deviation may be taken: leave `deviation` and `tests` out")
        } else {
            None
        };
        if let Some(misfit) = misfit {
            findings.push(
                Finding::error(tests.place, format!("the margin of {owner} is by {} tests", tests.value))
                    .note(misfit),
            );
            return None;
        }
    }
    if let Some(place) = entry.beside_en_206().filter(|_| entry.rule.value != "en 206") {
        findings.push(
            Finding::error(place, format!("the margin of {owner} is by `{}`", entry.rule.value))
                .note("`lambda` and `offset` belong to `rule: en 206`")
                .help("take it out, or choose `rule: en 206`"),
        );
        return None;
    }
    match (entry.rule.value.as_str(), deviation) {
        ("en 1992", Some(_)) => {
            let place = entry.deviation.as_ref().map_or(entry.rule.place, |deviation| deviation.place);
            findings.push(
                Finding::error(place, format!("the margin of {owner} by EN 1992 takes no deviation"))
                    .note("the mean is the characteristic strength and 8 MPa, EN 1992-1-1:2004, table 3.1")
                    .help("take `deviation` out, or choose `rule: en 206`"),
            );
            None
        }
        ("en 1992", None) => Some(MarginRule::Eurocode),
        ("en 206", deviation) => target(entry, deviation, owner, findings),
        (_, Some(deviation)) => {
            let tests = entry.tests.as_ref().map_or(30.0, |tests| f64::from(tests.value));
            Some(MarginRule::AciRecorded(deviation, aci_sample_factor(tests)))
        }
        (_, None) => Some(MarginRule::AciUnrecorded),
    }
}

/// The target of EN 206, annex A.5: from the deviation of tests on record, or so much as the author chooses.
fn target(
    entry: &RuleEntry,
    deviation: Option<f64>,
    owner: &str,
    findings: &mut Findings,
) -> Option<MarginRule> {
    let known = &Law::TargetStrength.card().inputs[2];
    let megapascals = |scalar: &Located<Scalar>| Unit::known("MPa").from_base(scalar.value.base);
    match (deviation, &entry.lambda, &entry.offset) {
        (Some(deviation), lambda, None) => {
            let lambda_value = lambda.as_ref().map_or(TARGET_DEVIATIONS, |lambda| lambda.value);
            if lambda_value < known.range.0 {
                let place = lambda.as_ref().map_or(entry.rule.place, |lambda| lambda.place);
                findings.push(
                    Finding::error(place, format!("`lambda` in the margin of {owner} is {}", trimmed(lambda_value, 4)))
                        .note("allowed: 1.64 and more; with less, more than 5 % of the results lie below the strength")
                        .help("write 2, as annex A.5 of EN 206-1 has it, or leave it out"),
                );
                return None;
            }
            Some(MarginRule::Target { lambda: lambda_value, deviation })
        }
        (None, None, Some(offset)) => {
            let value = megapascals(offset);
            if !OFFSETS.contains(&value) {
                findings.push(
                    Finding::error(
                        offset.place,
                        format!("`offset` in the margin of {owner} is {} MPa", trimmed(value, 4)),
                    )
                    .note("allowed: 6 .. 12 MPa, as annex A.5 of EN 206-1 has it without tests on record")
                    .help("give the `deviation` of your tests instead, or the margin as a value"),
                );
                return None;
            }
            Some(MarginRule::Offset(value))
        }
        (None, _, _) => {
            findings.push(
                Finding::error(entry.rule.place, format!("the margin of {owner} by EN 206 lacks the scatter of the results"))
                    .note("annex A.5 of EN 206-1: about twice the deviation of the tests on record, 6 to 12 MPa without")
                    .help("write `deviation: 4 MPa` from your tests, or `offset: 8 MPa` without"),
            );
            None
        }
        (Some(_), _, Some(offset)) => {
            findings.push(
                Finding::error(
                    offset.place,
                    format!("the margin of {owner} has a `deviation` and an `offset`"),
                )
                .note("the offset stands where no tests are on record")
                .help("take one of the two out"),
            );
            None
        }
    }
}
