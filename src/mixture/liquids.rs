//! Liquids by volume: as plants meter them and as US practice doses them. What enters: sums by mass. What leaves: the same
//! by volume, or nothing where a sum holds what is no liquid. Whether a limit or a factor asks is not known here.

use super::affine::{Affine, Measure, Ratio};
use super::columns::Mixture;
use super::quantity::Quantity;
use crate::quantity::{Dimension, Unit};

/// Both parts of a dose by volume are multiplied by this, so that its row holds numbers near one.
pub const PER_THOUSAND: f64 = 1000.0;
/// Density of water, kg/m3.
const WATER: f64 = 1000.0;

impl Mixture {
    /// The volume in m3 of a sum of whole liquids in kg; of the free water too, which is water wherever it comes from.
    pub fn liquid_volume(&self, sum: &Affine) -> Option<Affine> {
        if *sum == self.free_water() {
            return Some(sum.times(1.0 / WATER));
        }
        let mut volume = sum.clone();
        for (column, coefficient) in &mut volume.terms {
            let material = self.catalogue.materials.get(*column)?;
            if *coefficient != 1.0 || !material.role.is_liquid() {
                return None;
            }
            *coefficient = 1.0 / material.density;
        }
        Some(volume)
    }

    /// A mass of liquids per volume of concrete as their volume.
    pub fn content_by_volume(&self, quantity: &Quantity) -> Option<Quantity> {
        let Measure::Linear(sum) = &quantity.measure else { return None };
        (quantity.dimension == Dimension::DENSITY).then_some(())?;
        let measure = Measure::Linear(self.liquid_volume(sum)?);
        Some(Quantity { measure, dimension: Dimension::NONE, unit: Unit::known("L/m3"), ..quantity.clone() })
    }

    /// A share by mass with liquids above the line as a volume of these by the mass below it.
    pub fn dose_by_volume(&self, quantity: &Quantity) -> Option<Quantity> {
        let Measure::Ratio(Ratio { numerator, denominator }) = &quantity.measure else { return None };
        let numerator = self.liquid_volume(numerator)?.times(PER_THOUSAND);
        let measure = Measure::Ratio(Ratio { numerator, denominator: denominator.times(PER_THOUSAND) });
        Some(Quantity {
            measure,
            dimension: Dimension::VOLUME_BY_MASS,
            unit: Unit::known("mL/kg"),
            ..quantity.clone()
        })
    }
}
