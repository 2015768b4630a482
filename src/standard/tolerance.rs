//! Tolerances of weighing, as the standards give them.
//!
//! What enters: whose rules, what is weighed, how much of it and on which scale. What leaves: the ends between which the
//! mass may lie, as shares of the target. It does not know how deviations lie between them.
//!
//! Sources: ASTM C94: batch water 1.5 % of its target (C94-21a, seen in print); cement 1 % from 30 % of the scale's
//! capacity on, 0 to +4 % below; aggregates 2 % each, 1 % of the running total where they are weighed on top of each
//! other, and below 30 % of the scale the lesser of 0.3 % of its capacity and 3 % of the running total; admixtures 3 %
//! (values from memory). EN 206 table 27: 3 % for cement, water, all aggregates together and additions above 5 % of the
//! cement, 5 % for admixtures and small additions (seen in print); fibres 5 % (from memory). Where a standard has no
//! row of its own, the row of admixtures is taken.

use super::batching::BatchingRules;
use crate::material::{Role, RoleKind};

/// The ends of a tolerance, shares of the target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Lower end, not above zero.
    pub low: f64,
    /// Upper end, not below zero.
    pub high: f64,
}

impl Tolerance {
    /// The same share on both sides.
    pub fn both(share: f64) -> Self {
        Self { low: -share, high: share }
    }
}

/// What is weighed, as the tables tell it apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weighed {
    /// Cement and additions above 5 % of it.
    Binder,
    /// Additions up to 5 % of the cement.
    SmallAddition,
    /// Aggregates.
    Aggregate,
    /// Mixing water.
    Water,
    /// Admixtures, fibres and everything else.
    Other,
}

/// Additions up to this share of the cement are small ones: EN 206 table 27.
const SMALL_ADDITION: f64 = 0.05;
/// Share of a scale's capacity below which ASTM C94 has other tolerances: value from memory.
pub const SMALL_OF_SCALE: f64 = 0.3;

impl Weighed {
    /// The row of a material, `of_cement` being its mass over the cement's.
    pub fn of(role: Role, of_cement: f64) -> Self {
        match role.kind() {
            RoleKind::Cement => Self::Binder,
            RoleKind::Addition | RoleKind::Filler | RoleKind::Expansive => {
                if of_cement <= SMALL_ADDITION {
                    Self::SmallAddition
                } else {
                    Self::Binder
                }
            }
            RoleKind::Water => Self::Water,
            RoleKind::Sand | RoleKind::Coarse | RoleKind::LightweightSand | RoleKind::LightweightCoarse => {
                Self::Aggregate
            }
            RoleKind::Fibre | RoleKind::Admixture | RoleKind::Other => Self::Other,
        }
    }
}

/// The tolerance of a mass on a scale of its own, `load` being the share of the scale's capacity that it takes, where
/// that is known.
pub fn single(rules: BatchingRules, weighed: Weighed, load: Option<f64>) -> Tolerance {
    let small = load.is_some_and(|load| load < SMALL_OF_SCALE);
    match (rules, weighed) {
        (BatchingRules::AstmC94, Weighed::Binder | Weighed::SmallAddition) if small => {
            Tolerance { low: 0.0, high: 0.04 }
        }
        (BatchingRules::AstmC94, Weighed::Binder | Weighed::SmallAddition) => Tolerance::both(0.01),
        (BatchingRules::AstmC94, Weighed::Aggregate) => Tolerance::both(0.02),
        (BatchingRules::AstmC94, Weighed::Water) => Tolerance::both(0.015),
        (BatchingRules::AstmC94, Weighed::Other) => Tolerance::both(0.03),
        (BatchingRules::En206, Weighed::Binder | Weighed::Aggregate | Weighed::Water) => {
            Tolerance::both(0.03)
        }
        (BatchingRules::En206, Weighed::SmallAddition | Weighed::Other) => Tolerance::both(0.05),
    }
}

/// The tolerance of a running total on one scale, shares of that total.
pub fn running(rules: BatchingRules, weighed: Weighed, load: Option<f64>) -> Tolerance {
    match (rules, weighed, load) {
        (BatchingRules::AstmC94, Weighed::Aggregate, Some(load)) if load < SMALL_OF_SCALE => {
            Tolerance::both((0.003 / load).min(0.03))
        }
        (BatchingRules::AstmC94, Weighed::Aggregate, _) => Tolerance::both(0.01),
        _ => single(rules, weighed, load),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// EN 206 table 27 and ASTM C94: cement of 384 for 380 kg is 1.053 % too much, within EN and beyond ASTM; water of
    /// 162.4 for 160 kg is 1.5 % too much, at the limit of ASTM C94-21a.
    #[test]
    fn rows_are_those_of_the_standards() {
        let cement = 384.0 / 380.0 - 1.0;
        assert!(single(BatchingRules::AstmC94, Weighed::Binder, Some(0.9)).high < cement);
        assert!(cement < single(BatchingRules::En206, Weighed::Binder, Some(0.9)).high);
        let water = 162.4 / 160.0 - 1.0;
        assert!((single(BatchingRules::AstmC94, Weighed::Water, None).high - water).abs() < 1e-12);
        assert_eq!(
            single(BatchingRules::AstmC94, Weighed::Binder, Some(0.2)),
            Tolerance { low: 0.0, high: 0.04 }
        );
        assert_eq!(single(BatchingRules::En206, Weighed::Other, None), Tolerance::both(0.05));
    }

    /// ASTM C94, value from memory: below 30 % of the scale the lesser of 0.3 % of its capacity and 3 % of the total.
    #[test]
    fn running_totals_have_their_own_tolerance() {
        let of = |load: f64| running(BatchingRules::AstmC94, Weighed::Aggregate, Some(load)).high;
        assert!(
            (of(0.05) - 0.03).abs() < 1e-12
                && (of(0.2) - 0.015).abs() < 1e-12
                && (of(0.5) - 0.01).abs() < 1e-12
        );
    }

    #[test]
    fn additions_are_small_up_to_five_per_cent_of_the_cement() {
        assert_eq!(Weighed::of(Role::SilicaFume, 0.05), Weighed::SmallAddition);
        assert_eq!(Weighed::of(Role::FlyAsh, 0.2), Weighed::Binder);
        assert_eq!(Weighed::of(Role::Fibre, 0.01), Weighed::Other);
    }
}
