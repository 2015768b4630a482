//! From weights as written to amounts per m3 in the materials' reference states.
//!
//! What enters: amounts per m3, or masses as weighed with the moisture that the aggregates had. What leaves: values of
//! the mixture's columns for one m3 that the batch really made, and how far the amounts as written were from filling
//! theirs. This file does not know what was measured.

use crate::finding::{Finding, Place};
use crate::listed::Id;
use crate::material::{Material, State};
use crate::mixture::{Air, Mixture};
use crate::quantity::{Dimension, Unit, significant, trimmed};

/// One weight as written.
#[derive(Clone, Debug)]
struct Weight {
    material: Id<Material>,
    /// kg or m3, per batch or per m3.
    amount: f64,
    is_volume: Volume,
    state: Option<State>,
    place: Place,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Volume {
    Yes,
    No,
}

/// What a row says of its batch.
#[derive(Clone, Debug, Default)]
pub struct Weights {
    list: Vec<Weight>,
    /// Air, share of the volume.
    pub air: Option<f64>,
    /// Volume batched, m3.
    pub volume: Option<f64>,
    /// Total water of aggregates, share of the dry mass.
    pub moistures: Vec<(Id<Material>, f64)>,
    /// Whether the amounts are per m3 of concrete.
    pub per_volume: bool,
}

/// Distance of the volume from what it should be that is remarked on, and the one that is refused.
const REMARKED: f64 = 0.015;
/// Beyond this, the amounts are not those of the concrete that was tested.
const REFUSED: f64 = 0.08;

impl Weights {
    /// Adds one weight in base units.
    pub fn push(
        &mut self,
        material: Id<Material>,
        amount: f64,
        dimension: Dimension,
        state: Option<State>,
        place: Place,
    ) {
        let is_volume = if dimension == Dimension::VOLUME || dimension == Dimension::NONE {
            Volume::Yes
        } else {
            Volume::No
        };
        self.list.push(Weight { material, amount, is_volume, state, place });
    }

    /// Whether nothing was weighed.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
}

/// Values of the mixture's columns per m3 made, and the volume that the amounts fill per m3 (or batch) as written.
///
/// # Errors
/// A state whose water is not known, a volume of what is no liquid, no water to take moisture off, a yield that cannot be.
pub fn amounts(mixture: &Mixture, weights: &Weights, place: Place) -> Result<(Vec<f64>, f64), Box<Finding>> {
    let shelf = &mixture.catalogue.materials;
    let mut mix = vec![0.0; mixture.columns.len()];
    let mut brought = 0.0;
    for weight in &weights.list {
        let material = &shelf[weight.material];
        if weight.is_volume == Volume::Yes && !material.role.is_liquid() {
            return Err(Box::new(
                Finding::error(weight.place, format!("the amount of `{}` is a volume", material.name))
                    .note("water and liquid admixtures may be given by volume")
                    .help("give it by mass"),
            ));
        }
        let mass = weight.amount * if weight.is_volume == Volume::Yes { material.density } else { 1.0 };
        let moisture = weights
            .moistures
            .iter()
            .find(|(known, _)| *known == weight.material)
            .map(|(_, moisture)| *moisture);
        let state = weight.state.unwrap_or(match moisture {
            Some(_) => State::AsDelivered,
            None => material.role.reference_state(),
        });
        let factor = match (state, moisture) {
            (State::AsDelivered, Some(moisture)) => Some((1.0 + moisture) * material.dry()),
            (state, _) => material.mass_in(state),
        };
        let Some(factor) = factor else {
            return Err(Box::new(
                Finding::error(weight.place, format!("the moisture of `{}` is not known", material.name))
                    .help(format!("add a column `moisture of {} (%)`", material.name)),
            ));
        };
        mix[weight.material.index()] += mass / factor;
        if !material.role.is_liquid() && state == State::AsDelivered {
            brought += mass - mass / factor;
        }
    }
    let water = mixture.corrected_water(&mix);
    match water {
        Some(water) => mix[water.index()] += brought,
        None if brought != 0.0 => {
            return Err(Box::new(Finding::error(place, "no water takes what the aggregates bring")));
        }
        None => {}
    }
    let air = weights.air.unwrap_or(match mixture.air {
        Air::Fixed(air) => air,
        Air::Variable(_) => 0.0,
    });
    if let Air::Variable(column) = mixture.air {
        mix[column] = air;
    }
    let solid: f64 = shelf.iter().zip(&mix).map(|(material, mass)| mass / material.density).sum();
    let fills = solid / (1.0 - air);
    let asked = if weights.per_volume { Some(1.0) } else { weights.volume };
    let written = asked.map_or(1.0, |asked| fills / asked);
    if !(1.0 - REFUSED..=1.0 + REFUSED).contains(&written) {
        return Err(Box::new(
            Finding::error(place, format!("the amounts fill {} of their volume", percent(written)))
                .note(format!(
                    "{} with the densities of the statement and {} of air",
                    Unit::known("L").with_number(&trimmed(1000.0 * fills, 5)),
                    percent(air)
                ))
                .help("check units and weights, or the densities of the materials"),
        ));
    }
    for (value, _) in mix.iter_mut().zip(shelf) {
        *value /= fills;
    }
    mixture.settle(&mut mix);
    Ok((mix, written))
}

/// A share in per cent.
pub fn percent(share: f64) -> String {
    format!("{} %", significant(100.0 * share, 4))
}

/// Whether amounts that fill this share of their volume are remarked on.
pub fn does_not_fill(share: f64) -> bool {
    REMARKED < (share - 1.0).abs()
}

/// A remark on a batch whose amounts do not fill their volume.
pub fn yield_remark(share: f64, place: Place) -> Finding {
    Finding::warning(place, format!("the amounts of this batch fill {} of their volume", percent(share)))
        .note("contents per m3 are taken of the concrete that was made; ratios do not change")
}
