//! Named sets of the trade for what tests show: frost, salt, chloride penetration, stability when fresh, and fibres in
//! flowing concrete.
//!
//! The figures are asked of responses that the author fitted to own tests; a prediction is no test.

use super::{On, Rule, Rules};
use crate::problem::Side;

/// Where the figures come from.
pub const SOURCE: &str = "usual demands on test results: durability factor of at least 80 % after 300 cycles, scaling of \
                          at most 1000 g/m2 after 50 cycles, at most 2000 C passed, surface settlement of at most \
                          0.5 %, stability index of 0 to 0.5, at most 0.5 % of fibres by volume (common practice, no \
                          source); spacing factor of at most 0.200 mm (value from memory). A prediction is no test.";

/// The class names.
pub const NAMES: &[&str] =
    &["frost tests", "salt tests", "penetration tests", "stability tests", "flowing fibres"];

/// The rules of one class.
pub fn rules(class: &str) -> Rules {
    let rule = |name: &'static str, side: Side, value: f64, unit: &'static str| Rule {
        on: On::Name(name),
        side,
        value,
        unit,
    };
    match class {
        "frost tests" => Rules::Known(vec![
            rule("durability factor", Side::AtLeast, 80.0, "%"),
            rule("spacing factor", Side::AtMost, 0.200, "mm"),
        ]),
        "salt tests" => Rules::Known(vec![rule("scaling loss", Side::AtMost, 1000.0, "g/m2")]),
        "penetration tests" => Rules::Known(vec![rule("charge passed", Side::AtMost, 2000.0, "C")]),
        "stability tests" => Rules::Known(vec![
            rule("surface settlement", Side::AtMost, 0.5, "%"),
            rule("stability index", Side::AtLeast, 0.0, ""),
            rule("stability index", Side::AtMost, 0.5, ""),
        ]),
        // Long and slender fibres stop the flow at less; how much less, no figure says for every mix.
        _ => Rules::NeedLimit(vec![rule("fibre volume", Side::AtMost, 0.5, "%")], "fibre factor"),
    }
}
