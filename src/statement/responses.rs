//! The responses of a statement: surfaces in named factors.

use super::cracking::cracking;
use super::entry::{FactorEntry, ResponseEntry, SlopeEntry, StrengthEntry, TermEntry};
use super::fields::{Fields, Reading};
use super::keys::{FACTOR, LINKS, RESPONSE, SLOPE, STATISTICS, STRENGTH};
use super::laws::law;
use super::quantity_refs::quantity_ref;
use super::tree::{Kind, Node};
use super::trials::{matrix, trials};
use super::word::{Located, Word};
use crate::finding::{Finding, Place};
use crate::quantity::{Dimension, Unit, UnitError};

/// Reads `responses`.
pub fn responses(node: Node, reading: &mut Reading) -> Vec<ResponseEntry> {
    let named = reading.named(node, "`responses`");
    let read =
        |(name, node): (Word, Node)| reading.whole(&name.clone(), |reading| response(name, node, reading));
    named.into_iter().filter_map(read).collect()
}

fn response(name: Word, node: Node, reading: &mut Reading) -> Option<ResponseEntry> {
    let owner = format!("response `{}`", name.value);
    let mut fields = reading.fields(node, &owner, RESPONSE)?;
    settle_kind(&fields, &owner, reading);
    let inputs = fields.take("inputs");
    let law = fields.word("law", reading).map(|name| law(name, inputs, &owner, reading));
    let cracking = fields.take("cracking").and_then(|node| cracking(node, &owner, reading));
    let (unit, base) = unit_and_base(&mut fields, "unit", reading);
    let strength = fields.take("strength").and_then(|node| strength(node, &owner, reading));
    let link = fields.one_of("link", reading, LINKS);
    let factors = match fields.take("factors") {
        Some(node) => reading
            .named(node, &format!("`factors` of {owner}"))
            .into_iter()
            .filter_map(|(name, node)| factor(name, node, &owner, reading))
            .collect(),
        None => Vec::new(),
    };
    let terms = match fields.take("terms") {
        Some(node) => terms(node, &owner, reading),
        None => Vec::new(),
    };
    let residual = fields.scalar("residual", reading, &[]).filter(|residual| {
        if residual.value.base < 0.0 {
            reading.push(Finding::error(residual.place, format!("`residual` of {owner} is negative")));
        }
        residual.value.base >= 0.0
    });
    let covariance = fields.take("covariance").and_then(|node| matrix(&node, "covariance", &owner, reading));
    let leverage =
        fields.take("leverage").and_then(|node| reading.number(&node, &format!("`leverage` of {owner}")));
    let scale = fields.take("scale").and_then(|node| reading.number(&node, &format!("`scale` of {owner}")));
    let slope = fields.take("slope").and_then(|node| slope(node, &owner, reading));
    let trials = fields.take("trials").and_then(|node| trials(node, &owner, reading));
    Some(ResponseEntry {
        name,
        unit,
        base,
        strength,
        law,
        cracking,
        link,
        factors,
        terms,
        residual,
        covariance,
        leverage,
        slope,
        trials,
        scale,
    })
}

fn slope(node: Node, owner: &str, reading: &mut Reading) -> Option<SlopeEntry> {
    let owner = format!("`slope` of {owner}");
    let mut fields = reading.fields(node, &owner, SLOPE)?;
    let power_owner = fields.named("power");
    let power = fields.take("power").and_then(|node| reading.number(&node, &power_owner));
    let at = fields.scalar("at", reading, &[]);
    Some(SlopeEntry { power: power?, at: at? })
}

/// A response is a surface, follows a law, or is an age at cracking: keys of another kind, and missing keys of its own,
/// are findings.
fn settle_kind(fields: &Fields, owner: &str, reading: &mut Reading) {
    const OF_SURFACES: &[&str] = &["link", "factors", "terms", "covariance", "leverage"];
    let (kind, own, others): (&str, &str, &[&str]) = if fields.has("cracking") {
        (
            "is an age at cracking",
            "an age at cracking has `cracking` alone, and may have `unit` and `scale`",
            &["law", "inputs", "strength", "residual", "slope", "trials"],
        )
    } else if fields.has("law") {
        ("follows a law", "a law has `inputs`, and may have `unit`, `strength` and `residual`", &[])
    } else {
        for key in ["unit", "factors", "terms"] {
            reading.demand(fields, key);
        }
        if let Some(place) = fields.place_of("inputs") {
            reading.push(
                Finding::error(place, format!("{owner} has `inputs` and no `law`"))
                    .note("inputs belong to a built-in law; a surface has factors and terms")
                    .help("add `law:` with one of the names that `mixbound laws` lists"),
            );
        }
        return;
    };
    for key in OF_SURFACES.iter().chain(others) {
        if let Some(place) = fields.place_of(key) {
            let of = if OF_SURFACES.contains(key) { ", a key of surfaces" } else { "" };
            reading.push(
                Finding::error(place, format!("{owner} {kind} and has `{key}`{of}"))
                    .note(own)
                    .help("keep one kind of response"),
            );
        }
    }
}

/// A unit word such as `MPa`, or `% of binder`.
fn unit_and_base(
    fields: &mut Fields,
    key: &str,
    reading: &mut Reading,
) -> (Option<Located<Unit>>, Option<Word>) {
    let owner = fields.named(key);
    let Some(word) = fields.word(key, reading) else { return (None, None) };
    let (unit_text, base) = match word.value.split_once(" of ") {
        Some((unit, base)) => {
            (unit.to_owned(), Some(Located { value: base.trim().to_owned(), place: word.place }))
        }
        None => (word.value.clone(), None),
    };
    (unit(&unit_text, word.place, &owner, reading), base)
}

fn unit(text: &str, place: Place, owner: &str, reading: &mut Reading) -> Option<Located<Unit>> {
    let currency = reading.currency.clone();
    match Unit::parse(text, &currency) {
        Ok(value) => Some(Located { value, place }),
        Err(UnitError::Unknown(word) | UnitError::OtherCurrency(word)) => {
            reading.push(Finding::error(place, format!("unknown unit `{word}` in {owner}")).known(
                "units",
                &word,
                Unit::words(),
            ));
            None
        }
    }
}

fn strength(node: Node, owner: &str, reading: &mut Reading) -> Option<Located<StrengthEntry>> {
    let place = node.place;
    let mut fields = reading.fields(node, &format!("`strength` of {owner}"), STRENGTH)?;
    let age = fields.scalar("age", reading, &[Dimension::TIME]);
    let age = age.filter(|age| {
        if age.value.base <= 0.0 {
            reading.push(Finding::error(age.place, format!("the age at test of {owner} is not above zero")));
        }
        age.value.base > 0.0
    });
    Some(Located {
        value: StrengthEntry {
            specimen: fields.word("specimen", reading)?,
            statistic: fields.one_of("statistic", reading, STATISTICS)?,
            age: Located { value: age.as_ref()?.value.base, place: age?.place },
            curing: fields.word("curing", reading)?,
        },
        place,
    })
}

fn factor(name: Word, node: Node, response: &str, reading: &mut Reading) -> Option<FactorEntry> {
    let owner = format!("factor `{}` of {response}", name.value);
    if name.value == "constant" || name.value.contains('*') {
        reading.push(
            Finding::error(name.place, format!("{owner} has a name that is kept for terms"))
                .note("in `terms`, `constant` is the constant and `*` multiplies")
                .help("choose another short name"),
        );
    }
    let mut fields = reading.fields(node, &owner, FACTOR)?;
    let unit_owner = fields.named("unit");
    Some(FactorEntry {
        is: fields.take("is").and_then(|node| quantity_ref(node, &owner, reading)),
        unit: fields
            .word("unit", reading)
            .and_then(|word| unit(&word.value, word.place, &unit_owner, reading)),
        region: fields.bounds("region", reading, &[]),
        coded: fields.bounds("coded", reading, &[]),
        name,
    })
}

fn terms(node: Node, owner: &str, reading: &mut Reading) -> Vec<TermEntry> {
    let place = node.place;
    let Kind::Map(entries) = node.kind else {
        reading.push(
            Finding::error(place, format!("`terms` of {owner} is {}", node.kind.described()))
                .note("a map from products of factors to coefficients is needed"),
        );
        return Vec::new();
    };
    let mut terms: Vec<TermEntry> = Vec::with_capacity(entries.len());
    for (key, value) in entries {
        let Some(word) = reading.word(&key, &format!("a term of {owner}")) else { continue };
        let Some(coefficient) =
            reading.number(&value, &format!("the coefficient `{}` of {owner}", word.value))
        else {
            continue;
        };
        let mut factors = product(&word);
        factors.sort_by(|a, b| a.value.cmp(&b.value));
        let same = |term: &TermEntry| {
            term.factors.iter().map(|factor| &factor.value).eq(factors.iter().map(|factor| &factor.value))
        };
        if terms.iter().any(same) {
            reading.push(
                Finding::error(word.place, format!("the term `{}` of {owner} stands twice", word.value))
                    .help("add the two coefficients"),
            );
        } else {
            terms.push(TermEntry { factors, coefficient });
        }
    }
    terms
}

/// `constant`, `a`, or `a * b`, each factor with its own place.
fn product(word: &Word) -> Vec<Word> {
    if word.value == "constant" {
        return Vec::new();
    }
    let mut factors = Vec::new();
    let mut start = 0;
    for piece in word.value.split('*') {
        let name = piece.trim();
        let lead = piece.len() - piece.trim_start().len();
        let at = word.place.start + start + lead;
        let place = Place { start: at, end: (at + name.len()).min(word.place.end), ..word.place };
        factors.push(Located { value: name.to_owned(), place });
        start += piece.len() + 1;
    }
    factors
}
