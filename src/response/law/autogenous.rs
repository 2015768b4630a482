//! Autogenous shrinkage of low water-binder ratios, where the codes for ordinary concrete give far too little.
//! Microstrain; positive is shortening.
//!
//! Neither law knows silica fume, temperature or internal curing; own tests stand in their place.

use super::card::{
    AGE, CHARACTERISTIC_STRENGTH, Card, Input, NOT_NEGATIVE, Output, POSITIVE, WATER_BINDER, Worked,
};
use super::take;
use crate::number::Number;

const JSCE: &str =
    "Tazawa and Miyazawa 1997; JSCE standard specification for concrete structures 2002 (value from memory)";
const BRIDGES: &str = "EN 1992-2:2005, annex B (value from memory)";

const CEMENT_FACTOR: Input =
    Input::given("cement factor", "1", "gamma: 1 ordinary cement", (0.4, 1.5), POSITIVE).or(1.0);

/// Final autogenous shrinkage by the water-binder ratio.
pub const JSCE_AUTOGENOUS_ULTIMATE: Card = Card {
    name: "jsce ultimate autogenous shrinkage",
    group: "shrinkage",
    formula: "gamma 3070 exp(-7.2 w/b)",
    source: JSCE,
    inputs: &[WATER_BINDER.within(0.20, 0.50), CEMENT_FACTOR],
    unit: "microstrain",
    meaning: "autogenous shrinkage after infinite time",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("water binder ratio", 0.30)],
            expected: 354.05,
            tolerance: 0.01,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("water binder ratio", 0.40)],
            expected: 172.33,
            tolerance: 0.01,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn jsce_autogenous_ultimate<N: Number>(inputs: &[N]) -> N {
    let [ratio, factor] = take(inputs);
    (ratio * -7.2).exp() * factor * 3070.0
}

/// Autogenous shrinkage by the water-binder ratio at an age.
pub const JSCE_AUTOGENOUS: Card = Card {
    name: "jsce autogenous shrinkage",
    group: "shrinkage",
    formula: "gamma 3070 exp(-7.2 w/b) (1 - exp(-a (t - t_s)^b))",
    source: JSCE,
    inputs: &[
        WATER_BINDER.within(0.20, 0.50),
        AGE,
        Input::given("setting age", "d", "t_s, age at initial set", (0.1, 1.0), NOT_NEGATIVE).or(0.3),
        Input::given(
            "growth factor",
            "1",
            "a: 1.2 at w/b 0.20, 0.6 at 0.30, 0.1 at 0.40, 0.03 at 0.50",
            (0.03, 1.5),
            POSITIVE,
        ),
        Input::given(
            "growth exponent",
            "1",
            "b: 0.4 at w/b 0.20, 0.5 at 0.30, 0.7 at 0.40, 0.8 at 0.50",
            (0.4, 0.8),
            (0.01, 3.0),
        ),
        CEMENT_FACTOR,
    ],
    unit: "microstrain",
    meaning: "autogenous shrinkage since initial set",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("water binder ratio", 0.30),
            ("age", 28.3),
            ("growth factor", 0.6),
            ("growth exponent", 0.5),
        ],
        expected: 339.250,
        tolerance: 0.01,
        note: "the formula's own output",
    }],
};

pub(super) fn jsce_autogenous<N: Number>(inputs: &[N]) -> N {
    let [ratio, age, setting, speed, exponent, factor] = take(inputs);
    // nothing has shrunk at set; the floor of a millionth of a day keeps the power defined there
    let growth = (-(speed * (age - setting).at_least(1e-6).pow(&exponent))).exp().taken_from(1.0);
    jsce_autogenous_ultimate(&[ratio, factor]) * growth
}

/// Autogenous shrinkage of high-strength concrete from 28 d.
pub const EUROCODE_BRIDGE_AUTOGENOUS: Card = Card {
    name: "eurocode high-strength autogenous shrinkage",
    group: "shrinkage",
    formula: "(f_ck - 20) (2.8 - 1.1 exp(-t / 96)) from 28 d",
    source: BRIDGES,
    inputs: &[CHARACTERISTIC_STRENGTH.within(55.0, 90.0), AGE.within(28.0, 36_500.0)],
    unit: "microstrain",
    meaning: "autogenous shrinkage since casting",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("characteristic strength", 80.0), ("age", 28.0)],
        expected: 118.70,
        tolerance: 0.01,
        note: "the formula's own output",
    }],
};

pub(super) fn eurocode_bridge_autogenous<N: Number>(inputs: &[N]) -> N {
    let [strength, age] = take(inputs);
    (strength - 20.0).at_least(0.0) * ((age / -96.0).exp() * -1.1 + 2.8)
}

/// Autogenous shrinkage of high-strength concrete before 28 d.
pub const EUROCODE_BRIDGE_AUTOGENOUS_YOUNG: Card = Card {
    name: "eurocode high-strength early autogenous shrinkage",
    group: "shrinkage",
    formula: "(f_ck - 20) max(0, 2.2 f_cm(t) / f_ck - 0.2) before 28 d; nothing below f_cm(t) / f_ck = 0.1",
    source: BRIDGES,
    inputs: &[
        CHARACTERISTIC_STRENGTH.within(55.0, 90.0),
        Input::given(
            "strength at age",
            "MPa",
            "mean cylinder strength at the age, before 28 d",
            (1.0, 100.0),
            NOT_NEGATIVE,
        ),
    ],
    unit: "microstrain",
    meaning: "autogenous shrinkage since casting",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("characteristic strength", 80.0), ("strength at age", 40.0)],
        expected: 54.0,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn eurocode_bridge_autogenous_young<N: Number>(inputs: &[N]) -> N {
    let [strength, young] = take(inputs);
    // 2.2 x 0.1 - 0.2 is 0.02: the little step at a tenth is left out, on the safe side
    (young / strength.clone() * 2.2 - 0.2).at_least(0.0) * (strength - 20.0).at_least(0.0)
}
