//! Alkali loading of concrete with reactive aggregate, ASTM C1778.

use super::rule::Rule;
use super::rule::rule;
use crate::standard::side::Side::AtMost;

/// Where the figures come from.
pub const SOURCE: &str = "alkali loading by prevention level of ASTM C1778 (value from memory): sodium oxide equivalent of the \
                          portland cement per m3 of concrete, declared as `contents: {alkalis: ...}` of the cement; alkalis \
                          of other binder do not count in it. Which level a structure needs, and how much pozzolan or slag, \
                          the standard says by aggregate and exposure.";

/// The class names.
pub const NAMES: &[&str] = &["alkali loading W", "alkali loading X", "alkali loading Y"];

/// The rules of one class.
pub fn rules(class: &str) -> Vec<Rule> {
    let most = match class {
        "alkali loading W" => 3.0,
        "alkali loading X" => 2.4,
        _ => 1.8,
    };
    vec![rule("content of alkalis from cement", AtMost, most, "kg/m3")]
}
