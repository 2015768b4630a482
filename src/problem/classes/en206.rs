//! Exposure classes of EN 206-1:2000, table F.1, as rules.

use super::{On, Rule, Setting};
use crate::problem::Side;
use crate::response::law::exposure::Exposure;

/// Where the figures come from.
pub const SOURCE: &str = "limits of EN 206-1:2000, table F.1 (informative; for 50 years, cement of class 32.5 and \
                          aggregate of 20 to 32 mm: value from memory). With k-values, cement means cement with its \
                          counted additions. Without entrained air the table asks for a performance test instead.";

/// The class names.
pub fn names() -> Vec<String> {
    Exposure::ALL.iter().map(|class| format!("{class:?}")).collect()
}

/// The rules of one class.
pub fn rules(class: &str, setting: &Setting) -> Vec<Rule> {
    let Some(limits) = Exposure::named(class).map(Exposure::limits) else { return Vec::new() };
    let (ratio, content) = if setting.equivalent {
        ("equivalent water-binder ratio", "equivalent binder")
    } else {
        ("water-cement ratio", "cement")
    };
    let (cylinder, cube) = limits.strength;
    let rule = |on: On, side: Side, value: f64, unit: &'static str| Rule { on, side, value, unit };
    let mut rules = vec![rule(On::Strength { cube: Some(cube) }, Side::AtLeast, cylinder, "MPa")];
    rules.extend(limits.water_cement.map(|value| rule(On::Name(ratio), Side::AtMost, value, "")));
    rules.extend(limits.cement.map(|value| rule(On::Name(content), Side::AtLeast, value, "kg/m3")));
    rules.extend(limits.air.map(|value| rule(On::Name("air"), Side::AtLeast, value, "%")));
    rules
}
