//! Cement classes by the words of each code, and the constants that they stand for in its laws.
//!
//! What enters: a law and a word such as `42.5 R`. What leaves: values of the law's inputs by name. Which strength class
//! belongs to which class of a code: EN 1992-1-1:2004, 3.1.2(6), and fib Model Code 2010, 5.1.9.4 (both: value from
//! memory). What a cement really does, nothing here knows.

use super::Law;

/// A class of cement in the words of one code.
#[derive(Clone, Copy, Debug)]
pub struct CementClass {
    /// Its words, any of which an author may write; the first is the code's own.
    pub words: &'static [&'static str],
    /// Constants by the names of inputs.
    pub constants: &'static [(&'static str, f64)],
}

const SLOW: &[&str] = &["S", "slow", "32.5 N"];
const NORMAL: &[&str] = &["N", "normal", "32.5 R", "42.5 N"];
const RAPID: &[&str] = &["R", "rapid", "42.5 R", "52.5 N", "52.5 R"];

const fn class(words: &'static [&'static str], constants: &'static [(&'static str, f64)]) -> CementClass {
    CementClass { words, constants }
}

/// EN 1992-1-1:2004, 3.1.2(6), annexes B.1 and B.2.
const EUROCODE: &[CementClass] = &[
    class(SLOW, &[("s", 0.38), ("alpha 1", 3.0), ("alpha 2", 0.13), ("cement exponent", -1.0)]),
    class(NORMAL, &[("s", 0.25), ("alpha 1", 4.0), ("alpha 2", 0.12), ("cement exponent", 0.0)]),
    class(RAPID, &[("s", 0.20), ("alpha 1", 6.0), ("alpha 2", 0.11), ("cement exponent", 1.0)]),
];

/// fib Model Code 2010, tables 5.1-9, 5.1-12 and 5.1-13; above 60 MPa its s is 0.20 for every class.
const MODEL_CODE: &[CementClass] = &[
    class(
        &["32.5 N", "S", "slow"],
        &[("s", 0.38), ("alpha", 800.0), ("alpha 1", 3.0), ("alpha 2", 0.13), ("cement exponent", -1.0)],
    ),
    class(
        &["42.5 N", "32.5 R", "N", "normal"],
        &[("s", 0.25), ("alpha", 700.0), ("alpha 1", 4.0), ("alpha 2", 0.12), ("cement exponent", 0.0)],
    ),
    class(
        &["42.5 R", "52.5 N", "52.5 R", "R", "rapid"],
        &[("s", 0.20), ("alpha", 600.0), ("alpha 1", 6.0), ("alpha 2", 0.12), ("cement exponent", 1.0)],
    ),
];

/// CEB Model Code 1990 and its revision of 1999, as given in ACI 209.2R-08, A.3 (classes: value from memory).
const MC90: &[CementClass] = &[
    class(&["SL", "slow"], &[("beta", 4.0), ("alpha", 800.0), ("alpha 1", 3.0), ("alpha 2", 0.13)]),
    class(&["N", "R", "normal"], &[("beta", 5.0), ("alpha", 700.0), ("alpha 1", 4.0), ("alpha 2", 0.12)]),
    class(&["RS", "rapid"], &[("beta", 8.0), ("alpha", 600.0), ("alpha 1", 6.0), ("alpha 2", 0.12)]),
];

/// ACI 209R-92, table 2.2.1 (value from memory).
const ACI: &[CementClass] = &[
    class(&["type I moist", "type I"], &[("constant a", 4.0), ("constant beta", 0.85)]),
    class(&["type III moist", "type III"], &[("constant a", 2.3), ("constant beta", 0.92)]),
    class(&["type I steam"], &[("constant a", 1.0), ("constant beta", 0.95)]),
    class(&["type III steam"], &[("constant a", 0.7), ("constant beta", 0.98)]),
];

/// GL2000 as given in ACI 209.2R-08, A.4 (types II and III: value from memory).
const GL2000: &[CementClass] = &[
    class(&["type I"], &[("constant k", 1.0)]),
    class(&["type II"], &[("constant k", 0.75)]),
    class(&["type III"], &[("constant k", 1.15)]),
];

/// RILEM TC 242-MDC 2015, model B4.
const B4: &[CementClass] = &[
    class(&["R", "ordinary"], &[("base shrinkage", 210.0), ("alpha factor", 1.0), ("base time", 1.0)]),
    class(&["RS", "rapid"], &[("base shrinkage", -84.0), ("alpha factor", 1.4), ("base time", 41.0)]),
    class(&["SL", "slow"], &[("base shrinkage", 0.0), ("alpha factor", 1.0), ("base time", 1.0)]),
];

/// The classes of cement that a law's code knows; none where the law has no constant of a cement.
pub fn cement_classes(law: Law) -> &'static [CementClass] {
    match law {
        Law::EurocodeAgeFactor
        | Law::EurocodeStrengthAged
        | Law::EurocodeModulusAged
        | Law::EurocodeTensionAged
        | Law::EurocodeDryingUltimate
        | Law::EurocodeDrying
        | Law::EurocodeCreepUltimate
        | Law::EurocodeCreep => EUROCODE,
        Law::ModelCodeModulusAged
        | Law::ModelCodeBasicShrinkage
        | Law::ModelCodeDryingShrinkage
        | Law::ModelCodeBasicCreep
        | Law::ModelCodeDryingCreep => MODEL_CODE,
        Law::Mc90Shrinkage | Law::Mc9099Drying | Law::Mc9099Autogenous => MC90,
        Law::AciAgeFactor | Law::AciStrengthAged => ACI,
        Law::Gl2000Shrinkage => GL2000,
        Law::B4Autogenous => B4,
        _ => &[],
    }
}

/// The class of that word in the code of a law.
pub fn cement_class(law: Law, word: &str) -> Option<&'static CementClass> {
    cement_classes(law).iter().find(|class| class.words.contains(&word))
}

impl CementClass {
    /// What the class says about an input.
    pub fn constant(&self, input: &str) -> Option<f64> {
        self.constants.iter().find(|(name, _)| *name == input).map(|(_, value)| *value)
    }
}
