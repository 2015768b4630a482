//! Classes of repair mortar and concrete, EN 1504-3.

use super::rule::{Need, On, Rule, Rules, rule};
use crate::standard::side::Side::{AtLeast, AtMost};

/// Where the figures come from.
pub const SOURCE: &str = "limits of EN 1504-3:2005, table 3: compressive strength (EN 12190, prisms of 40 x 40 x 160 mm; \
                          cylinders and cubes are taken as they stand, the figure as a characteristic one), bond (EN 1542), chlorides by mass of the whole (EN \
                          1015-17); modulus (EN 13412) where the repair bears load (value from memory). Bond after \
                          restrained shrinkage and thermal cycles, carbonation and capillary absorption are not checked.";

/// The class names.
pub const NAMES: &[&str] = &["R1", "R2", "R3", "R4"];

/// The rules of one class: strength, bond (MPa), modulus (GPa).
pub fn rules(class: &str) -> Rules {
    let (strength, bond, modulus) = match class {
        "R1" => (10.0, None, None),
        "R2" => (15.0, Some(0.8), None),
        "R3" => (25.0, Some(1.5), Some(15.0)),
        _ => (45.0, Some(2.0), Some(20.0)),
    };
    let specimen = On::Strength { cube: Some(strength) };
    let mut rules = vec![
        Rule { on: specimen, side: AtLeast, value: strength, unit: "MPa" },
        rule("content of chlorides / fresh density", AtMost, 0.05, "%"),
    ];
    rules.extend(bond.map(|bond| rule("bond strength", AtLeast, bond, "MPa")));
    rules.extend(modulus.map(|modulus| rule("modulus", AtLeast, modulus, "GPa")));
    let carbonation = Need::Told(
        "carbonation",
        "no deeper than in the reference concrete",
        "it is a comparison of two specimens (EN 13295)",
    );
    let needs = if modulus.is_some() { vec![carbonation] } else { Vec::new() };
    Rules { rules, needs }
}
