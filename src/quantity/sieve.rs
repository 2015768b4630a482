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
    if value.unit.dimension != Dimension::LENGTH || !value.words.is_empty() || value.base <= 0.0 {
        return None;
    }
    if value.unit.text != "in" {
        return Some(value.base);
    }
    // Decimal inches are the designation in another spelling: `1.5 in` is `1 1/2 in`, an opening of 37.5 mm.
    let same = |word: &str| {
        inches(word).is_some_and(|inches| (inches - value.unit.from_base(value.base)).abs() < 1e-6)
    };
    DESIGNATIONS.iter().find(|(word, _)| same(word)).map(|(_, millimetres)| millimetres * 1e-3)
}

/// The inches of a designation: 1.5 for `1 1/2 in`; `None` for numbered sieves.
fn inches(word: &str) -> Option<f64> {
    let part = |part: &str| match part.split_once('/') {
        Some((above, below)) => Some(above.parse::<f64>().ok()? / below.parse::<f64>().ok()?),
        None => part.parse().ok(),
    };
    word.strip_suffix(" in")?.split(' ').map(part).sum()
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
            ("1.5 in", 37.5),
            ("0.375 in", 9.5),
            ("1.0 in", 25.0),
            ("8 mm", 8.0),
            ("63 um", 0.063),
        ] {
            let found = opening(word).expect(word);
            assert!((found * 1e3 / millimetres - 1.0).abs() < 1e-12, "{word}: {found}");
        }
        for word in ["No. 5", "0.3 in", "1.51 in", "8", "8 kg", "-1 mm", "medium"] {
            assert_eq!(opening(word), None, "{word}");
        }
    }
}
