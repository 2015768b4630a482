//! Creep coefficients by the fib Model Code 2010 and ACI 209.
//!
//! The Model Code relates creep to the tangent modulus at 28 d, ACI 209 to the modulus at loading. Data
//! behind them: 15 to 130 MPa, 40 to 100 % humidity, stress up to 40 % of the strength.

use super::card::{AGE, Card, HUMIDITY, Input, LOADING_AGE, MODEL_CODE_STRENGTH, NOTIONAL_SIZE, POSITIVE};
use super::card::{Output, VOLUME_SURFACE, Worked};
use super::creep_eurocode::{CEMENT_EXPONENT, effective_age, humidity_term, loading_term};
use super::shrinkage_american::{AIR, FINES, SLUMP};
use super::take;
use crate::number::Number;

const FIB: &str = "fib Model Code 2010, reference values of its code equations";

/// Basic creep by the Model Code 2010.
pub const MODEL_CODE_BASIC_CREEP: Card = Card {
    name: "model code basic creep",
    group: "creep",
    formula: "1.8 / f_cm^0.7 ln((30 / t_0 + 0.035)^2 (t - t_l) + 1), t_0 = max(0.5, t_l (9 / (2 + t_l^1.2) \
              + 1)^alpha)",
    source: "fib Model Code 2010, 5.1.9.4.3",
    inputs: &[MODEL_CODE_STRENGTH, LOADING_AGE, CEMENT_EXPONENT, AGE],
    unit: "1",
    meaning: "basic creep strain at that age over elastic strain by the tangent modulus at 28 d",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("mean strength", 28.0),
            ("loading age", 6.986_87),
            ("cement exponent", 0.0),
            ("age", 13.986_87),
        ],
        expected: 0.853_184,
        tolerance: 1e-4,
        note: FIB,
    }],
};

pub(super) fn model_code_basic_creep<N: Number>(inputs: &[N]) -> N {
    let [mean, loading, exponent, age] = take(inputs);
    let speed = (effective_age(&loading, &exponent).reciprocal() * 30.0 + 0.035).powi(2);
    let growth = (speed * (age - loading).at_least(0.0) + 1.0).ln();
    mean.powf(-0.7) * 1.8 * growth
}

/// Drying creep by the Model Code 2010.
pub const MODEL_CODE_DRYING_CREEP: Card = Card {
    name: "model code drying creep",
    group: "creep",
    formula: "412 / f_cm^1.4 (1 - RH / 100) / (0.1 h / 100)^(1/3) / (0.1 + t_0^0.2) (d / (beta + \
              d))^gamma, d = t - t_l, gamma = 1 / (2.3 + 3.5 / sqrt t_0), beta = min(1500 a, 1.5 h + 250 \
              a), a = (35 / f_cm)^0.5",
    source: "fib Model Code 2010, 5.1.9.4.3 (growth with time: value from memory)",
    inputs: &[MODEL_CODE_STRENGTH, HUMIDITY, NOTIONAL_SIZE, LOADING_AGE, CEMENT_EXPONENT, AGE],
    unit: "1",
    meaning: "drying creep strain at that age over elastic strain by the tangent modulus at 28 d",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("mean strength", 28.0),
            ("humidity", 40.0),
            ("notional size", 150.0),
            ("loading age", 7.0),
            ("cement exponent", 0.0),
            ("age", 3650.0),
        ],
        expected: 2.6830,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn model_code_drying_creep<N: Number>(inputs: &[N]) -> N {
    let [mean, humidity, size, loading, exponent, age] = take(inputs);
    let effective = effective_age(&loading, &exponent);
    let air = humidity_term(&humidity) / (size.clone() * 1e-3).powf(1.0 / 3.0);
    let relative = (mean.reciprocal() * 35.0).sqrt();
    let slow = (size * 1.5 + relative.clone() * 250.0).min(&(relative * 1500.0));
    let gamma = (effective.sqrt().reciprocal() * 3.5 + 2.3).reciprocal();
    // a load just applied has not crept; the floor of a millionth of a day keeps the power defined there
    let growth = (age - loading).at_least(1e-6).part_of_sum(&slow).pow(&gamma);
    mean.powf(-1.4) * 412.0 * air * loading_term(&effective) * growth
}

/// Creep by ACI 209.
pub const ACI_CREEP: Card = Card {
    name: "aci creep",
    group: "creep",
    formula: "phi_u a t_l^-b (1.27 - 0.67 h) 2/3 (1 + 1.13 exp(-0.0213 V/S)) (0.82 + 0.00264 slump) (0.88 \
              + 0.0024 p) max(1, 0.46 + 0.09 air) d^0.6 / (10 + d^0.6), d = t - t_l, h = RH / 100",
    source: "ACI 209R-92 and ACI 209.2R-08, A.1",
    inputs: &[
        Input::given("ultimate creep", "1", "under standard conditions", (1.3, 4.15), POSITIVE).or(2.35),
        LOADING_AGE
            .called(
                "loading age",
                "age since casting when load is applied; after steam curing known from 1 d",
            )
            .within(7.0, 365.0),
        Input::given(
            "loading factor",
            "1",
            "a: 1.25 after moist, 1.13 after steam curing",
            (1.13, 1.25),
            POSITIVE,
        )
        .or(1.25),
        Input::given(
            "loading exponent",
            "1",
            "b: 0.118 after moist, 0.094 after steam curing",
            (0.094, 0.118),
            (0.0, 1.0),
        )
        .or(0.118),
        HUMIDITY,
        VOLUME_SURFACE,
        SLUMP,
        FINES,
        AIR,
        AGE,
    ],
    unit: "1",
    meaning: "creep strain at that age over elastic strain by the modulus at loading",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[
                ("loading age", 14.0),
                ("humidity", 70.0),
                ("volume surface ratio", 100.0),
                ("slump", 75.0),
                ("fine aggregate share", 40.0),
                ("air", 2.0),
                ("age", 90.0),
            ],
            expected: 0.7425,
            tolerance: 1e-3,
            note: "the formula's own output at the inputs of ACI 209.2R-08, appendix C (value from memory)",
        },
        Worked {
            inputs: &[
                ("loading age", 14.0),
                ("humidity", 70.0),
                ("volume surface ratio", 100.0),
                ("slump", 75.0),
                ("fine aggregate share", 40.0),
                ("air", 8.0),
                ("age", 90.0),
            ],
            expected: 0.8762,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn aci_creep<N: Number>(inputs: &[N]) -> N {
    let [ultimate, loading, factor, exponent, humidity, size, slump, fines, air, age] = take(inputs);
    let of_age = factor * (-(loading.ln() * exponent)).exp();
    let of_humidity = humidity * -0.0067 + 1.27;
    let of_size = ((size * -0.0213).exp() * 1.13 + 1.0) * (2.0 / 3.0);
    let of_mix = (slump * 0.002_64 + 0.82) * (fines * 0.0024 + 0.88) * (air * 0.09 + 0.46).at_least(1.0);
    let growth = aci_growth(&(age - loading).at_least(0.0));
    ultimate * of_age * of_humidity * of_size * of_mix * growth
}

/// Modulus under a stress that grows with time, creep taken in.
pub const AGE_ADJUSTED_MODULUS: Card = Card {
    name: "age adjusted modulus",
    group: "creep",
    formula: "E / (1 + chi phi)",
    source: "Trost 1967 and Bazant 1972; chi about 0.8 also in EN 1992-2, annex KK (value from memory)",
    inputs: &[
        Input::given("modulus", "GPa", "modulus at loading", (5.0, 60.0), POSITIVE),
        Input::given("creep", "1", "creep coefficient", (0.0, 6.0), (0.0, 20.0)),
        Input::given("ageing coefficient", "1", "chi", (0.6, 0.9), (0.0, 1.0)).or(0.8),
    ],
    unit: "GPa",
    meaning: "stress over strain where both grow slowly together",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("modulus", 30.0), ("creep", 1.5)],
        expected: 13.636,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn age_adjusted_modulus<N: Number>(inputs: &[N]) -> N {
    let [modulus, creep, chi] = take(inputs);
    modulus / (creep * chi + 1.0)
}

/// Growth of creep by ACI 209 with the days under load: `d^0.6 / (10 + d^0.6)`.
pub fn aci_growth<N: Number>(days: &N) -> N {
    days.powf(0.6).part_of_sum(&N::constant(10.0))
}
