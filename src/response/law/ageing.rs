//! Growth with age: strength, modulus and tensile strength at an age from their values at 28 d.
//!
//! Age in days, strength in MPa, modulus in GPa. Data behind both families: moist or sealed curing near 20
//! degrees Celsius, 1 d to some years.

use super::card::{AGE, Card, Input, MEAN_STRENGTH, Output, Worked};
use super::take;
use crate::number::{Join, Number};
use crate::standard::Statistic;

const GROWTH: Input = Input::given(
    "s",
    "1",
    "growth constant of the cement class: 0.20 R (rapid), 0.25 N (normal), 0.38 S (slow)",
    (0.20, 0.38),
    (0.0, 2.0),
);
const ACI_A: Input = Input::given(
    "constant a",
    "d",
    "4.0 ordinary and 2.3 rapid cement moist-cured, 1.0 ordinary cement steam-cured",
    (0.05, 9.25),
    (0.0, 100.0),
);
const ACI_BETA: Input = Input::given(
    "constant beta",
    "1",
    "0.85 with a 4.0, 0.92 with a 2.3, 0.95 with a 1.0",
    (0.67, 0.98),
    (0.1, 2.0),
);
const MODULUS: Input = Input::given("modulus", "GPa", "modulus at 28 d", (10.0, 60.0), (0.1, 300.0));

/// Below 3 d EN 1992 asks for tests.
const GROWN_AGE: Input =
    AGE.called("age", "age since casting; below 3 d the code asks for tests").within(3.0, 36_500.0);

const EUROCODE: &str = "EN 1992-1-1:2004, 3.1.2 and 3.1.3 (value from memory)";
const ACI: &str = "ACI 209R-92, eq. 2-1; constants from its table 2.2.1 (value from memory)";

/// Age factor of EN 1992.
pub const EUROCODE_AGE_FACTOR: Card = Card {
    name: "eurocode age factor",
    group: "ageing",
    formula: "exp(s (1 - sqrt(28 / t)))",
    source: EUROCODE,
    inputs: &[GROWN_AGE, GROWTH],
    unit: "1",
    meaning: "mean strength at that age over mean strength at 28 d",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("age", 7.0), ("s", 0.25)],
            expected: 0.7788,
            tolerance: 1e-4,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("age", 90.0), ("s", 0.38)],
            expected: 1.1830,
            tolerance: 1e-4,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn eurocode_age_factor<N: Number>(inputs: &[N]) -> N {
    let [age, s] = take(inputs);
    age_factor(&age, &s)
}

/// The age factor for an age in days and a growth constant.
pub(super) fn age_factor<N: Number>(age: &N, s: &N) -> N {
    (s.clone() * (age.reciprocal() * 28.0).sqrt().taken_from(1.0)).exp()
}

/// Age factor of ACI 209.
pub const ACI_AGE_FACTOR: Card = Card {
    name: "aci age factor",
    group: "ageing",
    formula: "t / (a + beta t)",
    source: ACI,
    inputs: &[AGE, ACI_A.or(4.0), ACI_BETA.or(0.85)],
    unit: "1",
    meaning: "mean strength at that age over mean strength at 28 d",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("age", 7.0)],
            expected: 0.7035,
            tolerance: 1e-4,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("age", 7.0), ("constant a", 2.3), ("constant beta", 0.92)],
            expected: 0.8009,
            tolerance: 1e-4,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn aci_age_factor<N: Number>(inputs: &[N]) -> N {
    let [age, a, beta] = take(inputs);
    (a / age + beta).reciprocal()
}

/// Strength at an age by EN 1992.
pub const EUROCODE_STRENGTH_AGED: Card = Card {
    name: "eurocode strength at age",
    group: "ageing",
    formula: "f_cm exp(s (1 - sqrt(28 / t)))",
    source: EUROCODE,
    inputs: &[MEAN_STRENGTH, GROWN_AGE, GROWTH],
    unit: "MPa",
    meaning: "mean compressive strength at that age",
    output: Output::Strength(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("mean strength", 43.0), ("age", 7.0), ("s", 0.25)],
            expected: 33.488,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("mean strength", 43.0), ("age", 3.0), ("s", 0.25)],
            expected: 25.724,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn eurocode_strength_aged<N: Number>(inputs: &[N]) -> N {
    let [strength, age, s] = take(inputs);
    strength * age_factor(&age, &s)
}

/// Strength at an age by ACI 209.
pub const ACI_STRENGTH_AGED: Card = Card {
    name: "aci strength at age",
    group: "ageing",
    formula: "f_cm t / (a + beta t)",
    source: ACI,
    inputs: &[MEAN_STRENGTH, AGE, ACI_A.or(4.0), ACI_BETA.or(0.85)],
    unit: "MPa",
    meaning: "mean compressive strength at that age",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("mean strength", 40.0), ("age", 90.0)],
        expected: 44.720,
        tolerance: 4e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn aci_strength_aged<N: Number>(inputs: &[N]) -> N {
    let [strength, age, a, beta] = take(inputs);
    strength / (a / age + beta)
}

/// Modulus at an age by EN 1992.
pub const EUROCODE_MODULUS_AGED: Card = Card {
    name: "eurocode modulus at age",
    group: "ageing",
    formula: "E_cm beta^0.3, beta the eurocode age factor",
    source: EUROCODE,
    inputs: &[MODULUS, GROWN_AGE, GROWTH],
    unit: "GPa",
    meaning: "secant modulus at that age",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("modulus", 34.077), ("age", 7.0), ("s", 0.25)],
        expected: 31.62,
        tolerance: 0.01,
        note: "the formula's own output",
    }],
};

pub(super) fn eurocode_modulus_aged<N: Number>(inputs: &[N]) -> N {
    let [modulus, age, s] = take(inputs);
    modulus * age_factor(&age, &(s * 0.3))
}

/// Modulus at an age by the Model Code.
pub const MODEL_CODE_MODULUS_AGED: Card = Card {
    name: "model code modulus at age",
    group: "ageing",
    formula: "E_ci sqrt(beta), beta the eurocode age factor",
    source: "fib Model Code 2010, 5.1.9.3",
    inputs: &[MODULUS, GROWN_AGE, GROWTH],
    unit: "GPa",
    meaning: "modulus at that age",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("modulus", 30.0), ("age", 10.0), ("s", 0.38)],
        expected: 26.397,
        tolerance: 2e-3,
        note: "fib Model Code 2010, reference values of its code equations",
    }],
};

pub(super) fn model_code_modulus_aged<N: Number>(inputs: &[N]) -> N {
    let [modulus, age, s] = take(inputs);
    modulus * age_factor(&age, &(s * 0.5))
}

/// Tensile strength at an age by EN 1992.
pub const EUROCODE_TENSION_AGED: Card = Card {
    name: "eurocode tension at age",
    group: "ageing",
    formula: "f_ctm beta^alpha, beta the eurocode age factor, alpha 1 before 28 d and 2/3 from then on",
    source: EUROCODE,
    inputs: &[
        Input::given("tensile strength", "MPa", "mean tensile strength at 28 d", (1.0, 7.0), (0.01, 50.0)),
        GROWN_AGE,
        GROWTH,
    ],
    unit: "MPa",
    meaning: "mean tensile strength at that age",
    output: Output::Tension(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("tensile strength", 3.210), ("age", 7.0), ("s", 0.25)],
        expected: 2.500,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn eurocode_tension_aged<N: Number>(inputs: &[N]) -> N {
    let [tension, age, s] = take(inputs);
    let factor = age.piecewise(
        28.0,
        Join::Continuous,
        |young| age_factor(young, &s),
        |old| age_factor(old, &(s.clone() * (2.0 / 3.0))),
    );
    tension * factor
}
