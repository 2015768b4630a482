//! Proportions of self-consolidating concrete in US practice, as windows.
//!
//! They are where such mixes usually lie, not what they must meet; an author's own limit stands in place of any of them.

use super::rule::Rule;
use super::rule::windows;

/// Where the figures come from.
pub const SOURCE: &str = "usual proportions of self-consolidating concrete in US practice: coarse aggregate of 28 to 32 % and \
                          mortar of 68 to 72 % of the volume, sand of 45 to 55 % of the aggregate (common practice, no source), \
                          paste of 34 to 40 % and powder of 386 to 475 kg/m3 (ACI 237R, value from memory): where such \
                          mixes lie, not proof that one flows.";

/// The class names.
pub const NAMES: &[&str] = &["flowing proportions"];

/// Name, lower end, upper end, unit.
const WINDOWS: &[(&str, f64, f64, &str)] = &[
    ("coarse aggregate volume", 28.0, 32.0, "%"),
    ("mortar volume", 68.0, 72.0, "%"),
    ("sand share", 45.0, 55.0, "%"),
    ("paste volume", 34.0, 40.0, "%"),
    ("powder", 386.0, 475.0, "kg/m3"),
];

/// The rules of the one class.
pub fn rules() -> Vec<Rule> {
    windows(WINDOWS)
}
