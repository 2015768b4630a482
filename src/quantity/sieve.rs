//! Sieves by name: their opening in metric units (`8 mm`, `63 um`), or a US designation (`3/4 in`, `No. 200`), which
//! stands for the metric opening that the test-sieve standard gives it.

use super::{Dimension, Text, parse_scalar};

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
}
