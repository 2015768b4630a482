//! Points over age as an author gives them: in order, each age once, within what makes sense; what cannot be is a finding.

use crate::finding::{Finding, Findings};
use crate::quantity::{Unit, trimmed};
use crate::statement::PointsEntry;

/// Ages that are taken: each may be a point of the grid.
const MOST: usize = 100;
/// Last day that may be looked at.
pub const LAST: f64 = 3650.0;

/// Ages (d since casting) with values in `unit`, in order of age.
pub fn ordered(
    entry: &PointsEntry,
    owner: &str,
    unit: &Unit,
    (low, high): (f64, f64),
    help: &str,
    findings: &mut Findings,
) -> Option<Vec<(f64, f64)>> {
    let day = Unit::known("d");
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut own = Findings::default();
    for (age, value) in &entry.points {
        let (days, number) = (day.from_base(age.value), unit.from_base(value.value));
        if !(0.0..=LAST).contains(&days) {
            own.push(
                Finding::error(age.place, format!("{owner} has {} d", trimmed(days, 6)))
                    .note(format!("allowed: 0 .. {} d since casting", trimmed(LAST, 6)))
                    .help("give ages from the onset of restraint to the last day looked at"),
            );
        }
        if !(low <= number && number <= high) {
            own.push(
                Finding::error(value.place, format!("{owner} has {}", unit.with_number(&trimmed(number, 6))))
                    .note(format!("allowed: {} .. {}", trimmed(low, 4), unit.with_number(&trimmed(high, 4))))
                    .help(help),
            );
        }
        if points.iter().any(|(known, _)| *known == days) {
            own.push(
                Finding::error(age.place, format!("{owner} has {} d twice", trimmed(days, 6)))
                    .help("give each age one value"),
            );
        }
        points.push((days, number));
    }
    if MOST < points.len() {
        own.push(
            Finding::error(entry.place, format!("{owner} has {} ages", points.len()))
                .note(format!("allowed: 2 .. {MOST}, straight lines between them")),
        );
    }
    if points.len() < 2 {
        own.push(
            Finding::error(entry.place, format!("{owner} has fewer than two ages"))
                .note("only what changes from one age to the next acts")
                .help(help),
        );
    }
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let sound = !own.has_errors();
    findings.extend(own);
    sound.then_some(points)
}
