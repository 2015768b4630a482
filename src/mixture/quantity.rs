//! One measurable quantity, and the units of cost and carbon.

use super::affine::Measure;
use crate::quantity::{Dimension, Unit};

/// A measurable quantity with its name and how it is usually shown.
#[derive(Clone, Debug)]
pub struct Quantity {
    /// Its name.
    pub label: String,
    /// What it measures.
    pub measure: Measure,
    /// Its dimension.
    pub dimension: Dimension,
    /// The unit it is shown in unless the author used another.
    pub unit: Unit,
}

/// The unit of costs per volume of concrete.
pub fn cost_unit(currency: &str) -> Unit {
    Unit { text: format!("{currency}/m3"), dimension: Dimension::PRICE_BY_VOLUME, ..Unit::number() }
}

/// The unit of carbon per volume of concrete.
pub fn carbon_unit() -> Unit {
    Unit::known("kg CO2e/m3")
}
