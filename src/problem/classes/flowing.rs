//! Slump-flow classes of self-consolidating concrete as windows of proportions.
//!
//! The windows are the same for the three classes: the source gives them for all. They are where such mixes usually lie,
//! not what they must meet; an author's own limit stands in place of any of them.

use super::Rule;
use super::family::windows;

/// Where the figures come from.
pub const SOURCE: &str = "usual proportions of the European Guidelines for Self-Compacting Concrete 2005, table 8.2 \
                          (value from memory), the same for every slump-flow class: where such mixes lie, not proof \
                          that one flows.";

/// The class names.
pub const NAMES: &[&str] = &["SF1", "SF2", "SF3"];

/// Name, lower end, upper end, unit.
const WINDOWS: &[(&str, f64, f64, &str)] = &[
    ("powder", 380.0, 600.0, "kg/m3"),
    ("paste volume", 30.0, 38.0, "%"),
    ("free water", 150.0, 210.0, "kg/m3"),
    ("coarse aggregate volume", 27.0, 36.0, "%"),
    ("water-powder ratio by volume", 0.85, 1.10, ""),
    ("sand share", 48.0, 55.0, "%"),
];

/// The rules of every class.
pub fn rules() -> Vec<Rule> {
    windows(WINDOWS)
}
