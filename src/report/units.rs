//! The reader's units: SI or US customary. Conversions are exact; rounding comes last.

use crate::quantity::{Dimension, Unit};

/// Which units a report uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Units {
    /// kg, m3, `MPa`, mm.
    Si,
    /// lb, yd3, psi, in.
    Customary,
}

impl Units {
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

    /// Cost per volume of concrete.
    pub fn cost(self, currency: &str) -> Unit {
        let yard = Unit::known("yd3");
        match self {
            Self::Si => crate::mixture::cost_unit(currency),
            Self::Customary => Unit {
                text: format!("{currency}/yd3"),
                dimension: Dimension::PRICE_BY_VOLUME,
                factor: 1.0 / yard.factor,
                zero: 0.0,
            },
        }
    }

    /// Carbon per volume of concrete.
    pub fn carbon(self) -> Unit {
        match self {
            Self::Si => crate::mixture::carbon_unit(),
            Self::Customary => Unit { text: "lb CO2e/yd3".to_owned(), ..Unit::known("lb/yd3") },
        }
    }

    /// The unit in which this reader sees a figure the author wrote in `unit`: the author's own if it belongs to
    /// the reader's system or to none.
    pub fn shown(self, unit: &Unit, currency: &str) -> Unit {
        let customary = is_customary(&unit.text);
        let wanted = match self {
            Self::Si if customary => match unit.dimension {
                Dimension::STRESS if unit.factor > 1e8 || unit.text == "Msi" => "GPa",
                Dimension::STRESS => "MPa",
                Dimension::DENSITY => "kg/m3",
                Dimension::LENGTH => "mm",
                Dimension::TEMPERATURE => "degC",
                Dimension::MASS_BY_AREA => "g/m2",
                Dimension::VOLUME_BY_MASS => "mL/kg",
                Dimension::PRICE_BY_VOLUME => return self.cost(currency),
                _ => return unit.clone(),
            },
            Self::Customary if !customary => match unit.dimension {
                Dimension::STRESS if unit.factor > 1e8 => "ksi",
                Dimension::STRESS => "psi",
                Dimension::DENSITY if unit.text.contains("CO2") => return self.carbon(),
                Dimension::DENSITY => "lb/yd3",
                Dimension::LENGTH => "in",
                Dimension::TEMPERATURE => "degF",
                Dimension::MASS_BY_AREA => "lb/ft2",
                Dimension::VOLUME_BY_MASS => "fl oz/cwt",
                Dimension::PRICE_BY_VOLUME => return self.cost(currency),
                _ => return unit.clone(),
            },
            _ => return unit.clone(),
        };
        Unit::known(wanted)
    }
}

fn is_customary(text: &str) -> bool {
    const WORDS: &[&str] = &[
        "lb", "lbs", "oz", "cwt", "ton", "tons", "in", "ft", "yd", "gal", "cy", "psi", "ksi", "Msi", "pcf",
        "pcy", "degF", "°F",
    ];
    text.split(['/', ' ']).any(|part| WORDS.contains(&part.trim_end_matches(['2', '3', '²', '³'])))
}
