//! From the terms of a response to its polynomial: factors resolved, at most two in a term.

use super::surface::Surface;
use crate::finding::{Finding, Findings};
use crate::statement::{ResponseEntry, Word};

/// The index of a factor by its short name.
pub fn position(entry: &ResponseEntry, name: &str) -> Option<usize> {
    entry.factors.iter().position(|factor| factor.name.value == name)
}

/// The polynomial, its coding still empty.
pub fn surface(entry: &ResponseEntry, owner: &str, findings: &mut Findings) -> Option<Surface> {
    let mut surface = Surface { constant: 0.0, linear: Vec::new(), products: Vec::new(), coding: Vec::new() };
    let mut complete = true;
    for term in &entry.terms {
        let mut indices = Vec::new();
        for word in &term.factors {
            if let Some(index) = position(entry, &word.value) {
                indices.push(index);
            } else {
                complete = false;
                findings.push(unknown_factor(entry, word, owner));
            }
        }
        let coefficient = term.coefficient.value;
        indices.sort_unstable();
        match indices.as_slice() {
            _ if indices.len() < term.factors.len() => {}
            [] => surface.constant = coefficient,
            [i] => surface.linear.push((*i, coefficient)),
            [i, j] => surface.products.push((*i, *j, coefficient)),
            _ => {
                complete = false;
                findings.push(
                    Finding::error(
                        term.factors[0].place,
                        format!("a term of {owner} multiplies {} factors", indices.len()),
                    )
                    .note("a surface is of second order: at most two factors in a term")
                    .help("take the term out; a factor of higher order has no place in a surface"),
                );
            }
        }
    }
    if entry.terms.is_empty() {
        findings.push(
            Finding::error(entry.name.place, format!("{owner} has no terms"))
                .note("`terms` holds a coefficient for `constant`, `a`, `a * b` or `a * a`")
                .help("add `terms: {constant: ..., ...}`"),
        );
        return None;
    }
    surface.linear.retain(|(_, coefficient)| *coefficient != 0.0);
    surface.products.retain(|(.., coefficient)| *coefficient != 0.0);
    if complete {
        unused_factors(entry, &surface, owner, findings);
    }
    complete.then_some(surface)
}

/// A factor in a term that the response does not have.
fn unknown_factor(entry: &ResponseEntry, word: &Word, owner: &str) -> Finding {
    if word.value.is_empty() {
        return Finding::error(word.place, format!("a product in the terms of {owner} lacks a factor"))
            .help("write `a * b`");
    }
    let finding =
        Finding::error(word.place, format!("unknown factor `{}` in the terms of {owner}", word.value));
    let base = word.value.split(['^', '²']).next().unwrap_or_default();
    let finding = if base.len() < word.value.len() {
        finding.help(format!("write `{base} * {base}` for a square"))
    } else {
        finding
    };
    finding.known("factors", &word.value, entry.factors.iter().map(|factor| factor.name.value.as_str()))
}

/// Factors that are in no term.
fn unused_factors(entry: &ResponseEntry, surface: &Surface, owner: &str, findings: &mut Findings) {
    for (index, factor) in entry.factors.iter().enumerate() {
        let used = surface.linear.iter().any(|(i, _)| *i == index)
            || surface.products.iter().any(|(i, j, _)| *i == index || *j == index);
        if !used {
            findings.push(
                Finding::warning(
                    factor.name.place,
                    format!(
                        "factor `{}` of {owner} is in no term; its region still binds",
                        factor.name.value
                    ),
                )
                .help("take it out, or give it a coefficient"),
            );
        }
    }
}
