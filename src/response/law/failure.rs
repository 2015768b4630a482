//! When restrained concrete cracks: the stress that it bears, and the age estimated from two laboratory
//! tests.
//!
//! Neither formula has published constants: both are neutral, or need an author's own fit.

use super::card::{ANY, Card, Input, NOT_NEGATIVE, Output, POSITIVE, Worked};
use super::take;
use crate::number::Number;
use crate::standard::Statistic;

/// Stress at which restrained concrete cracks.
pub const FAILURE_LEVEL: Card = Card {
    name: "restrained failure level",
    group: "cracking",
    formula: "share f_t (1 + gain (1 - exp(-v / v_0)))",
    source: "common practice, no source: a share for slow and uneven stress, a saturating gain through \
             fibres",
    inputs: &[
        Input::given("tensile strength", "MPa", "mean tensile strength at the age", (0.3, 7.0), NOT_NEGATIVE),
        Input::given("share", "1", "stress at cracking over tensile strength", (0.5, 1.0), (0.05, 2.0)),
        Input::given("fibre volume", "%", "fibres by volume of concrete", (0.0, 2.0), (0.0, 100.0)).or(0.0),
        Input::given("fibre gain", "1", "largest gain through fibres", (0.0, 1.0), (0.0, 10.0)).or(0.0),
        Input::given("fibre scale", "%", "fibre volume that brings 63 % of the gain", (0.1, 2.0), POSITIVE)
            .or(0.5),
    ],
    unit: "MPa",
    meaning: "stress at cracking",
    output: Output::Tension(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("tensile strength", 3.0), ("share", 0.85)],
            expected: 2.55,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("tensile strength", 3.0), ("share", 0.85), ("fibre volume", 0.5), ("fibre gain", 0.2)],
            expected: 2.872_38,
            tolerance: 1e-4,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn failure_level<N: Number>(inputs: &[N]) -> N {
    let [strength, share, volume, gain, scale] = take(inputs);
    let reached = (-(volume / scale)).exp().taken_from(1.0);
    strength * share * (gain * reached + 1.0)
}

/// Age at cracking from shrinkage and modulus.
pub const CRACKING_AGE_FROM_TESTS: Card = Card {
    name: "cracking age from tests",
    group: "cracking",
    formula: "ln t = a + b ln(shrinkage) + c ln(modulus)",
    source: "common practice, no source: the author's own fit, no constants",
    inputs: &[
        Input::given(
            "shrinkage",
            "microstrain",
            "free shrinkage at the fit's age and curing",
            (50.0, 1500.0),
            POSITIVE,
        ),
        Input::given("modulus", "GPa", "modulus at the fit's early age", (5.0, 50.0), POSITIVE),
        Input::given("constant", "1", "coefficient from the author's own fit", ANY, ANY),
        Input::given("shrinkage exponent", "1", "coefficient from the author's own fit", (-10.0, 0.0), ANY),
        Input::given("modulus exponent", "1", "coefficient from the author's own fit", (-10.0, 10.0), ANY),
    ],
    unit: "d",
    meaning: "age at cracking, counted as in the fit",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("shrinkage", 400.0),
            ("modulus", 25.0),
            ("constant", 17.0),
            ("shrinkage exponent", -2.0),
            ("modulus exponent", -1.0),
        ],
        expected: 6.038_7,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn cracking_age_from_tests<N: Number>(inputs: &[N]) -> N {
    let [shrinkage, modulus, constant, of_shrinkage, of_modulus] = take(inputs);
    (constant + of_shrinkage * shrinkage.ln() + of_modulus * modulus.ln()).exp()
}
