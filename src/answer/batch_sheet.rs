//! A batch sheet as facts and blocks: what is weighed, metered and added for each load, and what is to be watched.
//!
//! What enters: a problem, a mix, its order and sheet. What leaves: facts in the reader's units, and the blocks of one sheet.
//! It computes no weight.
//!
//! The order of addition is common practice, no source, but for what its lines name.

use schemars::JsonSchema;
use serde::Serialize;

use super::batching_remarks::{SheetUnits, remarks, steps};
use super::cautions::cautions;
use super::units::Units;
use crate::material::Role;
use crate::plant::{LoadWater, Order, Sheet, Source, StockLine, Yield, yielded};
use crate::problem::{Origin, Problem, Rounding, Subject, convert};
use crate::quantity::{Unit, trimmed};

/// A whole sheet.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct BatchSheet {
    /// Title of the order, or of the statement.
    pub title: String,
    /// The mix, where the title does not name it.
    pub mix: Option<String>,
    /// Unit of masses.
    pub mass_unit: String,
    /// Unit of volumes of concrete.
    pub volume_unit: String,
    /// Concrete to be made.
    pub volume: f64,
    /// One line for each thing that is weighed or metered, for one load.
    pub lines: Vec<SheetLine>,
    /// Water of each load.
    pub loads: Vec<LoadLine>,
    /// What has to be watched.
    pub remarks: Vec<String>,
    /// The order of addition.
    pub steps: Vec<String>,
    /// Yield of a measured load.
    pub made: Option<MadeLine>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// One thing for one load.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct SheetLine {
    /// Number of the load, from one.
    pub load: usize,
    /// What it is.
    pub item: String,
    /// Its role.
    pub role: &'static str,
    /// Oven-dry mass.
    pub dry: Option<f64>,
    /// Mass surface-dry, for normal aggregates.
    pub surface_dry: Option<f64>,
    /// Mass prewetted, for lightweight aggregates.
    pub prewetted: Option<f64>,
    /// Total moisture, per cent of the oven-dry mass.
    pub moisture: Option<f64>,
    /// Where the moisture comes from.
    pub moisture_from: &'static str,
    /// What the scale or the meter is to show.
    pub batch: f64,
    /// The same by volume, for liquids.
    pub volume: Option<f64>,
    /// Unit of that volume.
    pub volume_unit: String,
    /// In each mixing, where there are several.
    pub each_mixing: Option<f64>,
}

/// Water of one load.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct LoadLine {
    /// Number, from one.
    pub load: usize,
    /// Volume.
    pub volume: f64,
    /// Mixings.
    pub mixings: usize,
    /// Mixing water of the design.
    pub design: f64,
    /// Free water of the aggregates.
    pub aggregates: f64,
    /// Ice.
    pub ice: f64,
    /// Water of the wash water.
    pub wash_water: f64,
    /// Water in the drum.
    pub drum: f64,
    /// Held back.
    pub held_back: f64,
    /// To add at the plant.
    pub to_add: f64,
    /// Water in admixtures, which counts beside.
    pub admixtures: f64,
    /// Mass of the load.
    pub mass: f64,
}

/// A measured load.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct MadeLine {
    /// Mass batched.
    pub mass: f64,
    /// Volume made.
    pub volume: f64,
    /// Volume ordered.
    pub ordered: f64,
    /// Volume made over volume ordered.
    pub relative_yield: f64,
    /// Air by weighing, per cent.
    pub gravimetric_air: Option<f64>,
    /// Air as measured, per cent.
    pub measured_air: Option<f64>,
    /// What one volume really made holds.
    pub holds: Vec<HeldLine>,
    /// Limits on contents and ratios, at what was made.
    pub limits: Vec<MadeLimit>,
    /// What was not read back and is taken from the sheet.
    pub assumed: Vec<String>,
}

/// One material in one volume really made.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct HeldLine {
    /// The material.
    pub material: String,
    /// Amount of the design, in its reference state.
    pub designed: f64,
    /// Amount in what was made.
    pub made: f64,
}

/// A limit on a content or a ratio at what was made.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct MadeLimit {
    /// Its name.
    pub limit: String,
    /// The side that is allowed.
    pub side: &'static str,
    /// What is wanted.
    pub wanted: f64,
    /// What was made.
    pub got: f64,
    /// Unit of both.
    pub unit: String,
    /// Whether it is met, margins left aside.
    pub is_met: bool,
}

/// What is said where the mix is in whole steps: for which loads its weights are, and how much these make.
pub fn of_steps(
    rounding: &Rounding,
    (order, sheet): (&Order, &Sheet),
    made: f64,
    units: Units,
) -> Vec<String> {
    const SAME: f64 = 1e-9;
    let own = sheet_units(units);
    let shown = |volume: f64| own.volume.with_number(&trimmed(own.volume.from_base(volume), 5));
    let mut list = Vec::new();
    if order
        .loads
        .iter()
        .any(|load| SAME * load.volume < (load.volume / load.mixings as f64 - rounding.load).abs())
    {
        list.push(format!(
            "The mix is in whole steps for {0}: what is weighed for another volume is not whole steps. Order `load: {0}`, or \
             round for the load.",
            shown(rounding.load)
        ));
    }
    let moist = |line: &StockLine| SAME * line.reference < line.free_water().abs();
    let stepped = |line: &&StockLine| rounding.steps.iter().any(|step| step.step.material == line.material);
    if sheet.stock.iter().filter(stepped).any(moist) {
        list.push(
            "Steps are of reference states: at today's moistures the weights of aggregates are no whole steps. Set the scale \
             to the nearest one."
                .to_owned(),
        );
    }
    if SAME < (made - 1.0).abs() {
        list.push(format!(
            "In whole steps {} as weighed makes {}: within the yield band, and the load is so much {}.",
            shown(rounding.load),
            shown(rounding.load * made),
            if made < 1.0 { "short" } else { "over" }
        ));
    }
    list
}

/// The units of a reader.
fn sheet_units(units: Units) -> SheetUnits {
    let names = match units {
        Units::Si => ["kg", "m3", "L", "L"],
        Units::Customary => ["lb", "yd3", "gal", "fl oz"],
    };
    let [mass, volume, liquid, small] = names.map(Unit::known);
    SheetUnits { mass, volume, liquid, small }
}

/// The facts of a sheet.
pub fn batch_sheet(
    problem: &Problem,
    mix: &[f64],
    (order, sheet): (&Order, &Sheet),
    units: Units,
) -> BatchSheet {
    let own = sheet_units(units);
    let title = order.title.clone().or_else(|| problem.title.clone()).unwrap_or_default();
    let mix_name = order.title.as_ref().and(problem.title.clone());
    let lines = sheet
        .loads
        .iter()
        .enumerate()
        .flat_map(|(number, load)| load_lines(problem, sheet, (number + 1, load), &own))
        .collect();
    let loads = sheet.loads.iter().enumerate().map(|(number, load)| {
        let water = &load.water;
        let mass = |value: f64| own.mass.from_base(value);
        LoadLine {
            load: number + 1,
            volume: own.volume.from_base(load.volume),
            mixings: load.mixings,
            design: mass(water.design),
            aggregates: mass(water.aggregates),
            ice: mass(water.ice),
            wash_water: mass(water.wash),
            drum: mass(water.drum),
            held_back: mass(water.held_back),
            to_add: mass(water.to_add),
            admixtures: mass(water.admixtures),
            mass: mass(sheet.mass_of(load)),
        }
    });
    let made = order.measured.as_ref().map(|measured| yielded(problem, sheet, measured));
    let used: Vec<bool> = (0..problem.mixture.materials()).map(|index| 1e-9 < mix[index]).collect();
    BatchSheet {
        title,
        mix: mix_name,
        mass_unit: own.mass.text.clone(),
        volume_unit: own.volume.text.clone(),
        volume: own.volume.from_base(order.volume),
        lines,
        loads: loads.collect(),
        remarks: remarks(problem, order, sheet, made.as_ref(), &own),
        steps: steps(problem, order, &used),
        made: made.map(|made| made_line(problem, mix, made, units, &own)),
        cautions: cautions(problem, &used),
    }
}

/// What a measured load came to.
fn made_line(problem: &Problem, mix: &[f64], made: Yield, units: Units, own: &SheetUnits) -> MadeLine {
    const EDGE: f64 = 1e-9;
    let content = units.content();
    let shelf = &problem.mixture.catalogue.materials;
    let holds = shelf.iter().enumerate().filter(|(at, _)| 1e-9 < mix[*at].max(made.mix[*at]));
    let limits = problem.requirements.iter().enumerate().filter_map(|(at, requirement)| {
        let asked = requirement.origin == Origin::Limit && !problem.dropped[at];
        let told = asked && matches!(requirement.subject, Subject::Quantity(_));
        let measured = problem.measure(requirement, &made.mix).filter(|_| told)?;
        let unit = units.shown(&requirement.unit, &problem.currency);
        let inside = requirement.side.sign() * (measured.got - measured.wanted);
        Some(MadeLimit {
            limit: requirement.name.clone(),
            side: requirement.side.words(),
            wanted: convert(measured.wanted, &requirement.unit, &unit),
            got: convert(measured.got, &requirement.unit, &unit),
            unit: unit.text.clone(),
            is_met: -EDGE * measured.scale <= inside,
        })
    });
    MadeLine {
        mass: own.mass.from_base(made.mass),
        volume: own.volume.from_base(made.volume),
        ordered: own.volume.from_base(made.ordered),
        relative_yield: made.relative(),
        gravimetric_air: made.gravimetric_air.map(|air| 100.0 * air),
        measured_air: made.measured_air.map(|air| 100.0 * air),
        limits: limits.collect(),
        holds: holds
            .map(|(at, material)| HeldLine {
                material: material.name.clone(),
                designed: content.from_base(mix[at]),
                made: content.from_base(made.mix[at]),
            })
            .collect(),
        assumed: made.assumed,
    }
}

/// Everything weighed for one load.
fn load_lines(
    problem: &Problem,
    sheet: &Sheet,
    (number, load): (usize, &LoadWater),
    own: &SheetUnits,
) -> Vec<SheetLine> {
    let shelf = &problem.mixture.catalogue.materials;
    let mass = |per_cubic_metre: f64| own.mass.from_base(per_cubic_metre * load.volume);
    let line = |item: &str, role: &'static str, batch: f64| SheetLine {
        load: number,
        item: item.to_owned(),
        role,
        dry: None,
        surface_dry: None,
        prewetted: None,
        moisture: None,
        moisture_from: "",
        batch,
        volume: None,
        volume_unit: String::new(),
        each_mixing: (1 < load.mixings).then(|| batch / load.mixings as f64),
    };
    let mut lines = Vec::new();
    for stock in &sheet.stock {
        let material = &shelf[stock.material];
        let light = material.role.is_lightweight();
        let reference = Some(mass(stock.reference));
        lines.push(SheetLine {
            dry: Some(mass(stock.dry)),
            surface_dry: reference.filter(|_| !light),
            prewetted: reference.filter(|_| light),
            moisture: Some(100.0 * stock.moisture.total),
            moisture_from: match stock.moisture.source {
                Source::Order(_) => "order",
                Source::Statement => "statement",
                Source::Assumed => "assumed prewetted",
            },
            ..line(&material.name, material.role.word(), mass(stock.stockpile))
        });
    }
    for other in &sheet.others {
        let material = &shelf[other.material];
        let unit = if material.role == Role::Water { &own.liquid } else { &own.small };
        let volume = other.volume.map(|volume| unit.from_base(volume * load.volume));
        lines.push(SheetLine {
            volume_unit: volume.map_or_else(String::new, |_| unit.text.clone()),
            volume,
            ..line(&material.name, material.role.word(), mass(other.mass))
        });
    }
    let water = &shelf[sheet.water];
    for (item, kilograms, density) in [
        ("ice", load.water.ice, None),
        ("wash water", load.water.wash + sheet.wash_solids * load.volume, None),
        (water.name.as_str(), load.water.to_add, Some(water.density)),
        ("held back for the site", load.water.held_back, Some(water.density)),
    ] {
        if 0.0 < kilograms || item == water.name {
            let volume = density.map(|density| own.liquid.from_base(kilograms / density));
            lines.push(SheetLine {
                volume_unit: volume.map_or_else(String::new, |_| own.liquid.text.clone()),
                volume,
                ..line(item, "water", own.mass.from_base(kilograms))
            });
        }
    }
    lines
}
