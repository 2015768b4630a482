//! Quantities that follow from what materials declare: contents such as chlorides, and what passes a sieve.

use super::affine::{Affine, Measure, Ratio};
use super::columns::Mixture;
use super::quantity::Quantity;
use crate::finding::{Finding, Place, RestsOn, listed};
use crate::material::{Material, Role};
use crate::quantity::{Dimension, Unit, known_sieves, opening};

/// The name of the fineness modulus of the sands.
pub const FINENESS_MODULUS: &str = "fineness modulus";
/// The name of the bulk volume of coarse aggregate.
pub const BULK_VOLUME: &str = "bulk volume of coarse aggregate";
/// Sieves of the fineness modulus, m: 150 um, then each twice as wide up to 75 mm, with the openings of the standard.
const STANDARD_SIEVES: &[f64] =
    &[0.15e-3, 0.3e-3, 0.6e-3, 1.18e-3, 2.36e-3, 4.75e-3, 9.5e-3, 19.0e-3, 37.5e-3, 75.0e-3];

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
    /// The finding for a name whose meaning is known, while what it rests on is not declared; `None` for other names.
    pub fn undeclared(&self, name: &str, place: Place, owner: &str) -> Option<Finding> {
        self.not_declared(name, place, owner).map(|finding| finding.resting_on(RestsOn::Materials))
    }

    fn not_declared(&self, name: &str, place: Place, owner: &str) -> Option<Finding> {
        if let Some(sieve) = name.strip_prefix("passing ") {
            return self.passing(sieve).err().map(|without| without.finding(place, name, owner));
        }
        if name == FINENESS_MODULUS {
            return self.fineness_modulus().err().map(|without| match without {
                NotPassing::Undeclared(sands) => Finding::error(
                    place,
                    format!("`{name}` of {owner} is not known for: {}", listed(&sands)),
                )
                .note("it adds what is retained on 150 um (No. 100), 300 um (No. 50), 600 um (No. 30), 1.18 mm (No. 16), 2.36 mm (No. 8), 4.75 mm (No. 4), 9.5 mm (3/8 in) and wider")
                .help("add these sieves to the `grading` of each of them"),
                other => other.finding(place, name, owner),
            });
        }
        if name != BULK_VOLUME {
            return None;
        }
        let without = self.bulk_volume().err()?;
        Some(
            Finding::error(place, format!("`{name}` of {owner} is not known for: {}", listed(&without)))
                .note("it is their dry mass over their dry-rodded bulk density (ASTM C29)")
                .help("add `bulk density: 1600 kg/m3`, or `100 lb/ft3`, to each of them"),
        )
    }

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

    /// Fineness modulus of the sands together: the shares retained on the standard sieves from 150 um (No. 100) up, added
    /// (ASTM C136, section 9; C125), by mass in the state that amounts stand in.
    ///
    /// # Errors
    /// Which sands do not declare which sieve.
    pub fn fineness_modulus(&self) -> Result<Quantity, NotPassing> {
        let is_sand = |material: &Material| material.role.is_sand();
        let sands: Vec<&Material> = self.catalogue.materials.iter().filter(|one| is_sand(one)).collect();
        if sands.is_empty() {
            return Err(NotPassing::NoAggregate);
        }
        let modulus = |material: &Material| -> Option<f64> {
            let grading = material.grading.as_ref()?;
            STANDARD_SIEVES.iter().map(|opening| grading.passing(*opening).map(|share| 1.0 - share)).sum()
        };
        let without: Vec<String> =
            sands.iter().filter(|sand| modulus(sand).is_none()).map(|sand| sand.name.clone()).collect();
        if !without.is_empty() {
            return Err(NotPassing::Undeclared(without));
        }
        let numerator =
            self.sum(|material| if is_sand(material) { modulus(material).unwrap_or(0.0) } else { 0.0 });
        let denominator = self.sum(|material| if is_sand(material) { 1.0 } else { 0.0 });
        Ok(Quantity {
            label: FINENESS_MODULUS.to_owned(),
            measure: Measure::Ratio(Ratio { numerator, denominator }),
            dimension: Dimension::NONE,
            unit: Unit::number(),
        })
    }

    /// Bulk volume of coarse aggregate: oven-dry mass over dry-rodded bulk density (ACI 211.1, table 6.3.6; bulk density by
    /// ASTM C29), a share of the concrete's volume.
    ///
    /// # Errors
    /// Which coarse aggregates do not declare a bulk density.
    pub fn bulk_volume(&self) -> Result<Quantity, Vec<String>> {
        let is_coarse = |material: &Material| {
            matches!(material.role, Role::CoarseAggregate | Role::LightweightCoarseAggregate)
        };
        let without: Vec<String> = self
            .catalogue
            .materials
            .iter()
            .filter(|one| is_coarse(one) && one.bulk_density.is_none())
            .map(|one| one.name.clone())
            .collect();
        if !without.is_empty() {
            return Err(without);
        }
        let sum = self.sum(|one| match one.bulk_density {
            Some(bulk) if is_coarse(one) => one.dry() / bulk,
            _ => 0.0,
        });
        Ok(Quantity {
            label: BULK_VOLUME.to_owned(),
            measure: Measure::Linear(sum),
            dimension: Dimension::NONE,
            unit: Unit::known("%"),
        })
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
