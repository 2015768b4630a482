//! Decisions as numbers: whether a material is used, what that asks of amounts, and how decisions hang together.
//!
//! What enters: places and linear measures. What leaves: conditions on decisions and on amounts. How an author writes them
//! is not known here.

use crate::finding::Place;
use crate::listed::Id;
use crate::material::Material;
use crate::mixture::Affine;

/// A material whose use is a decision.
#[derive(Clone, Debug)]
pub struct Switch {
    /// The material.
    pub material: Id<Material>,
    /// Bounds that hold if it is used.
    pub bounds: Option<SwitchBounds>,
}

/// What is used of a material, and of what that is a share: linear in the amounts.
#[derive(Clone, Debug)]
pub struct Used {
    /// The material's amount in kg/m3, or its volume where the base is a volume.
    pub part: Affine,
    /// The base: one for amounts per m3 of concrete.
    pub base: Affine,
}

impl Used {
    /// `share x base - part`: not below zero where at most that share is used.
    pub fn below(&self, share: f64) -> Affine {
        self.base.times(share).plus(-1.0, &self.part)
    }

    /// `part - share x base`: not below zero where at least that share is used.
    pub fn above(&self, share: f64) -> Affine {
        self.part.clone().plus(-share, &self.base)
    }
}

/// `low x base <= part <= high x base` if a material is used.
#[derive(Clone, Debug)]
pub struct SwitchBounds {
    /// What is bounded.
    pub used: Used,
    /// Lowest share of the base, or amount in kg/m3.
    pub low: Option<f64>,
    /// Highest share of the base, or amount in kg/m3.
    pub high: Option<f64>,
    /// Where they stand.
    pub place: Place,
}

/// `low <= sum of coefficient x switch <= high`.
#[derive(Clone, Debug)]
pub struct Logic {
    /// The choice it comes from.
    pub name: String,
    /// Where the choice stands.
    pub place: Place,
    /// Switches with their coefficients.
    pub terms: Vec<(Id<Switch>, f64)>,
    /// Lowest sum.
    pub low: f64,
    /// Highest sum.
    pub high: f64,
}

impl Logic {
    /// Whether an assignment of decisions obeys it.
    pub fn holds(&self, assignment: &[bool]) -> bool {
        let sum: f64 = self
            .terms
            .iter()
            .map(|(switch, factor)| if assignment[switch.index()] { *factor } else { 0.0 })
            .sum();
        self.low - 1e-9 <= sum && sum <= self.high + 1e-9
    }
}

/// If a material is used, at least so much of another.
#[derive(Clone, Debug)]
pub struct Need {
    /// The choice it comes from.
    pub name: String,
    /// Where the choice stands.
    pub place: Place,
    /// The switch of the first material.
    pub switch: Id<Switch>,
    /// The other material.
    pub material: Id<Material>,
    /// What of it is used.
    pub used: Used,
    /// At least this share of the base, or amount in kg/m3.
    pub least: f64,
}
