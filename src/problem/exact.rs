//! Conditions on responses that are affine in the amounts, exactly: first-order surfaces, and laws that turn into a
//! bound on one ratio.
//!
//! What enters: `sign (predictor - target) - margin >= 0`. What leaves: an affine function with the same sign
//! wherever the response may be used at all, or nothing. A law is turned over numerically, at the limit with its
//! margin; no linearisation is involved.

use super::requirement::Doubt;
use crate::listed::{Id, Listed};
use crate::mixture::{Affine, Measure, Ratio};
use crate::number::Interval;
use crate::quantity::convert;
use crate::response::{Factor, Formula, Link, Response, Rule, Slot, Source, Surface};

/// Share of a response up to which the doubt about its slopes is rounding.
const ONE_NUMBER: f64 = 1e-10;
/// Halvings of the search for the input at which a law meets its limit: beyond the digits of a number.
const HALVINGS: usize = 200;

/// An affine function with the sign of `sign (predictor - target) - deviations s`, if there is one.
pub fn exactly_affine(
    responses: &Listed<Response>,
    index: Id<Response>,
    sign: f64,
    target: f64,
    doubt: Doubt,
) -> Option<Affine> {
    let response = &responses[index];
    if !doubt.is_none() && response.covariance.is_some() {
        return None;
    }
    let margin = doubt.at(0.0).0 * response.residual.unwrap_or(0.0);
    match &response.rule {
        Rule::Surface(surface) => of_surface(response, surface, sign, target, margin),
        Rule::Law(formula) => {
            // A law times a scale meets its limit where the law itself meets the limit over the scale.
            let (target, margin) = (target / response.scale, margin / response.scale);
            of_flat_law(response, formula, sign, target, margin)
                .or_else(|| of_one_input(responses, response, formula, sign, target + sign * margin))
                .or_else(|| of_core(response, formula, sign, target + sign * margin))
        }
        Rule::Cracking(_) => None,
    }
}

/// The part above the line of each measure, if all have the same part below, and that part.
fn over_one_denominator<'m>(measures: &[&'m Measure]) -> Option<(Vec<&'m Affine>, Affine)> {
    let one = Affine::constant(1.0);
    let denominator = measures.first().and_then(|measure| measure.denominator()).unwrap_or(&one);
    if measures.iter().any(|measure| measure.denominator().unwrap_or(&one) != denominator) {
        return None;
    }
    let above = measures.iter().map(|measure| match measure {
        Measure::Linear(affine) => affine,
        Measure::Ratio(ratio) => &ratio.numerator,
    });
    Some((above.collect(), denominator.clone()))
}

fn measure_of(factor: &Factor) -> Option<&Measure> {
    match &factor.source {
        Source::Quantity(quantity) => Some(&quantity.measure),
        Source::Response(_) => None,
    }
}

/// A first-order surface whose factors are all linear, or all ratios over the same denominator, is affine once
/// multiplied by that denominator.
fn of_surface(response: &Response, surface: &Surface, sign: f64, target: f64, margin: f64) -> Option<Affine> {
    if !surface.is_linear() {
        return None;
    }
    let slopes = surface.linear.iter().map(|(factor, coefficient)| {
        let (centre, half) = surface.coding[*factor];
        (*factor, coefficient / half, centre)
    });
    first_order(response, slopes.collect(), sign, surface.constant - target, margin)
}

/// `sign (constant + sum of slope (factor - centre)) - margin`, times the common denominator.
fn first_order(
    response: &Response,
    slopes: Vec<(usize, f64, f64)>,
    sign: f64,
    constant: f64,
    margin: f64,
) -> Option<Affine> {
    let measures: Option<Vec<&Measure>> =
        slopes.iter().map(|(factor, ..)| measure_of(&response.factors[*factor])).collect();
    let (above, denominator) = over_one_denominator(&measures?)?;
    let mut sum = denominator.times(sign * constant - margin);
    for ((factor, slope, centre), above) in slopes.into_iter().zip(above) {
        let unit = &response.factors[factor].unit;
        sum = sum
            .plus(sign * slope / unit.factor, above)
            .plus(-sign * slope * (unit.zero / unit.factor + centre), &denominator);
    }
    Some(sum)
}

/// A law whose slopes are the same all over its region, such as Bolomey's by cement, slag and ash over water.
fn of_flat_law(
    response: &Response,
    formula: &Formula,
    sign: f64,
    target: f64,
    margin: f64,
) -> Option<Affine> {
    let region = response.region();
    let slopes = formula.slopes(&region);
    let middle: Vec<f64> = region.iter().map(Interval::middle).collect();
    let (value, gradient) = formula.value_and_gradient(&middle);
    // What the response moves through a factor's region with one slope or another inside the bounds.
    let moved = |(slope, range): (&Interval, &Interval)| slope.width() * range.width();
    let doubt: f64 = slopes.iter().zip(&region).map(moved).sum();
    if region.is_empty() || !doubt.is_finite() || ONE_NUMBER * value.abs().max(target.abs()) < doubt {
        return None;
    }
    let slopes =
        gradient.iter().zip(&middle).enumerate().map(|(factor, (slope, centre))| (factor, *slope, *centre));
    first_order(response, slopes.collect(), sign, value - target, margin)
}

/// A law of one factor that only rises or only falls: the factor is bounded where the law meets the limit.
fn of_one_input(
    responses: &Listed<Response>,
    response: &Response,
    formula: &Formula,
    sign: f64,
    limit: f64,
) -> Option<Affine> {
    let [factor] = response.factors.as_slice() else { return None };
    let at = formula.slots.iter().position(|slot| matches!(slot, Slot::Factor(_)))?;
    let (low, high) = formula.law.card().inputs[at].allowed;
    let meets = |input: f64| sign * (formula.evaluate(&[input]) - limit);
    let (edge, rises) = turn_over(Interval::new(low, high), meets)?;
    // Beyond the region the mix may not go anyway; up to the edge the law must not turn.
    let used = Interval::new(factor.region.low().min(edge), factor.region.high().max(edge));
    let slope = formula.slopes(&[used])[0];
    if slope.low() < 0.0 && 0.0 < slope.high() {
        return None;
    }
    let direction = if rises { 1.0 } else { -1.0 };
    match &factor.source {
        Source::Quantity(quantity) => {
            Some(quantity.measure.minus_bound(factor.unit.to_base(edge)).times(direction))
        }
        Source::Response(inner) => {
            let described = &responses[*inner];
            let target = described.on_link(convert(edge, &factor.unit, &described.unit));
            if described.link == Link::SquareRoot || !target.is_finite() {
                return None;
            }
            exactly_affine(responses, *inner, direction, target, Doubt::default())
        }
    }
}

/// Feret's law is one of `binder / (binder + water + air)`, all three linear.
fn of_core(response: &Response, formula: &Formula, sign: f64, limit: f64) -> Option<Affine> {
    let core = formula.law.core()?;
    let part = |inputs: &[usize]| {
        inputs.iter().try_fold(Affine::default(), |sum, input| match formula.slots[*input] {
            Slot::Fixed(value) => Some(sum.plus(1.0, &Affine::constant(value))),
            Slot::Factor(index) => {
                let factor = &response.factors[index];
                let Measure::Linear(affine) = measure_of(factor)? else { return None };
                let in_unit = affine.clone().plus(-1.0, &Affine::constant(factor.unit.zero));
                Some(sum.plus(1.0 / factor.unit.factor, &in_unit))
            }
        })
    };
    let (numerator, denominator) = (part(&[core.above])?, part(core.below)?);
    // The inputs outside the ratio must not depend on the mix.
    let fixed = |(at, slot): (usize, &Slot)| match slot {
        _ if core.below.contains(&at) => Some(0.0),
        Slot::Fixed(value) => Some(*value),
        Slot::Factor(_) => None,
    };
    let inputs: Vec<f64> = formula.slots.iter().enumerate().map(fixed).collect::<Option<_>>()?;
    let meets = |share: f64| {
        // Any inputs with this share do.
        let mut inputs = inputs.clone();
        inputs[core.above] = share;
        inputs[core.rest] = 1.0 - share;
        sign * (formula.law.value(&inputs) * formula.scale - limit)
    };
    let (edge, rises) = turn_over(Interval::new(1e-9, 1.0), meets)?;
    let ratio = Measure::Ratio(Ratio { numerator, denominator });
    Some(ratio.minus_bound(edge).times(if rises { 1.0 } else { -1.0 }))
}

/// Where a function that only rises or only falls crosses zero, on its positive side, and whether it rises there.
fn turn_over(range: Interval, function: impl Fn(f64) -> f64) -> Option<(f64, bool)> {
    let (mut low, mut high) = (range.low(), range.high());
    let rises = match (0.0 <= function(low), 0.0 <= function(high)) {
        (false, true) => true,
        (true, false) => false,
        _ => return None,
    };
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if middle <= low || high <= middle {
            break;
        }
        if (0.0 <= function(middle)) == rises {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some((if rises { high } else { low }, rises))
}
