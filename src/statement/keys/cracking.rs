//! Keys of an age at cracking under restraint.

use super::{Form, INPUT, Key, key, needed};

/// From when days are counted.
pub const COUNTED: &[&str] = &["casting", "drying"];
/// Rings of standards.
pub const RINGS: &[&str] = &["astm c1581", "aashto t 334"];

const BOUND: Form = Form::Either(&[Form::Value("2.35"), Form::Name, Form::Keys(INPUT)]);
const OVER_AGE: Form = Form::Either(&[Form::Value("32 GPa"), Form::Name, Form::Keys(COURSE)]);

/// Keys of something that depends on age.
pub const COURSE: &[Key] = &[
    key("amount", BOUND, "How much: a value, a quantity, or a response."),
    key(
        "at",
        Form::Value("28 d"),
        "Days after the start at which the amount is stated; the final amount when left out.",
    ),
    key(
        "half time",
        Form::Value("20 d"),
        "Days after which half of the final amount is there: growth d / (half time + d).",
    ),
    key("rate", Form::Number, "Rate of the growth 1 - exp(-rate sqrt(d)), d in days."),
    key("law", Form::Name, "A built-in law, in place of an amount."),
    key(
        "inputs",
        Form::Named(&Form::Either(&[Form::Value("28 d"), Form::Name, Form::Keys(INPUT)])),
        "The inputs of the law; one of them is bound to the word `age`.",
    ),
];

/// Keys of a layer on a base.
pub const OVERLAY: &[Key] = &[
    needed("base modulus", Form::Value("30 GPa"), "Modulus of the base."),
    needed("base thickness", Form::Value("200 mm"), "Thickness of the base."),
    needed("thickness", Form::Value("60 mm"), "Thickness of the layer."),
];

/// Keys of the restraint, where it is more than a degree.
pub const RESTRAINT: &[Key] = &[
    key("degree", BOUND, "Degree of restraint, 0 .. 1."),
    key(
        "ring",
        Form::Either(&[Form::Words(RINGS), Form::List(&Form::Value("152 mm"))]),
        "A steel ring inside the concrete: a standard one, or three radii: steel inside, steel outside, concrete outside.",
    ),
    key("overlay", Form::Keys(OVERLAY), "A layer bonded to a base, without bending."),
];

/// Keys of fibres.
pub const FIBRES: &[Key] = &[
    needed("volume", BOUND, "Fibre volume."),
    needed("gain", BOUND, "Largest gain of the stress at cracking through fibres, from own tests."),
    key("scale", BOUND, "Fibre volume that brings 63 % of the gain; 0.5 % when left out."),
];

/// Keys of an age at cracking.
pub const CRACKING: &[Key] = &[
    needed(
        "counted from",
        Form::Words(COUNTED),
        "Whether its days count from casting or from the beginning of drying.",
    ),
    needed(
        "restraint",
        Form::Either(&[Form::Value("0.7"), Form::Name, Form::Keys(RESTRAINT)]),
        "Degree of restraint, or the ring or overlay that it follows from.",
    ),
    key("onset", Form::Value("1 d"), "Age at which restraint begins; 1 d when left out."),
    needed(
        "drying from",
        Form::Either(&[Form::Value("1 d"), Form::Words(&["never"])]),
        "Age at which drying begins, or `never`.",
    ),
    key("horizon", Form::Value("90 d"), "Last age looked at; 90 d when left out."),
    key("drying shrinkage", OVER_AGE, "Drying shrinkage, growing from the beginning of drying."),
    key("autogenous shrinkage", OVER_AGE, "Autogenous shrinkage, growing from casting."),
    key("expansion", OVER_AGE, "Expansion of an expansive agent, growing from casting."),
    key(
        "temperature strain",
        Form::Named(&Form::Value("80 microstrain")),
        "Strain of temperature by age since casting, shortening positive, straight lines between; left out when absent.",
    ),
    needed("modulus", OVER_AGE, "Modulus at 28 d, ageing as EN 1992-1-1, or a law over age."),
    needed(
        "tensile strength",
        OVER_AGE,
        "Mean tensile strength at 28 d, ageing likewise, or a law over age.",
    ),
    key(
        "s",
        Form::Number,
        "Growth constant of the cement class: 0.20 rapid, 0.25 normal (when left out), 0.38 slow.",
    ),
    key("modulus power", Form::Number, "Power of the age factor for the modulus; 0.3 when left out."),
    key("tension power", Form::Number, "Power of the age factor for the tensile strength; 1 when left out."),
    key("creep", BOUND, "Final creep coefficient, growing as ACI 209; 2.35 when left out."),
    key("share", BOUND, "Share of the tensile strength at which it cracks; 0.85 when left out."),
    key("fibres", Form::Keys(FIBRES), "What fibres add; nothing when left out."),
    key("scatter", Form::Value("12 %"), "Scatter of the test as a share of the stress; 12 % when left out."),
];
