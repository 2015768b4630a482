//! Classes of fresh self-consolidating concrete by what its tests show.
//!
//! The figures are asked of responses that the author fitted, and judged on values that were measured; nothing here
//! predicts flow from proportions.

use super::rule::Rule;
use super::rule::rule;
use crate::standard::side::Side::{AtLeast, AtMost};

/// Where the figures come from.
pub const SOURCE: &str = "what tests of fresh self-consolidating concrete show: time to 500 mm of slump flow and V-funnel \
                          time, passing ability in the L-box and sieve segregation by the European Guidelines for \
                          Self-Compacting Concrete 2005 (V-funnel time as printed, the others: value from memory); slump \
                          flow less J-ring flow by ASTM C1621, column segregation by ASTM C1610, penetration depth by ASTM \
                          C1712, time to 500 mm by ASTM C1611 (every figure: value from memory). A prediction is no test.";

/// The class names.
pub const NAMES: &[&str] = &[
    "VS1",
    "VS2",
    "VF1",
    "VF2",
    "PA1",
    "PA2",
    "SR1",
    "SR2",
    "no visible blocking",
    "minimal blocking",
    "column stability",
    "penetration resistant",
    "moderately penetration resistant",
    "usual flow time",
];

/// The rules of one class. Where a table says `above`, the bound itself belongs to the other class: it is let pass here,
/// and no figure of a test is that sharp.
pub fn rules(class: &str) -> Vec<Rule> {
    const FLOW_TIME: &str = "flow time to 500 mm";
    match class {
        "VS1" => vec![rule(FLOW_TIME, AtMost, 2.0, "s")],
        "VS2" => vec![rule(FLOW_TIME, AtLeast, 2.0, "s")],
        "VF1" => vec![rule("V-funnel time", AtMost, 8.0, "s")],
        "VF2" => vec![rule("V-funnel time", AtLeast, 9.0, "s"), rule("V-funnel time", AtMost, 25.0, "s")],
        // two and three bars
        "PA1" | "PA2" => vec![rule("passing ability", AtLeast, 0.80, "")],
        "SR1" => vec![rule("sieve segregation", AtMost, 20.0, "%")],
        "SR2" => vec![rule("sieve segregation", AtMost, 15.0, "%")],
        "no visible blocking" => vec![rule("J-ring difference", AtMost, 25.0, "mm")],
        "minimal blocking" => vec![rule("J-ring difference", AtMost, 50.0, "mm")],
        "column stability" => vec![rule("column segregation", AtMost, 10.0, "%")],
        "penetration resistant" => vec![rule("penetration depth", AtMost, 10.0, "mm")],
        "moderately penetration resistant" => vec![rule("penetration depth", AtMost, 25.0, "mm")],
        _ => vec![rule(FLOW_TIME, AtLeast, 2.0, "s"), rule(FLOW_TIME, AtMost, 5.0, "s")],
    }
}
