//! How creep grows under stress: by which law, from what age at loading, over which modulus.
//!
//! What enters: ages. What leaves: the share of the final coefficient that a stress applied at one age has crept by
//! another. The final coefficient itself belongs to the mix. Where a law's factor for the age at loading ends, the factor
//! stays at that end: more creep at earlier ages is true of young concrete, but not counted on.

use super::formula::Slot;
use super::law::{Law, aci_growth};

/// Creep of a mix.
#[derive(Clone, Debug, PartialEq)]
pub struct Creep {
    /// Final coefficient, for the age at loading that the law states it for.
    pub last: Slot,
    /// Its growth.
    pub law: CreepLaw,
}

/// The law that creep grows by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CreepLaw {
    /// ACI 209 with its factor for the age at loading; the final coefficient is that of 7 d, after steam curing 1 to 3 d.
    Aci(Curing),
    /// ACI 209, every age at loading alike.
    AciAnyAge,
    /// EN 1992-1-1, annex B.1; the final coefficient is that of loading at 28 d.
    Eurocode {
        /// The coefficient that slows growth, d.
        slowness: f64,
        /// Exponent of the cement class on the age at loading.
        cement_exponent: f64,
    },
}

/// How concrete was cured before it was loaded, in ACI 209.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Curing {
    /// Moist.
    Moist,
    /// With steam.
    Steam,
}

/// The modulus that a creep coefficient refers to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reference {
    /// The modulus at loading.
    AtLoading,
    /// The modulus at 28 d times this factor.
    At28(f64),
}

/// Tangent over secant modulus (EN 1992-1-1:2004, 3.1.4(2)).
const TANGENT: f64 = 1.05;

impl CreepLaw {
    /// Earliest age at loading that its factor is meant for, d.
    pub fn earliest(self) -> Option<f64> {
        match self {
            Self::Aci(Curing::Moist) => Some(7.0),
            Self::Aci(Curing::Steam) | Self::Eurocode { .. } => Some(1.0),
            Self::AciAnyAge => None,
        }
    }

    /// The modulus that the coefficient refers to.
    pub fn reference(self) -> Reference {
        match self {
            Self::Aci(_) | Self::AciAnyAge => Reference::AtLoading,
            Self::Eurocode { .. } => Reference::At28(TANGENT),
        }
    }

    /// Share of the final coefficient after `days` under a stress applied at the age `loading` (d, at 20 degrees Celsius).
    pub fn share(self, days: f64, loading: f64) -> f64 {
        let loading = self.earliest().map_or(loading, |earliest| loading.max(earliest));
        match self {
            Self::Aci(Curing::Moist) => 1.25 * loading.powf(-0.118) * aci_growth(&days),
            Self::Aci(Curing::Steam) => 1.13 * loading.powf(-0.094) * aci_growth(&days),
            Self::AciAnyAge => aci_growth(&days),
            Self::Eurocode { slowness, cement_exponent } => {
                let term = |age: f64| loading_term(age, cement_exponent);
                term(loading) / term(28.0) * (days / (slowness + days)).powf(0.3)
            }
        }
    }
}

/// The factor of EN 1992-1-1 for the age at loading: that of its law of the final coefficient, in which it alone depends on
/// that age.
fn loading_term(age: f64, cement_exponent: f64) -> f64 {
    // strength, humidity and size do not matter to the ratio that is formed of two of these
    Law::EurocodeCreepUltimate.value(&[35.0, 50.0, 100.0, age, cement_exponent, 1.0])
}
