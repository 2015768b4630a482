//! Compressive strength from proportions: Abrams, Bolomey and Feret, and the losses through air and
//! lightweight aggregate.
//!
//! Constants come from old series with the cements of their time (water-cement ratios of about 0.3 to 0.8):
//! they show the form, and an author's own fit should replace them. Strength in MPa, ratios by mass, volumes
//! in m3 per m3.

use super::card::{Card, Input, MEAN_STRENGTH, Output, POSITIVE, SHARE, WATER_BINDER, Worked};
use super::take;
use crate::number::Number;
use crate::standard::Statistic;

const fn amount(name: &'static str, high: f64) -> Input {
    Input::given(name, "kg/m3", "amount per m3 of concrete", (0.0, high), (0.0, 5000.0))
}

const fn efficiency(name: &'static str) -> Input {
    Input::given(name, "1", "kg of cement that one kg stands for", (0.0, 2.0), (0.0, 10.0))
}

const fn cap(name: &'static str) -> Input {
    Input::given(name, "1", "most that counts, by mass of cement", (0.0, 1.0), (0.0, 10.0))
}

/// Water over cement and the additions that count as cement.
pub const EQUIVALENT_RATIO: Card = Card {
    name: "equivalent water binder ratio",
    group: "strength",
    formula: "w / (c + sum k min(a, cap c))",
    source: "EN 206:2013, 5.2.5.2 (k-values and caps: value from memory)",
    inputs: &[
        amount("water", 250.0),
        Input::given("cement", "kg/m3", "amount per m3 of concrete", (100.0, 600.0), (1.0, 3000.0)),
        amount("fly ash", 200.0).or(0.0),
        amount("slag", 400.0).or(0.0),
        amount("silica fume", 60.0).or(0.0),
        efficiency("fly ash efficiency").or(0.4),
        efficiency("slag efficiency").or(0.6),
        efficiency("silica fume efficiency").or(2.0),
        cap("fly ash cap").or(0.33),
        cap("slag cap").or(1.0),
        cap("silica fume cap").or(0.11),
    ],
    unit: "1",
    meaning: "free water over equivalent cement",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("cement", 280.0), ("fly ash", 90.0), ("water", 160.0)],
            expected: 0.506_33,
            tolerance: 1e-5,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("cement", 280.0), ("fly ash", 120.0), ("water", 160.0)],
            expected: 0.504_80,
            tolerance: 1e-5,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("cement", 380.0), ("silica fume", 30.0), ("water", 160.0)],
            expected: 0.363_64,
            tolerance: 1e-5,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("cement", 250.0), ("slag", 150.0), ("water", 160.0)],
            expected: 0.470_59,
            tolerance: 1e-5,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn equivalent_ratio<N: Number>(inputs: &[N]) -> N {
    let [water, cement, ash, slag, fume, k_ash, k_slag, k_fume, cap_ash, cap_slag, cap_fume] = take(inputs);
    let counted = |amount: N, k: N, cap: N| amount.min(&(cement.clone() * cap)) * k;
    let binder = cement.clone()
        + counted(ash, k_ash, cap_ash)
        + counted(slag, k_slag, cap_slag)
        + counted(fume, k_fume, cap_fume);
    water / binder
}

/// Abrams' law.
pub const ABRAMS: Card = Card {
    name: "abrams strength",
    group: "strength",
    formula: "f = A / B^w",
    source: "Abrams 1918: 14000 psi / 4^(1.5 w) = 96.5 MPa / 8^w (value from memory)",
    inputs: &[
        WATER_BINDER,
        Input::given("constant a", "MPa", "strength at no water", (30.0, 250.0), POSITIVE).or(96.5),
        Input::given("constant b", "1", "loss per unit of the ratio", (4.0, 30.0), (1.0, 1e4)).or(8.0),
    ],
    unit: "MPa",
    meaning: "compressive strength at 28 d",
    output: Output::Strength(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("water binder ratio", 0.30)],
            expected: 51.71,
            tolerance: 0.01,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("water binder ratio", 0.50)],
            expected: 34.12,
            tolerance: 0.01,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("water binder ratio", 0.70)],
            expected: 22.51,
            tolerance: 0.01,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn abrams<N: Number>(inputs: &[N]) -> N {
    let [ratio, a, b] = take(inputs);
    a * (-(b.ln() * ratio)).exp()
}

/// Bolomey's law.
pub const BOLOMEY: Card = Card {
    name: "bolomey strength",
    group: "strength",
    formula: "f = K (1 / w - c)",
    source: "Bolomey 1925 (constants: value from memory); with K = G R_c also the form of Dreux",
    inputs: &[
        WATER_BINDER,
        Input::given("constant k", "MPa", "strength per unit of binder over water", (10.0, 40.0), POSITIVE)
            .or(25.0),
        Input::given("offset", "1", "binder over water at no strength", (-0.5, 1.0), (-10.0, 10.0)).or(0.5),
    ],
    unit: "MPa",
    meaning: "compressive strength at 28 d",
    output: Output::Strength(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("water binder ratio", 0.5)],
            expected: 37.5,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("water binder ratio", 0.4)],
            expected: 50.0,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("water binder ratio", 0.5), ("constant k", 22.5)],
            expected: 33.75,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn bolomey<N: Number>(inputs: &[N]) -> N {
    let [ratio, k, offset] = take(inputs);
    k * (ratio.reciprocal() - offset)
}

const fn volume(name: &'static str, high: f64) -> Input {
    Input::given(name, "m3/m3", "volume per m3 of concrete", (0.0, high), SHARE)
}

/// Feret's law with air.
pub const FERET: Card = Card {
    name: "feret strength",
    group: "strength",
    formula: "f = K (V_b / (V_b + V_w + V_a))^2",
    source: "Feret 1892 (constant: value from memory)",
    inputs: &[
        volume("binder volume", 0.25),
        volume("water volume", 0.25),
        volume("air volume", 0.10),
        Input::given("constant k", "MPa", "strength at no water and no air", (100.0, 400.0), POSITIVE)
            .or(250.0),
    ],
    unit: "MPa",
    meaning: "compressive strength at 28 d",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("binder volume", 0.11), ("water volume", 0.175), ("air volume", 0.015)],
        expected: 33.611,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn feret<N: Number>(inputs: &[N]) -> N {
    let [binder, water, air, k] = take(inputs);
    binder.part_of_sum(&(water + air)).powi(2) * k
}

/// Strength after a loss through air.
pub const AIR_PENALTY: Card = Card {
    name: "strength after air",
    group: "strength",
    formula: "f (1 - loss / 100 max(0, air - reference air)), at least zero",
    source: "common practice, no source: about 5 % of the strength per 1 % of extra air",
    inputs: &[
        MEAN_STRENGTH
            .called("strength", "strength at the reference air")
            .of_any_statistic()
            .within(5.0, 120.0),
        Input::given("air", "%", "air by volume of concrete", (0.0, 10.0), (0.0, 100.0)),
        Input::given(
            "reference air",
            "%",
            "air of the concrete that the strength is of",
            (0.0, 8.0),
            (0.0, 100.0),
        ),
        Input::given("air loss", "%", "loss of strength per 1 % of extra air", (0.0, 8.0), (0.0, 100.0))
            .or(5.0),
    ],
    unit: "MPa",
    meaning: "strength with its air, of the same statistic as the input",
    output: Output::StrengthLike(0),
    worked: &[Worked {
        inputs: &[("strength", 40.0), ("air", 6.0), ("reference air", 2.0)],
        expected: 32.0,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn air_penalty<N: Number>(inputs: &[N]) -> N {
    let [strength, air, reference, loss] = take(inputs);
    let kept = ((air - reference).at_least(0.0) * loss / 100.0).taken_from(1.0);
    strength * kept.at_least(0.0)
}

/// Strength after a loss through lightweight aggregate.
pub const LIGHTWEIGHT_PENALTY: Card = Card {
    name: "strength after lightweight aggregate",
    group: "strength",
    formula: "f (1 - a v - b v^2), at least zero",
    source: "common practice, no source: the author's own constants, neutral by default",
    inputs: &[
        MEAN_STRENGTH
            .called("strength", "strength without lightweight aggregate")
            .of_any_statistic()
            .within(5.0, 120.0),
        volume("lightweight volume", 0.5),
        Input::given("linear loss", "1", "loss per unit of volume", (-1.0, 3.0), (-100.0, 100.0)).or(0.0),
        Input::given("quadratic loss", "1", "loss per unit of volume squared", (-3.0, 9.0), (-100.0, 100.0))
            .or(0.0),
    ],
    unit: "MPa",
    meaning: "strength with its aggregate, of the same statistic as the input",
    output: Output::StrengthLike(0),
    worked: &[
        Worked {
            inputs: &[("strength", 40.0), ("lightweight volume", 0.2)],
            expected: 40.0,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[
                ("strength", 40.0),
                ("lightweight volume", 0.2),
                ("linear loss", 0.5),
                ("quadratic loss", 1.0),
            ],
            expected: 34.4,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn lightweight_penalty<N: Number>(inputs: &[N]) -> N {
    let [strength, volume, linear, quadratic] = take(inputs);
    let lost = (linear + quadratic * volume.clone()) * volume;
    strength * lost.taken_from(1.0).at_least(0.0)
}

const HYDRATION: Input =
    Input::given("hydration", "1", "degree of hydration of the cement", (0.2, 1.0), SHARE);
const POWERS: &str = "Powers 1958, Journal of the American Ceramic Society, structure and physical properties of hardened portland \
                      cement paste (value from memory)";

/// Gel over gel and capillary space.
pub const GEL_SPACE_RATIO: Card = Card {
    name: "gel-space ratio",
    group: "strength",
    formula: "0.68 a / (0.32 a + w/c)",
    source: POWERS,
    inputs: &[WATER_BINDER, HYDRATION],
    unit: "1",
    meaning: "volume of hydrates over the space that they can fill",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("water binder ratio", 0.5), ("hydration", 0.8)],
        expected: 0.7196,
        tolerance: 1e-4,
        note: "the formula's own output",
    }],
};

pub(super) fn gel_space_ratio<N: Number>(inputs: &[N]) -> N {
    let [ratio, hydration] = take(inputs);
    // part of a sum, so that its bounds are sharp: hydrates over hydrates and empty space, times 0.68 / 0.32
    (hydration * 0.32).part_of_sum(&ratio) * (0.68 / 0.32)
}

/// Strength by the gel-space ratio.
pub const GEL_SPACE_STRENGTH: Card = Card {
    name: "gel-space strength",
    group: "strength",
    formula: "A (0.68 a / (0.32 a + w/c))^3",
    source: POWERS,
    inputs: &[
        WATER_BINDER,
        HYDRATION,
        Input::given("intrinsic strength", "MPa", "A, of the gel itself", (90.0, 260.0), POSITIVE).or(234.0),
    ],
    unit: "MPa",
    meaning: "compressive strength of mortar cubes at that degree of hydration",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("water binder ratio", 0.5), ("hydration", 0.8)],
        expected: 87.19,
        tolerance: 0.01,
        note: "the formula's own output",
    }],
};

pub(super) fn gel_space_strength<N: Number>(inputs: &[N]) -> N {
    let [ratio, hydration, intrinsic] = take(inputs);
    gel_space_ratio(&[ratio, hydration]).powi(3) * intrinsic
}
