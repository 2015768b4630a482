//! Slump-flow classes of self-consolidating concrete as windows of proportions.
//!
//! The slump flow is asked of a response. The windows are the same for the three classes: the source gives them for all.
//! They are where such mixes usually lie,
//! not what they must meet; an author's own limit stands in place of any of them.

use super::rule::Rule;
use super::rule::windows;
use crate::standard::names::SLUMP_FLOW;

/// Where the figures come from.
pub const SOURCE: &str = "slump flow and usual proportions of the European Guidelines for Self-Compacting Concrete 2005, table 8.2 \
                          (windows: value from memory; sand by mass of the aggregate), the same for every slump-flow class: where such mixes lie, not proof \
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
    ("sand share by mass", 48.0, 55.0, "%"),
];

/// The rules of one class: its slump flow, and the windows of proportions that all share.
pub fn rules(class: &str) -> Vec<Rule> {
    let flow = match class {
        "SF1" => (SLUMP_FLOW, 550.0, 650.0, "mm"),
        "SF2" => (SLUMP_FLOW, 660.0, 750.0, "mm"),
        _ => (SLUMP_FLOW, 760.0, 850.0, "mm"),
    };
    windows(WINDOWS).into_iter().chain(windows(&[flow])).collect()
}
