//! The reader's units: SI or US customary. Conversions are exact; rounding comes last.

use crate::quantity::{Dimension, Of, System, Unit};

/// Which units a report uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Units {
    /// kg, m3, `MPa`, mm.
    Si,
    /// lb, yd3, psi, in.
    Customary,
}

impl From<System> for Units {
    fn from(system: System) -> Self {
        match system {
            System::Si => Self::Si,
            System::Customary => Self::Customary,
        }
    }
}

impl Units {
    fn system(self) -> System {
        match self {
            Self::Si => System::Si,
            Self::Customary => System::Customary,
        }
    }

    /// Amounts per volume of concrete.
    pub fn content(self) -> Unit {
        Unit::known(match self {
            Self::Si => "kg/m3",
            Self::Customary => "lb/yd3",
        })
    }

    /// Volumes per volume of concrete.
    pub fn volume(self) -> Unit {
        Unit::known(match self {
            Self::Si => "L/m3",
            Self::Customary => "ft3/yd3",
        })
    }

    /// The volume of concrete that amounts are for.
    pub fn body(self) -> &'static str {
        match self {
            Self::Si => "m3",
            Self::Customary => "yd3",
        }
    }

    /// Densities of concrete.
    pub fn density(self) -> Unit {
        Unit::known(match self {
            Self::Si => "kg/m3",
            Self::Customary => "lb/ft3",
        })
    }

    /// Cost per volume of concrete.
    pub fn cost(self, currency: &str) -> Unit {
        let yard = Unit::known("yd3");
        match self {
            Self::Si => crate::mixture::cost_unit(currency),
            Self::Customary => Unit {
                text: format!("{currency}/yd3"),
                dimension: Dimension::PRICE_BY_VOLUME,
                factor: 1.0 / yard.factor,
                ..Unit::number()
            },
        }
    }

    /// Carbon per volume of concrete.
    pub fn carbon(self) -> Unit {
        match self {
            Self::Si => crate::mixture::carbon_unit(),
            Self::Customary => Unit::known("lb CO2e/yd3"),
        }
    }

    /// The unit in which this reader sees a figure the author wrote in `unit`: the author's own if it belongs to
    /// the reader's system or to none.
    pub fn shown(self, unit: &Unit, currency: &str) -> Unit {
        if unit.system().is_none_or(|system| system == self.system()) {
            return unit.clone();
        }
        if let Some((plain, base)) = unit.without_base() {
            return self.shown(&plain, currency).of(base);
        }
        let wanted = match (self, unit.dimension) {
            (_, Dimension::PRICE_BY_VOLUME) => return self.cost(currency),
            (_, Dimension::DENSITY) if unit.of == Of::Carbon => return self.carbon(),
            (Self::Si, Dimension::STRESS) if GIGA < unit.factor => "GPa",
            (Self::Si, Dimension::STRESS) => "MPa",
            (Self::Si, Dimension::DENSITY) => "kg/m3",
            (Self::Si, Dimension::LENGTH) => "mm",
            (Self::Si, Dimension::TEMPERATURE) => "degC",
            (Self::Si, Dimension::MASS_BY_AREA) => "g/m2",
            (Self::Si, Dimension::VOLUME_BY_MASS) => "mL/kg",
            (Self::Customary, Dimension::STRESS) if GIGA < unit.factor => "ksi",
            (Self::Customary, Dimension::STRESS) => "psi",
            (Self::Customary, Dimension::DENSITY) => "lb/yd3",
            (Self::Customary, Dimension::LENGTH) => "in",
            (Self::Customary, Dimension::TEMPERATURE) => "degF",
            (Self::Customary, Dimension::MASS_BY_AREA) => "lb/ft2",
            (Self::Customary, Dimension::VOLUME_BY_MASS) => "fl oz/cwt",
            _ => return unit.clone(),
        };
        Unit::known(wanted)
    }
}

/// Units of stress above this many pascals are for moduli, not for strengths.
const GIGA: f64 = 1e8;

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST Special Publication 811 (2008), appendix B.9: 1 psi = 6.894 757 E+03 Pa, 1 lb/yd3 = 5.932 764 E-01 kg/m3,
    /// 1 yd3 = 7.645 549 E-01 m3, 1 oz (US fluid) = 2.957 353 E-05 m3.
    #[test]
    fn figures_change_units_by_the_nist_factors() {
        for (written, shown, of_one) in [
            ("MPa", "psi", 1.0 / 6.894_757e-3),
            ("kg/m3", "lb/yd3", 1.0 / 5.932_764e-1),
            ("GPa", "ksi", 1e3 / 6.894_757),
            ("mL/kg", "fl oz/cwt", 1e-6 / 2.957_353e-5 * 45.359_237),
            ("mm", "in", 1.0 / 25.4),
            ("kg CO2e/m3", "lb CO2e/yd3", 1.0 / 5.932_764e-1),
        ] {
            let (from, to) = (Unit::known(written), Units::Customary.shown(&Unit::known(written), "$"));
            assert_eq!(to.text, shown);
            let value = crate::problem::convert(1.0, &from, &to);
            assert!((value / of_one - 1.0).abs() < 1e-6, "{written}: {value}");
            let back = Units::Si.shown(&to, "$");
            let again = back.to_base(crate::problem::convert(value, &to, &back));
            assert!((again / from.factor - 1.0).abs() < 1e-12, "{written}");
        }
        let per_yard = Units::Customary.cost("$").from_base(100.0);
        assert!((per_yard - 76.455_49).abs() < 1e-5, "{per_yard}");
    }

    #[test]
    fn a_unit_of_the_readers_own_system_or_of_none_stays() {
        for text in ["%", "d", "microstrain", "lb/ft3"] {
            assert_eq!(Units::Customary.shown(&Unit::known(text), "$").text, text);
        }
        assert_eq!(Units::Si.shown(&Unit::known("g/cm3"), "EUR").text, "g/cm3");
    }
}
