//! What fibres carry across a crack: strengths for design from the residual strengths of notched beams. MPa.
//!
//! The residual strengths come from tests of the very mix; nothing here predicts them from a fibre's volume.

use super::card::{Card, Input, NOT_NEGATIVE, Output, POSITIVE, Worked};
use super::take;
use crate::number::Number;

const SOURCE: &str = "fib Model Code 2010, 5.6.4, with residual strengths by EN 14651 (value from memory)";

const FIRST: Input = Input::given(
    "residual strength 1",
    "MPa",
    "f_R1, residual flexural strength at 0.5 mm of crack mouth opening",
    (0.5, 15.0),
    NOT_NEGATIVE,
);

/// Residual strength in service.
pub const FIBRE_SERVICE_STRENGTH: Card = Card {
    name: "fibre residual stress in service",
    group: "fibres",
    formula: "0.45 f_R1",
    source: SOURCE,
    inputs: &[FIRST],
    unit: "MPa",
    meaning: "f_Fts, residual tensile stress in service",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("residual strength 1", 4.0)],
        expected: 1.80,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn fibre_service_strength<N: Number>(inputs: &[N]) -> N {
    let [first]: [N; 1] = take(inputs);
    first * 0.45
}

/// Residual strength at the ultimate crack width.
pub const FIBRE_ULTIMATE_STRENGTH: Card = Card {
    name: "fibre residual stress ultimate",
    group: "fibres",
    formula: "f_Fts - w_u / CMOD3 (f_Fts - 0.5 f_R3 + 0.2 f_R1), at least zero; f_Fts = 0.45 f_R1",
    source: SOURCE,
    inputs: &[
        FIRST,
        Input::given(
            "residual strength 3",
            "MPa",
            "f_R3, residual flexural strength at 2.5 mm of crack mouth opening",
            (0.5, 15.0),
            NOT_NEGATIVE,
        ),
        Input::given(
            "crack width",
            "mm",
            "w_u, largest crack width that the design accepts",
            (0.1, 2.5),
            POSITIVE,
        ),
        Input::given("mouth opening", "mm", "CMOD3, of f_R3", (2.0, 3.0), POSITIVE).or(2.5),
    ],
    unit: "MPa",
    meaning: "f_Ftu, residual tensile stress at the ultimate crack width",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("residual strength 1", 4.0), ("residual strength 3", 3.2), ("crack width", 1.5)],
        expected: 1.20,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn fibre_ultimate_strength<N: Number>(inputs: &[N]) -> N {
    let [first, third, width, opening] = take(inputs);
    let service = first.clone() * 0.45;
    (service.clone() - width / opening * (service - third * 0.5 + first * 0.2)).at_least(0.0)
}
