//! What is weighed, metered and added for an order: one mix at today's moistures.
//!
//! What enters: a problem, a mix of it, a checked order. What leaves: a [`Sheet`]: stockpile weights, the water balance
//! and admixture volumes of every load, or a finding where the aggregates bring more water than the mix may hold. The
//! mix stays what it was: total mass and free water are those of the design. It neither formats nor rounds.

use super::order::{Moisture, Order, Source};
use crate::finding::{Finding, Findings, Place};
use crate::listed::Id;
use crate::material::{Material, Role};
use crate::problem::Problem;
use crate::quantity::{System, Unit, trimmed};

/// One aggregate per m3 of concrete.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StockLine {
    /// The material.
    pub material: Id<Material>,
    /// Oven-dry mass, kg.
    pub dry: f64,
    /// Mass in the reference state, surface-dry or prewetted, kg.
    pub reference: f64,
    /// Mass to weigh from the stockpile, kg.
    pub stockpile: f64,
    /// Its moisture.
    pub moisture: Moisture,
}

impl StockLine {
    /// Free water it brings beyond its reference state, kg; negative where it takes water up.
    pub fn free_water(&self) -> f64 {
        self.stockpile - self.reference
    }
}

/// Anything else that is weighed or metered, per m3 of concrete.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OtherLine {
    /// The material.
    pub material: Id<Material>,
    /// Mass, kg.
    pub mass: f64,
    /// Volume of a liquid, m3.
    pub volume: Option<f64>,
    /// Water in it that counts as mixing water, kg.
    pub mixing_water: f64,
}

/// Where the mixing water of the design comes from, kg for one volume of concrete.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WaterBalance {
    /// Mixing water of the design, without that in admixtures.
    pub design: f64,
    /// Free water of the aggregates; negative where they take water up.
    pub aggregates: f64,
    /// Ice.
    pub ice: f64,
    /// Water in the wash water.
    pub wash: f64,
    /// Water in the drum.
    pub drum: f64,
    /// Held back for the site.
    pub held_back: f64,
    /// Left to add at the plant.
    pub to_add: f64,
    /// Water in admixtures that counts beside: told, and in no sum here.
    pub admixtures: f64,
}

/// One load of the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadWater {
    /// The load's volume, m3.
    pub volume: f64,
    /// Mixings.
    pub mixings: usize,
    /// Its water, kg.
    pub water: WaterBalance,
}

/// Lightweight aggregate that is drier than the mix counts on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooDry {
    /// The material.
    pub material: Id<Material>,
    /// Absorbed water that is missing, kg per m3.
    pub missing: f64,
    /// Internal-curing water that is missing, kg per m3.
    pub curing: f64,
}

/// Everything on a batch sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Aggregates in the order of the shelf.
    pub stock: Vec<StockLine>,
    /// Cement, additions, fibres, admixtures and other waters.
    pub others: Vec<OtherLine>,
    /// The material whose amount is corrected.
    pub water: Id<Material>,
    /// Water of the loads.
    pub loads: Vec<LoadWater>,
    /// Solids that come with wash water, kg per m3.
    pub wash_solids: f64,
    /// Lightweight aggregates that are too dry.
    pub too_dry: Vec<TooDry>,
    /// Mass of one m3 as designed, kg.
    pub design_mass: f64,
}

impl Sheet {
    /// Mass of one load as batched and with what is held back, kg, wash solids among it.
    pub fn mass_of(&self, load: &LoadWater) -> f64 {
        let stock: f64 = self.stock.iter().map(|line| line.stockpile).sum();
        let others: f64 = self.others.iter().map(|line| line.mass).sum();
        let water = &load.water;
        load.volume * (stock + others + self.wash_solids)
            + water.to_add
            + water.held_back
            + water.ice
            + water.wash
            + water.drum
    }
}

/// Amounts below this are none, kg per m3.
const NONE: f64 = 1e-9;
/// Lightweight aggregate may lack this share of its absorbed water before anybody is told.
const DRY_ENOUGH: f64 = 0.005;

/// The sheet of a mix for an order.
///
/// # Errors
/// A finding for every load that needs less than no water.
pub fn sheet(problem: &Problem, mix: &[f64], order: &Order) -> Result<Sheet, Findings> {
    let shelf = &problem.mixture.catalogue.materials;
    let mut findings = Findings::default();
    let Some(water) = problem.mixture.corrected_water(mix) else {
        findings.push(
            Finding::error(order.place, "the mix has no mixing water to correct")
                .help("add a material with `role: water` to the statement"),
        );
        return Err(findings);
    };
    let mut stock = Vec::new();
    let mut others = Vec::new();
    let mut too_dry = Vec::new();
    for (index, material) in shelf.named().filter(|(index, _)| *index != water) {
        let amount = mix[index.index()];
        if amount <= NONE {
            continue;
        }
        if let (true, Some(moisture)) = (material.role.is_aggregate(), order.moistures[index.index()]) {
            let dry = amount * material.dry();
            let line = StockLine {
                material: index,
                dry,
                reference: amount,
                stockpile: dry * (1.0 + moisture.total),
                moisture,
            };
            stock.push(line);
            let missing = dry * (material.absorption - moisture.total);
            if material.role.is_lightweight() && DRY_ENOUGH * dry * material.absorption < missing {
                too_dry.push(TooDry { material: index, missing, curing: missing * material.desorption });
            }
            continue;
        }
        others.push(OtherLine {
            material: index,
            mass: amount,
            volume: material.role.is_liquid().then_some(amount / material.density),
            mixing_water: if material.role == Role::Water { 0.0 } else { amount * material.mixing_water },
        });
    }
    let aggregates: f64 = stock.iter().map(StockLine::free_water).sum();
    let wash = order.wash.map_or(0.0, |wash| wash.water);
    let admixtures = others.iter().map(|line| line.mixing_water).sum();
    let per_cubic_metre = WaterBalance {
        design: mix[water.index()],
        aggregates,
        ice: order.ice,
        wash,
        drum: 0.0,
        held_back: order.held_back,
        to_add: mix[water.index()] - aggregates - order.ice - wash - order.held_back,
        admixtures,
    };
    let loads: Vec<LoadWater> = order
        .loads
        .iter()
        .map(|load| LoadWater {
            volume: load.volume,
            mixings: load.mixings,
            water: per_cubic_metre.of_load(load.volume, order.drum_water),
        })
        .collect();
    if let Some(load) = loads.iter().min_by(|a, b| (a.water.to_add).total_cmp(&b.water.to_add))
        && load.water.to_add < 0.0
    {
        findings.push(too_wet(problem, order, &stock, load));
        return Err(findings);
    }
    let design_mass = shelf.iter().zip(mix).map(|(_, amount)| amount).sum();
    Ok(Sheet {
        stock,
        others,
        water,
        loads,
        wash_solids: order.wash.map_or(0.0, |wash| wash.solids),
        too_dry,
        design_mass,
    })
}

impl WaterBalance {
    /// The balance of a load, whose drum holds some water.
    fn of_load(&self, volume: f64, drum: f64) -> Self {
        Self {
            design: self.design * volume,
            aggregates: self.aggregates * volume,
            ice: self.ice * volume,
            wash: self.wash * volume,
            drum,
            held_back: self.held_back * volume,
            to_add: self.to_add * volume - drum,
            admixtures: self.admixtures * volume,
        }
    }

    /// The balance of one m3 of a load of a volume; what is in the drum is that of the load.
    #[must_use]
    pub fn over(&self, volume: f64) -> Self {
        Self {
            design: self.design / volume,
            aggregates: self.aggregates / volume,
            ice: self.ice / volume,
            wash: self.wash / volume,
            drum: self.drum,
            held_back: self.held_back / volume,
            to_add: (self.to_add + self.drum) / volume,
            admixtures: self.admixtures / volume,
        }
    }
}

/// Less than no water is to be added: which source brings the most, and what to do about it.
fn too_wet(problem: &Problem, order: &Order, stock: &[StockLine], load: &LoadWater) -> Finding {
    let water = &load.water;
    let (mass, volume) = match problem.system {
        System::Si => ("kg", "m3"),
        System::Customary => ("lb", "yd3"),
    };
    let (mass, volume) = (Unit::known(mass), Unit::known(volume));
    let shown = |kilograms: f64| mass.with_number(&trimmed(mass.from_base(kilograms), 4));
    let wettest = stock.iter().max_by(|a, b| a.free_water().total_cmp(&b.free_water()));
    let wettest = wettest.filter(|line| 0.0 < line.free_water());
    let mut parts = Vec::new();
    // What brings most, where it stands, and what to do about it.
    let mut most: (f64, Option<Place>, String) = (0.0, None, "take a mix that holds more water".to_owned());
    if let Some(line) = wettest {
        let name = &problem.mixture.catalogue.materials[line.material].name;
        let brought = line.free_water() * load.volume;
        parts.push(format!(
            "`{name}` brings most of what aggregates do: {} of {}",
            shown(brought),
            shown(water.aggregates)
        ));
        let place = if let Source::Order(place) = line.moisture.source { Some(place) } else { None };
        let help = format!("let `{name}` drain, or take a drier stockpile; measure its moisture again first");
        most = (brought, place, help);
    }
    for (what, brought, place, help) in [
        ("ice", water.ice, order.places.ice, "take less ice"),
        ("wash water", water.wash, order.places.wash, "take less wash water"),
        ("water in the drum", water.drum, order.places.drum, "empty the drum first"),
        ("water held back", water.held_back, order.places.held_back, "hold less water back"),
    ] {
        if brought <= 0.0 {
            continue;
        }
        parts.push(format!("{what} {}", shown(brought)));
        if most.0 < brought {
            most = (brought, place, help.to_owned());
        }
    }
    let (_, place, help) = most;
    Finding::error(
        place.unwrap_or(order.place),
        format!(
            "the water to add is {} below zero in the load of {}, whose mixing water is {}",
            shown(-water.to_add),
            volume.with_number(&trimmed(volume.from_base(load.volume), 4)),
            shown(water.design)
        ),
    )
    .note(parts.join("; "))
    .help(help)
}
