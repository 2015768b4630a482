//! What restrained concrete is subjected to, and what it is made of: as bound to the factors of a mix when the statement was
//! read. Ages in days since casting. Nothing is worked out here.

use super::creep_course::Creep;
use super::curve::Course;
use super::formula::Slot;
use super::restraint::Restraint;
use super::temperature::Temperature;
use super::thermal::Thermal;

/// A free strain and what brings it.
#[derive(Clone, Debug)]
pub struct Strain {
    /// What brings it.
    pub cause: Cause,
    /// Its size over age, microstrain.
    pub course: Course,
}

/// What brings a free strain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// Loss of water to the air; goes by the clock.
    Drying,
    /// Hydration; goes by the equivalent age.
    Autogenous,
    /// Expansive agents; goes by the equivalent age.
    Expansion,
    /// Temperature, in proportion to the heat of the mix; goes by the clock.
    Heat,
}

impl Cause {
    /// +1 where concrete shortens, -1 where it lengthens.
    pub fn sign(self) -> f64 {
        match self {
            Self::Drying | Self::Autogenous | Self::Heat => 1.0,
            Self::Expansion => -1.0,
        }
    }

    /// Whether it goes by the clock, not by the equivalent age.
    pub fn is_by_clock(self) -> bool {
        matches!(self, Self::Drying | Self::Heat)
    }
}

/// How the age at which restraint begins is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Onset {
    /// A setting time by ASTM C403.
    AstmC403,
    /// A setting time by EN 480-2.
    En480,
    /// An age that was only stated: strain before it is not counted.
    Stated,
}

/// What restrained concrete is subjected to, and what it is made of.
#[derive(Clone, Debug)]
pub struct Setting {
    /// How the strain is held back.
    pub restraint: Restraint,
    /// Age at which restraint begins, d.
    pub onset: f64,
    /// How that age is known.
    pub onset_by: Onset,
    /// Age at which drying begins, d; none if nothing dries.
    pub drying: Option<f64>,
    /// From when the response counts its days.
    pub counted: Counted,
    /// Last age looked at, d.
    pub horizon: f64,
    /// Free strains.
    pub strains: Vec<Strain>,
    /// Factor on all strains, those of temperature among them, from own ages at cracking; one where there are none.
    pub strain_scale: f64,
    /// Strain of temperature, if one was given.
    pub temperature: Option<Temperature>,
    /// Temperature of the concrete over age, if it was given: for growth and strain alike.
    pub thermal: Option<Thermal>,
    /// Modulus, GPa.
    pub modulus: Course,
    /// Tensile strength, MPa.
    pub tension: Course,
    /// Direct tensile strength over that one.
    pub direct: f64,
    /// Creep.
    pub creep: Creep,
    /// Share, fibre volume (%), gain through fibres, fibre scale (%): the inputs of the failure level.
    pub failure: [Slot; 4],
    /// Coefficient of variation of the stress, and of the strength.
    pub scatter: [f64; 2],
}

/// From when a response counts its days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// Since casting.
    Casting,
    /// Since drying began.
    Drying,
}

impl Setting {
    /// The equivalent age at 20 degrees Celsius, d.
    pub(super) fn mature(&self, age: f64) -> f64 {
        self.thermal.as_ref().map_or(age, |thermal| thermal.equivalent_age(age))
    }
}
