//! Why there is no fit, in words.
//!
//! What enters: what was asked, and which columns depend on others. What leaves: a [`Refusal`] that names terms and
//! factors, what the trials would need, and one way out.

use super::asked::Asked;
use super::regression::regression;
use super::term::Term;
use crate::number::orthogonal::Dependence;

/// Why there is no fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    /// What is wrong.
    pub reason: String,
    /// Facts.
    pub notes: Vec<String>,
    /// One way out.
    pub help: String,
}

impl Refusal {
    /// From what is wrong and one way out.
    pub fn new(reason: impl Into<String>, help: impl Into<String>) -> Self {
        Self { reason: reason.into(), notes: Vec::new(), help: help.into() }
    }
}

fn names(asked: &Asked) -> Vec<String> {
    asked.factors.iter().map(|factor| factor.name.clone()).collect()
}

/// Too few results for the terms; `counts` are those of results, batches and mixes.
pub fn too_few(
    asked: &Asked,
    counts: (usize, usize, usize),
    terms: &[Term],
    table: &[Vec<f64>],
    kept: &[usize],
) -> Refusal {
    let mut refusal = Refusal::new(
        format!("{} results cannot carry the {} terms asked for `{}`", counts.0, kept.len(), asked.name),
        "ask for fewer terms (`--terms first`, or `--terms chosen`), or make more trials (`mixbound plan`)",
    );
    let (results, batches, mixes) = counts;
    refusal.notes.push(format!(
        "at least {} batches of different mixes are needed; {batches} batches of {mixes} mixes are there",
        kept.len() + 1,
    ));
    let chosen: Vec<Vec<f64>> = kept.iter().map(|term| table[*term].clone()).collect();
    if let Err(dependences) = regression(&chosen, &vec![0.0; results], &vec![1.0; results]) {
        refusal.notes.extend(in_words(asked, terms, kept, &dependences));
    }
    refusal
}

/// Terms that the trials cannot tell apart.
pub fn dependent(asked: &Asked, terms: &[Term], kept: &[usize], dependences: &[Dependence]) -> Refusal {
    let mut refusal = Refusal::new(
        format!("the trials cannot tell the terms of `{}` apart", asked.name),
        "leave one of the named factors or terms out, or vary it by itself in the next trials",
    );
    refusal.notes = in_words(asked, terms, kept, dependences);
    refusal
}

/// `a * b = 2 x a - 0.5 x constant in all trials`, in coded factors.
fn in_words(asked: &Asked, terms: &[Term], kept: &[usize], dependences: &[Dependence]) -> Vec<String> {
    let names = names(asked);
    let word = |column: usize| format!("`{}`", terms[kept[column]].words(&names));
    dependences
        .iter()
        .take(12)
        .map(|dependence| {
            let parts: Vec<String> = dependence
                .combination
                .iter()
                .take(6)
                .enumerate()
                .map(|(at, (column, weight))| {
                    let sign = match (at, *weight < 0.0) {
                        (0, false) => "",
                        (0, true) => "-",
                        (_, false) => "+ ",
                        (_, true) => "- ",
                    };
                    format!("{sign}{} x {}", crate::quantity::significant(weight.abs(), 3), word(*column))
                })
                .collect();
            let rest = if 6 < dependence.combination.len() { " + ..." } else { "" };
            let sum = if parts.is_empty() { "zero".to_owned() } else { parts.join(" ") };
            format!(
                "confounded: {} is {sum}{rest} in all trials (factors coded to -1 .. 1)",
                word(dependence.column)
            )
        })
        .collect()
}
