//! k-values and caps of EN 206 by its edition. Every figure: value from memory.
//!
//! What enters: the edition, the role of an addition, the strength class of the cement, and whether the
//! cement holds other constituents. What leaves: how many times the addition counts, up to which share of the cement; or
//! that the edition has none. Which classes of exposure ask for what, nothing here knows.

use crate::material::Role;
use crate::statement::{CementStrength, Edition};

/// How an addition counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KValue {
    /// Times that it counts.
    pub k: f64,
    /// Largest amount that counts, as a share of cement by mass.
    pub cap: f64,
}

/// Why an edition has no k-value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoKValue {
    /// It goes by the strength class of the cement, which is not said.
    ByCementClass,
    /// It has none for this addition.
    NotGiven,
}

/// What the cement of a statement is, as far as k-values go by it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CementKind {
    /// Its strength class.
    pub class: Option<CementStrength>,
    /// Share of other constituents than clinker.
    pub others: f64,
}

/// Most that the cements hold beside clinker where the cap of a cement without other constituents stands.
const PURE: f64 = 0.05;

impl Edition {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Of2000 => "EN 206-1:2000",
            Self::Of2013 => "EN 206:2013",
        }
    }

    /// How an addition counts.
    pub fn k_value(self, role: Role, cement: CementKind) -> Result<KValue, NoKValue> {
        match (self, role) {
            (Self::Of2000, Role::FlyAsh) => match cement.class {
                Some(CementStrength::Of32) => Ok(KValue { k: 0.2, cap: 0.33 }),
                Some(_) => Ok(KValue { k: 0.4, cap: 0.33 }),
                None => Err(NoKValue::ByCementClass),
            },
            (Self::Of2013, Role::FlyAsh) => {
                Ok(KValue { k: 0.4, cap: if PURE < cement.others { 0.25 } else { 0.33 } })
            }
            // 1.0 in XC and XF above a water-cement ratio of 0.45: told where the classes are known
            (_, Role::SilicaFume) => Ok(KValue { k: 2.0, cap: 0.11 }),
            (Self::Of2013, Role::Slag) => Ok(KValue { k: 0.6, cap: 1.0 }),
            _ => Err(NoKValue::NotGiven),
        }
    }
}
