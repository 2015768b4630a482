//! Yield of a load: what the masses really batched fill at the density measured, and what one m3 of it then holds.
//!
//! What enters: a sheet, an order with a measured load. What leaves: yield, relative yield, gravimetric air and the mix really
//! made. Masses that were not read back are those of the sheet, and told. It does not judge.
//!
//! Source: ASTM C138: yield Y = M / D, relative yield `Y / Y_d`, air A = 100 (T - D) / T with T the density free of air of
//! what was batched. ASTM C138 does not take A for lightweight concrete: its aggregates' absolute volume is not known well;
//! air is measured by volume there (ASTM C173).

use super::order::{DRUM, ICE, MeasuredLoad, WASH};
use super::sheet::Sheet;
use crate::mixture::Air;
use crate::number::Interval;
use crate::problem::Problem;
use crate::standard::batching::WASH_SOLIDS_DENSITY;

/// What a measured load came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Yield {
    /// Mass batched, kg.
    pub mass: f64,
    /// Volume made, m3.
    pub volume: f64,
    /// Volume ordered, m3.
    pub ordered: f64,
    /// Air by weighing, share; `None` for lightweight concrete.
    pub gravimetric_air: Option<f64>,
    /// Air as measured, share.
    pub measured_air: Option<f64>,
    /// What one m3 really made holds: the columns of the problem, reference states.
    pub mix: Vec<f64>,
    /// What is taken from the sheet beside masses that were read back.
    pub assumed: Vec<String>,
}

impl Yield {
    /// Volume made over volume ordered; below one the load was short.
    pub fn relative(&self) -> f64 {
        self.volume / self.ordered
    }
}

/// Masses of a load: as read back, else as on the sheet.
struct Masses<'m> {
    measured: &'m MeasuredLoad,
    total: f64,
    assumed: Vec<String>,
}

/// Masses below this are none, kg.
const NONE: f64 = 1e-9;

impl Masses<'_> {
    fn of(&mut self, name: &str, on_sheet: f64) -> f64 {
        let read = self.measured.batched.iter().find(|(known, _)| known == name).map(|(_, mass)| *mass);
        if read.is_none() && !self.measured.batched.is_empty() && NONE < on_sheet {
            self.assumed.push(name.to_owned());
        }
        let mass = read.unwrap_or(on_sheet);
        self.total += mass;
        mass
    }
}

/// The yield of a measured load.
pub fn yielded(problem: &Problem, sheet: &Sheet, measured: &MeasuredLoad) -> Yield {
    let shelf = &problem.mixture.catalogue.materials;
    let ordered = measured.volume;
    let mut masses = Masses { measured, total: 0.0, assumed: Vec::new() };
    let mut mix = vec![0.0; problem.mixture.columns.len()];
    let mut free_water = 0.0;
    for line in &sheet.stock {
        let material = &shelf[line.material];
        let stockpile = masses.of(&material.name, line.stockpile * ordered);
        mix[line.material.index()] = stockpile / (1.0 + line.moisture.total) / material.dry();
        free_water += stockpile - mix[line.material.index()];
    }
    for line in &sheet.others {
        mix[line.material.index()] = masses.of(&shelf[line.material].name, line.mass * ordered);
    }
    for (index, material) in shelf.named().filter(|(index, _)| *index != sheet.water) {
        // What the mix does not hold may have been batched all the same.
        if mix[index.index()] == 0.0 {
            mix[index.index()] = masses.of(&material.name, 0.0);
        }
    }
    let per_volume = sheet.loads.first().map_or_else(Default::default, |load| load.water.over(load.volume));
    let drum = per_volume.drum;
    let ice = masses.of(ICE, per_volume.ice * ordered);
    let wash = masses.of(WASH, (per_volume.wash + sheet.wash_solids) * ordered);
    let of_solids = sheet.wash_solids / (per_volume.wash + sheet.wash_solids).max(NONE);
    let drum = masses.of(DRUM, drum);
    let before = per_volume.aggregates + per_volume.ice + per_volume.wash;
    let metered =
        masses.of(&shelf[sheet.water].name, (per_volume.design - before) * ordered - per_volume.drum);
    mix[sheet.water.index()] = metered + ice + drum + wash * (1.0 - of_solids) + free_water;
    let volume = masses.total / measured.density;
    let solid: f64 = shelf.iter().zip(&mix).map(|(material, mass)| mass / material.density).sum::<f64>()
        + wash * of_solids / WASH_SOLIDS_DENSITY;
    let lightweight = sheet.stock.iter().any(|line| shelf[line.material].role.is_lightweight());
    let air = 1.0 - solid / volume;
    for mass in mix.iter_mut().take(shelf.len()) {
        *mass /= volume;
    }
    if let Air::Variable(column) = problem.mixture.air {
        mix[column] = Interval::new(0.0, 0.9).nearest(measured.air.unwrap_or(air));
    }
    problem.mixture.settle(&mut mix);
    Yield {
        mass: masses.total,
        volume,
        ordered,
        gravimetric_air: (!lightweight).then_some(air),
        measured_air: measured.air,
        mix,
        assumed: masses.assumed,
    }
}
