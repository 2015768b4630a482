//! Quantities that follow from what materials declare: contents such as chlorides, and what passes a sieve.

use super::affine::{Affine, Measure, Ratio};
use super::columns::Mixture;
use super::quantities::Quantity;
use crate::finding::{Finding, Place, listed};
use crate::material::Role;
use crate::quantity::{Dimension, Unit, known_sieves, opening};

/// Why the share passing a sieve is not known.
#[derive(Clone, Debug, PartialEq)]
pub enum NotPassing {
    /// The word is no sieve.
    NoSieve,
    /// These aggregates do not declare it.
    Undeclared(Vec<String>),
    /// There is no aggregate.
    NoAggregate,
}

impl NotPassing {
    /// What the author is told.
    pub fn finding(&self, place: Place, name: &str, owner: &str) -> Finding {
        match self {
            Self::NoSieve => {
                Finding::error(place, format!("unknown sieve in `{name}` of {owner}")).note(known_sieves())
            }
            Self::Undeclared(materials) => {
                Finding::error(place, format!("`{name}` of {owner} is not known for: {}", listed(materials)))
                    .note("nothing is interpolated between the sieves that an aggregate declares")
                    .help("add this sieve to the `grading` of each of them")
            }
            Self::NoAggregate => Finding::error(place, format!("`{name}` of {owner}: there is no aggregate")),
        }
    }
}

impl Mixture {
    /// The names of all declared contents, each once.
    pub fn contents(&self) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for (name, _) in self.catalogue.materials.iter().flat_map(|material| &material.contents) {
            if !names.contains(name) {
                names.push(name.clone());
            }
        }
        names
    }

    /// Mass of a declared content, kg per m3; materials that do not declare it count none. `None` if none declares it.
    pub fn content(&self, name: &str) -> Option<Affine> {
        let declares = |material: &crate::material::Material| {
            material.contents.iter().find(|(known, _)| known == name).map(|(_, share)| *share)
        };
        self.catalogue
            .materials
            .iter()
            .any(|material| declares(material).is_some())
            .then(|| self.sum(|material| declares(material).unwrap_or(0.0)))
    }

    /// Mass of a declared content that the cements bring, kg per m3. `None` if no cement declares it.
    pub fn content_of_cement(&self, name: &str) -> Option<Affine> {
        let brought = |material: &crate::material::Material| {
            let declared = material.contents.iter().find(|(known, _)| known == name).map(|(_, share)| *share);
            declared.filter(|_| material.role == Role::Cement)
        };
        self.catalogue
            .materials
            .iter()
            .any(|material| brought(material).is_some())
            .then(|| self.sum(|material| brought(material).unwrap_or(0.0)))
    }

    /// Share of all aggregates passing a sieve, by absolute volume: exact once multiplied by the aggregate volume.
    ///
    /// # Errors
    /// Why it is not known.
    pub fn passing(&self, sieve: &str) -> Result<Quantity, NotPassing> {
        let opening = opening(sieve).ok_or(NotPassing::NoSieve)?;
        let share = |material: &crate::material::Material| {
            material.grading.as_ref().and_then(|grading| grading.passing(opening))
        };
        let aggregates: Vec<_> =
            self.catalogue.materials.iter().filter(|material| material.role.is_aggregate()).collect();
        if aggregates.is_empty() {
            return Err(NotPassing::NoAggregate);
        }
        let without: Vec<String> = aggregates
            .iter()
            .filter(|material| share(material).is_none())
            .map(|material| material.name.clone())
            .collect();
        if !without.is_empty() {
            return Err(NotPassing::Undeclared(without));
        }
        let numerator = self.sum(|material| share(material).unwrap_or(0.0) / material.density);
        let denominator =
            self.sum(|material| if material.role.is_aggregate() { 1.0 / material.density } else { 0.0 });
        Ok(Quantity {
            label: format!("passing {sieve}"),
            measure: Measure::Ratio(Ratio { numerator, denominator }),
            dimension: Dimension::NONE,
            unit: Unit::known("%"),
        })
    }
}
