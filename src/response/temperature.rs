//! A strain of temperature as measured or worked out elsewhere: points over age, straight lines between them.
//!
//! What enters: ages with strains, shortening positive. What leaves: the strain at an age, in microstrain; before the
//! first point and after the last it stays as it is there, so that only what happens between them acts. Where the
//! temperatures come from and what the coefficient of expansion is, nothing here knows.

use crate::finding::{Finding, Findings};
use crate::quantity::{Unit, trimmed};
use crate::statement::TemperatureEntry;

/// Strains that make sense, microstrain.
const STRAINS: f64 = 5000.0;
/// Ages that are taken: each is a point of the grid.
const MOST: usize = 100;

/// A strain over age, the same for every mix.
#[derive(Clone, Debug, PartialEq)]
pub struct Temperature {
    points: Vec<(f64, f64)>,
}

impl Temperature {
    /// From ages (d since casting) and strains (microstrain, shortening positive); ages that are equal or no ages at
    /// all, up to `last`, are findings.
    pub fn new(entry: &TemperatureEntry, owner: &str, last: f64, findings: &mut Findings) -> Option<Self> {
        let (day, microstrain) = (Unit::known("d"), Unit::known("microstrain"));
        let mut points: Vec<(f64, f64)> = Vec::new();
        let mut own = Findings::default();
        for (age, strain) in &entry.points {
            let (days, value) = (day.from_base(age.value), microstrain.from_base(strain.value));
            if !(0.0 <= days && days <= last) {
                own.push(
                    Finding::error(
                        age.place,
                        format!("`temperature strain` of {owner} has {} d", trimmed(days, 6)),
                    )
                    .note(format!("allowed: 0 .. {} d since casting", trimmed(last, 6)))
                    .help("give ages from the onset of restraint to the last day looked at"),
                );
            }
            if STRAINS < value.abs() {
                own.push(
                    Finding::error(
                        strain.place,
                        format!("`temperature strain` of {owner} has {} microstrain", trimmed(value, 6)),
                    )
                    .note("allowed: -5000 .. 5000 microstrain, shortening positive")
                    .help("a fall of 30 degrees Celsius shortens concrete by about 300 microstrain"),
                );
            }
            if points.iter().any(|(known, _)| *known == days) {
                own.push(
                    Finding::error(
                        age.place,
                        format!("`temperature strain` of {owner} has {} d twice", trimmed(days, 6)),
                    )
                    .help("give each age one strain"),
                );
            }
            points.push((days, value));
        }
        if MOST < points.len() {
            own.push(
                Finding::error(
                    entry.place,
                    format!("`temperature strain` of {owner} has {} ages", points.len()),
                )
                .note(format!("allowed: 2 .. {MOST}, straight lines between them")),
            );
        }
        if points.len() < 2 {
            own.push(
                Finding::error(
                    entry.place,
                    format!("`temperature strain` of {owner} has fewer than two ages"),
                )
                .note("only what changes from one age to the next acts")
                .help("write `{1 d: 0 microstrain, 3 d: 120 microstrain}`, shortening positive"),
            );
        }
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let sound = !own.has_errors();
        findings.extend(own);
        sound.then_some(Self { points })
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
