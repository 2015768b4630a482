//! Strength classes: characteristic strengths at 28 d, of cylinders and of cubes.

/// Cylinder and cube strength of normal concrete, MPa (EN 206-1:2000, table 7, value from memory).
const NORMAL: &[(u32, u32)] = &[
    (8, 10),
    (12, 15),
    (16, 20),
    (20, 25),
    (25, 30),
    (30, 37),
    (35, 45),
    (40, 50),
    (45, 55),
    (50, 60),
    (55, 67),
    (60, 75),
    (70, 85),
    (80, 95),
    (90, 105),
    (100, 115),
];

/// Cylinder and cube strength of lightweight concrete, MPa (EN 206-1:2000, table 8, value from memory).
const LIGHTWEIGHT: &[(u32, u32)] = &[
    (8, 9),
    (12, 13),
    (16, 18),
    (20, 22),
    (25, 28),
    (30, 33),
    (35, 38),
    (40, 44),
    (45, 50),
    (50, 55),
    (55, 60),
    (60, 66),
    (70, 77),
    (80, 88),
];

/// Every name, normal concrete first.
pub fn strength_class_names() -> Vec<String> {
    let written = |letters: &'static str, list: &'static [(u32, u32)]| {
        list.iter().map(move |(cylinder, cube)| format!("{letters}{cylinder}/{cube}"))
    };
    written("C", NORMAL).chain(written("LC", LIGHTWEIGHT)).collect()
}

/// Whether a word is written like a class, known or not: letters, a number, a stroke, a number.
pub fn looks_like_class(word: &str) -> bool {
    let numbers = word.strip_prefix("LC").or_else(|| word.strip_prefix('C'));
    numbers
        .and_then(|numbers| numbers.split_once('/'))
        .is_some_and(|(cylinder, cube)| cylinder.parse::<u32>().is_ok() && cube.parse::<u32>().is_ok())
}

/// Cylinder and cube strength of a class, MPa; `None` if there is no such class.
pub fn strength_class(name: &str) -> Option<(f64, f64)> {
    let (list, figures) = match name.strip_prefix("LC") {
        Some(figures) => (LIGHTWEIGHT, figures),
        None => (NORMAL, name.strip_prefix('C')?),
    };
    let known = list.iter().find(|(cylinder, cube)| figures == format!("{cylinder}/{cube}"));
    known.map(|(cylinder, cube)| (f64::from(*cylinder), f64::from(*cube)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_are_found_by_their_names_alone() {
        for name in strength_class_names() {
            assert!(strength_class(&name).is_some(), "{name}");
        }
        assert_eq!(strength_class("LC25/28"), Some((25.0, 28.0)));
        assert_eq!(strength_class("C25/28"), None);
        assert_eq!(strength_class("30/37"), None);
    }

    #[test]
    fn only_strength_classes_look_like_strength_classes() {
        for (word, expected) in [
            ("C30/37", true),
            ("LC25/28", true),
            ("C31/37", true),
            ("cement", false),
            ("C30", false),
            ("c/w", false),
        ] {
            assert_eq!(looks_like_class(word), expected, "{word}");
        }
    }
}
