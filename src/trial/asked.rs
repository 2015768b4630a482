//! What a fit is asked for: response, factors, form, selection, link, scatter, ages.
//!
//! What enters: words of the command line and the responses of the statement. What leaves: [`Asked`], resolved, or what is
//! wrong with the words. This file does not fit.

use super::scatter::ScatterForm;
use super::term::Term;
use crate::finding::nearest;
use crate::mixture::{Quantities, Quantity};
use crate::quantity::{Dimension, Unit};
use crate::response::Link;
use crate::statement::{QuantityRef, QuantitySpec, ResponseEntry, Word};

/// One factor of a fit.
#[derive(Clone, Debug)]
pub struct FactorAsked {
    /// Its short name in terms.
    pub name: String,
    /// What it measures; nothing for the logarithm of the age in days.
    pub quantity: Option<Quantity>,
    /// How a statement writes it.
    pub is: String,
    /// The unit that coefficients take it in.
    pub unit: Unit,
}

/// Which terms stand.
#[derive(Clone, Debug, PartialEq)]
pub enum TermChoice {
    /// All terms up to an order.
    All(usize),
    /// Those of least corrected criterion among the terms up to an order.
    Criterion(usize),
    /// Those that predict left-out mixes best among the terms up to an order.
    CrossValidation(usize),
    /// Exactly these.
    Listed(Vec<Term>),
}

/// Which link is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LinkChoice {
    /// This one.
    Fixed(Link),
    /// The one of least corrected criterion, with the change of scale counted.
    Chosen,
}

/// Everything that is asked of one fit.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Name of the response.
    pub name: String,
    /// Factors.
    pub factors: Vec<FactorAsked>,
    /// Terms.
    pub terms: TermChoice,
    /// Link.
    pub link: LinkChoice,
    /// Scatter.
    pub scatter: ScatterForm,
    /// Curing of the results that are meant, where results of several may stand beside one another.
    pub curing: Option<String>,
    /// The age whose results are fitted, d; nothing where age is a factor or all results count.
    pub age: Option<f64>,
}

/// The name of the factor that is the logarithm of the age in days.
pub const LOG_AGE: &str = "ln age";

impl Asked {
    /// The factor that is the age.
    pub fn age_factor(&self) -> Option<usize> {
        self.factors.iter().position(|factor| factor.quantity.is_none())
    }
}

/// A factor from `short = quantity`, or from the quantity's name alone.
///
/// # Errors
/// In words, what is not known.
pub fn factor_from_words(text: &str, quantities: &Quantities<'_>) -> Result<FactorAsked, String> {
    let (name, phrase) = match text.split_once('=') {
        Some((name, phrase)) => (name.trim(), phrase.trim()),
        None => (text.trim(), text.trim()),
    };
    if phrase == LOG_AGE {
        return Ok(log_age(name));
    }
    if name.is_empty() || name == "constant" || name.contains('*') {
        return Err(format!("`{name}` cannot be the short name of a factor"));
    }
    let word =
        Word { value: phrase.to_owned(), place: crate::finding::Place { source: 0, start: 0, end: 0 } };
    match quantities.phrase(&word) {
        Ok(quantity) => Ok(FactorAsked {
            name: name.to_owned(),
            is: phrase.to_owned(),
            unit: if quantity.dimension == Dimension::NONE { Unit::number() } else { quantity.unit.clone() },
            quantity: Some(quantity),
        }),
        Err(unknown) => {
            let names = quantities.names();
            let near = nearest(&unknown, names.iter().map(String::as_str));
            let hint = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
            Err(format!("unknown quantity `{unknown}` as a factor{hint}"))
        }
    }
}

/// The logarithm of the age in days as a factor.
pub fn log_age(name: &str) -> FactorAsked {
    FactorAsked { name: name.to_owned(), quantity: None, is: LOG_AGE.to_owned(), unit: Unit::number() }
}

/// The factors of a response of the statement; nothing where one of them is a response itself.
pub fn factors_of(entry: &ResponseEntry, quantities: &Quantities<'_>) -> Option<Vec<FactorAsked>> {
    let one = |factor: &crate::statement::FactorEntry| {
        let reference = factor.is.clone().unwrap_or_else(|| QuantityRef::Phrase(factor.name.clone()));
        let quantity = match &reference {
            QuantityRef::Phrase(word) => quantities.phrase(word).ok()?,
            QuantityRef::Spec(_) => {
                quantities.resolve(&reference, "a factor", &mut crate::finding::Findings::default())?
            }
        };
        let written =
            factor.region.as_ref().and_then(|region| region.value.any().map(|end| end.unit.clone()));
        let unit = match (&factor.unit, written) {
            (Some(unit), _) => unit.value.clone(),
            (None, _) if quantity.dimension == Dimension::NONE => Unit::number(),
            (None, Some(unit)) if unit.dimension == quantity.dimension => unit,
            (None, _) => quantity.unit.clone(),
        };
        let is = match &reference {
            QuantityRef::Phrase(word) => word.value.clone(),
            QuantityRef::Spec(spec) => spec_text(&spec.value),
        };
        Some(FactorAsked { name: factor.name.value.clone(), quantity: Some(quantity), is, unit })
    };
    entry.factors.iter().map(one).collect()
}

/// A written-out quantity on one line.
fn spec_text(spec: &QuantitySpec) -> String {
    let part = |list: &[(Word, f64)]| {
        let plain = list.iter().all(|(_, weight)| *weight == 1.0);
        let items: Vec<String> = list
            .iter()
            .map(|(word, weight)| {
                let name = quoted(&word.value);
                if plain { name } else { format!("{name}: {weight}") }
            })
            .collect();
        if plain { format!("[{}]", items.join(", ")) } else { format!("{{{}}}", items.join(", ")) }
    };
    let mut text = format!("{{of: {}", part(&spec.of));
    if !spec.to.is_empty() {
        text.push_str(&format!(", to: {}", part(&spec.to)));
    }
    if let Some(by) = &spec.by {
        text.push_str(&format!(", by: {}", by.value));
    }
    text.push('}');
    text
}

/// A name as YAML takes it, in quotes wherever a plain word could be read as something else.
pub fn quoted(name: &str) -> String {
    let plain = name.chars().next().is_some_and(char::is_alphabetic)
        && name.chars().all(|letter| letter.is_alphanumeric() || " -_/.²³".contains(letter))
        && !name.ends_with(' ')
        && !["true", "false", "null", "yes", "no", "on", "off"].contains(&name.to_lowercase().as_str());
    if plain { name.to_owned() } else { format!("\"{}\"", name.replace('\\', "\\\\").replace('"', "\\\"")) }
}

/// Terms from `constant, a, a * b`.
///
/// # Errors
/// In words, the factor that is not known.
pub fn terms_from_words(text: &str, factors: &[FactorAsked]) -> Result<Vec<Term>, String> {
    let mut terms = Vec::new();
    for piece in text.split(',').map(str::trim).filter(|piece| !piece.is_empty()) {
        let term = if piece == "constant" {
            Term::constant()
        } else {
            let mut indices = Vec::new();
            for name in piece.split('*').map(str::trim) {
                let Some(index) = factors.iter().position(|factor| factor.name == name) else {
                    let known: Vec<String> =
                        factors.iter().map(|factor| format!("`{}`", factor.name)).collect();
                    return Err(format!(
                        "unknown factor `{name}` in the terms; factors are {}",
                        known.join(", ")
                    ));
                };
                indices.push(index);
            }
            Term::product(&indices)
        };
        if terms.contains(&term) {
            return Err(format!("the term `{piece}` stands twice"));
        }
        terms.push(term);
    }
    Ok(terms)
}
