//! A plan of a plant as plain values, and why there may be none.
//!
//! What enters: nothing. What leaves: the types. It computes nothing.

use super::oracle::Set;

/// One mix of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedMix {
    /// Bound and cost alone, currency per m3.
    pub alone: (f64, f64),
    /// Cost in the plan, currency per m3.
    pub cost: f64,
    /// Its mix.
    pub mix: Vec<f64>,
}

/// What one more place of a kind would save in a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saving {
    /// The kind.
    pub places: usize,
    /// At least so much; below zero where nothing can be claimed.
    pub low: f64,
    /// At most so much.
    pub high: f64,
    /// What would be kept besides.
    pub added: Set,
}

/// Use of limited stock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StockUse {
    /// The material.
    pub material: usize,
    /// Used in a year, kg.
    pub used: f64,
    /// To be had in a year, kg.
    pub stock: f64,
    /// What one kg more would be worth, by the prices of the bound.
    pub price: f64,
}

/// A plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// No plan costs less in a year.
    pub lower: f64,
    /// What it costs in a year.
    pub upper: f64,
    /// Bound and cost of all mixes alone in a year.
    pub alone: (f64, f64),
    /// Materials kept.
    pub kept: Set,
    /// The mixes.
    pub mixes: Vec<PlannedMix>,
    /// One more place of each kind that has fewer than its materials; not those that work ended before.
    pub savings: Vec<Saving>,
    /// Limited stock.
    pub stock: Vec<StockUse>,
    /// Whether the gap asked for was reached; else the plan is the best found.
    pub proven: bool,
    /// Sets looked at.
    pub nodes: usize,
    /// Mixes solved.
    pub solves: usize,
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq)]
pub enum NoPlan {
    /// A mix has none, even alone.
    Alone(usize),
    /// A mix needs more places of a kind than there are.
    Places {
        /// The mix.
        mix: usize,
        /// The kind.
        places: usize,
        /// How many it needs with all others as they are.
        needed: usize,
    },
    /// Each mix fits, and all together do not.
    Together,
    /// Work had to end before any plan was found.
    Unfinished,
    /// The stock of a material does not suffice.
    Stock(usize),
}
