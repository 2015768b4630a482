//! Shrinkage by ACI 209, GL2000 and the autogenous part of RILEM B4. Microstrain; positive is shortening.
//!
//! Data behind them: ordinary concretes of 20 to 80 MPa for the first two, water-cement ratios of 0.22 to
//! 0.87 for B4.

use super::card::{
    AGE, ANY, Card, DRYING_AGE, HUMIDITY, Input, MEAN_STRENGTH, Output, POSITIVE, VOLUME_SURFACE, Worked,
};
use super::take;
use crate::number::{Join, Number};

/// Slump, as ACI 209 uses it.
pub(super) const SLUMP: Input =
    Input::given("slump", "mm", "slump of the fresh concrete", (30.0, 180.0), (0.0, 300.0));
/// Share of fine aggregate, as ACI 209 uses it.
pub(super) const FINES: Input = Input::given(
    "fine aggregate share",
    "%",
    "fine over total aggregate by mass",
    (30.0, 70.0),
    (0.0, 100.0),
);
/// Air content, as ACI 209 uses it.
pub(super) const AIR: Input = Input::given("air", "%", "air by volume of concrete", (1.0, 8.0), (0.0, 100.0));

/// Curing factor of ACI 209.
pub const ACI_CURING_FACTOR: Card = Card {
    name: "aci curing factor",
    group: "shrinkage",
    formula: "1.202 - 0.2337 log10 t; the table gives 1.2, 1.1, 1.0, 0.93, 0.86, 0.75 at 1, 3, 7, 14, 28, \
              90 d",
    source: "ACI 209.2R-08, A.1 (value from memory)",
    inputs: &[Input::given("curing end", "d", "age when moist curing ends", (1.0, 90.0), (0.1, 1000.0))],
    unit: "1",
    meaning: "factor on the ultimate shrinkage",
    output: Output::Other,
    worked: &[
        Worked { inputs: &[("curing end", 1.0)], expected: 1.2, tolerance: 0.012, note: "value from memory" },
        Worked {
            inputs: &[("curing end", 14.0)],
            expected: 0.93,
            tolerance: 0.012,
            note: "value from memory",
        },
        Worked {
            inputs: &[("curing end", 90.0)],
            expected: 0.75,
            tolerance: 0.012,
            note: "value from memory",
        },
    ],
};

pub(super) fn aci_curing_factor<N: Number>(inputs: &[N]) -> N {
    let [end]: [N; 1] = take(inputs);
    end.ln() * (-0.2337 / std::f64::consts::LN_10) + 1.202
}

/// Shrinkage by ACI 209.
pub const ACI_SHRINKAGE: Card = Card {
    name: "aci shrinkage",
    group: "shrinkage",
    formula: "e_u k_curing k_humidity 1.2 exp(-0.00472 V/S) (0.89 + 0.00161 slump) k_fines (0.75 + 0.00061 \
              c) max(1, 0.95 + 0.008 air) d / (f + d), d = t - t_s, h = RH / 100; k_humidity 1.40 - 1.02 h \
              up to 0.80, 3.00 - 3.0 h above; k_fines 0.30 + 0.014 p up to 50 %, 0.90 + 0.002 p above",
    source: "ACI 209R-92 and ACI 209.2R-08, A.1 (factors: value from memory)",
    inputs: &[
        Input::given(
            "ultimate shrinkage",
            "microstrain",
            "under standard conditions",
            (415.0, 1070.0),
            POSITIVE,
        )
        .or(780.0),
        Input::given(
            "curing factor",
            "1",
            "1.0 for 7 d of moist curing; see the law of that name",
            (0.75, 1.2),
            (0.1, 3.0),
        )
        .or(1.0),
        HUMIDITY,
        VOLUME_SURFACE,
        SLUMP,
        FINES,
        Input::given("cement", "kg/m3", "cement content", (220.0, 600.0), (50.0, 2000.0)),
        AIR,
        AGE,
        DRYING_AGE,
        Input::given(
            "half time",
            "d",
            "35 after moist curing, 55 after steam curing",
            (20.0, 130.0),
            POSITIVE,
        )
        .or(35.0),
    ],
    unit: "microstrain",
    meaning: "shrinkage since drying started",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("humidity", 70.0),
            ("volume surface ratio", 100.0),
            ("slump", 75.0),
            ("fine aggregate share", 40.0),
            ("cement", 409.0),
            ("air", 2.0),
            ("age", 90.0),
            ("drying age", 7.0),
        ],
        expected: 244.8,
        tolerance: 0.1,
        note: "the formula's own output at the inputs of ACI 209.2R-08, appendix C (value from memory)",
    }],
};

pub(super) fn aci_shrinkage<N: Number>(inputs: &[N]) -> N {
    let [ultimate, curing, humidity, size, slump, fines, cement, air, age, drying_age, half_time] =
        take(inputs);
    let of_humidity = humidity.piecewise(
        80.0,
        Join::Jump,
        |dry| dry.clone() * -0.0102 + 1.40,
        |damp| (damp.clone() * -0.03 + 3.0).at_least(0.0),
    );
    let of_size = (size * -0.004_72).exp() * 1.2;
    let of_slump = slump * 0.001_61 + 0.89;
    let of_fines = (fines.clone() * 0.014 + 0.30).min(&(fines * 0.002 + 0.90));
    let of_cement = cement * 0.000_61 + 0.75;
    let of_air = (air * 0.008 + 0.95).at_least(1.0);
    let growth = (age - drying_age).at_least(0.0).part_of_sum(&half_time);
    ultimate * curing * of_humidity * of_size * of_slump * of_fines * of_cement * of_air * growth
}

/// Shrinkage by GL2000.
pub const GL2000_SHRINKAGE: Card = Card {
    name: "gl2000 shrinkage",
    group: "shrinkage",
    formula: "900 k sqrt(30 / f_cm) (1 - 1.18 (RH / 100)^4) sqrt(d / (d + 0.12 (V/S)^2)), d = t - t_s",
    source: "GL2000 as given in ACI 209.2R-08, A.4",
    inputs: &[
        MEAN_STRENGTH.within(16.0, 82.0),
        HUMIDITY.within(20.0, 100.0),
        VOLUME_SURFACE,
        Input::given(
            "constant k",
            "1",
            "1.00 ordinary, 0.75 moderate, 1.15 rapid cement",
            (0.75, 1.15),
            (0.1, 3.0),
        ),
        AGE,
        DRYING_AGE,
    ],
    unit: "microstrain",
    meaning: "shrinkage since drying started",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("mean strength", 32.5),
            ("humidity", 70.0),
            ("volume surface ratio", 100.0),
            ("constant k", 1.0),
            ("age", 180.0),
            ("drying age", 7.0),
        ],
        expected: 220.0,
        tolerance: 0.6,
        note: "ACI 209.2R-08, C.4.3",
    }],
};

pub(super) fn gl2000_shrinkage<N: Number>(inputs: &[N]) -> N {
    let [mean, humidity, size, k, age, drying_age] = take(inputs);
    let ultimate = (mean.reciprocal() * 30.0).sqrt() * 900.0 * k;
    let of_humidity = (humidity / 100.0).powi(4) * -1.18 + 1.0;
    let growth = (age - drying_age).at_least(0.0).part_of_sum(&(size.powi(2) * 0.12)).sqrt();
    ultimate * of_humidity * growth
}

const fn constant(name: &'static str, unit: &'static str, meaning: &'static str, default: f64) -> Input {
    Input::given(name, unit, meaning, ANY, ANY).or(default)
}

/// Autogenous shrinkage by RILEM B4.
pub const B4_AUTOGENOUS: Card = Card {
    name: "b4 autogenous shrinkage",
    group: "shrinkage",
    formula: "e (a/c / 6)^r_a (w/c / 0.38)^r_w (1 + (tau / t)^alpha)^r_t, tau = tau_0 (w/c / 0.38)^3, \
              alpha = r_alpha w/c / 0.38",
    source: "RILEM TC 242-MDC 2015, model B4",
    inputs: &[
        Input::given("water cement ratio", "1", "by mass", (0.22, 0.87), (0.1, 3.0)),
        Input::given("aggregate cement ratio", "1", "by mass", (1.0, 13.2), (0.1, 50.0)),
        AGE,
        constant(
            "base shrinkage",
            "microstrain",
            "e, of the cement class: 210 R (ordinary), -84 RS (rapid: it swells), 0 SL (slow)",
            210.0,
        ),
        constant("aggregate exponent", "1", "r_a, of the ratio of aggregate to cement", -0.75),
        constant("water exponent", "1", "r_w, of the water-cement ratio", -3.5),
        constant("time exponent", "1", "r_t, of the growth with time", -4.5),
        constant("alpha factor", "1", "r_alpha, of the cement class: 1 ordinary, 1.4 rapid", 1.0),
        constant("base time", "d", "tau_0, of the cement class: 1 ordinary, 41 rapid", 1.0),
    ],
    unit: "microstrain",
    meaning: "autogenous shrinkage since casting",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("water cement ratio", 0.6), ("aggregate cement ratio", 7.0), ("age", 112.0)],
            expected: 36.971,
            tolerance: 0.01,
            note: "RILEM TC 242-MDC 2015, example",
        },
        Worked {
            inputs: &[("water cement ratio", 0.6), ("aggregate cement ratio", 7.0), ("age", 28.0)],
            expected: 31.004,
            tolerance: 0.01,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn b4_autogenous<N: Number>(inputs: &[N]) -> N {
    let [water, aggregate, age, base, r_aggregate, r_water, r_time, r_alpha, base_time] = take(inputs);
    let relative = water / 0.38;
    let ultimate = base * (aggregate / 6.0).pow(&r_aggregate) * relative.pow(&r_water);
    let time = base_time * relative.powi(3);
    ultimate * ((time / age).pow(&(r_alpha * relative)) + 1.0).pow(&r_time)
}

/// Shrinkage by AASHTO.
pub const AASHTO_SHRINKAGE: Card = Card {
    name: "aashto shrinkage",
    group: "shrinkage",
    formula: "480 k_s k_hs k_f k_td; k_s = max(1, 1.45 - 0.13 V/S), k_hs = 2 - 0.014 RH, k_f = 5 / (1 + f_ci), k_td = t / \
              (12 (100 - 4 f_ci) / (f_ci + 20) + t); V/S in inches, f_ci in ksi, t since drying started",
    source: "AASHTO LRFD Bridge Design Specifications, 5.4.2.3.3, since 2015 (factors as open transcriptions have them)",
    inputs: &[
        VOLUME_SURFACE.within(12.0, 152.0),
        HUMIDITY,
        Input::given(
            "initial strength",
            "MPa",
            "f_ci, strength at release or at loading; 0.8 of the specified strength where none is known",
            (14.0, 70.0),
            (1.0, 150.0),
        ),
        AGE,
        DRYING_AGE
            .called(
                "drying age",
                "age since casting when drying starts; before 5 d the code adds 20 %, not done here",
            )
            .within(5.0, 180.0),
    ],
    unit: "microstrain",
    meaning: "shrinkage since drying started",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("volume surface ratio", 38.1),
            ("humidity", 50.0),
            ("initial strength", 27.579),
            ("age", 95.0),
            ("drying age", 5.0),
        ],
        expected: 533.9,
        tolerance: 0.1,
        note: "the formula's own output",
    }],
};

pub(super) fn aashto_shrinkage<N: Number>(inputs: &[N]) -> N {
    const KSI: f64 = 6.894_757;
    let [size, humidity, strength, age, drying_age] = take(inputs);
    let strength = strength / KSI;
    let of_size = (size * (-0.13 / 25.4) + 1.45).at_least(1.0);
    let of_humidity = humidity * -0.014 + 2.0;
    let of_strength = (strength.clone() + 1.0).reciprocal() * 5.0;
    let slow = (strength.clone() * -4.0 + 100.0) * 12.0 / (strength + 20.0);
    let growth = (age - drying_age).at_least(0.0).part_of_sum(&slow);
    of_size * of_humidity * of_strength * growth * 480.0
}
