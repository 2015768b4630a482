//! Modulus of a composite from its phases: matrix and inclusions, GPa; volumes as shares.
//!
//! Classical two-phase formulas; the bounds of Hashin and Shtrikman hold for any isotropic arrangement, the
//! others for their own picture of it. They say nothing about strength.

use super::card::{Card, Input, Output, POSITIVE, SHARE, Worked};
use super::take;
use crate::number::Number;

const fn modulus(name: &'static str, meaning: &'static str) -> Input {
    Input::given(name, "GPa", meaning, (3.0, 120.0), (0.01, 1000.0))
}

const MATRIX: Input = modulus("matrix modulus", "modulus of the phase that surrounds the other");
const INCLUSION: Input = modulus("inclusion modulus", "modulus of the embedded phase");
const SHARE_OF_INCLUSION: Input =
    Input::given("inclusion share", "1", "volume of the embedded phase over the whole", (0.0, 0.85), SHARE);
const MATRIX_RATIO: Input = Input::given(
    "matrix poisson ratio",
    "1",
    "of the phase that surrounds the other",
    (0.1, 0.3),
    (0.0, 0.49),
);
const INCLUSION_RATIO: Input =
    Input::given("inclusion poisson ratio", "1", "of the embedded phase", (0.1, 0.3), (0.0, 0.49));

/// A check that the other classical values of the same two phases support.
const CHECK: &[(&str, f64)] =
    &[("matrix modulus", 25.0), ("inclusion modulus", 60.0), ("inclusion share", 0.7)];

const fn two_phase(
    name: &'static str,
    formula: &'static str,
    source: &'static str,
    worked: &'static [Worked],
) -> Card {
    Card {
        name,
        group: "composite",
        formula,
        source,
        inputs: &[MATRIX, INCLUSION, SHARE_OF_INCLUSION],
        unit: "GPa",
        meaning: "modulus of the composite",
        output: Output::Other,
        worked,
    }
}

const fn worked(expected: f64) -> Worked {
    Worked { inputs: CHECK, expected, tolerance: 1e-4, note: "the formula's own output" }
}

/// Phases side by side.
pub const VOIGT: Card =
    two_phase("voigt modulus", "(1 - v) E_m + v E_i", "Voigt 1889: phases side by side", &[worked(49.5)]);

pub(super) fn voigt<N: Number>(inputs: &[N]) -> N {
    let [matrix, inclusion, share] = take(inputs);
    matrix.clone() + share * (inclusion - matrix)
}

/// Phases one behind the other.
pub const REUSS: Card = two_phase(
    "reuss modulus",
    "1 / ((1 - v) / E_m + v / E_i)",
    "Reuss 1929: phases one behind the other",
    &[worked(42.2535)],
);

pub(super) fn reuss<N: Number>(inputs: &[N]) -> N {
    let [matrix, inclusion, share] = take(inputs);
    (share.taken_from(1.0) / matrix + share / inclusion).reciprocal()
}

/// Hirsch's mixture of the two.
pub const HIRSCH: Card = Card {
    inputs: &[
        MATRIX,
        INCLUSION,
        SHARE_OF_INCLUSION,
        Input::given("parallel share", "1", "weight of the phases side by side", SHARE, SHARE).or(0.5),
    ],
    ..two_phase(
        "hirsch modulus",
        "1 / (x / E_voigt + (1 - x) / E_reuss)",
        "Hirsch 1962: mean of compliances",
        &[worked(45.5906)],
    )
};

pub(super) fn hirsch<N: Number>(inputs: &[N]) -> N {
    let [matrix, inclusion, share, parallel] = take(inputs);
    let phases = [matrix, inclusion, share];
    (parallel.clone() / voigt(&phases) + parallel.taken_from(1.0) / reuss(&phases)).reciprocal()
}

/// Counto's prism in a prism.
pub const COUNTO: Card = two_phase(
    "counto modulus",
    "1 / E = (1 - sqrt v) / E_m + 1 / ((1 - sqrt v) / sqrt v E_m + E_i)",
    "Counto 1964",
    &[worked(45.5654)],
);

pub(super) fn counto<N: Number>(inputs: &[N]) -> N {
    let [matrix, inclusion, share] = take(inputs);
    let edge = share.sqrt();
    let rest = edge.taken_from(1.0);
    // the second term multiplied through by the edge, so that no inclusion at all is no special case
    let core = edge.clone() / (rest.clone() * matrix.clone() + edge * inclusion);
    (rest / matrix + core).reciprocal()
}

/// Lower bound for equal Poisson's ratios of 0.2.
pub const HASHIN_SHTRIKMAN: Card = two_phase(
    "hashin shtrikman modulus",
    "E_m ((1 - v) E_m + (1 + v) E_i) / ((1 + v) E_m + (1 - v) E_i)",
    "Hashin and Shtrikman 1963 with both Poisson's ratios 0.2; the lower bound for a stiff inclusion",
    &[worked(45.2479)],
);

pub(super) fn hashin_shtrikman<N: Number>(inputs: &[N]) -> N {
    let [matrix, inclusion, share] = take(inputs);
    embed(&matrix, &inclusion, &share)
}

/// The closed form for one inclusion of the given share in a matrix.
fn embed<N: Number>(matrix: &N, inclusion: &N, share: &N) -> N {
    let (more, less) = (share.clone() + 1.0, share.taken_from(1.0));
    let top = less.clone() * matrix.clone() + more.clone() * inclusion.clone();
    let bottom = more * matrix.clone() + less * inclusion.clone();
    matrix.clone() * (top / bottom)
}

const GENERAL: &[Input] =
    &[MATRIX, INCLUSION, SHARE_OF_INCLUSION, MATRIX_RATIO.or(0.2), INCLUSION_RATIO.or(0.2)];

const fn general(name: &'static str, formula: &'static str, worked: &'static [Worked]) -> Card {
    Card {
        inputs: GENERAL,
        ..two_phase(
            name,
            formula,
            "Hashin and Shtrikman 1963; with unlike phases the form of Walpole 1966",
            worked,
        )
    }
}

/// Lower bound.
pub const HASHIN_SHTRIKMAN_LOWER: Card = general(
    "hashin shtrikman lower modulus",
    "9 K G / (3 K + G), K = mean(K + 4/3 G_low) - 4/3 G_low, G = mean(G + z_low) - z_low, harmonic means",
    &[worked(45.2479)],
);

pub(super) fn hashin_shtrikman_lower<N: Number>(inputs: &[N]) -> N {
    bound(inputs, N::min)
}

/// Upper bound.
pub const HASHIN_SHTRIKMAN_UPPER: Card = general(
    "hashin shtrikman upper modulus",
    "9 K G / (3 K + G), K = mean(K + 4/3 G_high) - 4/3 G_high, G = mean(G + z_high) - z_high, harmonic means",
    &[worked(46.8063)],
);

pub(super) fn hashin_shtrikman_upper<N: Number>(inputs: &[N]) -> N {
    bound(inputs, N::max)
}

fn bound<N: Number>(inputs: &[N], choose: impl Fn(&N, &N) -> N) -> N {
    let [matrix, inclusion, share, matrix_ratio, inclusion_ratio] = take(inputs);
    let bulk = |modulus: &N, ratio: &N| modulus.clone() / (ratio.clone() * -6.0 + 3.0);
    let shear = |modulus: &N, ratio: &N| modulus.clone() / (ratio.clone() * 2.0 + 2.0);
    let (bulk_one, bulk_two) = (bulk(&matrix, &matrix_ratio), bulk(&inclusion, &inclusion_ratio));
    let (shear_one, shear_two) = (shear(&matrix, &matrix_ratio), shear(&inclusion, &inclusion_ratio));
    let (k, g) = (choose(&bulk_one, &bulk_two), choose(&shear_one, &shear_two));
    let mean = |one: N, two: N, shift: N| {
        let one = share.taken_from(1.0) / (one + shift.clone());
        (one + share.clone() / (two + shift.clone())).reciprocal() - shift
    };
    let bulk = mean(bulk_one, bulk_two, g.clone() * (4.0 / 3.0));
    let shift = g.clone() * (k.clone() * 9.0 + g.clone() * 8.0) / ((k + g * 2.0) * 6.0);
    let shear = mean(shear_one, shear_two, shift);
    (reciprocal_sum(&shear, &bulk)).reciprocal()
}

/// `1 / E = 1 / (3 G) + 1 / (9 K)`.
fn reciprocal_sum<N: Number>(shear: &N, bulk: &N) -> N {
    (shear.clone() * 3.0).reciprocal() + (bulk.clone() * 9.0).reciprocal()
}

const fn volume(name: &'static str) -> Input {
    Input::given(name, "m3/m3", "volume per m3 of concrete", (0.0, 0.7), SHARE).or(0.0)
}

/// Concrete built up from paste by one inclusion after another.
pub const SUCCESSIVE: Card = Card {
    name: "successive modulus",
    group: "composite",
    formula: "hashin shtrikman modulus of paste with sand, of that with coarse, of that with lightweight \
              aggregate",
    source: "Hashin and Shtrikman 1963, applied by size of the inclusions (common practice, no source)",
    inputs: &[
        modulus("paste modulus", "modulus of the paste, its air included").within(3.0, 35.0),
        volume("sand volume"),
        modulus("sand modulus", "modulus of the sand"),
        volume("coarse volume"),
        modulus("coarse modulus", "modulus of the normal coarse aggregate"),
        volume("lightweight volume"),
        modulus("lightweight modulus", "modulus of the lightweight aggregate").within(3.0, 35.0),
    ],
    unit: "GPa",
    meaning: "modulus of the concrete",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[
                ("paste modulus", 20.0),
                ("sand modulus", 60.0),
                ("coarse modulus", 60.0),
                ("lightweight volume", 0.25),
                ("lightweight modulus", 12.0),
            ],
            expected: 17.6471,
            tolerance: 1e-4,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[
                ("paste modulus", 15.0),
                ("sand volume", 0.28),
                ("sand modulus", 60.0),
                ("coarse volume", 0.30),
                ("coarse modulus", 60.0),
                ("lightweight volume", 0.08),
                ("lightweight modulus", 14.0),
            ],
            expected: 31.6633,
            tolerance: 1e-3,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn successive<N: Number>(inputs: &[N]) -> N {
    let [paste, sand, sand_modulus, coarse, coarse_modulus, light, light_modulus] = take(inputs);
    // shares of the body that each step fills: what is added later does not yet count
    let without_light = light.taken_from(1.0);
    let without_coarse = without_light.clone() - coarse.clone();
    let mortar = embed(&paste, &sand_modulus, &(sand / without_coarse));
    let normal = embed(&mortar, &coarse_modulus, &(coarse / without_light));
    embed(&normal, &light_modulus, &light)
}

/// Modulus of lightweight aggregate from its density.
pub const LIGHTWEIGHT_AGGREGATE: Card = Card {
    name: "lightweight aggregate modulus",
    group: "composite",
    formula: "E_1 (rho / 1000)^2, rho in kg/m3",
    source: "CEB/FIP manual of design and technology, lightweight aggregate concrete, 1977: E = 0.008 MPa rho^2 (value from memory)",
    inputs: &[
        Input::given(
            "particle density",
            "kg/m3",
            "oven-dry particle density",
            (700.0, 2000.0),
            (100.0, 4000.0),
        ),
        Input::given("modulus at 1000", "GPa", "modulus at 1000 kg/m3", (5.0, 12.0), POSITIVE).or(8.0),
    ],
    unit: "GPa",
    meaning: "modulus of the aggregate particles",
    output: Output::Other,
    worked: &[Worked {
        inputs: &[("particle density", 1300.0)],
        expected: 13.52,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn lightweight_aggregate<N: Number>(inputs: &[N]) -> N {
    let [density, modulus] = take(inputs);
    (density / 1000.0).powi(2) * modulus
}
