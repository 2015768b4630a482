//! Shrinkage by EN 1992, and what aggregate and internal curing do to shrinkage. Microstrain; positive is
//! shortening.
//!
//! Data behind EN 1992: 20 to 90 MPa, 40 to 100 % humidity. Its autogenous part is known to be far too small
//! for low water-binder ratios with silica fume: use it as a floor.

use super::card::{AGE, CHARACTERISTIC_STRENGTH, Card, DRYING_AGE, HUMIDITY, Input, MEAN_STRENGTH};
use super::card::{NOT_NEGATIVE, NOTIONAL_SIZE, Output, POSITIVE, Worked};
use super::take;
use crate::number::{Join, Number};

/// First constant of the cement class.
pub(super) const ALPHA_1: Input = Input::given(
    "alpha 1",
    "1",
    "constant of the cement class: 3 S (slow), 4 N (normal), 6 R (rapid)",
    (3.0, 6.0),
    (0.0, 20.0),
);
/// Second constant of the cement class; rapid cement has another one in EN 1992 than in the model codes.
pub(super) const fn alpha_2(meaning: &'static str, low: f64) -> Input {
    Input::given("alpha 2", "1", meaning, (low, 0.13), (0.0, 1.0))
}
const ALPHA_2: Input =
    alpha_2("constant of the cement class: 0.13 S (slow), 0.12 N (normal), 0.11 R (rapid)", 0.11);
const LIGHTWEIGHT: Input = Input::given(
    "lightweight factor",
    "1",
    "1.0 normal weight; lightweight 1.2, up to LC16/18 1.5 (value from memory)",
    (1.0, 1.5),
    (0.1, 5.0),
);
const EUROCODE: &str = "EN 1992-1-1:2004, 3.1.4 and annex B.2";

/// Size of a section as drying sees it.
pub const SECTION_SIZE: Card = Card {
    name: "notional size",
    group: "shrinkage",
    formula: "2 A / u; half of it is the volume surface ratio",
    source: "EN 1992-1-1:2004, 3.1.4",
    inputs: &[
        Input::given("section", "mm2", "area of the cross-section", (1e2, 1e8), POSITIVE),
        Input::given("drying perimeter", "mm", "part of the perimeter that dries", (10.0, 1e5), POSITIVE),
    ],
    unit: "mm",
    meaning: "twice the cross-section over its drying perimeter",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("section", 87_500.0), ("drying perimeter", 1200.0)],
        expected: 145.83,
        tolerance: 0.01,
        note: "section of 250 by 350 mm, reference value of fib's transcription of EN 1992",
    }],
};

pub(super) fn section_size<N: Number>(inputs: &[N]) -> N {
    let [section, perimeter] = take(inputs);
    section / perimeter * 2.0
}

/// Drying shrinkage by EN 1992 after infinite time.
pub const EUROCODE_DRYING_ULTIMATE: Card = Card {
    name: "eurocode ultimate drying shrinkage",
    group: "shrinkage",
    formula: "k_h 0.85 (220 + 110 alpha_1) exp(-alpha_2 f_cm / 10) 1.55 (1 - (RH / 100)^3); k_h 1.00, \
              0.85, 0.75, 0.70 at 100, 200, 300, 500 mm, linear between",
    source: EUROCODE,
    inputs: &[MEAN_STRENGTH, HUMIDITY, NOTIONAL_SIZE, ALPHA_1, ALPHA_2, LIGHTWEIGHT.or(1.0)],
    unit: "microstrain",
    meaning: "drying shrinkage after infinite time",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[
                ("mean strength", 38.0),
                ("humidity", 60.0),
                ("notional size", 100.0),
                ("alpha 1", 4.0),
                ("alpha 2", 0.12),
            ],
            expected: 432.09,
            tolerance: 0.1,
            note: "Bamforth 2007, CIRIA C660, Early-age thermal crack control in concrete, worksheet",
        },
        Worked {
            inputs: &[
                ("mean strength", 38.0),
                ("humidity", 70.0),
                ("notional size", 1600.0),
                ("alpha 1", 4.0),
                ("alpha 2", 0.12),
            ],
            expected: 253.466,
            tolerance: 0.1,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn eurocode_drying_ultimate<N: Number>(inputs: &[N]) -> N {
    let [mean, humidity, size, alpha_1, alpha_2, lightweight] = take(inputs);
    let strength = (alpha_1 * 110.0 + 220.0) * (-(alpha_2 * mean / 10.0)).exp() * 0.85;
    let air = (humidity / 100.0).powi(3).taken_from(1.0) * 1.55;
    // the broken line is convex between its end points: the highest of its pieces
    let piece = |start: f64, value: f64, slope: f64| (size.clone() - start) * slope + value;
    let thickness = piece(100.0, 1.0, -0.0015)
        .max(&piece(200.0, 0.85, -0.001))
        .max(&piece(300.0, 0.75, -0.000_25))
        .at_least(0.70)
        .at_most(1.0);
    thickness * strength * air * lightweight
}

/// Drying shrinkage by EN 1992 at an age.
pub const EUROCODE_DRYING: Card = Card {
    name: "eurocode drying shrinkage",
    group: "shrinkage",
    formula: "eurocode ultimate drying shrinkage times d / (d + 0.04 h_0^1.5), d = t - t_s",
    source: EUROCODE,
    inputs: &[MEAN_STRENGTH, HUMIDITY, NOTIONAL_SIZE, ALPHA_1, ALPHA_2, AGE, DRYING_AGE, LIGHTWEIGHT.or(1.0)],
    unit: "microstrain",
    meaning: "drying shrinkage since drying started",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[
                ("mean strength", 43.0),
                ("humidity", 50.0),
                ("notional size", 138.5),
                ("alpha 1", 6.0),
                ("alpha 2", 0.11),
                ("age", 18_263.0),
                ("drying age", 28.0),
            ],
            expected: 593.521,
            tolerance: 0.1,
            note: "fib, reference value of its transcription of EN 1992-1-1:2004, annex B.2",
        },
        Worked {
            inputs: &[
                ("mean strength", 38.0),
                ("humidity", 60.0),
                ("notional size", 150.0),
                ("alpha 1", 4.0),
                ("alpha 2", 0.12),
                ("age", 90.0),
                ("drying age", 7.0),
            ],
            expected: 211.9924,
            tolerance: 0.1,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn eurocode_drying<N: Number>(inputs: &[N]) -> N {
    let [mean, humidity, size, alpha_1, alpha_2, age, drying_age, lightweight] = take(inputs);
    let growth = (age - drying_age).at_least(0.0).part_of_sum(&(size.powf(1.5) * 0.04));
    eurocode_drying_ultimate(&[mean, humidity, size, alpha_1, alpha_2, lightweight]) * growth
}

/// Autogenous shrinkage by EN 1992 after infinite time.
pub const EUROCODE_AUTOGENOUS_ULTIMATE: Card = Card {
    name: "eurocode ultimate autogenous shrinkage",
    group: "shrinkage",
    formula: "2.5 (f_ck - 10), at least zero",
    source: EUROCODE,
    inputs: &[CHARACTERISTIC_STRENGTH],
    unit: "microstrain",
    meaning: "autogenous shrinkage after infinite time",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("characteristic strength", 30.0)],
        expected: 50.0,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn eurocode_autogenous_ultimate<N: Number>(inputs: &[N]) -> N {
    let [characteristic]: [N; 1] = take(inputs);
    (characteristic - 10.0).at_least(0.0) * 2.5
}

/// Autogenous shrinkage by EN 1992 at an age.
pub const EUROCODE_AUTOGENOUS: Card = Card {
    name: "eurocode autogenous shrinkage",
    group: "shrinkage",
    formula: "2.5 (f_ck - 10) (1 - exp(-0.2 sqrt t))",
    source: EUROCODE,
    inputs: &[CHARACTERISTIC_STRENGTH, AGE],
    unit: "microstrain",
    meaning: "autogenous shrinkage since casting",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("characteristic strength", 30.0), ("age", 28.0)],
            expected: 32.65,
            tolerance: 0.01,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("characteristic strength", 50.0), ("age", 7.0)],
            expected: 41.09,
            tolerance: 0.01,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn eurocode_autogenous<N: Number>(inputs: &[N]) -> N {
    let [characteristic, age] = take(inputs);
    eurocode_autogenous_ultimate(&[characteristic]) * autogenous_growth(&age)
}

/// Share of the final autogenous shrinkage at an age in days: `1 - exp(-0.2 sqrt t)`.
pub(super) fn autogenous_growth<N: Number>(age: &N) -> N {
    (age.sqrt() * -0.2).exp().taken_from(1.0)
}

/// Autogenous shrinkage that is left with internal curing.
pub const CURED_AUTOGENOUS: Card = Card {
    name: "autogenous shrinkage with internal curing",
    group: "shrinkage",
    formula: "e max(0, 1 - supply / demand)",
    source: "common practice, no source: the part of the demand that is not supplied shrinks as before",
    inputs: &[
        Input::given(
            "autogenous shrinkage",
            "microstrain",
            "without internal curing",
            (0.0, 800.0),
            NOT_NEGATIVE,
        ),
        Input::given("supply", "kg/m3", "internal curing water released", (0.0, 80.0), NOT_NEGATIVE),
        Input::given("demand", "kg/m3", "internal curing water needed", (5.0, 60.0), POSITIVE),
    ],
    unit: "microstrain",
    meaning: "autogenous shrinkage",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("autogenous shrinkage", 200.0), ("supply", 21.0), ("demand", 28.0)],
            expected: 50.0,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("autogenous shrinkage", 200.0), ("supply", 30.0), ("demand", 28.0)],
            expected: 0.0,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn cured_autogenous<N: Number>(inputs: &[N]) -> N {
    let [shrinkage, supply, demand] = take(inputs);
    shrinkage * (supply / demand).taken_from(1.0).at_least(0.0)
}

/// Shrinkage of concrete from that of its paste.
pub const PICKETT: Card = Card {
    name: "pickett shrinkage",
    group: "shrinkage",
    formula: "e_paste (1 - g)^n",
    source: "Pickett 1956; n between 1.2 and 1.7 (value from memory)",
    inputs: &[
        Input::given(
            "paste shrinkage",
            "microstrain",
            "shrinkage of the paste alone",
            (100.0, 4000.0),
            NOT_NEGATIVE,
        ),
        Input::given("aggregate share", "1", "volume of aggregate over the whole", (0.0, 0.85), (0.0, 0.999)),
        Input::given("exponent", "1", "how much the aggregate restrains", (1.2, 1.7), (0.0, 10.0)),
    ],
    unit: "microstrain",
    meaning: "shrinkage of the concrete",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("paste shrinkage", 1000.0), ("aggregate share", 0.70), ("exponent", 1.2)],
            expected: 235.8,
            tolerance: 0.05,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("paste shrinkage", 1000.0), ("aggregate share", 0.65), ("exponent", 1.5)],
            expected: 207.1,
            tolerance: 0.05,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn pickett<N: Number>(inputs: &[N]) -> N {
    let [paste, share, exponent] = take(inputs);
    paste * share.taken_from(1.0).pow(&exponent)
}

/// Drying factor of the air: 1.55 (1 - h^3) below the humidity at which concrete swells, -0.25 from there.
pub(super) fn drying_factor<N: Number>(humidity: &N, swelling: &N) -> N {
    let share = humidity.clone() / 100.0;
    (share.clone() - swelling.clone()).piecewise(
        // the threshold itself swells
        0.0_f64.next_down(),
        Join::Jump,
        |_| share.powi(3).taken_from(1.0) * 1.55,
        |_| N::constant(-0.25),
    )
}
