//! Internal curing: the water that hydration draws, what aggregate gives, and how much aggregate is needed.
//! Per m3.
//!
//! Lightweight aggregate counts oven-dry here; its prewetted mass is the dry mass times one plus its
//! absorption.

use super::card::{Card, Input, NOT_NEGATIVE, Output, SHARE, WATER_BINDER, Worked};
use super::take;
use crate::number::Number;

const FULL_RATIO: Input = Input::given(
    "full hydration ratio",
    "1",
    "water-binder ratio from which all binder can hydrate: 0.36, or 0.42 sealed without supply",
    (0.36, 0.42),
    (0.1, 1.0),
);
const BINDER: Input = Input::given(
    "binder",
    "kg/m3",
    "cement and other binder per m3 of concrete",
    (200.0, 700.0),
    (1.0, 3000.0),
);
const CHEMICAL_SHRINKAGE: Input =
    Input::given("chemical shrinkage", "kg/kg", "water drawn per kg of binder reacted", (0.05, 0.12), SHARE);
const SOURCE: &str = "Bentz, Lura and Roberts 2005, internal curing equation; NIST";

/// Largest degree of hydration.
pub const MAXIMUM_HYDRATION: Card = Card {
    name: "maximum hydration",
    group: "internal curing",
    formula: "min(1, w / 0.36)",
    source: SOURCE,
    inputs: &[WATER_BINDER, FULL_RATIO.or(0.36)],
    unit: "1",
    meaning: "share of the binder that can hydrate",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("water binder ratio", 0.27)],
            expected: 0.75,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("water binder ratio", 0.40)],
            expected: 1.0,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn maximum_hydration<N: Number>(inputs: &[N]) -> N {
    let [ratio, full] = take(inputs);
    (ratio / full).at_most(1.0)
}

const fn part(name: &'static str) -> Input {
    Input::given(name, "kg/m3", "amount per m3 of concrete", (0.0, 600.0), (0.0, 3000.0))
}

const fn coefficient(name: &'static str) -> Input {
    Input::given(name, "kg/kg", "water drawn per kg reacted", (0.05, 0.25), SHARE)
}

const fn hydration(name: &'static str) -> Input {
    Input::given(name, "1", "share that reacts in the long run", (0.2, 1.0), SHARE).or(1.0)
}

/// Chemical shrinkage of a blend.
pub const BLEND_CHEMICAL_SHRINKAGE: Card = Card {
    name: "blend chemical shrinkage",
    group: "internal curing",
    formula: "sum of amount times chemical shrinkage times hydration over the amounts",
    source: "Bentz, Lura and Roberts 2005; NISTIR 7765 (coefficients: value from memory)",
    inputs: &[
        Input::given("cement", "kg/m3", "amount per m3 of concrete", (100.0, 600.0), (1.0, 3000.0)),
        part("slag").or(0.0),
        part("fly ash").or(0.0),
        part("silica fume").or(0.0),
        coefficient("cement shrinkage").or(0.07),
        coefficient("slag shrinkage").or(0.18),
        coefficient("fly ash shrinkage").or(0.13),
        coefficient("silica fume shrinkage").or(0.22),
        hydration("cement hydration"),
        hydration("slag hydration"),
        hydration("fly ash hydration"),
        hydration("silica fume hydration"),
    ],
    unit: "kg/kg",
    meaning: "water drawn per kg of binder",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("cement", 300.0), ("fly ash", 80.0), ("silica fume", 20.0)],
        expected: 0.0895,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn blend_chemical_shrinkage<N: Number>(inputs: &[N]) -> N {
    let [cement, slag, ash, fume, c1, c2, c3, c4, h1, h2, h3, h4] = take(inputs);
    let binder = cement.clone() + slag.clone() + ash.clone() + fume.clone();
    (cement * c1 * h1 + slag * c2 * h2 + ash * c3 * h3 + fume * c4 * h4) / binder
}

/// Water needed.
pub const DEMAND: Card = Card {
    name: "internal curing demand",
    group: "internal curing",
    formula: "binder times (chemical shrinkage - slope (T - 25)) times min(1, w / 0.36)",
    source: SOURCE,
    inputs: &[
        BINDER,
        WATER_BINDER,
        CHEMICAL_SHRINKAGE.or(0.07),
        FULL_RATIO.or(0.36),
        Input::given("temperature", "degC", "of the concrete while it hydrates", (5.0, 45.0), (-20.0, 90.0))
            .or(25.0),
        Input::given(
            "temperature slope",
            "kg/kg/degC",
            "fall of chemical shrinkage",
            (0.0, 0.001),
            (0.0, 0.01),
        )
        .or(0.0005),
    ],
    unit: "kg/m3",
    meaning: "internal curing water needed",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("binder", 400.0), ("water binder ratio", 0.30)],
            expected: 23.333,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("binder", 450.0), ("water binder ratio", 0.33), ("chemical shrinkage", 0.065)],
            expected: 26.813,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn demand<N: Number>(inputs: &[N]) -> N {
    let [binder, ratio, shrinkage, full, temperature, slope] = take(inputs);
    binder * (shrinkage - slope * (temperature - 25.0)) * (ratio / full).at_most(1.0)
}

const SATURATION: Input = Input::given(
    "saturation",
    "1",
    "water held as batched over `absorption`; 1 where `absorption` is that of the prewetted state",
    (0.5, 1.0),
    SHARE,
);
const DESORBED: Input = Input::given(
    "desorbed share",
    "1",
    "share of the water held that is released at 93 to 94 % humidity",
    (0.5, 1.0),
    SHARE,
);

/// Water released.
pub const SUPPLY: Card = Card {
    name: "internal curing supply",
    group: "internal curing",
    formula: "dry aggregate times absorption / 100 times saturation times desorbed share",
    source: SOURCE,
    inputs: &[
        Input::given("dry aggregate", "kg/m3", "oven-dry lightweight aggregate", (0.0, 500.0), NOT_NEGATIVE),
        Input::given("absorption", "%", "water held at saturation, by dry mass", (5.0, 35.0), (0.0, 300.0)),
        SATURATION.or(1.0),
        DESORBED,
    ],
    unit: "kg/m3",
    meaning: "internal curing water released",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("dry aggregate", 259.26), ("absorption", 18.0), ("desorbed share", 0.9)],
        expected: 42.0,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn supply<N: Number>(inputs: &[N]) -> N {
    let [dry, absorption, saturation, desorbed] = take(inputs);
    dry * absorption / 100.0 * saturation * desorbed
}

/// Aggregate needed.
pub const AGGREGATE: Card = Card {
    name: "internal curing aggregate",
    group: "internal curing",
    formula: "demand / (saturation times desorbed water)",
    source: SOURCE,
    inputs: &[
        Input::given("demand", "kg/m3", "internal curing water needed", (5.0, 60.0), NOT_NEGATIVE),
        SATURATION.or(1.0),
        Input::given(
            "desorbed water",
            "kg/kg",
            "water released per kg of dry aggregate from full saturation; measured from the state as batched, leave saturation at 1",
            (0.04, 0.35),
            (1e-4, 3.0),
        ),
    ],
    unit: "kg/m3",
    meaning: "oven-dry lightweight aggregate needed",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("demand", 26.8125), ("saturation", 0.9), ("desorbed water", 0.18)],
        expected: 165.51,
        tolerance: 0.01,
        note: "the formula's own output",
    }],
};

pub(super) fn aggregate<N: Number>(inputs: &[N]) -> N {
    let [demand, saturation, desorbed] = take(inputs);
    demand / (saturation * desorbed)
}
