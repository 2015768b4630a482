//! A strain of temperature as measured or worked out elsewhere: points over age, straight lines between them.
//!
//! What enters: ages with strains, shortening positive. What leaves: the strain at an age, in microstrain; before the
//! first point and after the last it stays as it is there, so that only what happens between them acts. Where the
//! temperatures come from and what the coefficient of expansion is, nothing here knows.

use super::points::ordered;
use crate::finding::Findings;
use crate::quantity::Unit;
use crate::statement::PointsEntry;

/// Strains that make sense, microstrain.
const STRAINS: f64 = 5000.0;

/// A strain over age, the same for every mix.
#[derive(Clone, Debug, PartialEq)]
pub struct Temperature {
    points: Vec<(f64, f64)>,
}

impl Temperature {
    /// From ages (d since casting) and strains (microstrain, shortening positive).
    pub fn new(entry: &PointsEntry, owner: &str, findings: &mut Findings) -> Option<Self> {
        let owner = format!("`temperature strain` of {owner}");
        let help = "a fall of 30 degrees Celsius shortens concrete by about 300 microstrain";
        let strains = (-STRAINS, STRAINS);
        ordered(entry, &owner, &Unit::known("microstrain"), strains, help, findings)
            .map(|points| Self { points })
    }

    /// The strain at an age, microstrain.
    pub fn at(&self, age: f64) -> f64 {
        let after = self.points.partition_point(|(known, _)| *known <= age);
        match (after.checked_sub(1).map(|before| self.points[before]), self.points.get(after)) {
            (Some((from, low)), Some((to, high))) => low + (high - low) * (age - from) / (to - from),
            (Some((_, strain)), None) => strain,
            (None, Some((_, strain))) => *strain,
            (None, None) => 0.0,
        }
    }

    /// Ages at which it turns, d since casting.
    pub fn ages(&self) -> impl Iterator<Item = f64> + '_ {
        self.points.iter().map(|(age, _)| *age)
    }
}
