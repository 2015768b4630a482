//! Shrinkage by the CEB Model Code 1990, its revision of 1999 and the fib Model Code 2010. Microstrain;
//! positive is shortening.
//!
//! Data behind them: 15 to 120 MPa (the oldest to 80 MPa), 40 to 100 % humidity, moist curing of at most 14
//! d.

use super::card::{
    AGE, Card, DRYING_AGE, HUMIDITY, Input, MEAN_STRENGTH, MODEL_CODE_STRENGTH, NOTIONAL_SIZE, Output,
    VOLUME_SURFACE, Worked,
};
use super::shrinkage::{ALPHA_1, alpha_2, autogenous_growth, drying_factor};
use super::take;
use crate::number::Number;

const ALPHA_2: Input =
    alpha_2("constant of the cement class: 0.13 slow, 0.12 normal and rapid (EN 1992-1-1 has 0.11)", 0.12);
/// The model codes take moist curing of at most 14 d.
const CURED_AGE: Input = DRYING_AGE.within(0.5, 14.0);
const BETA_SC: Input = Input::given(
    "beta",
    "1",
    "constant of the cement class: 4 SL (slow), 5 N and R, 8 RS (rapid, high strength)",
    (4.0, 8.0),
    (0.0, 20.0),
);
const ALPHA: Input = Input::given(
    "alpha",
    "1",
    "constant of the cement class: 800 slow, 700 normal, 600 rapid",
    (600.0, 800.0),
    (0.0, 3000.0),
);
const ACI_EXAMPLE: &str = "ACI 209.2R-08, C.3";
const FIB: &str = "fib Model Code 2010, reference values of its code equations";

/// Shrinkage by the CEB Model Code 1990.
pub const MC90: Card = Card {
    name: "mc90 shrinkage",
    group: "shrinkage",
    formula: "(160 + 10 beta (9 - f_cm / 10)) 1.55 (1 - (RH / 100)^3) sqrt(d / (350 (V/S / 50)^2 + d)), d \
              = t - t_s; -0.25 for the humidity factor from 99 %",
    source: "CEB-FIP Model Code 1990 as given in ACI 209.2R-08, A.3",
    inputs: &[MEAN_STRENGTH.within(20.0, 80.0), HUMIDITY, VOLUME_SURFACE, BETA_SC, AGE, CURED_AGE],
    unit: "microstrain",
    meaning: "total shrinkage since drying started",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("mean strength", 33.0),
            ("humidity", 70.0),
            ("volume surface ratio", 100.0),
            ("beta", 5.0),
            ("age", 28.0),
            ("drying age", 7.0),
        ],
        expected: 55.0,
        tolerance: 0.6,
        note: ACI_EXAMPLE,
    }],
};

pub(super) fn mc90<N: Number>(inputs: &[N]) -> N {
    let [mean, humidity, size, beta, age, drying_age] = take(inputs);
    let strength = (mean * -0.1 + 9.0) * beta * 10.0 + 160.0;
    strength * drying_factor(&humidity, &N::constant(0.99)) * drying_growth(age, drying_age, &(size * 2.0))
}

/// `sqrt(d / (0.035 h^2 + d))` for the time of drying in days and the notional size in mm.
fn drying_growth<N: Number>(age: N, drying_age: N, size: &N) -> N {
    (age - drying_age).at_least(0.0).part_of_sum(&(size.powi(2) * 0.035)).sqrt()
}

/// Drying part of the revision of 1999.
pub const MC90_99_DRYING: Card = Card {
    name: "mc90-99 drying shrinkage",
    group: "shrinkage",
    formula: "(220 + 110 alpha_1) exp(-alpha_2 f_cm / 10) 1.55 (1 - (RH / 100)^3) sqrt(d / (350 (V/S / \
              50)^2 + d)), d = t - t_s; -0.25 for the humidity factor from 0.99 (35 / f_cm)^0.1",
    source: "CEB Model Code 1990, revision of 1999, as given in ACI 209.2R-08, A.3",
    inputs: &[MEAN_STRENGTH.within(15.0, 120.0), HUMIDITY, VOLUME_SURFACE, ALPHA_1, ALPHA_2, AGE, CURED_AGE],
    unit: "microstrain",
    meaning: "drying shrinkage since drying started",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("mean strength", 33.0),
            ("humidity", 70.0),
            ("volume surface ratio", 100.0),
            ("alpha 1", 4.0),
            ("alpha 2", 0.12),
            ("age", 90.0),
            ("drying age", 7.0),
        ],
        expected: 107.0,
        tolerance: 0.6,
        note: ACI_EXAMPLE,
    }],
};

pub(super) fn mc90_99_drying<N: Number>(inputs: &[N]) -> N {
    let [mean, humidity, size, alpha_1, alpha_2, age, drying_age] = take(inputs);
    model_code_drying(&[mean, humidity, size * 2.0, alpha_1, alpha_2, age, drying_age])
}

/// Autogenous part of the revision of 1999.
pub const MC90_99_AUTOGENOUS: Card = Card {
    name: "mc90-99 autogenous shrinkage",
    group: "shrinkage",
    formula: "alpha (f_cm / (60 + f_cm))^2.5 (1 - exp(-0.2 sqrt t))",
    source: "CEB Model Code 1990, revision of 1999, as given in ACI 209.2R-08, A.3",
    inputs: &[MEAN_STRENGTH.within(15.0, 120.0), ALPHA, AGE],
    unit: "microstrain",
    meaning: "autogenous shrinkage since casting",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("mean strength", 33.0), ("alpha", 700.0), ("age", 28.0)],
        expected: 34.3,
        tolerance: 0.06,
        note: "the formula's own output",
    }],
};

pub(super) fn mc90_99_autogenous<N: Number>(inputs: &[N]) -> N {
    let [mean, alpha, age] = take(inputs);
    mean.part_of_sum(&N::constant(60.0)).powf(2.5) * alpha * autogenous_growth(&age)
}

/// Basic shrinkage by the Model Code 2010.
pub const MODEL_CODE_BASIC: Card = Card {
    name: "model code basic shrinkage",
    source: "fib Model Code 2010, 5.1.9.4.4",
    inputs: &[MODEL_CODE_STRENGTH, ALPHA, AGE],
    meaning: "basic (autogenous) shrinkage since casting",
    worked: &[
        Worked {
            inputs: &[("mean strength", 28.0), ("alpha", 700.0), ("age", 10.0)],
            expected: 39.975 * 0.468_714,
            tolerance: 2e-3,
            note: FIB,
        },
        Worked {
            inputs: &[("mean strength", 28.0), ("alpha", 800.0), ("age", 100.0)],
            expected: 45.686 * 0.864_665,
            tolerance: 2e-3,
            note: FIB,
        },
    ],
    ..MC90_99_AUTOGENOUS
};

pub(super) fn model_code_basic<N: Number>(inputs: &[N]) -> N {
    mc90_99_autogenous(inputs)
}

/// Drying shrinkage by the Model Code 2010.
pub const MODEL_CODE_DRYING: Card = Card {
    name: "model code drying shrinkage",
    group: "shrinkage",
    formula: "(220 + 110 alpha_1) exp(-alpha_2 f_cm / 10) 1.55 (1 - (RH / 100)^3) sqrt(d / (0.035 h^2 + \
              d)), d = t - t_s; -0.25 for the humidity factor from 0.99 (35 / f_cm)^0.1",
    source: "fib Model Code 2010, 5.1.9.4.4 (its alpha_2 is per MPa: a tenth of the one here)",
    inputs: &[MODEL_CODE_STRENGTH, HUMIDITY, NOTIONAL_SIZE, ALPHA_1, ALPHA_2, AGE, CURED_AGE],
    unit: "microstrain",
    meaning: "drying shrinkage since drying started",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("mean strength", 28.0),
            ("humidity", 50.0),
            ("notional size", 150.0),
            ("alpha 1", 4.0),
            ("alpha 2", 0.12),
            ("age", 100.0),
            ("drying age", 1.0),
        ],
        expected: 213.766,
        tolerance: 0.05,
        note: FIB,
    }],
};

pub(super) fn model_code_drying<N: Number>(inputs: &[N]) -> N {
    let [mean, humidity, size, alpha_1, alpha_2, age, drying_age] = take(inputs);
    let swelling = (mean.reciprocal() * 35.0).powf(0.1).at_most(1.0) * 0.99;
    let strength = (alpha_1 * 110.0 + 220.0) * (-(alpha_2 * mean / 10.0)).exp();
    strength * drying_factor(&humidity, &swelling) * drying_growth(age, drying_age, &size)
}
