//! How a strength that was designed to a target fares by the acceptance criteria of its standard.
//!
//! What enters: how far the mean lies over the characteristic strength, and how the results scatter, both in MPa. What
//! leaves: shares and probabilities for results that scatter normally and independently. The criteria are no target:
//! what a mix is designed for, nothing here says.

use super::margin_rule::MarginRule;
use crate::number::distribution::normal_probability;

/// Initial production by EN 206: the mean of three results over `f_ck`, and each result below it, MPa (EN 206, conformity
/// criteria for compressive strength, value from memory).
const OVER: f64 = 4.0;
/// How far a single result may lie below the characteristic strength, MPa (the same table).
const UNDER: f64 = 4.0;
/// Results of continuous production that are judged together, and how many deviations their mean lies over the
/// characteristic strength (the same table).
const RESULTS: usize = 15;
/// See [`RESULTS`].
const OVER_DEVIATIONS: f64 = 1.48;
/// Width of a step of sums of results, deviations.
const WIDTH: f64 = 0.05;
/// Steps of the integral in each direction, even.
const STEPS: u32 = 80;
/// Standard deviations beyond which nothing is left.
const FAR: f64 = 8.0;

/// Share of the results below the characteristic strength.
pub fn share_below(offset: f64, deviation: f64) -> f64 {
    normal_probability(-offset / deviation)
}

/// Probability that three results meet both criteria of initial production.
pub fn initial_pass(offset: f64, deviation: f64) -> f64 {
    let least = (-UNDER - offset) / deviation;
    let sum = 3.0 * (OVER - offset) / deviation;
    let density = |z: f64| f64::exp(-0.5 * z * z) / f64::sqrt(2.0 * std::f64::consts::PI);
    simpson(least, |first| {
        density(first)
            * simpson(least, |second| {
                density(second) * normal_probability(-f64::max(least, sum - first - second))
            })
    })
}

/// Probability that fifteen results meet both criteria of continuous production, at the deviation that they scatter with.
pub fn continuous_pass(offset: f64, deviation: f64) -> f64 {
    let least = ((-UNDER - offset) / deviation).max(-FAR);
    let density = |z: f64| f64::exp(-0.5 * z * z) / f64::sqrt(2.0 * std::f64::consts::PI);
    // truncation is wanted: whole steps up to where nothing is left
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let steps = ((FAR - least) / WIDTH).ceil() as usize;
    let one: Vec<f64> = (0..=steps)
        .map(|step| {
            let end = if step == 0 { 0.5 } else { 1.0 };
            end * WIDTH * density(least + WIDTH * step as f64)
        })
        .collect();
    // sums of all but one result, each at least `least`, on a grid from so many times `least`
    let mut sums = one.clone();
    for _ in 2..RESULTS {
        let mut more = vec![0.0; sums.len() + steps];
        for (at, sum) in sums.iter().enumerate().filter(|(_, sum)| 1e-18 < **sum) {
            for (to, part) in more[at..].iter_mut().zip(&one) {
                *to += sum * part;
            }
        }
        sums = more;
    }
    let wanted = RESULTS as f64 * (OVER_DEVIATIONS - offset / deviation);
    let start = (RESULTS - 1) as f64 * least;
    let last = |(at, sum): (usize, &f64)| {
        sum * normal_probability(-f64::max(least, wanted - start - WIDTH * at as f64))
    };
    sums.iter().enumerate().map(last).sum()
}

/// Integral from `low` to where nothing is left, by Simpson's rule.
fn simpson(low: f64, value: impl Fn(f64) -> f64) -> f64 {
    let width = (FAR - low).max(0.0) / f64::from(STEPS);
    let weighted = |at: u32| {
        let weight = match at {
            0 | STEPS => 1.0,
            odd if odd % 2 == 1 => 4.0,
            _ => 2.0,
        };
        weight * value(low + width * f64::from(at))
    };
    (0..=STEPS).map(weighted).sum::<f64>() * width / 3.0
}

/// What is told beside a target: how far the mean lies over the characteristic strength, both in MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Acceptance {
    /// Mean over characteristic strength, MPa.
    pub offset: f64,
    /// Deviation of the results, MPa.
    pub deviation: f64,
    /// Share of results below the characteristic strength.
    pub below: f64,
    /// Probability that three results meet the criteria of initial production.
    pub passes_initial: f64,
    /// Probability that fifteen results meet the criteria of continuous production.
    pub passes_continuous: f64,
}

impl Acceptance {
    /// Of a mean that lies so far over the strength asked for, both in MPa; `None` where the rule knows no deviation or
    /// has no such criteria.
    pub fn of(rule: MarginRule, asked: f64, mean: f64) -> Option<Self> {
        let deviation = match rule {
            MarginRule::Target { deviation, .. } => deviation,
            MarginRule::Offset(offset) => offset / 2.0,
            MarginRule::AciRecorded(..) | MarginRule::AciUnrecorded | MarginRule::Eurocode => return None,
        };
        let offset = mean - asked;
        Some(Self {
            offset,
            deviation,
            below: share_below(offset, deviation),
            passes_initial: initial_pass(offset, deviation),
            passes_continuous: continuous_pass(offset, deviation),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// EN 206, criteria of initial production: worked out again by numerical integration with a general library (offset 8
    /// MPa and deviation 5 MPa: 5.48 % below, 90.70 % pass; 12 and 6: 2.275 %, 98.08 %; 4 and 5: 21.19 %, 48.64 %).
    #[test]
    fn shares_below_and_probabilities_of_passing() {
        for (offset, deviation, below, passes) in [
            (8.0, 5.0, 0.054_799, 0.906_986),
            (12.0, 6.0, 0.022_750, 0.980_788),
            (4.0, 5.0, 0.211_855, 0.486_414),
        ] {
            assert!((share_below(offset, deviation) - below).abs() < 1e-5, "{offset} {deviation}");
            assert!((initial_pass(offset, deviation) - passes).abs() < 1e-4, "{offset} {deviation}");
        }
    }

    /// EN 206, criteria of continuous production: simulated with a general library, 4 million times fifteen results each.
    #[test]
    fn fifteen_results_pass_less_often_the_more_they_scatter() {
        for (offset, deviation, passes) in [
            (8.0, 5.0, 0.6306),
            (12.0, 6.0, 0.9274),
            (4.0, 5.0, 0.0037),
            (8.0, 4.0, 0.9602),
            (6.5, 3.0, 0.9928),
        ] {
            let got = continuous_pass(offset, deviation);
            assert!((got - passes).abs() < 8e-4, "{offset} {deviation}: {got}");
        }
    }
}
