//! Tensile strength (MPa) and fracture energy (N/m) from compressive strength (MPa).
//!
//! Data behind the formulas: cylinder strengths of 12 to 90 MPa (Eurocode) and to 120 MPa (Model Code). At 50
//! MPa the two branches differ by 0.2 %: the law has a step there.

use super::card::{CHARACTERISTIC_STRENGTH, Card, DENSITY, Input, MEAN_STRENGTH, Output, Worked};
use super::take;
use crate::number::{Join, Number};
use crate::standard::Statistic;

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
    output: Output::Tension(Statistic::Mean),
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
    output: Output::Tension(Statistic::Mean),
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
    output: Output::Tension(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("characteristic strength", 30.0), ("density", 1800.0)],
        expected: 2.580,
        tolerance: 1e-3,
        note: "the formula's own output",
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
    output: Output::Other,
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

/// Direct tensile strength from a splitting test.
pub const DIRECT_TENSION: Card = Card {
    name: "direct tension from splitting",
    group: "tension",
    formula: "0.9 f_ct,sp",
    source: "EN 1992-1-1:2004, 3.1.2(8) (value from memory)",
    inputs: &[
        SPLITTING,
        Input::given(
            "splitting factor",
            "1",
            "axial over splitting tensile strength",
            (0.8, 1.1),
            (0.1, 2.0),
        )
        .or(0.9),
    ],
    unit: "MPa",
    meaning: "axial tensile strength",
    output: Output::Tension(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("splitting tensile strength", 4.0)],
        expected: 3.6,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn direct_tension<N: Number>(inputs: &[N]) -> N {
    let [splitting, factor] = take(inputs);
    splitting * factor
}

const SPLITTING: Input = Input::given(
    "splitting tensile strength",
    "MPa",
    "mean splitting tensile strength (EN 12390-6, ASTM C496)",
    (1.0, 8.0),
    (0.01, 50.0),
);

/// Flexural strength by EN 1992.
pub const EUROCODE_FLEXURE: Card = Card {
    name: "eurocode flexural strength",
    group: "tension",
    formula: "max(1.6 - h / 1000, 1) f_ctm",
    source: "EN 1992-1-1:2004, 3.1.8 (value from memory)",
    inputs: &[
        Input::given("tensile strength", "MPa", "mean axial tensile strength", (1.0, 7.0), (0.01, 50.0)),
        Input::given("depth", "mm", "depth of the member", (50.0, 2000.0), (1.0, 1e5)),
    ],
    unit: "MPa",
    meaning: "mean flexural tensile strength",
    output: Output::Tension(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("tensile strength", 2.9), ("depth", 150.0)],
            expected: 4.205,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("tensile strength", 2.9), ("depth", 800.0)],
            expected: 2.9,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn eurocode_flexure<N: Number>(inputs: &[N]) -> N {
    let [tension, depth] = take(inputs);
    (depth / -1000.0 + 1.6).at_least(1.0) * tension
}

const ACI_HIGH: &str = "ACI 363R, for 21 to 83 MPa (value from memory)";

const ACI_STRENGTH: Input =
    Input::given("compressive strength", "MPa", "cylinder strength at the age", (21.0, 83.0), (1.0, 300.0));

/// Modulus of rupture by ACI 363.
pub const ACI_RUPTURE: Card = Card {
    name: "aci 363 modulus of rupture",
    group: "tension",
    formula: "0.94 sqrt(f_c)",
    source: ACI_HIGH,
    inputs: &[ACI_STRENGTH],
    unit: "MPa",
    meaning: "flexural tensile strength of a standard beam",
    output: Output::Tension(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("compressive strength", 60.0)],
        expected: 7.281,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn aci_rupture<N: Number>(inputs: &[N]) -> N {
    let [strength]: [N; 1] = take(inputs);
    strength.sqrt() * 0.94
}

/// Splitting tensile strength by ACI 363.
pub const ACI_SPLITTING: Card = Card {
    name: "aci 363 splitting tension",
    group: "tension",
    formula: "0.59 sqrt(f_c)",
    source: ACI_HIGH,
    inputs: &[ACI_STRENGTH],
    unit: "MPa",
    meaning: "splitting tensile strength",
    output: Output::Tension(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("compressive strength", 60.0)],
        expected: 4.570,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn aci_splitting<N: Number>(inputs: &[N]) -> N {
    let [strength]: [N; 1] = take(inputs);
    strength.sqrt() * 0.59
}
