//! Keys of an age at cracking under restraint.

use super::form::{Form, INPUT, Key, key, needed, words_of};

/// From when days are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CountedFrom {
    /// From casting.
    Casting,
    /// From the beginning of drying.
    Drying,
}

/// Which stress of a ring meets the strength.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StressAt {
    /// The one at the inner face.
    InnerFace,
    /// The mean over the wall.
    Mean,
}

/// Test of a setting time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SettingTest {
    /// Penetration of mortar, ASTM C403.
    AstmC403,
    /// Vicat needle in mortar, EN 480-2.
    En480,
}

/// How a tensile strength was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TensionTest {
    /// In direct tension.
    Direct,
    /// By splitting.
    Splitting,
}

/// What shrinks or grows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StrainOf {
    /// Drying shrinkage.
    Drying,
    /// Autogenous shrinkage.
    Autogenous,
    /// Expansion.
    Expansion,
}

/// From when days are counted, by words.
pub const COUNTED: [(&str, CountedFrom); 2] =
    [("casting", CountedFrom::Casting), ("drying", CountedFrom::Drying)];
/// Rings of standards.
pub const RINGS: &[&str] = &["astm c1581", "aashto t 334"];

/// Which stress of a ring meets the strength, by words.
pub const FACES: [(&str, StressAt); 2] = [("inner face", StressAt::InnerFace), ("mean", StressAt::Mean)];
/// Tests of setting times, by words.
pub const SETTING_TESTS: [(&str, SettingTest); 2] =
    [("astm c403", SettingTest::AstmC403), ("en 480-2", SettingTest::En480)];
/// How a tensile strength was measured, by words.
pub const TENSION_TESTS: [(&str, TensionTest); 2] =
    [("direct", TensionTest::Direct), ("splitting", TensionTest::Splitting)];
/// Strains by their keys.
pub const STRAINS: [(&str, StrainOf); 3] = [
    ("drying shrinkage", StrainOf::Drying),
    ("autogenous shrinkage", StrainOf::Autogenous),
    ("expansion", StrainOf::Expansion),
];
/// Laws that creep grows by.
pub const CREEP_LAWS: &[&str] = &["aci 209", "aci 209 steam", "aci 209 any age", "en 1992-1-1"];

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
    key(
        "growth",
        Form::Named(&Form::Value("60 %")),
        "Own data: shares of the amount by age, straight lines over the logarithm of age, level outside.",
    ),
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
    key(
        "degree",
        BOUND,
        "Degree of restraint, 0 .. 1, that stays as it is: as if what restrains crept with the concrete.",
    ),
    key(
        "ring",
        Form::Either(&[Form::Words(RINGS), Form::List(&Form::Value("152 mm"))]),
        "A steel ring inside the concrete: a standard one, or three radii: steel inside, steel outside, concrete outside.",
    ),
    key(
        "stress at",
        Form::Words(&words_of(&FACES)),
        "Which hoop stress of a ring meets the strength; `inner face` when left out, the safe one for a uniform strain.",
    ),
    key(
        "overlay",
        Form::Keys(OVERLAY),
        "A layer that lies flat on an elastic base, which neither shrinks nor creeps, and dries from one face.",
    ),
];

/// Keys of fibres.
pub const FIBRES: &[Key] = &[
    needed("volume", BOUND, "Fibre volume."),
    needed("gain", BOUND, "Largest gain of the stress at cracking through fibres, from own tests."),
    key("scale", BOUND, "Fibre volume that brings 63 % of the gain; 0.5 % when left out."),
];

/// Keys of the age at which restraint begins.
pub const ONSET: &[Key] = &[
    needed("setting time", Form::Value("6 h"), "Setting time since casting."),
    needed("test", Form::Words(&words_of(&SETTING_TESTS)), "The test that it comes from."),
];

/// Keys of creep, where it is more than a final coefficient.
pub const CREEP: &[Key] = &[
    key("final", BOUND, "Final creep coefficient; 2.35 when left out."),
    key(
        "law",
        Form::Words(CREEP_LAWS),
        "The law of its growth, its factor for the age at loading and the modulus that it refers to; `aci 209` when left out.",
    ),
    key(
        "notional size",
        Form::Value("76 mm"),
        "Twice the volume over the drying surface, for `en 1992-1-1`; by the geometry when left out.",
    ),
    key("humidity", Form::Value("50 %"), "Relative humidity, for `en 1992-1-1`; 50 % when left out."),
    key(
        "mean strength",
        Form::Value("40 MPa"),
        "Mean strength at 28 d, for the time course of `en 1992-1-1` alone; 35 MPa or less when left out.",
    ),
    key(
        "cement exponent",
        Form::Number,
        "-1 slow, 0 normal (when left out), 1 rapid cement, for `en 1992-1-1`.",
    ),
];

/// Keys of growth with hydration.
pub const HYDRATION: &[Key] = &[
    needed(
        "time",
        Form::Value("14 h"),
        "Time parameter of the degree of hydration exp(-(time / t)^slope), from own calorimetry.",
    ),
    needed("slope", Form::Number, "Its slope parameter."),
    needed(
        "setting degree",
        Form::Value("15 %"),
        "Share of the final degree of hydration at which stiffness begins.",
    ),
];

/// Keys of the temperature of the concrete.
pub const TEMPERATURE: &[Key] = &[
    needed(
        "history",
        Form::Named(&Form::Value("20 degC")),
        "Temperatures by age since casting, straight lines between, level outside.",
    ),
    needed("expansion", Form::Value("10 microstrain/K"), "Coefficient of thermal expansion."),
    key(
        "rise",
        BOUND,
        "Adiabatic rise of the mix, such as a response by the law `adiabatic rise`: the strain goes in proportion to it.",
    ),
    key(
        "rise of history",
        Form::Value("38 K"),
        "Adiabatic rise of the concrete whose temperatures the history holds; needed beside `rise`.",
    ),
    key(
        "activation",
        Form::Value("5000 K"),
        "Apparent activation energy over the gas constant, for the equivalent age; 5000 K when left out.",
    ),
];

/// Keys of an age at cracking.
pub const CRACKING: &[Key] = &[
    needed(
        "counted from",
        Form::Words(&words_of(&COUNTED)),
        "Whether its days count from casting or from the beginning of drying.",
    ),
    needed(
        "restraint",
        Form::Either(&[Form::Value("0.7"), Form::Name, Form::Keys(RESTRAINT)]),
        "Degree of restraint, or the ring or overlay that it follows from.",
    ),
    key(
        "onset",
        Form::Either(&[Form::Value("1 d"), Form::Keys(ONSET)]),
        "Age at which restraint begins and strains count: a setting time with its test, or 1 d when left out.",
    ),
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
    key(
        "temperature",
        Form::Keys(TEMPERATURE),
        "Temperature of the concrete by age: growth goes by the equivalent age, and strains of temperature count from the onset.",
    ),
    needed(
        "modulus",
        OVER_AGE,
        "Modulus at 28 d, ageing as EN 1992-1-1 or with hydration, own data by age, or a law over age.",
    ),
    needed(
        "tensile strength",
        OVER_AGE,
        "Mean tensile strength at 28 d, ageing likewise, own data by age, or a law over age.",
    ),
    key(
        "tensile strength by",
        Form::Words(&words_of(&TENSION_TESTS)),
        "`direct` tension when left out; of a `splitting` strength 0.9 is taken.",
    ),
    key(
        "s",
        Form::Number,
        "Growth constant of the cement class: 0.20 rapid, 0.25 normal (when left out), 0.38 slow.",
    ),
    key("modulus power", Form::Number, "Power of the age factor for the modulus; 0.3 when left out."),
    key(
        "tension power",
        Form::Number,
        "Power of the age factor for the tensile strength up to 28 d, two thirds of it later; 1 when left out.",
    ),
    key(
        "hydration",
        Form::Keys(HYDRATION),
        "Growth of modulus (power 0.5) and tensile strength (power 1) with hydration, in place of `s`: needed before 1 d.",
    ),
    key(
        "creep",
        Form::Either(&[BOUND, Form::Keys(CREEP)]),
        "Final creep coefficient, growing as ACI 209, or a map with its law; 2.35 when left out.",
    ),
    key(
        "share",
        BOUND,
        "Share of the mean direct tensile strength at which it cracks, up to 1; 0.80 when left out: a design factor, borrowed from EN 1992-2, 3.1.6(102).",
    ),
    key("fibres", Form::Keys(FIBRES), "What fibres add; nothing when left out."),
    key("scatter", Form::Value("12 %"), "Coefficient of variation of the stress; 12 % when left out."),
    key(
        "strength scatter",
        Form::Value("18 %"),
        "Coefficient of variation of the strength; 18 % when left out.",
    ),
];
