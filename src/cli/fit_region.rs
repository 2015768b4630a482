//! Whether the region of a fit leaves any mix that its statement allows.
//!
//! What enters: the statement's file and fitted responses. What leaves: findings in words. Limits on responses are left out of
//! the question: what is asked is whether a mix of these materials, bounds, choices and exact limits lies where the response is
//! known.

use crate::listed::Id;
use crate::response::Response;
use std::path::Path;

use super::priced::Prices;
use super::sweep::document_of;
use crate::admit::admit_document;
use crate::finding::{Fault, clean};
use crate::problem::{Member, Origin, Problem, Subject};
use crate::solve::{Limits, Settings, Verdict, solve};
use crate::statement::Part;
use crate::trial::fragment::Fragment;

/// Gap and nodes of the proof that there is none.
fn enough() -> Limits {
    Limits { gap: 0.5, nodes: 400, ..Limits::default() }
}

/// The way out where a region leaves nothing.
const HELP: &str =
    "make trials where mixes are allowed (`mixbound plan`), or widen the bounds of the materials";

/// What is to be told: a finding for each fitted response whose region no allowed mix reaches.
///
/// # Errors
/// If the statement cannot be read again.
pub fn excluded(file: &Path, fragments: &[Fragment]) -> Result<Vec<String>, Fault> {
    let Some((document, mut sources, _)) = document_of(file, &Prices::default())? else {
        return Ok(Vec::new());
    };
    let text: String = fragments.iter().map(Fragment::yaml).collect();
    let source = sources.add("the fit", format!("responses:\n{text}"));
    let Ok(part) = Part::read(&sources, source) else { return Ok(Vec::new()) };
    let problem = match admit_document(&document.under(&part), &sources) {
        Ok((problem, _)) => problem,
        Err(findings) => {
            let why = findings.render(&sources);
            let help = if fragments.iter().any(|one| one.strength.is_none()) {
                "  = help: a new strength is described by `--strength \"cylinder 150 x 300 mm, moist\"`\n"
            } else {
                ""
            };
            return Ok(vec![format!("warning: the statement does not stand with this fit\n{help}{why}\n")]);
        }
    };
    let fitted: Vec<Id<Response>> = fragments
        .iter()
        .filter_map(|one| problem.responses.find_id(|response| response.name == one.name))
        .collect();
    let mut told: Vec<String> = Vec::new();
    for index in &fitted {
        let name = clean(&problem.responses[*index].name);
        told.extend(missing(&problem, &[*index], &format!("inside the region in which `{name}` was fitted")));
    }
    if told.is_empty() && 1 < fitted.len() {
        told.extend(missing(&problem, &fitted, "inside the regions of all fitted responses together"));
    }
    Ok(told.into_iter().map(|told| format!("warning: {told}\n  = help: {HELP}\n")).collect())
}

/// A sentence if no mix lies in the regions of these responses.
fn missing(problem: &Problem, responses: &[Id<Response>], place: &str) -> Option<String> {
    match solve(&alone(problem, responses), &Settings::proven(enough())) {
        Verdict::Nothing(nothing) if nothing.certainty.is_some_and(|certainty| certainty.complete) => {
            Some(format!("no mix that the statement allows lies {place}"))
        }
        Verdict::Nothing(_) => Some(format!("no mix that the statement allows was found {place}")),
        Verdict::Found(_) | Verdict::Unsettled(_) | Verdict::Failed(_) => None,
    }
}

/// The problem with the exact limits and what ends the regions of some responses, nothing else on responses.
fn alone(problem: &Problem, responses: &[Id<Response>]) -> Problem {
    let stays = |origin: &Origin, subject: &Subject| match origin {
        Origin::Region { response, .. } | Origin::Leverage(response) => responses.contains(response),
        Origin::Limit => matches!(subject, Subject::Quantity(_)),
        Origin::Material(_) => true,
    };
    let others: Vec<Member> = problem
        .requirements
        .named()
        .filter(|(_, requirement)| !stays(&requirement.origin, &requirement.subject))
        .map(|(index, _)| Member::Requirement(index))
        .collect();
    problem.without(&others)
}
