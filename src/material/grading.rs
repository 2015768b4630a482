//! Sieves and what passes them.
//!
//! Sieves are named by their opening in metric units (`8 mm`, `63 um`) or by a US designation (`3/4 in`, `No. 200`),
//! which stands for the metric opening that the test-sieve standard gives it. Nothing is interpolated here: between
//! two sieves an aggregate declares, what passes is known only where both shares are the same.

use super::Role;
use crate::finding::{Finding, Findings};
use crate::quantity::{Dimension, Text, parse_scalar};
use crate::statement::MaterialEntry;

/// US designations and their openings in mm (ASTM E11, table 1, value from memory).
const DESIGNATIONS: &[(&str, f64)] = &[
    ("3 in", 75.0),
    ("2 1/2 in", 63.0),
    ("2 in", 50.0),
    ("1 1/2 in", 37.5),
    ("1 1/4 in", 31.5),
    ("1 in", 25.0),
    ("3/4 in", 19.0),
    ("5/8 in", 16.0),
    ("1/2 in", 12.5),
    ("3/8 in", 9.5),
    ("1/4 in", 6.3),
    ("No. 4", 4.75),
    ("No. 8", 2.36),
    ("No. 10", 2.0),
    ("No. 16", 1.18),
    ("No. 20", 0.85),
    ("No. 30", 0.6),
    ("No. 40", 0.425),
    ("No. 50", 0.3),
    ("No. 60", 0.25),
    ("No. 80", 0.18),
    ("No. 100", 0.15),
    ("No. 140", 0.106),
    ("No. 200", 0.075),
];

/// Openings that differ by less than this share are one sieve.
const SAME: f64 = 1e-6;

/// The opening of a sieve, m; `None` for what is no sieve.
pub fn opening(sieve: &str) -> Option<f64> {
    let named = sieve.replace('#', "No. ").replace("No.", "No. ");
    let named = named.split_whitespace().collect::<Vec<_>>().join(" ");
    if let Some((_, millimetres)) = DESIGNATIONS.iter().find(|(word, _)| *word == named) {
        return Some(millimetres * 1e-3);
    }
    let value = parse_scalar(Text { text: sieve, currency: "", trailing: &[] }).ok()?;
    let fits = value.unit.dimension == Dimension::LENGTH
        && value.unit.text != "in"
        && value.words.is_empty()
        && 0.0 < value.base;
    fits.then_some(value.base)
}

/// What is said about a word that is no sieve.
pub fn known_sieves() -> String {
    "sieves are openings such as `8 mm`, or US designations from `3 in` to `No. 200`".to_owned()
}

/// Share of an aggregate, by its own volume, that passes each declared sieve; openings rise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Grading {
    /// Openings, m, with the share passing.
    pub sieves: Vec<(f64, f64)>,
}

impl Grading {
    /// The share passing a sieve: declared, or known from its neighbours because it is the same on both sides.
    ///
    /// Above a sieve that everything passes everything passes; below one that nothing passes nothing does.
    pub fn passing(&self, opening: f64) -> Option<f64> {
        let declared = self.sieves.iter().find(|(sieve, _)| (sieve / opening - 1.0).abs() < SAME);
        if let Some((_, share)) = declared {
            return Some(*share);
        }
        let below = self.sieves.iter().rfind(|(sieve, _)| *sieve < opening).map(|(_, share)| *share);
        let above = self.sieves.iter().find(|(sieve, _)| opening < *sieve).map(|(_, share)| *share);
        match (below, above) {
            (Some(below), Some(above)) if below == above => Some(below),
            (Some(1.0), None) => Some(1.0),
            (None, Some(0.0)) => Some(0.0),
            _ => None,
        }
    }
}

/// Reads the declared sieves of one material.
pub fn grading(entry: &MaterialEntry, role: Role, findings: &mut Findings) -> Option<Grading> {
    let (first, _) = entry.grading.first()?;
    let name = &entry.name.value;
    if !role.is_aggregate() {
        findings.push(
            Finding::error(first.place, format!("material `{name}` is no aggregate and has a `grading`"))
                .help("take it out"),
        );
        return None;
    }
    let mut sieves: Vec<(f64, f64, &str)> = Vec::new();
    for (word, share) in &entry.grading {
        let Some(opening) = opening(&word.value) else {
            findings.push(
                Finding::error(
                    word.place,
                    format!("unknown sieve `{}` in `grading` of material `{name}`", word.value),
                )
                .note(known_sieves()),
            );
            continue;
        };
        if let Some((_, _, other)) = sieves.iter().find(|(sieve, ..)| (sieve / opening - 1.0).abs() < SAME) {
            findings.push(Finding::error(
                word.place,
                format!(
                    "`{}` and `{other}` are the same sieve in `grading` of material `{name}`",
                    word.value
                ),
            ));
            continue;
        }
        sieves.push((opening, share.value, &word.value));
    }
    sieves.sort_by(|a, b| a.0.total_cmp(&b.0));
    for pair in sieves.windows(2) {
        if pair[1].1 < pair[0].1 {
            findings.push(
                Finding::error(
                    first.place,
                    format!(
                        "the `grading` of material `{name}` falls from `{}` to `{}`",
                        pair[0].2, pair[1].2
                    ),
                )
                .note("the share passing a sieve never falls as the opening grows")
                .help("give the share that passes, not what is retained"),
            );
        }
    }
    Some(Grading { sieves: sieves.into_iter().map(|(opening, share, _)| (opening, share)).collect() })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ASTM E11, table 1 (value from memory): No. 4 is 4.75 mm, No. 200 is 75 um, 3/4 in is 19.0 mm.
    #[test]
    fn us_designations_stand_for_metric_openings() {
        for (word, millimetres) in [
            ("No. 4", 4.75),
            ("No.200", 0.075),
            ("#16", 1.18),
            ("3/4 in", 19.0),
            ("1 1/2 in", 37.5),
            ("8 mm", 8.0),
            ("63 um", 0.063),
        ] {
            let found = opening(word).expect(word);
            assert!((found * 1e3 / millimetres - 1.0).abs() < 1e-12, "{word}: {found}");
        }
        for word in ["No. 5", "0.5 in", "8", "8 kg", "-1 mm", "medium"] {
            assert_eq!(opening(word), None, "{word}");
        }
    }

    #[test]
    fn nothing_is_interpolated_between_two_declared_sieves() {
        let grading =
            Grading { sieves: vec![(0.25e-3, 0.0), (1e-3, 0.0), (4e-3, 0.6), (8e-3, 1.0), (16e-3, 1.0)] };
        assert_eq!(grading.passing(4e-3), Some(0.6));
        assert_eq!(grading.passing(2e-3), None);
        assert_eq!(grading.passing(0.5e-3), Some(0.0));
        assert_eq!(grading.passing(0.1e-3), Some(0.0));
        assert_eq!(grading.passing(11.2e-3), Some(1.0));
        assert_eq!(grading.passing(31.5e-3), Some(1.0));
    }
}
