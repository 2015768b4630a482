//! What a report tells of one response: value, scatter, factors with their regions, and fixed inputs outside theirs.
//!
//! What enters: the problem, a response and a mix. What leaves: a [`ResponseLine`] in the reader's units.

use super::report::{FactorLine, ResponseLine};
use super::restraint::cracking_line;
use super::unheeded::unheeded;
use super::units::Units;
use crate::listed::Id;
use crate::mixture::Quantity;
use crate::problem::Problem;
use crate::quantity::Unit;
use crate::response::law::Input;
use crate::response::{Response, Rule, Slot, Source};

/// Everything told of one response at a mix; none where it cannot be worked out.
pub fn response_line(
    problem: &Problem,
    index: Id<Response>,
    mix: &[f64],
    in_use: &[bool],
    units: Units,
) -> Option<ResponseLine> {
    let response = &problem.responses[index];
    let prediction = problem.predict(index, mix)?;
    let unit = units.shown(&response.unit, &problem.currency);
    let converted = |value: f64| crate::problem::convert(value, &response.unit, &unit);
    let value = converted(prediction.value);
    let deviation = prediction.deviation.map(|deviation| {
        let at = |sign: f64| converted(response.natural(prediction.predictor + sign * deviation));
        (value - at(-1.0), at(1.0) - value)
    });
    let factors = response.factors.iter().zip(&prediction.factors).map(|(factor, value)| {
        let width = factor.region.width();
        let unit = units.shown(&factor.unit, &problem.currency);
        let converted = |value: f64| crate::problem::convert(value, &factor.unit, &unit);
        let name = match &factor.source {
            Source::Quantity(Quantity { label, .. }) => label.clone(),
            Source::Response(inner) => problem.responses[*inner].name.clone(),
        };
        FactorLine {
            name,
            value: converted(*value),
            region: (converted(factor.region.low()), converted(factor.region.high())),
            at_edge: (factor.has_lower_edge() && *value <= factor.region.low() + 1e-4 * width)
                || factor.region.high() - 1e-4 * width <= *value,
            unit,
        }
    });
    let strength = response.strength.as_ref().map(|strength| {
        let days = Unit::known("d").from_base(strength.age);
        format!(
            "{} at {} d, {}, {}",
            strength.statistic.word(),
            crate::quantity::trimmed(days, 4),
            strength.specimen,
            strength.curing
        )
    });
    Some(ResponseLine {
        name: response.name.clone(),
        value,
        deviation,
        leverage: prediction.leverage,
        unit,
        base: response.base.map(crate::material::Base::word),
        law: match &response.rule {
            Rule::Law(formula) => Some(formula.law.card().name),
            Rule::Surface(_) | Rule::Cracking(_) => None,
        },
        is_median: response.basis.is_some() && response.link == crate::response::Link::Log,
        is_corrected: response.scale != 1.0 && matches!(response.rule, Rule::Law(_)),
        strength,
        cracking: cracking_line(problem, index, &prediction.factors, in_use, units),
        unheeded: unheeded(problem, index, in_use),
        factors: factors.chain(fixed_outside(problem, response, units)).collect(),
    })
}

/// Fixed inputs of a law that lie where it is not known: the author was warned, a reader must be too.
fn fixed_outside(problem: &Problem, response: &Response, units: Units) -> Vec<FactorLine> {
    let Rule::Law(formula) = &response.rule else { return Vec::new() };
    let inputs = formula.law.card().inputs.iter().zip(&formula.slots);
    let outside = inputs.filter_map(|(input, slot)| match slot {
        Slot::Fixed(value) if *value < input.range.0 || input.range.1 < *value => Some((input, *value)),
        _ => None,
    });
    let line = |(input, value): (&Input, f64)| {
        let own = Unit::known(input.unit);
        let unit = units.shown(&own, &problem.currency);
        let converted = |value: f64| crate::problem::convert(value, &own, &unit);
        FactorLine {
            name: input.name.to_owned(),
            value: converted(value),
            region: (converted(input.range.0), converted(input.range.1)),
            unit,
            at_edge: false,
        }
    };
    outside.map(line).collect()
}
