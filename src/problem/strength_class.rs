//! Strength classes as a limit may name them: `at least C30/37`, `at least LC25/28`.
//!
//! A class is a characteristic strength at 28 d, of cylinders and of cubes; which of the two counts follows from the
//! specimen of the response.

use super::requirement::{Requirement, Subject, Wanted};
use crate::finding::{Finding, Findings};
use crate::listed::Listed;
use crate::quantity::Unit;
use crate::response::Response;
use crate::standard::{Shape, Side, Statistic, strength_class, strength_class_names};
use crate::statement::Word;

/// Age at which a class is meant, s.
const DAYS_28: f64 = 28.0 * 86_400.0;

/// A remark where a class counts as one of cylinders because nobody says what the specimen is.
pub fn undecided(response: &Response, findings: &mut Findings) {
    let Some(strength) = &response.strength else { return };
    if strength.shape != Shape::Unsaid {
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
            strength.statistic.word()
        )),
    );
}

/// The requirement that a strength is at least that of a class.
pub fn against_class(
    mut requirement: Requirement,
    class: &Word,
    statistic: Option<&Word>,
    owner: &str,
    responses: &Listed<Response>,
    findings: &mut Findings,
) -> Option<Requirement> {
    let name = class.value.as_str();
    let Some((cylinder, cube)) = strength_class(name) else {
        let known = strength_class_names();
        findings.push(
            Finding::error(class.place, format!("unknown strength class `{name}` in {owner}")).known(
                "classes",
                name,
                known.iter().map(String::as_str),
            ),
        );
        return None;
    };
    if let Some(other) =
        statistic.filter(|other| Statistic::named(&other.value) != Some(Statistic::Characteristic))
    {
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
    if strength.shape == Shape::Beam {
        findings.push(
            Finding::error(class.place, format!("`{name}` in {owner} is no strength of beams"))
                .note("a strength class is the compressive strength of cylinders and of cubes")
                .help("give the bending strength itself: `at least 5 MPa`"),
        );
        return None;
    }
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
    let wanted = if strength.shape == Shape::Cube { cube } else { cylinder };
    requirement.unit = Unit::known("MPa");
    requirement.wanted = Wanted::Value(wanted);
    Some(requirement)
}
