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

/// The class names.
pub const NAMES: &[&str] =
    &["frost tests", "salt tests", "penetration tests", "stability tests", "flowing fibres"];

/// Whether a class is about concrete that flows by itself.
pub fn is_flow(class: &str) -> bool {
    class == "flowing fibres"
}

/// The rules of one class.
pub fn rules(class: &str) -> Rules {
    match class {
        "frost tests" => {
            vec![rule("durability factor", AtLeast, 80.0, "%"), rule("spacing factor", AtMost, 0.200, "mm")]
                .into()
        }
        "salt tests" => vec![rule(SCALING_LOSS, AtMost, 1000.0, "g/m2")].into(),
        "penetration tests" => vec![rule("charge passed", AtMost, 2000.0, "C")].into(),
        "stability tests" => vec![
            rule("surface settlement", AtMost, 0.5, "%"),
            rule("stability index", AtLeast, 0.0, ""),
            rule("stability index", AtMost, 0.5, ""),
        ]
        .into(),
        // Long and slender fibres stop the flow at less; how much less, no figure says for every mix.
        _ => Rules {
            rules: vec![rule("fibre volume", AtMost, 0.5, "%")],
            needs: vec![Need::Limit("fibre factor")],
        },
    }
}
