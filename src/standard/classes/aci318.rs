//! Exposure classes of ACI 318-19 as rules: tables 19.3.2.1, 19.3.3.1 and 26.4.2.2(b). Every figure: value from memory.

use super::rule::{Concrete, Need, On, Presence, Rule, Rules, Setting};
use crate::material::Role;
use crate::standard::side::Side;
use Class::{C0, C1, C2, F0, F1, F2, F3, S0, S1, S2, S3, S3Option1, S3Option2, W0, W1, W2};

/// Where the figures come from.
pub const SOURCE: &str = "limits of ACI 318-19, tables 19.3.2.1, 19.3.3.1 and 26.4.2.2(b) (every figure: value from \
                          memory, compare with the code). S3 is option 1 where every mix holds a pozzolan or slag, \
                          option 2 elsewhere. The code's limits on the water-binder ratio are not meant for lightweight \
                          concrete; they stand here all the same. Types of cement, admixtures with chlorides and the lower \
                          air allowed above 5000 psi are not checked.";

/// A class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Class {
    F0,
    F1,
    F2,
    F3,
    S0,
    S1,
    S2,
    S3,
    S3Option1,
    S3Option2,
    W0,
    W1,
    W2,
    C0,
    C1,
    C2,
}

/// The classes by their names.
const CLASSES: &[(Class, &str)] = &[
    (F0, "F0"),
    (F1, "F1"),
    (F2, "F2"),
    (F3, "F3"),
    (S0, "S0"),
    (S1, "S1"),
    (S2, "S2"),
    (S3, "S3"),
    (S3Option1, "S3 option 1"),
    (S3Option2, "S3 option 2"),
    (W0, "W0"),
    (W1, "W1"),
    (W2, "W2"),
    (C0, "C0"),
    (C1, "C1"),
    (C2, "C2"),
];

/// The class names.
pub fn names() -> Vec<String> {
    CLASSES.iter().map(|(_, name)| (*name).to_owned()).collect()
}

fn named(class: &str) -> Option<Class> {
    CLASSES.iter().find(|(_, name)| *name == class).map(|(class, _)| *class)
}

/// Openings in mm, and total air in % for F1 and for F2 and F3 (ACI 318-19, table 19.3.3.1, value from memory).
const AIR: &[(f64, f64, f64)] = &[
    (9.5, 6.0, 7.5),
    (12.5, 5.5, 7.0),
    (19.0, 5.0, 6.0),
    (25.0, 4.5, 6.0),
    (37.5, 4.5, 5.5),
    (50.0, 4.0, 5.0),
    (75.0, 3.5, 4.5),
];

/// Largest shares of the binder in % under deicing salts (ACI 318-19, table 26.4.2.2(b), value from memory).
const CAPS: &[(&[Role], f64)] = &[
    (&[Role::FlyAsh, Role::NaturalPozzolan], 25.0),
    (&[Role::Slag], 50.0),
    (&[Role::SilicaFume], 10.0),
    (&[Role::FlyAsh, Role::NaturalPozzolan, Role::Slag, Role::SilicaFume], 50.0),
    (&[Role::FlyAsh, Role::NaturalPozzolan, Role::SilicaFume], 35.0),
];

/// Whether a class is about corrosion of reinforcement.
pub fn is_corrosion(class: &str) -> bool {
    matches!(named(class), Some(C0 | C1 | C2))
}

/// Whether a class is about frost with deicing salt.
pub fn is_deicing_salt(class: &str) -> bool {
    named(class) == Some(F3)
}

/// The rules of one class.
pub fn rules(class: &str, setting: &Setting) -> Rules {
    let Some(class) = named(class) else { return Rules::default() };
    let plain = setting.concrete == Concrete::Plain;
    // Option 1 is for mixes that hold a pozzolan or slag, option 2 for those that do not.
    let class = match (class, setting.pozzolan) {
        (S3, Presence::Always) => S3Option1,
        (S3, Presence::NotAlways) => S3Option2,
        _ => class,
    };
    // Largest water-binder ratio and least strength in psi (table 19.3.2.1).
    let (ratio, strength) = match class {
        F1 => (Some(0.55), 3500.0),
        F3 if !plain => (Some(0.40), 5000.0),
        F2 | F3 | S2 | S3Option1 => (Some(0.45), 4500.0),
        S3 | S3Option2 | C2 => (Some(0.40), 5000.0),
        S1 | W2 => (Some(0.50), 4000.0),
        F0 | S0 | W0 | W1 | C0 | C1 => (None, 2500.0),
    };
    let rule = |on: On, side: Side, value: f64, unit: &'static str| Rule { on, side, value, unit };
    let mut rules = vec![rule(On::Strength { cube: None }, Side::AtLeast, strength, "psi")];
    rules.extend(ratio.map(|value| rule(On::Name("water-binder ratio"), Side::AtMost, value, "")));
    if let Some(share) = chlorides(class, setting.concrete) {
        rules.push(rule(On::PerBinder("content of chlorides"), Side::AtMost, share, "%"));
    }
    if class == F3 {
        rules.extend(CAPS.iter().map(|(roles, most)| rule(On::Share(roles), Side::AtMost, *most, "%")));
    }
    match (class, setting.largest) {
        (F1 | F2 | F3, Some(size)) => match air(class, size) {
            Some(air) => {
                rules.push(rule(On::Name("air"), Side::AtLeast, air, "%"));
                rules.into()
            }
            None => Rules { rules, needs: vec![Need::Size] },
        },
        (F1 | F2 | F3, None) => Rules { rules, needs: vec![Need::Size] },
        (S3Option1, _) => Rules {
            rules,
            needs: vec![Need::Told(
                "pozzolan or slag",
                "as much as stood the test of sulfates",
                "its amount goes by service record or test (ASTM C1012)",
            )],
        },
        _ => rules.into(),
    }
}

/// Water-soluble chlorides, % of the binder (table 19.3.2.1, value from memory).
fn chlorides(class: Class, concrete: Concrete) -> Option<f64> {
    match (class, concrete) {
        (_, Concrete::Plain) => None,
        (C0 | C1 | C2, Concrete::Prestressed) => Some(0.06),
        (C0, Concrete::Reinforced) => Some(1.00),
        (C1, Concrete::Reinforced) => Some(0.30),
        (C2, Concrete::Reinforced) => Some(0.15),
        _ => None,
    }
}

/// Air by largest size; between two sizes of the table the smaller one's, which is the larger figure.
fn air(class: Class, largest: f64) -> Option<f64> {
    let millimetres = largest * 1e3 * (1.0 + 1e-9);
    let (_, moderate, severe) = AIR.iter().rfind(|(size, ..)| *size <= millimetres)?;
    Some(if class == F1 { *moderate } else { *severe })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ACI 318-19, table 19.3.3.1 (value from memory).
    #[test]
    fn air_goes_by_the_largest_size_of_aggregate() {
        for (class, millimetres, expected) in [
            (F1, 9.5, Some(6.0)),
            (F2, 9.5, Some(7.5)),
            (F3, 19.0, Some(6.0)),
            (F3, 20.0, Some(6.0)),
            (F3, 16.0, Some(7.0)),
            (F2, 37.5, Some(5.5)),
            (F1, 75.0, Some(3.5)),
            (F1, 8.0, None),
        ] {
            assert_eq!(air(class, millimetres * 1e-3), expected, "{class:?} {millimetres}");
        }
    }
}
