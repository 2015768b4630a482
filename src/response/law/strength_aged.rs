//! Compressive strength from proportions and age together: the forms that an author fits to own tests,
//! without constants.
//!
//! Both were fitted to 1030 published results between 1 and 365 d (see the tests); away from the data they
//! are not known.

use super::card::{AGE, ANY, Card, Input, Output, WATER_BINDER, Worked};
use super::take;
use crate::number::Number;
use crate::standard::Statistic;

const fn coefficient(name: &'static str, unit: &'static str) -> Input {
    Input::given(name, unit, "coefficient from the author's own fit", ANY, ANY)
}

const DATA: &str = "the formula's own output, coefficients fitted to Yeh 1998, Concrete Compressive Strength data, CC BY 4.0";

/// Abrams' law with age.
pub const ABRAMS_AGED: Card = Card {
    name: "abrams strength with age",
    group: "strength",
    formula: "ln f = a + b w + c ln t",
    source: "Abrams 1918 with a logarithmic growth; coefficients are the author's",
    inputs: &[
        WATER_BINDER,
        AGE.within(1.0, 365.0),
        coefficient("constant", "1"),
        coefficient("ratio coefficient", "1"),
        coefficient("age coefficient", "1"),
    ],
    unit: "MPa",
    meaning: "compressive strength at that age",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[
            ("water binder ratio", 0.5),
            ("age", 28.0),
            ("constant", 3.830_25),
            ("ratio coefficient", -2.813_09),
            ("age coefficient", 0.296_23),
        ],
        expected: 30.289_59,
        tolerance: 1e-3,
        note: DATA,
    }],
};

pub(super) fn abrams_aged<N: Number>(inputs: &[N]) -> N {
    let [ratio, age, constant, of_ratio, of_age] = take(inputs);
    (constant + of_ratio * ratio + of_age * age.ln()).exp()
}

const fn over_water(name: &'static str, high: f64) -> Input {
    Input::given(name, "1", "amount over free water by mass", (0.0, high), (0.0, 20.0))
}

/// Bolomey's law with age and additions.
pub const BOLOMEY_AGED: Card = Card {
    name: "bolomey strength with age",
    group: "strength",
    formula: "f = a0 + a1 C/W + a2 S/W + a3 F/W + ln t (b0 + b1 C/W + b2 S/W + b3 F/W)",
    source: "Bolomey 1925 with a logarithmic growth; coefficients are the author's",
    inputs: &[
        over_water("cement water ratio", 4.0),
        over_water("slag water ratio", 2.5),
        over_water("fly ash water ratio", 1.5),
        AGE.within(1.0, 365.0),
        coefficient("constant", "MPa"),
        coefficient("cement coefficient", "MPa"),
        coefficient("slag coefficient", "MPa"),
        coefficient("fly ash coefficient", "MPa"),
        coefficient("growth constant", "MPa"),
        coefficient("cement growth", "MPa"),
        coefficient("slag growth", "MPa"),
        coefficient("fly ash growth", "MPa"),
    ],
    unit: "MPa",
    meaning: "compressive strength at that age",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[
            ("cement water ratio", 2.0),
            ("slag water ratio", 0.5),
            ("fly ash water ratio", 0.25),
            ("age", 28.0),
            ("constant", -17.820_72),
            ("cement coefficient", 15.339_67),
            ("slag coefficient", 2.429_76),
            ("fly ash coefficient", 0.631_91),
            ("growth constant", 4.147_09),
            ("cement growth", 1.283_12),
            ("slag growth", 4.080_04),
            ("fly ash growth", 3.634_11),
        ],
        expected: 46.426_83,
        tolerance: 1e-3,
        note: DATA,
    }],
};

pub(super) fn bolomey_aged<N: Number>(inputs: &[N]) -> N {
    let [cement, slag, ash, age, a0, a1, a2, a3, b0, b1, b2, b3] = take(inputs);
    let start = a0 + a1 * cement.clone() + a2 * slag.clone() + a3 * ash.clone();
    let growth = b0 + b1 * cement + b2 * slag + b3 * ash;
    start + age.ln() * growth
}
