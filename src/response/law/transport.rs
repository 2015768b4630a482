//! What gets through concrete: chlorides into it, water out of its fresh surface.
//!
//! Diffusion is told in um2/s: one of them is 1e-12 m2/s. A coefficient is no service life; cover, surface content and
//! threshold belong to a model of their own.

use super::card::{AGE, Card, HUMIDITY, Input, Output, POSITIVE, WATER_BINDER, Worked};
use super::take;
use crate::number::Number;

const THOMAS: &str = "Thomas and Bentz 2000, computer program for predicting the service life and life-cycle costs of \
                      reinforced concrete exposed to chlorides (value from memory)";
const FUME: Input =
    Input::given("silica fume share", "%", "silica fume by mass of binder", (0.0, 15.0), (0.0, 100.0));

/// Chloride diffusion at 28 d.
pub const CHLORIDE_DIFFUSION: Card = Card {
    name: "chloride diffusion",
    group: "transport",
    formula: "10^(-12.06 + 2.40 w/cm) exp(-0.165 SF), in m2/s",
    source: THOMAS,
    inputs: &[WATER_BINDER.within(0.25, 0.60), FUME.or(0.0)],
    unit: "um2/s",
    meaning: "apparent chloride diffusion coefficient at 28 d and 20 degC",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("water binder ratio", 0.40)],
            expected: 7.943,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("water binder ratio", 0.40), ("silica fume share", 7.0)],
            expected: 2.503,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn chloride_diffusion<N: Number>(inputs: &[N]) -> N {
    let [ratio, fume] = take(inputs);
    // -12.06 + 12 for um2/s
    ((ratio * 2.40 - 0.06) * std::f64::consts::LN_10 - fume * 0.165).exp()
}

/// Chloride diffusion at a later age.
pub const CHLORIDE_DIFFUSION_AGED: Card = Card {
    name: "chloride diffusion at age",
    group: "transport",
    formula: "D28 (28 / t)^m, m = 0.20 + 0.40 (FA / 50 + SG / 70), up to 25 years",
    source: THOMAS,
    inputs: &[
        Input::given("diffusion", "um2/s", "coefficient at 28 d", (0.1, 50.0), POSITIVE),
        AGE.within(28.0, 9131.0),
        Input::given("fly ash share", "%", "fly ash by mass of binder", (0.0, 50.0), (0.0, 100.0)).or(0.0),
        Input::given("slag share", "%", "slag by mass of binder", (0.0, 70.0), (0.0, 100.0)).or(0.0),
    ],
    unit: "um2/s",
    meaning: "apparent chloride diffusion coefficient at that age",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("diffusion", 7.943), ("age", 3650.0), ("fly ash share", 25.0)],
        expected: 1.1322,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn chloride_diffusion_aged<N: Number>(inputs: &[N]) -> N {
    let [at_28, age, ash, slag] = take(inputs);
    let slowing = (ash / 50.0 + slag / 70.0) * 0.40 + 0.20;
    at_28 * (age.reciprocal() * 28.0).pow(&slowing)
}

/// Evaporation from a fresh surface.
pub const SURFACE_EVAPORATION: Card = Card {
    name: "surface evaporation",
    group: "placing",
    formula: "5e-6 ((T_c + 18)^2.5 - RH / 100 (T_a + 18)^2.5) (V + 4), at least zero",
    source: "Uno 1998, ACI Materials Journal, plastic shrinkage cracking and evaporation formulas (value from memory)",
    inputs: &[
        Input::given("concrete temperature", "degC", "of the surface", (5.0, 40.0), (-10.0, 90.0)),
        Input::given("air temperature", "degC", "of the air", (5.0, 45.0), (-10.0, 60.0)),
        HUMIDITY.within(10.0, 95.0),
        Input::given("wind speed", "km/h", "half a metre above the surface", (0.0, 40.0), (0.0, 200.0)),
    ],
    unit: "kg/m2/h",
    meaning: "water lost from the surface: plastic cracks are usual above 1, with fume and low ratios from half of it",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("concrete temperature", 30.0),
            ("air temperature", 30.0),
            ("humidity", 50.0),
            ("wind speed", 20.0),
        ],
        expected: 0.9578,
        tolerance: 1e-4,
        note: "the formula's own output",
    }],
};

pub(super) fn surface_evaporation<N: Number>(inputs: &[N]) -> N {
    let [concrete, air, humidity, wind] = take(inputs);
    let pull = (concrete + 18.0).powf(2.5) - humidity / 100.0 * (air + 18.0).powf(2.5);
    (pull * (wind + 4.0) * 5e-6).at_least(0.0)
}
