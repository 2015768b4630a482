//! Named sets of the trade for what tests show: frost, salt, chloride penetration, stability when fresh, and fibres in
//! flowing concrete.
//!
//! The figures are asked of responses that the author fitted to own tests; a prediction is no test.

use super::rule::{Need, Rules, rule};
use crate::standard::names::SCALING_LOSS;
use crate::standard::side::Side::{AtLeast, AtMost};

/// Where the figures come from.
pub const SOURCE: &str = "usual demands on test results: durability factor (ASTM C666) of at least 80 % after 300 cycles, scaling of \
                          at most 1000 g/m2 after 50 cycles, at most 2000 C passed, surface settlement of at most \
                          0.5 %, stability index of 0 to 0.5, at most 0.5 % of fibres by volume (common practice, no \
                          source); spacing factor of at most 0.200 mm (value from memory). A prediction is no test.";

/// A class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Class {
    Frost,
    Salt,
    Penetration,
    Stability,
    FlowingFibres,
}

/// The classes by their names.
const CLASSES: &[(Class, &str)] = &[
    (Class::Frost, "frost tests"),
    (Class::Salt, "salt tests"),
    (Class::Penetration, "penetration tests"),
    (Class::Stability, "stability tests"),
    (Class::FlowingFibres, "flowing fibres"),
];

/// The class names.
pub fn names() -> Vec<String> {
    CLASSES.iter().map(|(_, name)| (*name).to_owned()).collect()
}

fn named(class: &str) -> Option<Class> {
    CLASSES.iter().find(|(_, name)| *name == class).map(|(class, _)| *class)
}

/// Whether a class is about concrete that flows by itself.
pub fn is_flow(class: &str) -> bool {
    named(class) == Some(Class::FlowingFibres)
}

/// The rules of one class.
pub fn rules(class: &str) -> Rules {
    let Some(class) = named(class) else { return Rules::default() };
    match class {
        Class::Frost => {
            vec![rule("durability factor", AtLeast, 80.0, "%"), rule("spacing factor", AtMost, 0.200, "mm")]
                .into()
        }
        Class::Salt => vec![rule(SCALING_LOSS, AtMost, 1000.0, "g/m2")].into(),
        Class::Penetration => vec![rule("charge passed", AtMost, 2000.0, "C")].into(),
        Class::Stability => vec![
            rule("surface settlement", AtMost, 0.5, "%"),
            rule("stability index", AtLeast, 0.0, ""),
            rule("stability index", AtMost, 0.5, ""),
        ]
        .into(),
        // Long and slender fibres stop the flow at less; how much less, no figure says for every mix.
        Class::FlowingFibres => Rules {
            rules: vec![rule("fibre volume", AtMost, 0.5, "%")],
            needs: vec![Need::Limit("fibre factor")],
        },
    }
}
