//! Yield of a load: what the masses really batched fill at the density measured.
//!
//! What enters: a sheet, an order with a measured load. What leaves: yield, relative yield, gravimetric air and what the
//! mix then holds. It does not judge.
//!
//! Source: ASTM C138: yield Y = M / D, relative yield `Y / Y_d`, air A = 100 (T - D) / T with T the density free of air.
//! ASTM C138 does not take A for lightweight concrete: its aggregates' absolute volume is not known well; air is
//! measured by volume there (ASTM C173).

use super::order::MeasuredLoad;
use super::rules::WASH_SOLIDS_DENSITY;
use super::sheet::Sheet;
use crate::problem::Problem;

/// What a measured load came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Yield {
    /// Mass batched, kg.
    pub mass: f64,
    /// Volume made, m3.
    pub volume: f64,
    /// Volume ordered, m3.
    pub ordered: f64,
    /// Air by weighing, share; `None` for lightweight concrete, and where the masses batched are not all known.
    pub gravimetric_air: Option<f64>,
    /// Air as measured, share.
    pub measured_air: Option<f64>,
    /// Materials really batched, kg per m3 of concrete really made, by name.
    pub contents: Vec<(String, f64)>,
}

impl Yield {
    /// Volume made over volume ordered; below one the load was short.
    pub fn relative(&self) -> f64 {
        self.volume / self.ordered
    }
}

/// The yield of a measured load.
pub fn yielded(problem: &Problem, sheet: &Sheet, measured: &MeasuredLoad) -> Yield {
    let shelf = &problem.mixture.catalogue.materials;
    let design = sheet.design_mass + sheet.wash_solids;
    let mass = if measured.batched.is_empty() {
        design * measured.volume
    } else {
        measured.batched.iter().map(|(_, mass)| mass).sum()
    };
    let volume = mass / measured.density;
    let lightweight = sheet.stock.iter().any(|line| shelf[line.material].role.is_lightweight());
    // The density free of air is that of the design: what was batched has the same proportions but for the scales.
    let solid: f64 = sheet
        .stock
        .iter()
        .map(|line| line.reference / shelf[line.material].density)
        .chain(sheet.others.iter().map(|line| line.mass / shelf[line.material].density))
        .sum::<f64>()
        + sheet.loads.first().map_or(0.0, |load| load.water.design / load.volume)
            / water_density(problem, sheet)
        + sheet.wash_solids / WASH_SOLIDS_DENSITY;
    let free_of_air = design / solid;
    Yield {
        mass,
        volume,
        ordered: measured.volume,
        gravimetric_air: (!lightweight).then_some((free_of_air - measured.density) / free_of_air),
        measured_air: measured.air,
        contents: measured.batched.iter().map(|(name, mass)| (name.clone(), mass / volume)).collect(),
    }
}

fn water_density(problem: &Problem, sheet: &Sheet) -> f64 {
    problem.mixture.catalogue.materials[sheet.water].density
}
