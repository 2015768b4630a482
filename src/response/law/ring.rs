//! Restraint: the steel ring inside a concrete ring, and an overlay on its base.
//!
//! Lengths in mm, moduli in GPa, strains in microstrain, stress in MPa. The standard ring is not intended for
//! expansive binders and holds for aggregate up to 13 mm (ASTM C1581, scope).

use super::card::{AGE, Card, Input, NOT_NEGATIVE, Output, POSITIVE, SHARE, Worked};
use super::take;
use crate::number::Number;

const fn radius(name: &'static str, meaning: &'static str) -> Input {
    Input::given(name, "mm", meaning, (100.0, 400.0), (1.0, 1e5))
}

const CONCRETE_MODULUS: Input =
    Input::given("concrete modulus", "GPa", "modulus of the concrete", (5.0, 60.0), (0.01, 300.0));
const STEEL_MODULUS: Input =
    Input::given("steel modulus", "GPa", "modulus of the steel", (190.0, 210.0), (1.0, 1000.0)).or(200.0);
const STEEL_RATIO: Input =
    Input::given("steel poisson ratio", "1", "of the steel", (0.25, 0.33), (0.0, 0.49)).or(0.3);
const CONCRETE_RATIO: Input =
    Input::given("concrete poisson ratio", "1", "of the concrete", (0.1, 0.25), (0.0, 0.49)).or(0.18);
const STEEL_INNER: Input = radius("steel inner radius", "inside of the steel ring");
const STEEL_OUTER: Input = radius("steel outer radius", "outside of the steel ring, inside of the concrete");
const CONCRETE_OUTER: Input = radius("concrete outer radius", "outside of the concrete ring");
const LAME: &str = "Lame's thick rings, shrink fit, uniform shrinkage, no creep";

/// Largest elastic hoop stress.
pub const RING_STRESS: Card = Card {
    name: "ring stress",
    group: "restraint",
    formula: "e C3 / (C1 / E_s + C4 / E_c); C1 = ((1 + n_s) a^2 + (1 - n_s) b^2) / (b^2 - a^2), C3 = (b^2 \
              + c^2) / (c^2 - b^2), C4 = ((1 - n_c) b^2 + (1 + n_c) c^2) / (c^2 - b^2)",
    source: LAME,
    inputs: &[
        Input::given(
            "shrinkage",
            "microstrain",
            "free shrinkage of the concrete",
            (0.0, 1500.0),
            NOT_NEGATIVE,
        ),
        CONCRETE_MODULUS,
        STEEL_INNER,
        STEEL_OUTER,
        CONCRETE_OUTER,
        STEEL_MODULUS,
        STEEL_RATIO,
        CONCRETE_RATIO,
    ],
    unit: "MPa",
    meaning: "hoop stress in the concrete at the steel",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[
                ("shrinkage", 100.0),
                ("concrete modulus", 30.0),
                ("steel inner radius", 152.0),
                ("steel outer radius", 165.0),
                ("concrete outer radius", 203.0),
            ],
            expected: 2.1399,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[
                ("shrinkage", 100.0),
                ("concrete modulus", 30.0),
                ("steel inner radius", 139.7),
                ("steel outer radius", 152.4),
                ("concrete outer radius", 228.6),
            ],
            expected: 1.7476,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn ring_stress<N: Number>(inputs: &[N]) -> N {
    let [strain, concrete, a, b, c, steel, steel_ratio, concrete_ratio] = take(inputs);
    let hoop = thick(&b, &c, &N::constant(0.0));
    let compliance = thick(&b, &a, &steel_ratio) / steel + thick(&b, &c, &concrete_ratio) / concrete;
    // microstrain times GPa is kPa
    strain * hoop / compliance * 1e-3
}

/// `((1 - n) loaded^2 + (1 + n) free^2) / |free^2 - loaded^2|`: strain at the loaded face of a thick ring per
/// pressure over modulus, whichever face is loaded; with `n` zero also the hoop stress there per pressure.
fn thick<N: Number>(loaded: &N, free: &N, ratio: &N) -> N {
    let squared = (free.clone() / loaded.clone()).powi(2);
    let gap = (squared.clone() - 1.0).abs();
    (ratio.taken_from(1.0) + (ratio.clone() + 1.0) * squared) / gap
}

/// What a steel ring and a concrete ring around it give, and what stresses the pressure between them brings: Lame's thick
/// rings, steel and concrete with the constants of the cards here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingCoefficients {
    /// Strain of the steel at the contact per pressure, 1/GPa: C1 over the steel's modulus.
    pub steel: f64,
    /// Strain of the concrete there per pressure over its modulus: C4.
    pub concrete: f64,
    /// Hoop stress at the inner face of the concrete per pressure: C3.
    pub inner_face: f64,
    /// Mean hoop stress over the concrete's wall per pressure.
    pub mean: f64,
}

impl RingCoefficients {
    /// From the radii, mm: steel inside, steel outside, concrete outside.
    pub fn new([a, b, c]: [f64; 3]) -> Self {
        let given = |input: Input| input.default.unwrap_or(f64::NAN);
        Self {
            steel: thick(&b, &a, &given(STEEL_RATIO)) / given(STEEL_MODULUS),
            concrete: thick(&b, &c, &given(CONCRETE_RATIO)),
            inner_face: thick(&b, &c, &0.0),
            mean: b / (c - b),
        }
    }
}

/// Degree of restraint of a ring.
pub const RING_RESTRAINT: Card = Card {
    name: "ring restraint",
    group: "restraint",
    formula: "1 - (C1 / E_s) / (C1 / E_s + C4 / E_c), C1 and C4 as for the ring stress",
    source: LAME,
    inputs: &[
        CONCRETE_MODULUS,
        STEEL_INNER,
        STEEL_OUTER,
        CONCRETE_OUTER,
        STEEL_MODULUS,
        STEEL_RATIO,
        CONCRETE_RATIO,
    ],
    unit: "1",
    meaning: "part of the free shrinkage that the ring prevents",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[
                ("concrete modulus", 30.0),
                ("steel inner radius", 152.0),
                ("steel outer radius", 165.0),
                ("concrete outer radius", 203.0),
            ],
            expected: 0.7395,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[
                ("concrete modulus", 30.0),
                ("steel inner radius", 149.0),
                ("steel outer radius", 162.0),
                ("concrete outer radius", 219.0),
            ],
            expected: 0.6724,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn ring_restraint<N: Number>(inputs: &[N]) -> N {
    let [concrete, a, b, c, steel, steel_ratio, concrete_ratio] = take(inputs);
    let of_steel = thick(&b, &a, &steel_ratio) / steel;
    let of_concrete = thick(&b, &c, &concrete_ratio) / concrete;
    of_concrete.part_of_sum(&of_steel)
}

/// Largest elastic hoop stress by the strain that a test reads.
pub const RING_STRESS_FROM_STRAIN: Card = Card {
    name: "ring stress from steel strain",
    group: "restraint",
    formula: "e_s E_s (c^2 + b^2) / (c^2 - b^2) (b^2 - a^2) / (2 b^2), e_s the shortening of the steel inside",
    source: "Hossain and Weiss 2004 (value from memory); Lame's thick rings",
    inputs: &[
        Input::given(
            "steel strain",
            "microstrain",
            "shortening of the steel ring at its inside",
            (0.0, 150.0),
            (-1e4, 1e4),
        ),
        STEEL_INNER,
        STEEL_OUTER,
        CONCRETE_OUTER,
        STEEL_MODULUS,
    ],
    unit: "MPa",
    meaning: "hoop stress in the concrete at the steel",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[
            ("steel strain", 40.0),
            ("steel inner radius", 152.0),
            ("steel outer radius", 165.0),
            ("concrete outer radius", 203.0),
        ],
        expected: 2.963,
        tolerance: 1e-3,
        note: "the formula's own output",
    }],
};

pub(super) fn ring_stress_from_strain<N: Number>(inputs: &[N]) -> N {
    let [strain, a, b, c, steel] = take(inputs);
    let hoop = thick(&b, &c, &N::constant(0.0));
    let wall = (a / b).powi(2).taken_from(1.0) / 2.0;
    // microstrain times GPa is kPa
    strain * steel * hoop * wall * 1e-3
}

/// Average stress factor of the standard ring.
pub const RING_STRESS_FACTOR: Card = Card {
    name: "ring stress factor",
    group: "restraint",
    formula: "G = E_s r_ic h_s / (r_is h_c)",
    source: "ASTM C1581; 72.2 GPa for its ring (value from memory)",
    inputs: &[
        STEEL_MODULUS,
        radius("concrete inner radius", "inside of the concrete ring").or(165.1),
        Input::given("steel wall", "mm", "thickness of the steel ring", (6.0, 30.0), POSITIVE).or(12.7),
        radius("steel inner radius", "inside of the steel ring").or(152.4),
        Input::given("concrete wall", "mm", "thickness of the concrete ring", (25.0, 100.0), POSITIVE)
            .or(38.1),
    ],
    unit: "GPa",
    meaning: "mean hoop stress of the concrete per strain of the steel",
    output: Output::Other,
    worked: &[Worked { inputs: &[], expected: 72.22, tolerance: 0.01, note: "the formula's own output" }],
};

pub(super) fn ring_stress_factor<N: Number>(inputs: &[N]) -> N {
    let [steel, concrete_inner, steel_wall, steel_inner, concrete_wall] = take(inputs);
    steel * concrete_inner * steel_wall / (steel_inner * concrete_wall)
}

/// Stress rate at cracking.
pub const RING_STRESS_RATE: Card = Card {
    name: "ring stress rate",
    group: "restraint",
    formula: "G |alpha| / (2 sqrt t)",
    source: "ASTM C1581 (value from memory)",
    inputs: &[
        Input::given(
            "strain rate factor",
            "microstrain",
            "slope of steel strain over the root of time in days: the strain after one day on that line",
            (1.0, 60.0),
            (-1e3, 1e3),
        ),
        AGE.called("net age", "time since drying started, at cracking or the end of the test")
            .within(1.0, 90.0),
        Input::given("stress factor", "GPa", "G, of the ring", (30.0, 80.0), POSITIVE).or(72.2),
    ],
    unit: "MPa/d",
    meaning: "rate of mean stress at that very time; the average since drying started is twice it",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("strain rate factor", 30.0), ("net age", 5.0)],
            expected: 0.48432,
            tolerance: 1e-4,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("strain rate factor", 12.0), ("net age", 21.0)],
            expected: 0.09453,
            tolerance: 1e-4,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn ring_stress_rate<N: Number>(inputs: &[N]) -> N {
    let [slope, time, factor] = take(inputs);
    factor * slope.abs() / time.sqrt() * 0.5e-3
}

/// Restraint of a layer by its base.
pub const AXIAL_RESTRAINT: Card = Card {
    name: "axial restraint",
    group: "restraint",
    formula: "bond E_b A_b / (E_b A_b + E_c A_c)",
    source: "common practice, no source: two bars side by side, no bending",
    inputs: &[
        Input::given("base modulus", "GPa", "modulus of the base or steel", (5.0, 210.0), POSITIVE),
        Input::given("base area", "mm2", "section of the base or steel", NOT_NEGATIVE, NOT_NEGATIVE),
        CONCRETE_MODULUS,
        Input::given("concrete area", "mm2", "section of the concrete", POSITIVE, POSITIVE),
        Input::given("bond", "1", "share of the restraint that the bond carries over", (0.5, 1.0), SHARE)
            .or(1.0),
    ],
    unit: "1",
    meaning: "part of the free shrinkage that the base prevents",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[
                ("base modulus", 200.0),
                ("base area", 1976.0),
                ("concrete modulus", 30.0),
                ("concrete area", 5776.0),
            ],
            expected: 0.695,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[
                ("base modulus", 200.0),
                ("base area", 1930.4),
                ("concrete modulus", 30.0),
                ("concrete area", 11_582.4),
            ],
            expected: 0.526,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn axial_restraint<N: Number>(inputs: &[N]) -> N {
    let [base, base_area, concrete, area, bond] = take(inputs);
    (base * base_area).part_of_sum(&(concrete * area)) * bond
}
