//! Systems of units: which one a unit belongs to, and which one a whole text was written in.

use super::Unit;

/// A system of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// kg, m3, `MPa`.
    Si,
    /// lb, yd3, psi.
    Customary,
}

const CUSTOMARY: &[&str] = &[
    "lb", "lbs", "oz", "cwt", "ton", "tons", "in", "ft", "yd", "gal", "cy", "psi", "ksi", "Msi", "pcf",
    "pcy", "degF", "°F",
];

const SI: &[&str] = &[
    "kg", "g", "mg", "t", "tonne", "tonnes", "m", "mm", "cm", "um", "µm", "μm", "L", "l", "litre", "liter",
    "litres", "liters", "mL", "ml", "Pa", "kPa", "MPa", "GPa", "N", "degC", "°C",
];

impl Unit {
    /// The system the unit belongs to; none for shares, ages, money and the like.
    pub fn system(&self) -> Option<System> {
        let has = |words: &[&str]| {
            self.text
                .split(['/', ' '])
                .any(|part| words.contains(&part.trim_end_matches(['2', '3', '²', '³', '^'])))
        };
        if has(CUSTOMARY) {
            Some(System::Customary)
        } else if has(SI) {
            Some(System::Si)
        } else {
            None
        }
    }
}

/// How many values of each system were seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    si: usize,
    customary: usize,
}

impl Tally {
    /// Counts one unit.
    pub fn count(&mut self, unit: &Unit) {
        match unit.system() {
            Some(System::Si) => self.si += 1,
            Some(System::Customary) => self.customary += 1,
            None => {}
        }
    }

    /// The system of most values; SI where they are as many.
    pub fn system(self) -> System {
        if self.si < self.customary { System::Customary } else { System::Si }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_knows_its_system() {
        for (text, system) in [
            ("lb/yd3", Some(System::Customary)),
            ("fl oz/cwt", Some(System::Customary)),
            ("/ton", Some(System::Customary)),
            ("degF", Some(System::Customary)),
            ("/t", Some(System::Si)),
            ("kg CO2e/m3", Some(System::Si)),
            ("%", None),
            ("d", None),
            ("", None),
        ] {
            assert_eq!(Unit::known(text).system(), system, "{text}");
        }
    }

    #[test]
    fn the_system_of_a_text_is_that_of_most_of_its_values() {
        let mut tally = Tally::default();
        assert_eq!(tally.system(), System::Si);
        for text in ["psi", "kg/m3", "lb/yd3", "d"] {
            tally.count(&Unit::known(text));
        }
        assert_eq!(tally.system(), System::Customary);
    }
}
