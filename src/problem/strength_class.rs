//! Strength classes as a limit may name them: `at least C30/37`, `at least LC25/28`.
//!
//! A class is a characteristic strength at 28 d, of cylinders and of cubes; which of the two counts follows from the
//! specimen of the response.

use super::requirement::{Requirement, Side, Subject, Wanted};
use crate::finding::{Finding, Findings};
use crate::quantity::Unit;
use crate::response::Response;
use crate::statement::Word;

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

/// Age at which a class is meant, s.
const DAYS_28: f64 = 28.0 * 86_400.0;

fn names() -> Vec<String> {
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

/// A remark where a class counts as one of cylinders because nobody says what the specimen is.
pub fn undecided(response: &Response, findings: &mut Findings) {
    let Some(strength) = &response.strength else { return };
    let specimen = strength.specimen.to_lowercase();
    if ["cube", "cylinder"].iter().any(|shape| specimen.contains(shape)) {
        return;
    }
    findings.push(
        Finding::warning(
            response.place,
            format!("whether `{}` is a cylinder or a cube is not said", response.name),
        )
        .note(format!(
            "its specimen is `{}`; a class that asks for a strength is taken to mean cylinders",
            strength.specimen
        ))
        .help(format!(
            "add `strength: {{specimen: cylinder 150 x 300 mm, statistic: {}, age: 28 d, curing: moist}}`, or a cube",
            strength.statistic
        )),
    );
}

/// The requirement that a strength is at least that of a class.
pub fn against_class(
    mut requirement: Requirement,
    class: &Word,
    statistic: Option<&Word>,
    owner: &str,
    responses: &[Response],
    findings: &mut Findings,
) -> Option<Requirement> {
    let name = class.value.as_str();
    let known = names();
    if !known.iter().any(|known| known == name) {
        findings.push(
            Finding::error(class.place, format!("unknown strength class `{name}` in {owner}")).known(
                "classes",
                name,
                known.iter().map(String::as_str),
            ),
        );
        return None;
    }
    if let Some(other) = statistic.filter(|other| other.value != "characteristic") {
        findings.push(
            Finding::error(other.place, format!("`{name}` in {owner} is no {} strength", other.value))
                .note("a strength class is a characteristic strength")
                .help("take `statistic` out"),
        );
        return None;
    }
    let response = match &requirement.subject {
        Subject::Response(index) => Some(&responses[*index]),
        Subject::Quantity(_) => None,
    };
    let strength = response.and_then(|response| response.strength.as_ref());
    let (Some(strength), Side::AtLeast) = (strength, requirement.side) else {
        findings.push(
            Finding::error(class.place, format!("`{name}` does not fit {owner}"))
                .note("a strength class is the least strength of a response that says what strength it is")
                .help("write `at least` it, and `strength:` in the response"),
        );
        return None;
    };
    if 1.0 < (strength.age - DAYS_28).abs() {
        findings.push(
            Finding::error(class.place, format!("`{name}` in {owner} is meant at 28 d"))
                .note(format!("the response is the strength at {} d", strength.age / 86_400.0))
                .help("give the strength itself: `at least 30 MPa`"),
        );
        return None;
    }
    if let Some(response) = response {
        undecided(response, findings);
    }
    let (cylinder, cube) = name.trim_start_matches(['L', 'C']).split_once('/')?;
    let wanted = if strength.specimen.to_lowercase().contains("cube") { cube } else { cylinder };
    requirement.unit = Unit::known("MPa");
    requirement.wanted = Wanted::Value(wanted.parse().ok()?);
    Some(requirement)
}

#[cfg(test)]
mod tests {
    use super::*;

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
