//! Air voids in hardened paste: how far the paste lies from the nearest void. Volumes in % of the concrete, specific
//! surface in mm2 per mm3 of air, spacing in mm.
//!
//! The specific surface is measured on hardened concrete, or asked of the supplier of the air entrainer; nothing here
//! predicts it from proportions.

use super::card::{Card, Input, Output, Worked};
use super::take;
use crate::number::{Join, Number};

/// Paste over air from which the voids count as a lattice of spheres rather than as coated ones.
const LATTICE: f64 = 4.342;

/// Spacing factor of air voids.
pub const SPACING_FACTOR: Card = Card {
    name: "spacing factor",
    group: "air voids",
    formula: "p / (a A) for p / A up to 4.342, 3 / a (1.4 (1 + p / A)^(1/3) - 1) above; p paste with water, A air",
    source: "Powers 1949; ASTM C457 (value from memory)",
    inputs: &[
        Input::given(
            "paste volume",
            "%",
            "powder, water and admixtures by volume of concrete, without air",
            (15.0, 45.0),
            (1.0, 99.0),
        ),
        Input::given("air", "%", "air by volume of the hardened concrete", (1.0, 12.0), (0.1, 50.0)),
        Input::given(
            "specific surface",
            "mm2/mm3",
            "surface of the voids over their volume: 24 and more where air is entrained well",
            (8.0, 50.0),
            (0.5, 500.0),
        ),
    ],
    unit: "mm",
    meaning: "greatest distance in the paste to an air void",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("paste volume", 30.0), ("air", 6.0), ("specific surface", 24.0)],
            expected: 0.1930,
            tolerance: 5e-5,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("paste volume", 18.0), ("air", 6.0), ("specific surface", 24.0)],
            expected: 0.1250,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn spacing_factor<N: Number>(inputs: &[N]) -> N {
    let [paste, air, surface] = take(inputs);
    let ratio = paste / air;
    // the branches meet within 0.1 %, as printed: a step
    let relative = ratio.piecewise(LATTICE, Join::Jump, Clone::clone, |wide| {
        ((wide.clone() + 1.0).powf(1.0 / 3.0) * 1.4 - 1.0) * 3.0
    });
    relative / surface
}
