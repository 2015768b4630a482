//! Heat of hydration and what it does: degree of hydration, heat of cement and binder, adiabatic rise, equivalent age.
//!
//! Shares are parts of the mass of the binder, heat is in joules per gram, ages in days. Data behind the degree of hydration:
//! 15 binders, water-binder ratios 0.32 to 0.68 (value from memory). An adiabatic rise is an upper bound: real members lose
//! heat, and nothing here knows their size.

use super::card::{Card, Input, Output, POSITIVE, SHARE, Worked};
use super::take;
use crate::number::Number;

const SCHINDLER: &str = "Schindler and Folliard, ACI Materials Journal 2005 (value from memory)";
const OUTPUT: &str = "the formula's own output";

const fn share(name: &'static str, meaning: &'static str, most: f64) -> Input {
    Input::given(name, "1", meaning, (0.0, most), SHARE)
}

const ULTIMATE: Input =
    Input::given("ultimate degree", "1", "degree of hydration that is reached at last", (0.5, 1.0), SHARE);
const DEGREE: Input =
    Input::given("degree of hydration", "1", "share of the binder that has reacted", (0.0, 1.0), SHARE);
const EQUIVALENT: Input = Input::given(
    "equivalent age",
    "d",
    "age at 20 degrees Celsius that brings as much hydration",
    (0.1, 3650.0),
    (1e-3, 1e6),
);

/// Degree of hydration that is reached at last.
pub const ULTIMATE_HYDRATION: Card = Card {
    name: "ultimate degree of hydration",
    group: "heat",
    formula: "min(1, 1.031 w/cm / (0.194 + w/cm) + 0.50 p_ash + 0.30 p_slag)",
    source: SCHINDLER,
    inputs: &[
        Input::given("water binder ratio", "1", "water over binder by mass", (0.25, 0.80), (0.05, 3.0)),
        share("ash share", "fly ash in the binder", 0.5).or(0.0),
        share("slag share", "slag in the binder", 0.7).or(0.0),
    ],
    unit: "1",
    meaning: "share of the binder that reacts at last",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("water binder ratio", 0.40)],
        expected: 0.6943,
        tolerance: 1e-4,
        note: OUTPUT,
    }],
};

pub(super) fn ultimate_hydration<N: Number>(inputs: &[N]) -> N {
    let [ratio, ash, slag] = take(inputs);
    let of_water = ratio.part_of_sum(&N::constant(0.194)) * 1.031;
    (of_water + ash * 0.50 + slag * 0.30).at_most(1.0)
}

/// Degree of hydration at an age.
pub const HYDRATION: Card = Card {
    name: "degree of hydration",
    group: "heat",
    formula: "alpha_u exp(-(tau / t_e)^beta)",
    source: SCHINDLER,
    inputs: &[
        ULTIMATE,
        EQUIVALENT,
        Input::given("hydration time", "d", "tau, from calorimetry", (0.3, 2.5), POSITIVE),
        Input::given("hydration slope", "1", "beta, from calorimetry", (0.4, 1.5), (0.1, 5.0)),
    ],
    unit: "1",
    meaning: "share of the binder that has reacted",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("ultimate degree", 0.75),
            ("equivalent age", 1.0),
            ("hydration time", 0.5),
            ("hydration slope", 1.0),
        ],
        expected: 0.454_898,
        tolerance: 1e-5,
        note: OUTPUT,
    }],
};

pub(super) fn hydration<N: Number>(inputs: &[N]) -> N {
    let [ultimate, age, time, slope] = take(inputs);
    ultimate * (-(time / age).pow(&slope)).exp()
}

/// Heat of a cement that reacts wholly.
pub const CEMENT_HEAT: Card = Card {
    name: "cement heat",
    group: "heat",
    formula: "500 p_C3S + 260 p_C2S + 866 p_C3A + 420 p_C4AF + 624 p_SO3 + 1186 p_CaO + 850 p_MgO",
    source: SCHINDLER,
    inputs: &[
        share("alite", "C3S in the cement", 0.75),
        share("belite", "C2S in the cement", 0.50),
        share("aluminate", "C3A in the cement", 0.15),
        share("ferrite", "C4AF in the cement", 0.20),
        share("sulfate", "SO3 in the cement", 0.05),
        share("free lime", "free CaO in the cement", 0.03).or(0.0),
        share("magnesia", "MgO in the cement", 0.06).or(0.0),
    ],
    unit: "J/g",
    meaning: "heat of the cement when all of it has reacted",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("alite", 0.57),
            ("belite", 0.18),
            ("aluminate", 0.09),
            ("ferrite", 0.08),
            ("sulfate", 0.03),
        ],
        expected: 462.06,
        tolerance: 0.01,
        note: OUTPUT,
    }],
};

pub(super) fn cement_heat<N: Number>(inputs: &[N]) -> N {
    let [alite, belite, aluminate, ferrite, sulfate, lime, magnesia] = take(inputs);
    alite * 500.0
        + belite * 260.0
        + aluminate * 866.0
        + ferrite * 420.0
        + sulfate * 624.0
        + lime * 1186.0
        + magnesia * 850.0
}

/// Heat of a binder that reacts wholly.
pub const BINDER_HEAT: Card = Card {
    name: "binder heat",
    group: "heat",
    formula: "H_c p_cement + 461 p_slag + 1800 p_CaO,ash p_ash",
    source: SCHINDLER,
    inputs: &[
        Input::given(
            "cement heat",
            "J/g",
            "heat of the cement when all of it has reacted",
            (350.0, 600.0),
            POSITIVE,
        ),
        share("cement share", "cement in the binder", 1.0),
        share("slag share", "slag in the binder", 0.7).or(0.0),
        share("ash share", "fly ash in the binder", 0.5).or(0.0),
        share("lime in ash", "CaO in the fly ash", 0.35).or(0.0),
    ],
    unit: "J/g",
    meaning: "heat of the binder when all of it has reacted",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("cement heat", 462.06),
            ("cement share", 0.75),
            ("ash share", 0.25),
            ("lime in ash", 0.10),
        ],
        expected: 391.545,
        tolerance: 1e-3,
        note: OUTPUT,
    }],
};

pub(super) fn binder_heat<N: Number>(inputs: &[N]) -> N {
    let [heat, cement, slag, ash, lime] = take(inputs);
    heat * cement + slag * 461.0 + lime * ash * 1800.0
}

/// Rise of temperature where no heat is lost.
pub const ADIABATIC_RISE: Card = Card {
    name: "adiabatic rise",
    group: "heat",
    formula: "H_u alpha B / (rho c_p)",
    source: "Schindler and Folliard, ACI Materials Journal 2005 (value from memory): heat over heat capacity",
    inputs: &[
        Input::given(
            "binder heat",
            "J/g",
            "heat of the binder when all of it has reacted",
            (200.0, 600.0),
            POSITIVE,
        ),
        DEGREE,
        Input::given("binder", "kg/m3", "binder content", (200.0, 700.0), POSITIVE),
        Input::given("density", "kg/m3", "fresh density", (1500.0, 2600.0), POSITIVE),
        Input::given("specific heat", "J/g", "heat per gram and kelvin", (0.8, 1.2), (0.1, 10.0)).or(1.0),
    ],
    unit: "K",
    meaning: "rise of temperature where no heat is lost, an upper bound",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("binder heat", 462.06),
            ("degree of hydration", 0.6943),
            ("binder", 400.0),
            ("density", 2400.0),
        ],
        expected: 53.47,
        tolerance: 0.01,
        note: OUTPUT,
    }],
};

pub(super) fn adiabatic_rise<N: Number>(inputs: &[N]) -> N {
    let [heat, degree, binder, density, capacity] = take(inputs);
    heat * degree * binder / (density * capacity)
}

/// Age at 20 degrees Celsius that a constant temperature stands for.
pub const EQUIVALENT_AGE: Card = Card {
    name: "equivalent age",
    group: "heat",
    formula: "t exp(-Q (1 / (T + 273.15) - 1 / 293.15))",
    source: "ASTM C1074, Arrhenius (value from memory)",
    inputs: &[
        Input::given("age", "d", "age since casting", (0.1, 3650.0), (1e-3, 1e6)),
        Input::given(
            "temperature",
            "K",
            "absolute temperature of the concrete, held constant",
            (273.15, 353.15),
            (200.0, 400.0),
        ),
        Input::given(
            "activation",
            "K",
            "apparent activation energy over the gas constant",
            (3000.0, 7000.0),
            (0.0, 20_000.0),
        )
        .or(5000.0),
    ],
    unit: "d",
    meaning: "age at 20 degrees Celsius that brings as much hydration",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("age", 1.0), ("temperature", 303.15)],
        expected: 1.755_4,
        tolerance: 1e-3,
        note: OUTPUT,
    }],
};

pub(super) fn equivalent_age<N: Number>(inputs: &[N]) -> N {
    let [age, kelvin, activation] = take(inputs);
    age * (activation * (kelvin.reciprocal() - 1.0 / 293.15) * -1.0).exp()
}
