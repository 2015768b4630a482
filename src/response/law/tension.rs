//! Tensile strength (MPa) and fracture energy (N/m) from compressive strength (MPa).
//!
//! Data behind the formulas: cylinder strengths of 12 to 90 MPa (Eurocode) and to 120 MPa (Model Code). At 50
//! MPa the two branches differ by 0.2 %: the law has a step there.

use super::card::{CHARACTERISTIC_STRENGTH, Card, DENSITY, Input, MEAN_STRENGTH, Statistic, Worked};
use super::take;
use crate::response::number::{Join, Number};

const FRACTILE: Input = Input::given(
    "fractile factor",
    "1",
    "1 for the mean, 0.7 for the 5 % and 1.3 for the 95 % fractile",
    (0.7, 1.3),
    (0.1, 3.0),
);

const FORMULA: &str =
    "0.30 f_ck^(2/3) up to 50 MPa, 2.12 ln(1 + (f_ck + 8) / 10) above; times the fractile factor";

/// Tensile strength by EN 1992.
pub const EUROCODE_TENSION: Card = Card {
    name: "eurocode tension",
    group: "tension",
    formula: FORMULA,
    source: "EN 1992-1-1:2004, table 3.1",
    inputs: &[CHARACTERISTIC_STRENGTH, FRACTILE.or(1.0)],
    unit: "MPa",
    meaning: "axial tensile strength at 28 d",
    statistic: Some(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("characteristic strength", 30.0)],
            expected: 2.896,
            tolerance: 5e-4,
            note: "EN 1992-1-1:2004, table 3.1",
        },
        Worked {
            inputs: &[("characteristic strength", 70.0)],
            expected: 4.610,
            tolerance: 1e-3,
            note: "EN 1992-1-1:2004, table 3.1",
        },
    ],
};

pub(super) fn eurocode_tension<N: Number>(inputs: &[N]) -> N {
    let [characteristic, fractile] = take(inputs);
    mean(&characteristic) * fractile
}

fn mean<N: Number>(characteristic: &N) -> N {
    characteristic.piecewise(
        50.0,
        Join::Jump,
        |low| low.powf(2.0 / 3.0) * 0.30,
        |high| (high.clone() * 0.1 + 1.8).ln() * 2.12,
    )
}

/// Tensile strength by the Model Code.
pub const MODEL_CODE_TENSION: Card = Card {
    name: "model code tension",
    group: "tension",
    formula: FORMULA,
    source: "fib Model Code 2010, 5.1.5.1",
    inputs: &[CHARACTERISTIC_STRENGTH.within(12.0, 120.0), FRACTILE.or(1.0)],
    unit: "MPa",
    meaning: "axial tensile strength at 28 d",
    statistic: Some(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("characteristic strength", 30.0)],
            expected: 2.9,
            tolerance: 0.058,
            note: "fib Model Code 2010, reference values",
        },
        Worked {
            inputs: &[("characteristic strength", 120.0)],
            expected: 5.6,
            tolerance: 0.112,
            note: "fib Model Code 2010, reference values",
        },
    ],
};

pub(super) fn model_code_tension<N: Number>(inputs: &[N]) -> N {
    eurocode_tension(inputs)
}

/// Tensile strength of lightweight concrete by EN 1992.
pub const EUROCODE_LIGHTWEIGHT_TENSION: Card = Card {
    name: "eurocode lightweight tension",
    group: "tension",
    formula: "f_ctm (0.40 + 0.60 rho / 2200)",
    source: "EN 1992-1-1:2004, 11.3.1 (value from memory)",
    inputs: &[CHARACTERISTIC_STRENGTH, DENSITY, FRACTILE.or(1.0)],
    unit: "MPa",
    meaning: "axial tensile strength at 28 d",
    statistic: Some(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("characteristic strength", 30.0), ("density", 1800.0)],
        expected: 2.580,
        tolerance: 1e-3,
        note: "value from memory",
    }],
};

pub(super) fn eurocode_lightweight_tension<N: Number>(inputs: &[N]) -> N {
    let [characteristic, density, fractile] = take(inputs);
    mean(&characteristic) * fractile * (density.at_most(2200.0) * (0.60 / 2200.0) + 0.40)
}

/// Fracture energy by the Model Code.
pub const MODEL_CODE_FRACTURE_ENERGY: Card = Card {
    name: "model code fracture energy",
    group: "tension",
    formula: "73 f_cm^0.18",
    source: "fib Model Code 2010, 5.1.5.2",
    inputs: &[MEAN_STRENGTH.within(20.0, 128.0)],
    unit: "N/m",
    meaning: "energy to open a crack, per area",
    statistic: None,
    worked: &[Worked {
        inputs: &[("mean strength", 43.0)],
        expected: 143.664,
        tolerance: 1e-3,
        note: "fib Model Code 2010, reference values",
    }],
};

pub(super) fn model_code_fracture_energy<N: Number>(inputs: &[N]) -> N {
    let [mean]: [N; 1] = take(inputs);
    mean.powf(0.18) * 73.0
}
