//! Creep coefficient by EN 1992, relative to the tangent modulus at 28 d (1.05 times the secant modulus).
//!
//! Data behind it: 20 to 90 MPa, 40 to 100 % humidity, stress up to 45 % of the strength at loading.

use super::card::{AGE, Card, HUMIDITY, Input, LOADING_AGE, MEAN_STRENGTH, NOTIONAL_SIZE, Output, Worked};
use super::take;
use crate::number::Number;

/// Exponent of the cement class on the loading age.
pub(super) const CEMENT_EXPONENT: Input =
    Input::given("cement exponent", "1", "-1 slow, 0 normal, 1 rapid cement", (-1.0, 1.0), (-3.0, 3.0));
const LIGHTWEIGHT: Input = Input::given(
    "lightweight factor",
    "1",
    "1.0 normal weight, (rho / 2200)^2 lightweight, times 1.3 up to LC16/18 (value from memory)",
    (0.3, 1.3),
    (0.01, 5.0),
);
const SOURCE: &str = "EN 1992-1-1:2004, annex B.1, without its temperature term";
const EXAMPLE: &str = "fib, reference value of its transcription of EN 1992-1-1:2004, annex B.1";

/// Creep coefficient by EN 1992 after infinite time.
pub const EUROCODE_CREEP_ULTIMATE: Card = Card {
    name: "eurocode ultimate creep",
    group: "creep",
    formula: "(1 + (1 - RH / 100) / (0.1 h_0^(1/3)) a_1) a_2 16.8 / sqrt(f_cm) / (0.1 + t_0^0.2); a_1, a_2 \
              = min(1, 35 / f_cm)^0.7, ^0.2; t_0 = max(0.5, t_l (9 / (2 + t_l^1.2) + 1)^alpha)",
    source: SOURCE,
    inputs: &[MEAN_STRENGTH, HUMIDITY, NOTIONAL_SIZE, LOADING_AGE, CEMENT_EXPONENT, LIGHTWEIGHT.or(1.0)],
    unit: "1",
    meaning: "creep strain after infinite time over elastic strain by 1.05 E_cm at 28 d",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("mean strength", 38.0),
            ("humidity", 70.0),
            ("notional size", 1600.0),
            ("loading age", 7.0),
            ("cement exponent", 0.0),
        ],
        expected: 2.1133,
        tolerance: 1e-3,
        note: EXAMPLE,
    }],
};

pub(super) fn eurocode_creep_ultimate<N: Number>(inputs: &[N]) -> N {
    let [mean, humidity, size, loading, exponent, lightweight] = take(inputs);
    let relative = (mean.reciprocal() * 35.0).at_most(1.0);
    let dryness = humidity_term(&humidity) / size.powf(1.0 / 3.0) * 10.0;
    let of_humidity = (dryness * relative.powf(0.7) + 1.0) * relative.powf(0.2);
    let of_strength = mean.sqrt().reciprocal() * 16.8;
    of_humidity * of_strength * loading_term(&effective_age(&loading, &exponent)) * lightweight
}

/// `1 - RH / 100`.
pub(super) fn humidity_term<N: Number>(humidity: &N) -> N {
    (humidity.clone() / 100.0).taken_from(1.0)
}

/// `1 / (0.1 + t_0^0.2)` for an effective age at loading in days.
pub(super) fn loading_term<N: Number>(age: &N) -> N {
    (age.powf(0.2) + 0.1).reciprocal()
}

/// The age at loading in days, corrected for the speed of the cement.
pub(super) fn effective_age<N: Number>(loading: &N, exponent: &N) -> N {
    let speed = (loading.powf(1.2) + 2.0).reciprocal() * 9.0 + 1.0;
    (loading.clone() * speed.pow(exponent)).at_least(0.5)
}

/// Creep coefficient by EN 1992 at an age.
pub const EUROCODE_CREEP: Card = Card {
    name: "eurocode creep",
    group: "creep",
    formula: "eurocode ultimate creep times (d / (beta_H + d))^0.3, d = t - t_l, beta_H = min(1500 a_3, \
              1.5 (1 + (0.012 RH)^18) h_0 + 250 a_3), a_3 = min(1, 35 / f_cm)^0.5",
    source: SOURCE,
    inputs: &[MEAN_STRENGTH, HUMIDITY, NOTIONAL_SIZE, LOADING_AGE, CEMENT_EXPONENT, AGE, LIGHTWEIGHT.or(1.0)],
    unit: "1",
    meaning: "creep strain at that age over elastic strain by 1.05 E_cm at 28 d",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[
                ("mean strength", 43.0),
                ("humidity", 50.0),
                ("notional size", 138.5),
                ("loading age", 7.0),
                ("cement exponent", 1.0),
                ("age", 18_263.0),
            ],
            expected: 2.567,
            tolerance: 1e-3,
            note: EXAMPLE,
        },
        Worked {
            inputs: &[
                ("mean strength", 38.0),
                ("humidity", 55.0),
                ("notional size", 136.5),
                ("loading age", 7.0),
                ("cement exponent", 0.0),
                ("age", 18_263.0),
            ],
            expected: 3.083,
            tolerance: 1e-3,
            note: EXAMPLE,
        },
    ],
};

pub(super) fn eurocode_creep<N: Number>(inputs: &[N]) -> N {
    let [mean, humidity, size, loading, exponent, age, lightweight] = take(inputs);
    let root = (mean.reciprocal() * 35.0).at_most(1.0).sqrt();
    let slow = ((humidity.clone() * 0.012).powi(18) + 1.0) * size.clone() * 1.5 + root.clone() * 250.0;
    let slow = slow.min(&(root * 1500.0));
    let growth = (age - loading.clone()).at_least(0.0).part_of_sum(&slow).powf(0.3);
    eurocode_creep_ultimate(&[mean, humidity, size, loading, exponent, lightweight]) * growth
}

/// Age in days at 20 degrees that stands for periods of (days, degrees Celsius): the sum of `d exp(13.65 -
/// 4000 / (273 + T))`.
///
/// At exactly 20 degrees it gives 0.998 of the age; the laws above take an age as it is, and an author who
/// wants the temperature term passes this one. Source: EN 1992-1-1:2004, eq. B.10, and fib Model Code 2010.
pub fn temperature_adjusted_age(periods: &[(f64, f64)]) -> f64 {
    periods.iter().map(|(days, celsius)| days * f64::exp(13.65 - 4000.0 / (273.0 + celsius))).sum()
}

/// Factor on creep under high stress.
pub const HIGH_STRESS_CREEP: Card = Card {
    name: "eurocode high-stress creep factor",
    group: "creep",
    formula: "exp(1.5 (k - 0.45)) above k = 0.45, 1 below",
    source: "EN 1992-1-1:2004, 3.1.4(4)",
    inputs: &[Input::given(
        "stress strength ratio",
        "1",
        "k, stress over mean strength at loading",
        (0.0, 0.6),
        (0.0, 1.0),
    )],
    unit: "1",
    meaning: "factor on the creep coefficient under stress above 45 % of the strength",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("stress strength ratio", 0.55)],
        expected: 1.161_834,
        tolerance: 1e-6,
        note: "the formula's own output",
    }],
};

pub(super) fn high_stress_creep<N: Number>(inputs: &[N]) -> N {
    let [ratio]: [N; 1] = take(inputs);
    ((ratio - 0.45).at_least(0.0) * 1.5).exp()
}
