//! Something that depends on age: an amount times a curve, or a law evaluated at every age.
//!
//! What enters: factor values and ages in days since casting, real ones or equivalent ones at 20 degrees Celsius, as the
//! caller holds right. What leaves: the value at each age, and where they can be told apart the amount and the curve.

use super::formula::Slot;
use super::law::Law;
use super::thermal::Thermal;
use crate::number::Number;

/// Age from which tensile strength grows more slowly, and at which modulus and strength are stated, d.
const STATED: f64 = 28.0;

/// Something that depends on age.
#[derive(Clone, Debug)]
pub enum Course {
    /// An amount that grows by a known curve.
    Grown {
        /// The amount.
        amount: Slot,
        /// What it is multiplied by.
        curve: Curve,
    },
    /// A law; the input without a slot is the age.
    ByLaw {
        /// The law.
        law: Law,
        /// What stands at each input.
        slots: Vec<Option<Slot>>,
    },
}

/// A curve over age.
#[derive(Clone, Debug, PartialEq)]
pub enum Curve {
    /// `d / (half + d)` over the same at `at`, with `d` days since `start`; `at` infinite for the final amount.
    Hyperbola {
        /// Start, d since casting.
        start: f64,
        /// Days after which half of the final amount is there.
        half: f64,
        /// Days after the start at which the amount is stated.
        at: f64,
    },
    /// `1 - exp(-rate sqrt(d))` over the same at `at`.
    Root {
        /// Start, d since casting.
        start: f64,
        /// Rate per root of a day.
        rate: f64,
        /// Days after the start at which the amount is stated.
        at: f64,
    },
    /// The age factor of EN 1992-1-1 with growth constant `s`, to a power up to 28 d and to another one from then on
    /// (EN 1992-1-1:2004, 3.1.2(9): 1 and 2/3 for tension).
    Ageing {
        /// Growth constant of the cement class.
        s: f64,
        /// Power up to 28 d.
        young: f64,
        /// Power from 28 d on.
        old: f64,
    },
    /// Shares of the stated amount by age, as measured; straight lines over the logarithm of age, level outside.
    Measured(Vec<(f64, f64)>),
    /// Strain of temperature per degree of adiabatic rise that the temperatures belong to.
    Heat(Box<Thermal>),
    /// Growth with hydration, over the same at 28 d: `((r - setting) / (1 - setting))^power`, `r = exp(-(time / t)^slope)`
    /// being the share of its final degree that hydration has reached.
    Hydration {
        /// Time parameter, d.
        time: f64,
        /// Slope parameter.
        slope: f64,
        /// Share of the final degree of hydration at which stiffness begins.
        setting: f64,
        /// Power.
        power: f64,
    },
}

/// Share of its final degree that hydration has reached at an age in days.
///
/// Source: Schindler and Folliard, ACI Materials Journal 2005, the three-parameter curve.
pub fn hydration(age: f64, time: f64, slope: f64) -> f64 {
    if age <= 0.0 { 0.0 } else { (-(time / age).powf(slope)).exp() }
}

impl Curve {
    /// The curve at an age in days since casting.
    pub fn at(&self, age: f64) -> f64 {
        match self {
            Self::Hyperbola { start, half, at } => {
                let shape = |days: f64| if days.is_finite() { days / (half + days) } else { 1.0 };
                shape((age - start).max(0.0)) / shape(*at)
            }
            Self::Root { start, rate, at } => {
                let shape = |days: f64| 1.0 - f64::exp(-rate * days.sqrt());
                shape((age - start).max(0.0)) / shape(*at)
            }
            Self::Ageing { s, young, old } => {
                let power = if age < STATED { young } else { old };
                Law::EurocodeAgeFactor.value(&[age, *s]).powf(*power)
            }
            Self::Measured(points) => between(points, age),
            Self::Heat(thermal) => thermal.strain(age) / thermal.rise().unwrap_or(1.0),
            Self::Hydration { time, slope, setting, power } => {
                let grown = |age: f64| ((hydration(age, *time, *slope) - setting) / (1.0 - setting)).max(0.0);
                (grown(age) / grown(STATED)).powf(*power)
            }
        }
    }
}

/// Straight lines between points over the logarithm of age, level before the first and after the last.
fn between(points: &[(f64, f64)], age: f64) -> f64 {
    let after = points.partition_point(|(known, _)| *known <= age);
    match (after.checked_sub(1).map(|before| points[before]), points.get(after)) {
        (Some((from, low)), Some((to, high))) => {
            low + (high - low) * f64::ln(age / from) / f64::ln(to / from)
        }
        (Some((_, share)), None) => share,
        (None, Some((_, share))) => *share,
        (None, None) => 0.0,
    }
}

/// The input that a law is proportional to, whatever its age, if there is one.
fn proportional_to(law: Law) -> Option<usize> {
    match law {
        Law::EurocodeModulusAged
        | Law::ModelCodeModulusAged
        | Law::EurocodeTensionAged
        | Law::EurocodeStrengthAged
        | Law::AciStrengthAged => Some(0),
        _ => None,
    }
}

impl Course {
    /// Values at ages, d since casting.
    pub fn over<N: Number>(&self, ages: &[f64], factors: &[N]) -> Vec<N> {
        match self {
            Self::Grown { amount, curve } => {
                let amount = amount.of(factors);
                ages.iter().map(|age| amount.clone() * curve.at(*age)).collect()
            }
            Self::ByLaw { law, slots } => ages
                .iter()
                .map(|age| {
                    let inputs: Vec<N> = slots
                        .iter()
                        .map(|slot| slot.map_or_else(|| N::constant(*age), |slot| slot.of(factors)))
                        .collect();
                    law.evaluate(&inputs)
                })
                .collect(),
        }
    }

    /// The amount and what it is multiplied by at each age, where no factor of the mix shapes the growth.
    pub fn separated(&self, ages: &[f64]) -> Option<(Slot, Vec<f64>)> {
        match self {
            Self::Grown { amount, curve } => Some((*amount, ages.iter().map(|age| curve.at(*age)).collect())),
            Self::ByLaw { law, slots } => {
                let varying: Vec<usize> =
                    (0..slots.len()).filter(|at| matches!(slots[*at], Some(Slot::Factor(_)))).collect();
                let scaling = match varying.as_slice() {
                    [] => None,
                    [one] if proportional_to(*law) == Some(*one) => Some(*one),
                    _ => return None,
                };
                let value = |age: &f64| {
                    let input = |(at, slot): (usize, &Option<Slot>)| match slot {
                        _ if scaling == Some(at) => 1.0,
                        Some(Slot::Fixed(value)) => *value,
                        Some(Slot::Factor(_)) => f64::NAN,
                        None => *age,
                    };
                    law.value(&slots.iter().enumerate().map(input).collect::<Vec<_>>())
                };
                let amount = scaling.and_then(|at| slots[at]).unwrap_or(Slot::Fixed(1.0));
                Some((amount, ages.iter().map(value).collect()))
            }
        }
    }
}
