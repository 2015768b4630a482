//! Which response a class means by its strength.
//!
//! What enters: the author's word for it, if there is one, the responses, and what is limited already. What leaves: a
//! response, or why none is taken. How strong the class asks it to be, nothing here knows.

use super::context::Context;
use crate::finding::{Finding, Findings, listed};
use crate::listed::Id;
use crate::problem::requirement::{Requirement, Subject};
use crate::response::Response;
use crate::standard::Shape;
use crate::statement::Word;

/// The response that is the compressive strength at 28 d: the one that the author says, the only one, or the only one
/// limited; else why none is taken.
pub fn strength(
    said: Option<&Word>,
    context: &Context<'_>,
    requirements: &[Requirement],
) -> Result<Id<Response>, String> {
    const DAYS_28: f64 = 28.0 * 86_400.0;
    if let Some(word) = said {
        let named = context.responses.find_id(|response| response.name == word.value);
        return named.ok_or_else(|| format!("there is no response `{}`", word.value));
    }
    let mut candidates: Vec<Id<Response>> = context
        .responses
        .ids()
        .filter(|index| {
            let strength = context.responses[*index].strength.as_ref();
            strength
                .is_some_and(|strength| strength.shape != Shape::Beam && (strength.age - DAYS_28).abs() < 1.0)
        })
        .collect();
    let all: Vec<&str> = candidates.iter().map(|index| context.responses[*index].name.as_str()).collect();
    let why = match all.as_slice() {
        [] => "no response is the compressive strength at 28 d".to_owned(),
        [first, ..] => format!(
            "the statement holds {} strengths at 28 d ({}): name one, as in `classes: {{of: [...], strength: {first}}}`",
            all.len(),
            listed(&all)
        ),
    };
    if candidates.len() > 1 {
        candidates.retain(|index| {
            requirements.iter().any(|own| matches!(own.subject, Subject::Response(known) if known == *index))
        });
    }
    match candidates.as_slice() {
        [one] => Ok(*one),
        _ => Err(why),
    }
}

/// A strength that the author names for the classes must be one.
pub fn check_strength(said: &Word, context: &Context<'_>, findings: &mut Findings) {
    let response = context.responses.iter().find(|response| response.name == said.value);
    let strengths = context.responses.iter().filter(|response| response.strength.is_some());
    match response {
        None => findings.push(
            Finding::error(said.place, format!("unknown response `{}` in `classes`", said.value)).known(
                "strengths",
                &said.value,
                strengths.map(|response| response.name.as_str()),
            ),
        ),
        Some(response)
            if response.strength.as_ref().is_some_and(|strength| strength.shape == Shape::Beam) =>
        {
            findings.push(
                Finding::error(
                    said.place,
                    format!("response `{}` in `classes` is the strength of beams", response.name),
                )
                .note("a class asks for the compressive strength at 28 d")
                .help("name a response whose specimen is a cylinder or a cube"),
            );
        }
        Some(response) if response.strength.is_none() => findings.push(
            Finding::error(
                said.place,
                format!("response `{}` in `classes` does not say what strength it is", said.value),
            )
            .note("a class asks for the compressive strength at 28 d")
            .help("add `strength:` with specimen, statistic, age and curing to that response"),
        ),
        Some(_) => {}
    }
}
