//! Classes of hardened concrete by what tests of its durability show.
//!
//! The figures are asked of responses that the author fitted, and judged on values that were measured; nothing here
//! predicts durability from proportions.

use super::rule::Rule;
use super::rule::rule;
use crate::standard::names::SCALING_LOSS;
use crate::standard::side::Side::{AtLeast, AtMost};

/// Where the figures come from.
pub const SOURCE: &str = "what tests of durability show: charge passed in 6 h at 60 V by ASTM C1202, table X1.1 (value from \
                          memory); scaling after 28 and 56 cycles, class FT2 of EN 13877-2 tested by CEN/TS 12390-9, and \
                          after 56 cycles by SS 13 72 44, acceptable only where it does not double from 28 to 56 cycles (value from memory); durability factor after 300 cycles, relative \
                          modulus times cycles over 300, by ASTM C666 (the test has no limit of its own; 60 % and 80 %: \
                          common practice, no source). A prediction is no test.";

/// The class names.
pub const NAMES: &[&str] = &[
    "penetrability moderate",
    "penetrability low",
    "penetrability very low",
    "penetrability negligible",
    "FT2",
    "scaling acceptable",
    "scaling good",
    "scaling very good",
    "durability factor 60",
    "durability factor 80",
];

/// The rules of one class.
pub fn rules(class: &str) -> Vec<Rule> {
    let charge = |most: f64| vec![rule("charge passed", AtMost, most, "C")];
    match class {
        "penetrability moderate" => charge(4000.0),
        "penetrability low" => charge(2000.0),
        "penetrability very low" => charge(1000.0),
        "penetrability negligible" => charge(100.0),
        "FT2" => vec![
            rule(SCALING_LOSS, AtMost, 1000.0, "g/m2"),
            rule("scaling loss after 28 cycles", AtMost, 500.0, "g/m2"),
        ],
        "scaling acceptable" => vec![
            rule(SCALING_LOSS, AtMost, 1000.0, "g/m2"),
            rule("scaling after 56 over 28 cycles", AtMost, 2.0, ""),
        ],
        "scaling good" => vec![rule(SCALING_LOSS, AtMost, 200.0, "g/m2")],
        "scaling very good" => vec![rule(SCALING_LOSS, AtMost, 100.0, "g/m2")],
        "durability factor 60" => vec![rule("durability factor", AtLeast, 60.0, "%")],
        _ => vec![rule("durability factor", AtLeast, 80.0, "%")],
    }
}
