//! The price of a material as its author would write it, in the reader's units.
//!
//! What enters: a problem. What leaves: a price with the unit and the state that it is for.

use crate::listed::Id;
use crate::material::Material;
use schemars::JsonSchema;
use serde::Serialize;

use super::units::Units;
use crate::problem::Problem;
use crate::quantity::{Dimension, System, Unit, tidied};

/// The price of one material.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct MaterialPrice {
    /// The material.
    pub material: String,
    /// What it is.
    pub role: &'static str,
    /// The state that is priced.
    pub state: &'static str,
    /// The price in `unit`.
    pub price: f64,
    /// The currency and what the price is per: `EUR/t`.
    pub unit: String,
    /// The price by mass of the reference state, in `by_mass_unit`.
    pub by_mass: f64,
    /// Its unit.
    pub by_mass_unit: String,
    /// What the price is per alone.
    #[serde(skip)]
    pub per: String,
}

/// The unit in which a price is told: as its author wrote it, unless the reader's system is another.
pub fn price_unit(unit: &Unit, units: Units) -> Unit {
    let Some(system) = unit.system().filter(|system| Units::from(*system) != units) else {
        return unit.clone();
    };
    Unit::known(match (system, unit.dimension) {
        (System::Customary, Dimension::PRICE_BY_VOLUME) => "/L",
        (System::Customary, _) => "/t",
        (System::Si, Dimension::PRICE_BY_VOLUME) => "/gal",
        (System::Si, _) => "/ton",
    })
}

/// The price of the material with this number.
pub fn material_price(problem: &Problem, material: Id<Material>, units: Units) -> MaterialPrice {
    let material = &problem.mixture.catalogue.materials[material];
    let unit = price_unit(&material.priced.unit, units);
    let per = unit.text.trim_start_matches(problem.currency.as_str()).trim_start();
    let mass = Unit::known(match units {
        Units::Si => "/t",
        Units::Customary => "/ton",
    });
    MaterialPrice {
        by_mass: tidied(mass.from_base(material.price)),
        by_mass_unit: format!("{}{}", problem.currency, mass.text),
        material: material.name.clone(),
        role: material.role.word(),
        state: material.priced.state.unwrap_or(material.role.reference_state()).word(),
        price: tidied(unit.from_base(material.priced.written(material.price))),
        unit: format!("{}{per}", problem.currency),
        per: per.to_owned(),
    }
}
