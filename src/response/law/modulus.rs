//! Modulus of elasticity from compressive strength, GPa from MPa.
//!
//! Formulas differ by a third at one strength, since each stands for its own aggregates: a limit names its
//! formula.

use super::card::{
    Card, DENSITY, Input, MEAN_STRENGTH, MODEL_CODE_STRENGTH, Output, SPECIFIED_STRENGTH, Worked,
};
use super::take;
use crate::number::Number;

const AGGREGATE: Input = Input::given(
    "aggregate factor",
    "1",
    "1.0 quartzite, 1.2 basalt, 0.9 limestone, 0.7 sandstone",
    (0.7, 1.2),
    (0.1, 3.0),
);
const FIB: &str = "fib Model Code 2010, reference values of its code equations";

/// Secant modulus by EN 1992.
pub const EUROCODE_MODULUS: Card = Card {
    name: "eurocode modulus",
    group: "modulus",
    formula: "22 (f_cm / 10)^0.3 times the aggregate factor",
    source: "EN 1992-1-1:2004, table 3.1; aggregate factors 3.1.3(2) (value from memory)",
    inputs: &[MEAN_STRENGTH, AGGREGATE.or(1.0)],
    unit: "GPa",
    meaning: "secant modulus at 28 d",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("mean strength", 38.0)],
        expected: 32.84,
        tolerance: 0.01,
        note: "EN 1992-1-1:2004, table 3.1",
    }],
};

pub(super) fn eurocode_modulus<N: Number>(inputs: &[N]) -> N {
    let [mean, aggregate] = take(inputs);
    (mean / 10.0).powf(0.3) * 22.0 * aggregate
}

/// Secant modulus of lightweight concrete by EN 1992.
pub const EUROCODE_LIGHTWEIGHT_MODULUS: Card = Card {
    name: "eurocode lightweight modulus",
    group: "modulus",
    formula: "22 (f_cm / 10)^0.3 (rho / 2200)^2",
    source: "EN 1992-1-1:2004, 11.3.2 (value from memory)",
    inputs: &[MEAN_STRENGTH, DENSITY],
    unit: "GPa",
    meaning: "secant modulus at 28 d",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("mean strength", 38.0), ("density", 1800.0)],
        expected: 21.98,
        tolerance: 0.01,
        note: "the formula's own output",
    }],
};

pub(super) fn eurocode_lightweight_modulus<N: Number>(inputs: &[N]) -> N {
    let [mean, density] = take(inputs);
    (mean / 10.0).powf(0.3) * 22.0 * (density / 2200.0).powi(2)
}

/// Modulus of normal-weight concrete by ACI 318.
pub const ACI_MODULUS: Card = Card {
    name: "aci modulus",
    group: "modulus",
    formula: "4.7 sqrt(f')",
    source: "ACI 318-19, 19.2.2 (value from memory)",
    inputs: &[SPECIFIED_STRENGTH],
    unit: "GPa",
    meaning: "secant modulus",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("specified strength", 30.0)],
        expected: 25.743,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn aci_modulus<N: Number>(inputs: &[N]) -> N {
    let [specified]: [N; 1] = take(inputs);
    specified.sqrt() * 4.7
}

/// Modulus from density by ACI 318.
pub const ACI_DENSITY_MODULUS: Card = Card {
    name: "aci modulus from density",
    group: "modulus",
    formula: "0.043e-3 rho^1.5 sqrt(f')",
    source: "ACI 318-19, 19.2.2 (value from memory)",
    inputs: &[
        SPECIFIED_STRENGTH,
        DENSITY.called("density", "equilibrium density of the concrete").within(1440.0, 2560.0),
    ],
    unit: "GPa",
    meaning: "secant modulus",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("specified strength", 30.0), ("density", 2300.0)],
            expected: 25.979,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("specified strength", 30.0), ("density", 1800.0)],
            expected: 17.986,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn aci_density_modulus<N: Number>(inputs: &[N]) -> N {
    let [specified, density] = take(inputs);
    density.powf(1.5) * specified.sqrt() * 0.043e-3
}

/// Modulus of high-strength concrete by ACI 363.
pub const ACI_HIGH_STRENGTH_MODULUS: Card = Card {
    name: "aci high strength modulus",
    group: "modulus",
    formula: "(3.32 sqrt(f') + 6.9) (rho / 2320)^1.5",
    source: "ACI 363R (value from memory)",
    inputs: &[
        SPECIFIED_STRENGTH.within(21.0, 83.0),
        DENSITY.called("density", "density of the concrete").within(1440.0, 2560.0).or(2320.0),
    ],
    unit: "GPa",
    meaning: "secant modulus",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("specified strength", 60.0)],
            expected: 32.617,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("specified strength", 60.0), ("density", 2200.0)],
            expected: 30.119,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn aci_high_strength_modulus<N: Number>(inputs: &[N]) -> N {
    let [specified, density] = take(inputs);
    (specified.sqrt() * 3.32 + 6.9) * (density / 2320.0).powf(1.5)
}

/// Initial tangent modulus by the Model Code.
pub const MODEL_CODE_MODULUS: Card = Card {
    name: "model code modulus",
    group: "modulus",
    formula: "21.5 (f_cm / 10)^(1/3) times the aggregate factor",
    source: "fib Model Code 2010, 5.1.7.2",
    inputs: &[MODEL_CODE_STRENGTH, AGGREGATE.or(1.0)],
    unit: "GPa",
    meaning: "initial tangent modulus at 28 d",
    output: Output::Other,
    worked: &[
        Worked { inputs: &[("mean strength", 20.0)], expected: 27.0883, tolerance: 1e-4, note: FIB },
        Worked {
            inputs: &[("mean strength", 20.0), ("aggregate factor", 0.7)],
            expected: 18.9618,
            tolerance: 1e-4,
            note: FIB,
        },
    ],
};

pub(super) fn model_code_modulus<N: Number>(inputs: &[N]) -> N {
    let [mean, aggregate] = take(inputs);
    (mean / 10.0).powf(1.0 / 3.0) * 21.5 * aggregate
}

/// Reduced secant modulus by the Model Code.
pub const MODEL_CODE_REDUCED_MODULUS: Card = Card {
    name: "model code reduced modulus",
    group: "modulus",
    formula: "the model code modulus times min(1, 0.8 + 0.2 f_cm / 88)",
    source: "fib Model Code 2010, 5.1.7.2 (value from memory)",
    inputs: &[MODEL_CODE_STRENGTH, AGGREGATE.or(1.0)],
    unit: "GPa",
    meaning: "secant modulus at 28 d that allows for early plastic strain",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("mean strength", 40.0)],
        expected: 30.4059,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn model_code_reduced_modulus<N: Number>(inputs: &[N]) -> N {
    let [mean, aggregate] = take(inputs);
    let reduction = (mean.clone() * (0.2 / 88.0) + 0.8).at_most(1.0);
    model_code_modulus(&[mean, aggregate]) * reduction
}

/// Modulus by GL2000.
pub const GL2000_MODULUS: Card = Card {
    name: "gl2000 modulus",
    group: "modulus",
    formula: "3.5 + 4.3 sqrt(f_cm)",
    source: "GL2000 as given in ACI 209.2R-08, A.4",
    inputs: &[MEAN_STRENGTH.called("mean strength", "mean cylinder strength at the age of the modulus")],
    unit: "GPa",
    meaning: "modulus at the age of the strength",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("mean strength", 32.5)],
            expected: 28.014,
            tolerance: 1e-3,
            note: "ACI 209.2R-08, C.4",
        },
        Worked {
            inputs: &[("mean strength", 28.289)],
            expected: 26.371,
            tolerance: 1e-3,
            note: "ACI 209.2R-08, C.4",
        },
    ],
};

pub(super) fn gl2000_modulus<N: Number>(inputs: &[N]) -> N {
    let [mean]: [N; 1] = take(inputs);
    mean.sqrt() * 4.3 + 3.5
}
