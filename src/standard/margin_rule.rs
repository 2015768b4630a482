//! The overdesign rules of standards.
//!
//! What enters: the strength asked for, in the author's unit. What leaves: the strength that the average must reach.

use super::required_average::{
    EUROCODE_MARGIN, aci_recorded, aci_recorded_psi, aci_unrecorded, aci_unrecorded_psi,
};
use super::strength::Statistic;
use crate::quantity::{System, Unit, as_written, trimmed};

/// An overdesign rule: required average strength from the strength asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MarginRule {
    /// ACI 301 and ACI 318 with tests on record: deviation in MPa, factor for few tests.
    AciRecorded(f64, f64),
    /// ACI 301 and ACI 318 without tests on record.
    AciUnrecorded,
    /// EN 206, annex A.5: so many deviations over the characteristic strength.
    Target {
        /// Deviations.
        lambda: f64,
        /// Standard deviation of the tests on record, MPa.
        deviation: f64,
    },
    /// EN 206, annex A.5, without tests on record: so many MPa over the characteristic strength.
    Offset(f64),
    /// EN 1992-1-1: mean less characteristic strength.
    Eurocode,
}

impl MarginRule {
    /// The strength that the average must reach, both in a unit of stress.
    pub fn required(self, asked: f64, unit: &Unit) -> f64 {
        const PSI: f64 = 145.037_737_73;
        let own = Unit::known("MPa");
        let asked = own.from_base(unit.to_base(asked));
        // Where a statement is in psi, the rules in psi are meant: their constants are rounder, not the same.
        let in_psi = unit.system() == Some(System::Customary);
        let required = match self {
            Self::AciRecorded(deviation, factor) if in_psi => {
                aci_recorded_psi(asked * PSI, deviation * PSI * factor) / PSI
            }
            Self::AciRecorded(deviation, factor) => aci_recorded(asked, deviation * factor),
            Self::AciUnrecorded if in_psi => aci_unrecorded_psi(asked * PSI) / PSI,
            Self::AciUnrecorded => aci_unrecorded(asked),
            Self::Target { lambda, deviation } => asked + deviation * lambda,
            Self::Offset(offset) => asked + offset,
            Self::Eurocode => asked + EUROCODE_MARGIN,
        };
        unit.from_base(own.to_base(required))
    }

    /// In words, for a report; a deviation in this unit of stress.
    pub fn words(self, unit: &Unit) -> String {
        let own = Unit::known("MPa");
        let shown = |deviation: f64| unit.with_number(&as_written(unit.from_base(own.to_base(deviation))));
        match self {
            Self::AciRecorded(deviation, factor) => format!(
                "required average strength by ACI 301 from a deviation of {}, factor {}",
                shown(deviation),
                trimmed(factor, 4)
            ),
            Self::AciUnrecorded => "required average strength by ACI 301 without tests on record".to_owned(),
            Self::Target { lambda, deviation } => format!(
                "target by EN 206, annex A.5: {} deviations of {}",
                trimmed(lambda, 4),
                shown(deviation)
            ),
            Self::Offset(offset) => {
                format!("target by EN 206, annex A.5, without tests on record: {} over it", shown(offset))
            }
            Self::Eurocode => "mean strength by EN 1992-1-1".to_owned(),
        }
    }

    /// The statistic of the strength asked for.
    pub fn statistic(self) -> Statistic {
        match self {
            Self::AciRecorded(..) | Self::AciUnrecorded => Statistic::Specified,
            Self::Target { .. } | Self::Offset(_) | Self::Eurocode => Statistic::Characteristic,
        }
    }
}
