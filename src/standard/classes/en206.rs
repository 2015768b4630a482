//! Exposure classes of EN 206-1:2000, table F.1, as rules.

use super::rule::{On, Rule, Setting, rule};
use crate::material::Role;
use crate::standard::exposure::Exposure;
use crate::standard::side::Side;

/// Where the figures come from.
pub const SOURCE: &str = "limits of EN 206-1:2000, table F.1 (informative; for 50 years, cement of class 32.5 and \
                          aggregate of 20 to 32 mm: value from memory). With k-values the cement is at least \
                          c - k (c - 200), and with its counted additions, silica fume k times, at least c (EN 206-1:2000, \
                          5.2.5.2: value from memory); silica fume replaces at most 30 kg/m3 where c is at most 300. Without entrained air the table asks for a performance test instead.";

/// The class names.
pub fn names() -> Vec<String> {
    Exposure::ALL.iter().map(|class| format!("{class:?}")).collect()
}

/// Whether a class is about corrosion of reinforcement.
pub fn is_corrosion(class: &str) -> bool {
    Exposure::named(class).is_some_and(Exposure::is_corrosion)
}

/// Whether a class is about frost with deicing salt.
pub fn is_deicing_salt(class: &str) -> bool {
    Exposure::named(class).is_some_and(Exposure::is_deicing_salt)
}

/// Cement below which no k-value reaches, kg/m3 (EN 206-1:2000, 5.2.5.2.2, value from memory).
const CORE: f64 = 200.0;
/// Most that silica fume may replace where at most 300 kg/m3 are asked for, kg/m3 (5.2.5.2.3, value from memory).
const REPLACED: f64 = 30.0;

/// The rules of one class.
pub fn rules(class: &str, setting: &Setting) -> Vec<Rule> {
    let Some(limits) = Exposure::named(class).map(Exposure::limits) else { return Vec::new() };
    let ratio =
        if setting.counted.is_empty() { "water-cement ratio" } else { "equivalent water-binder ratio" };
    let (cylinder, cube) = limits.strength;
    let mut rules = vec![Rule {
        on: On::Strength { cube: Some(cube) },
        side: Side::AtLeast,
        value: cylinder,
        unit: "MPa",
    }];
    rules.extend(limits.water_cement.map(|value| rule(ratio, Side::AtMost, value, "")));
    rules.extend(limits.cement.into_iter().flat_map(|least| cement(least, &setting.counted)));
    rules.extend(limits.air.map(|value| rule("air", Side::AtLeast, value, "%")));
    rules
}

/// The least cement: alone, or with additions that count by k-values. Of several additions the smallest k counts, which
/// asks for most cement.
fn cement(least: f64, counted: &[(Role, f64)]) -> Vec<Rule> {
    let content = |name: &'static str, value: f64| rule(name, Side::AtLeast, value, "kg/m3");
    if counted.is_empty() {
        return vec![content("cement", least)];
    }
    let smallest = counted
        .iter()
        .filter(|(role, _)| *role != Role::SilicaFume)
        .map(|(_, k)| *k)
        .reduce(f64::min)
        .map(|k| least - k * (least - CORE).max(0.0));
    let with_fume = counted.iter().any(|(role, _)| *role == Role::SilicaFume) && least <= 300.0;
    let of_fume = with_fume.then_some(least - REPLACED);
    let alone = [smallest, of_fume].into_iter().flatten().reduce(f64::max);
    let mut rules = vec![content("cement with additions", least)];
    rules.extend(alone.map(|value| content("cement", value)));
    rules
}
