//! What a batch sheet says besides its weights: what is to be watched, and the order of addition.
//!
//! What enters: a problem, its order and sheet. What leaves: sentences. The order of addition is common practice, no source,
//! but for what its lines name.

use crate::material::Role;
use crate::plant::{Order, Sheet, Source, Yield};
use crate::problem::{BatchingRules, Problem};
use crate::quantity::Unit;
use crate::standard::batching::{
    MOST_SOLIDS_OF_WATER, MOST_WASH_SOLIDS_OF_AGGREGATE, REVOLUTIONS_AFTER_WATER, SMALL_LOAD,
};

/// The reader's units of a sheet.
pub struct SheetUnits {
    /// Masses.
    pub mass: Unit,
    /// Volumes of concrete.
    pub volume: Unit,
    /// Volumes of water.
    pub liquid: Unit,
    /// Volumes of admixtures.
    pub small: Unit,
}

/// What has to be watched.
pub fn remarks(
    problem: &Problem,
    order: &Order,
    sheet: &Sheet,
    made: Option<&Yield>,
    own: &SheetUnits,
) -> Vec<String> {
    let shelf = &problem.mixture.catalogue.materials;
    let shown = |unit: &Unit, base: f64| unit.with_number(&crate::quantity::trimmed(unit.from_base(base), 3));
    let mut list = Vec::new();
    if 0.0 < order.held_back {
        list.push(match order.rules {
            BatchingRules::AstmC94 => format!(
                "Water held back is design water: no more than what is listed may be added, once, on arrival, before \
                 discharge, and the drum then turns {REVOLUTIONS_AFTER_WATER} times at mixing speed (ASTM C94, value \
                 from memory)."
            ),
            BatchingRules::En206 => "EN 206 normally allows no water to be added on site: hold water back only where \
                                     the specification says so, and never add more than what is listed."
                .to_owned(),
        });
    }
    for dry in &sheet.too_dry {
        let name = &shelf[dry.material].name;
        let demand = problem.mixture.curing_demand.is_some();
        list.push(format!(
            "{name} is drier than the mix counts on: it lacks {} of absorbed water and {} of internal-curing water in \
             each {}. The sheet adds that water, but the aggregate takes it up slowly, from the paste: slump is lost \
             on the way{}. Wet the stockpile, let it drain, and measure again.",
            shown(&own.mass, dry.missing * own.volume.factor),
            shown(&own.mass, dry.curing * own.volume.factor),
            own.volume.text,
            if demand { ", and the demand of internal curing may not be met" } else { "" }
        ));
    }
    for line in &sheet.stock {
        if line.moisture.source == Source::Assumed {
            list.push(format!(
                "The moisture of {} is not measured: it is taken as prewetted at its stated absorption.",
                shelf[line.material].name
            ));
        }
    }
    wash_remarks(order, sheet, &mut list);
    let smallest = order.loads.iter().map(|load| load.volume).fold(f64::INFINITY, f64::min);
    if order.capacity.is_finite() && smallest < SMALL_LOAD * order.capacity {
        list.push(format!(
            "The smallest load, {}, is below {} % of the largest one allowed: small loads mix badly and are weighed \
             less surely; equal loads avoid it (`split: equal loads`).",
            shown(&own.volume, smallest),
            crate::quantity::trimmed(100.0 * SMALL_LOAD, 3)
        ));
    }
    if let Some(made) = made {
        let light = sheet.stock.iter().any(|line| shelf[line.material].role.is_lightweight());
        if light {
            list.push(
                "Air of lightweight concrete is not told from its weight (ASTM C138): measure it by volume (ASTM C173)."
                    .to_owned(),
            );
        }
        if made.relative() < 0.98 || 1.02 < made.relative() {
            list.push(
                "The load is more than 2 % off its volume: check scales, air and the densities of the statement \
                 before the next one."
                    .to_owned(),
            );
        }
    }
    list
}

fn wash_remarks(order: &Order, sheet: &Sheet, list: &mut Vec<String>) {
    let Some(wash) = order.wash.filter(|wash| 0.0 < wash.solids) else { return };
    let aggregate: f64 = sheet.stock.iter().map(|line| line.reference).sum();
    let water = sheet.loads.first().map_or(0.0, |load| load.water.design / load.volume);
    if MOST_WASH_SOLIDS_OF_AGGREGATE * aggregate < wash.solids {
        list.push(
            "The solids of the wash water are above 1 % of the aggregates' mass (EN 1008, value from memory): take \
             less of it, or let it settle."
                .to_owned(),
        );
    }
    if MOST_SOLIDS_OF_WATER * water < wash.solids {
        list.push(
            "The solids of the wash water are above 50 000 ppm of all mixing water (ASTM C1602, value from memory): \
             take less of it, or let it settle."
                .to_owned(),
        );
    }
    list.push(
        "The solids of the wash water come on top of the design: the load weighs and fills so much more. Their \
         alkalis and chlorides are counted nowhere."
            .to_owned(),
    );
}

/// The order of addition as a checklist. The supplier's sheet comes first; what it says stands in place of any line here.
pub fn steps(problem: &Problem, order: &Order, used: &[bool]) -> Vec<String> {
    let shelf = &problem.mixture.catalogue.materials;
    let names = |wanted: &dyn Fn(Role) -> bool| -> Vec<&str> {
        let list = shelf.iter().zip(used).filter(|(material, used)| **used && wanted(material.role));
        list.map(|(material, _)| material.name.as_str()).collect()
    };
    let mut list = vec![
        "Read the suppliers' sheets of every admixture and fibre: what they say stands before this list."
            .to_owned(),
    ];
    list.push(if 0.0 < order.drum_water {
        "Empty the drum to the water that the sheet counts on.".to_owned()
    } else {
        "Empty the drum: this sheet counts on no water in it.".to_owned()
    });
    let ice = if 0.0 < order.ice { " and all ice" } else { "" };
    let site = if 0.0 < order.held_back { "; keep back what is held for the site" } else { "" };
    list.push(format!("Start with about three quarters of the water{ice}{site}."));
    let mut say = |before: &str, names: Vec<&str>, after: &str| {
        if !names.is_empty() {
            list.push(format!("{before}{}{after}", names.join(", ")));
        }
    };
    say(
        "Add aggregates, lightweight ones first, so that they are wet: ",
        names(&|role| role.is_lightweight()),
        ".",
    );
    say("Add aggregates: ", names(&|role| role.is_aggregate() && !role.is_lightweight()), ".");
    say("Add with the sand or the first water: ", names(&|role| role == Role::AirEntrainer), ".");
    say(
        "Add binders and fillers: ",
        names(&|role| {
            matches!(
                role,
                Role::Cement
                    | Role::FlyAsh
                    | Role::Slag
                    | Role::SilicaFume
                    | Role::NaturalPozzolan
                    | Role::LimestoneFiller
                    | Role::ExpansiveAgent
            )
        }),
        ".",
    );
    say(
        "Add with the rest of the water, one after another: ",
        names(&|role| matches!(role, Role::WaterReducer | Role::ShrinkageReducer)),
        "; admixtures never meet undiluted.",
    );
    say("Add to the flowing concrete: ", names(&|role| role == Role::ViscosityModifier), ".");
    say(
        "Add slowly to the fluid concrete, never as the first thing in: ",
        names(&|role| role == Role::Fibre),
        ".",
    );
    say("Add: ", names(&|role| role == Role::Other), ".");
    list.push(
        "Mix to uniformity; measure slump or flow, air, density and temperature before the load leaves."
            .to_owned(),
    );
    list
}
