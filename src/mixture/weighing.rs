//! What is weighed at the plant: aggregates with the water they come with, and so much less water added.
//!
//! Total mass is the same before and after: the water that aggregates bring beyond their reference state is taken
//! off the mixing water, what they lack is added to it.

use super::columns::Mixture;
use crate::listed::Id;
use crate::material::{Material, Role, State};

impl Mixture {
    /// Amounts of the materials as delivered, kg per m3, in the order of the shelf.
    ///
    /// Lightweight aggregates whose moisture is not given come prewetted, as they are batched. `None` stands where
    /// the moisture of an aggregate in the mix is not given, and then for the water too, since it cannot be
    /// corrected. Without any moisture given there is nothing to tell.
    pub fn as_delivered(&self, mix: &[f64]) -> Option<Vec<Option<f64>>> {
        let shelf = &self.catalogue.materials;
        let mut weighed: Vec<Option<f64>> = shelf
            .iter()
            .zip(mix)
            .map(|(material, amount)| {
                match (material.role.is_lightweight(), material.mass_in(State::AsDelivered)) {
                    (_, Some(mass)) => Some(amount * mass),
                    (true, None) => Some(*amount),
                    (false, None) if *amount == 0.0 => Some(0.0),
                    (false, None) => None,
                }
            })
            .collect();
        let told =
            shelf.iter().zip(mix).any(|(material, amount)| material.moisture.is_some() && 0.0 < *amount);
        if !told {
            return None;
        }
        let brought: Option<f64> =
            weighed.iter().zip(mix).map(|(weighed, amount)| weighed.map(|weighed| weighed - amount)).sum();
        let water = self.corrected_water(mix)?;
        weighed[water.index()] = brought.map(|brought| mix[water.index()] - brought);
        Some(weighed)
    }

    /// The water that gives up what aggregates bring: the largest of the mix.
    pub fn corrected_water(&self, mix: &[f64]) -> Option<Id<Material>> {
        let shelf = &self.catalogue.materials;
        shelf
            .ids()
            .filter(|id| shelf[*id].role == Role::Water)
            .max_by(|a, b| mix[a.index()].total_cmp(&mix[b.index()]))
    }
}
