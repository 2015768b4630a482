//! Requirements as conditions `value >= 0`: exact affine ones where possible, curved ones otherwise.
//!
//! What enters: requirements, and the responses that they speak of. What leaves: conditions. What they come to at a mix,
//! nothing here knows.

use super::condition::{Condition, ConditionOrigin, Curved, Form};
use super::cracking::{asked, restrained};
use super::exact::exactly_affine;
use super::requirement::{Doubt, Origin, Requirement, Subject, Wanted};
use crate::listed::{Id, Listed};
use crate::mixture::{Affine, Measure};
use crate::quantity::convert;
use crate::response::{Link, Response, Rule};
use crate::standard::Side;

/// Bounds on amounts are the columns' own.
pub(super) fn is_column_bound(requirement: &Requirement) -> bool {
    match (&requirement.origin, &requirement.subject) {
        (Origin::Material(material), Subject::Quantity(quantity)) => {
            quantity.measure == Measure::Linear(Affine::amount(*material))
        }
        _ => false,
    }
}

/// Makes the ages of all limits points of the grids that they are judged on.
pub fn mark_ages(responses: &mut Listed<Response>, requirements: &[Requirement]) {
    for (index, response) in responses.named_mut() {
        let Some(rule) = restrained(response) else { continue };
        let ages: Vec<f64> = requirements
            .iter()
            .filter(|requirement| matches!(requirement.subject, Subject::Response(about) if about == index))
            .filter_map(|requirement| asked(requirement, rule))
            .collect();
        if let Rule::Cracking(rule) = &mut response.rule {
            rule.mark(&ages);
        }
    }
}

/// The conditions of one requirement.
pub fn conditions(
    responses: &Listed<Response>,
    index: Id<Requirement>,
    requirement: &Requirement,
) -> Vec<Condition> {
    let sign = requirement.side.sign();
    let unit = &requirement.unit;
    let form = match (&requirement.subject, &requirement.wanted) {
        (Subject::Response(_), Wanted::Value(most)) if matches!(requirement.origin, Origin::Leverage(_)) => {
            let Subject::Response(response) = requirement.subject else { return Vec::new() };
            Form::Curved(Curved::Leverage { response, most: *most })
        }
        (Subject::Quantity(quantity), Wanted::Value(value)) => {
            let bound = unit.to_base(value + sign * requirement.margin.natural);
            Form::Linear(quantity.measure.minus_bound(bound).times(sign))
        }
        (Subject::Quantity(left), Wanted::Quantity(times, right)) => match (&left.measure, &right.measure) {
            (Measure::Linear(left), Measure::Linear(right)) => {
                Form::Linear(left.clone().plus(-times, right).times(sign))
            }
            (left, right) => Form::Curved(Curved::Measures {
                left: left.clone(),
                right: right.clone(),
                times: *times,
                sign,
            }),
        },
        (Subject::Quantity(quantity), Wanted::Response(times, response)) => Form::Curved(Curved::Against {
            response: *response,
            sign: -sign,
            measure: quantity.measure.clone(),
            times: 1.0 / times,
            margin: requirement.margin.natural * unit.factor / times,
            doubt: requirement.margin.doubt,
        }),
        (Subject::Response(response), Wanted::Quantity(times, quantity)) => Form::Curved(Curved::Against {
            response: *response,
            sign,
            measure: quantity.measure.clone(),
            times: *times,
            margin: requirement.margin.natural * unit.factor,
            doubt: requirement.margin.doubt,
        }),
        (Subject::Response(left), Wanted::Response(times, right)) => Form::Curved(Curved::Responses {
            left: *left,
            right: *right,
            times: *times,
            sign,
            margin: requirement.margin.natural * unit.factor,
        }),
        (Subject::Response(response), Wanted::Value(_))
            if matches!(responses[*response].rule, Rule::Cracking(_)) =>
        {
            return cracking_conditions(responses, index, requirement, *response);
        }
        (Subject::Response(response), Wanted::Value(value)) => {
            return predictor_conditions(responses, index, requirement, *response, *value);
        }
    };
    let scale = match (&form, &requirement.wanted) {
        (Form::Curved(Curved::Leverage { most, .. }), _) => *most,
        (Form::Curved(Curved::Against { response, .. }), _) => typical(&responses[*response]),
        (Form::Curved(Curved::Responses { left, .. }), _) => typical(&responses[*left]),
        _ => 1.0,
    };
    vec![Condition { origin: ConditionOrigin::Requirement(index), form, scale }]
}

/// A typical magnitude of a response, base units: its value at the middle of its region.
pub fn typical(response: &Response) -> f64 {
    let middle: Vec<f64> = response.region().iter().map(crate::number::Interval::middle).collect();
    response.unit.to_base(response.natural(response.predictor(&middle).0)).abs().max(1e-9)
}

/// The limit moved through the link: the predictor against a target, with the edges of the link's range.
fn predictor_conditions(
    responses: &Listed<Response>,
    index: Id<Requirement>,
    requirement: &Requirement,
    response: Id<Response>,
    value: f64,
) -> Vec<Condition> {
    let described = &responses[response];
    let sign = requirement.side.sign();
    let wanted = convert(value + sign * requirement.margin.natural, &requirement.unit, &described.unit);
    let target = described.on_link(wanted);
    let mut list = Vec::new();
    if described.link.needs_rising_predictor() && requirement.side == Side::AtMost {
        list.push(curved(
            responses,
            index,
            Curved::Predictor { response, sign: 1.0, target: 0.0, doubt: Doubt::default() },
            1.0,
        ));
    }
    if !target.is_finite() {
        // Outside the link's range the limit is always or never met; `limits` has said which.
        return list;
    }
    let slope = described.slope(target).abs();
    let scale = if described.link == Link::Identity || slope == 0.0 {
        wanted.abs().max(described.absolute_scale()).max(1e-6)
    } else {
        (wanted.abs() / slope).max(1e-6)
    };
    let doubt = requirement.margin.doubt;
    list.push(curved(responses, index, Curved::Predictor { response, sign, target, doubt }, scale));
    list
}

/// A curved condition, stated as an affine one where the surface allows it exactly.
fn curved(
    responses: &Listed<Response>,
    requirement: Id<Requirement>,
    curved: Curved,
    scale: f64,
) -> Condition {
    let origin = ConditionOrigin::Requirement(requirement);
    if let Curved::Predictor { response, sign, target, doubt } = curved
        && let Some(affine) = exactly_affine(responses, response, sign, target, doubt)
    {
        return Condition { origin, form: Form::Linear(affine), scale };
    }
    Condition { origin, form: Form::Curved(curved), scale }
}

/// One condition for each point of the grid up to the age asked for.
fn cracking_conditions(
    responses: &Listed<Response>,
    index: Id<Requirement>,
    requirement: &Requirement,
    response: Id<Response>,
) -> Vec<Condition> {
    let described = &responses[response];
    let Some(rule) = restrained(described) else { return Vec::new() };
    let Some(age) = asked(requirement, rule) else { return Vec::new() };
    let middle: Vec<f64> = described.region().iter().map(crate::number::Interval::middle).collect();
    let usual = rule.history(&middle);
    let condition = |step: usize| Condition {
        origin: ConditionOrigin::Requirement(index),
        form: Form::Curved(Curved::Cracking { response, step }),
        scale: usual.level[step].abs().max(1e-3),
    };
    rule.rows_up_to(age).map(condition).collect()
}
