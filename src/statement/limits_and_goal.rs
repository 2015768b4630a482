//! Quantities, limits, choices and the goal of a statement.

use super::entry::{ChoiceEntry, ChoiceKind, GoalEntry, LimitEntry, QuantityEntry, SideEntry};
use super::fields::{Fields, Reading};
use super::gradings::grading_limits;
use super::keys::{CHOICE, GOAL, LIMIT, STATISTICS};
use super::margins::{MarginEntry, margin};
use super::materials::AMOUNT_OR_DOSE;
use super::quantity_refs::{quantity_ref, quantity_spec};
use super::tree::{Kind, Node};
use super::word::{Bounds, Located, QuantityRef, Word};
use crate::finding::{Finding, Place};
use crate::quantity::{Dimension, Scalar};

/// Reads `quantities`.
pub fn quantities(node: Node, reading: &mut Reading) -> Vec<QuantityEntry> {
    let named = reading.named(node, "`quantities`");
    let read = |(name, node): (Word, Node)| {
        let owner = format!("quantity `{}`", name.value);
        let spec = reading.whole(&name, |reading| quantity_spec(node, &owner, reading))?;
        Some(QuantityEntry { name, spec })
    };
    named.into_iter().filter_map(read).collect()
}

/// Reads `limits`.
pub fn limits(node: Node, reading: &mut Reading) -> Vec<LimitEntry> {
    let named = reading.named_or_ratios(node, "`limits`");
    let read = |(name, node)| reading.sound(|reading| Some(limit(name, node, reading))).unwrap_or_default();
    named.into_iter().flat_map(read).collect()
}

fn limit(name: Word, node: Node, reading: &mut Reading) -> Vec<LimitEntry> {
    let owner = format!("limit `{}`", name.value);
    if let Kind::Scalar(_) = node.kind {
        let Some((at_least, at_most)) = short_limit(&node, &owner, reading) else { return Vec::new() };
        let on = QuantityRef::Phrase(name.clone());
        return vec![LimitEntry { name, on, at_least, at_most, margin: None, statistic: None, note: None }];
    }
    let Some(mut fields) = reading.fields(node, &owner, LIMIT) else { return Vec::new() };
    if let Some(node) = fields.take("grading") {
        let tolerance = fields.share("tolerance", reading, 0.0, 1.0);
        let note = fields.word("note", reading);
        for key in LIMIT {
            if let Some(other) = fields.take(key.name) {
                reading.push(
                    Finding::error(other.place, format!("{owner} has `grading` and `{}`", key.name))
                        .help("a limit on the grading has only `grading`, `tolerance` and `note`"),
                );
            }
        }
        return grading_limits(&name, node, tolerance.as_ref(), note.as_ref(), reading);
    }
    plain_limit(name, fields, &owner, reading).into_iter().collect()
}

fn plain_limit(name: Word, mut fields: Fields, owner: &str, reading: &mut Reading) -> Option<LimitEntry> {
    let before = reading.findings.len();
    if let Some(tolerance) = fields.take("tolerance") {
        reading.push(
            Finding::error(tolerance.place, format!("{owner} has `tolerance` without `grading`"))
                .help("write the range itself: `within: 0.36 .. 0.42`"),
        );
    }
    let on = match fields.take("on") {
        Some(node) => quantity_ref(node, owner, reading)?,
        None => QuantityRef::Phrase(name.clone()),
    };
    let mut at_least =
        fields.take("at least").and_then(|node| side(&node, &format!("`at least` of {owner}"), reading));
    let mut at_most =
        fields.take("at most").and_then(|node| side(&node, &format!("`at most` of {owner}"), reading));
    if let Some(within) = fields.bounds_with_words("within", reading, &[]) {
        if at_least.is_some() || at_most.is_some() {
            reading.push(
                Finding::error(within.place, format!("{owner} has both `within` and another side"))
                    .help("keep one form"),
            );
        }
        (at_least, at_most) = sides_of(within);
    }
    let margin = fields.take("margin").and_then(|node| margin(&node, owner, reading));
    let margin = match fields.percentage("risk", reading, 0.0, 1.0) {
        Some(risk) => risk_in_place(&risk, margin.as_ref(), owner, reading),
        None => margin,
    };
    let statistic = fields.one_of("statistic", reading, STATISTICS);
    let note = fields.word("note", reading);
    if at_least.is_none() && at_most.is_none() && reading.findings.len() == before {
        reading.push(
            Finding::error(fields.place, format!("{owner} limits nothing"))
                .note("it needs `at least`, `at most` or `within`")
                .help("add one of them, or take the limit out"),
        );
        return None;
    }
    Some(LimitEntry { name, on, at_least, at_most, margin, statistic, note })
}

/// A risk in place of a margin.
fn risk_in_place(
    risk: &Located<f64>,
    margin: Option<&Located<MarginEntry>>,
    owner: &str,
    reading: &mut Reading,
) -> Option<Located<MarginEntry>> {
    /// Above half a limit would be missed on purpose.
    const MOST: f64 = 0.5;
    if let Some(margin) = margin {
        reading.push(
            Finding::error(margin.place, format!("{owner} has a `margin` and a `risk`"))
                .note("a risk stands in place of a margin: the margin that meets it is found")
                .help("take one of them out"),
        );
    }
    if risk.value <= 0.0 || MOST <= risk.value {
        reading.push(
            Finding::error(
                risk.place,
                format!("`risk` of {owner} is {} %", crate::quantity::trimmed(100.0 * risk.value, 6)),
            )
            .note(
                "allowed: above 0, below 50 %; no mix has no risk, and one of half asks for no margin at all",
            )
            .help("write `risk: 5 %`"),
        );
        return None;
    }
    Some(Located { value: MarginEntry::Risk(risk.value), place: risk.place })
}

type Sides = (Option<SideEntry>, Option<SideEntry>);

/// `at least 38 MPa`, `at most reducer demand`, `0.36 .. 0.42`.
fn short_limit(node: &Node, owner: &str, reading: &mut Reading) -> Option<Sides> {
    let Kind::Scalar(text) = &node.kind else { return None };
    for (prefix, least) in [("at least ", true), ("at most ", false)] {
        if let Some(rest) = text.strip_prefix(prefix) {
            // Through an alias, or put in by a sweep, the text may be another one than stands at its place.
            let is_as_written = node.place.end - node.place.start == text.len();
            let start = node.place.start + if is_as_written { prefix.len() } else { 0 };
            let place = Place { start, ..node.place };
            let inner = Node { kind: Kind::Scalar(rest.to_owned()), place, key: node.key };
            let side = side(&inner, owner, reading)?;
            return Some(if least { (Some(side), None) } else { (None, Some(side)) });
        }
    }
    let bounds = reading.bounds_with_words(node, owner, &[])?;
    if bounds.value.low == bounds.value.high && !text.contains("..") {
        reading.push(
            Finding::error(node.place, format!("{owner} does not say on which side `{text}` is"))
                .help(format!("write `at least {text}`, `at most {text}`, or a range")),
        );
        return None;
    }
    Some(sides_of(bounds))
}

fn sides_of(bounds: Located<Bounds>) -> Sides {
    let side =
        |end: Option<Scalar>| end.map(|value| SideEntry::Value(Located { value, place: bounds.place }));
    (side(bounds.value.low), side(bounds.value.high))
}

/// A value with its unit, or `[number x] name`.
fn side(node: &Node, owner: &str, reading: &mut Reading) -> Option<SideEntry> {
    let word = reading.word(node, owner)?;
    if let Some((number, name)) = word.value.split_once(" x ")
        && let Ok(factor) = number.trim().parse::<f64>()
    {
        if !factor.is_finite() || factor <= 0.0 {
            reading.push(
                Finding::error(word.place, format!("the factor in {owner} is `{number}`"))
                    .note("allowed: any positive number"),
            );
            return None;
        }
        let place =
            Place { start: word.place.end - name.len().min(word.place.end - word.place.start), ..word.place };
        return Some(SideEntry::Times(factor, Located { value: name.trim().to_owned(), place }));
    }
    let numeric = word.value.starts_with(|letter: char| letter.is_ascii_digit() || "+-.".contains(letter))
        || !reading.currency.is_empty() && word.value.starts_with(&reading.currency);
    if numeric {
        return reading.scalar_with_words(node, owner, &[]).map(SideEntry::Value);
    }
    Some(SideEntry::Times(1.0, word))
}

/// Reads `choices`.
pub fn choices(node: Node, reading: &mut Reading) -> Vec<ChoiceEntry> {
    let named = reading.named(node, "`choices`");
    let read = |(name, node)| reading.sound(|reading| choice(name, node, reading));
    named.into_iter().filter_map(read).collect()
}

fn choice(name: Word, node: Node, reading: &mut Reading) -> Option<ChoiceEntry> {
    let owner = format!("choice `{}`", name.value);
    let mut fields = reading.fields(node, &owner, CHOICE)?;
    let place = name.place;
    if !one_kind(&fields, place, &owner, reading) {
        return None;
    }
    let kind = if let Some(condition) = fields.word("if", reading) {
        let Some(then) = fields.word("then", reading) else {
            reading.push(
                Finding::error(condition.place, format!("{owner} has `if` without `then`"))
                    .note("`if` names the material whose use calls for another, `then` names the other")
                    .help("add `then: ...`"),
            );
            return None;
        };
        ChoiceKind::Needs {
            if_used: condition,
            then,
            at_least: fields.scalar_with_words("at least", reading, AMOUNT_OR_DOSE),
        }
    } else if let Some(node) = fields.take("of") {
        let group = reading.words(&node, &format!("`of` of {owner}"));
        let counted = fields.has("at least") || fields.has("at most");
        let at_least = count(&mut fields, "at least", reading);
        let at_most = count(&mut fields, "at most", reading);
        if !counted {
            reading.push(
                Finding::error(place, format!("{owner} does not say how many"))
                    .note("a group needs `at least` or `at most`")
                    .help("add `at most: 1`"),
            );
            return None;
        }
        ChoiceKind::Count { of: group, at_least, at_most }
    } else if let Some(node) = fields.take("require") {
        ChoiceKind::Require(reading.words(&node, &owner))
    } else if let Some(node) = fields.take("forbid") {
        ChoiceKind::Forbid(reading.words(&node, &owner))
    } else {
        reading.push(
            Finding::error(place, format!("{owner} chooses nothing"))
                .note("it needs `of`, `if`, `require` or `forbid`")
                .help("add one of them, or take the choice out"),
        );
        return None;
    };
    Some(ChoiceEntry { name, kind })
}

/// Whether the keys of a choice belong to one kind of choice.
fn one_kind(fields: &Fields, place: Place, owner: &str, reading: &mut Reading) -> bool {
    let kinds: [(&str, &[&str]); 4] = [
        ("if", &["if", "then", "at least"]),
        ("of", &["of", "at least", "at most"]),
        ("require", &["require"]),
        ("forbid", &["forbid"]),
    ];
    let Some((first, belonging)) = kinds.iter().find(|(word, _)| fields.has(word)) else { return true };
    let Some(stray) = CHOICE.iter().find(|key| fields.has(key.name) && !belonging.contains(&key.name)) else {
        return true;
    };
    reading.push(
        Finding::error(
            fields.place_of(stray.name).unwrap_or(place),
            format!("`{}` does not go with `{first}` in {owner}", stray.name),
        )
        .note("a choice is one of: `of` with `at least` or `at most`; `if` with `then`; `require`; `forbid`")
        .help("make two choices of it"),
    );
    false
}

fn count(fields: &mut Fields, key: &str, reading: &mut Reading) -> Option<Located<u32>> {
    let owner = fields.named(key);
    let node = fields.take(key)?;
    reading.count(&node, &owner)
}

/// Reads `goal`.
pub fn goal(node: Node, reading: &mut Reading) -> Option<GoalEntry> {
    let place = node.place;
    if let Kind::Scalar(_) = node.kind {
        let words = ["least cost", "least carbon"];
        let word = reading.word(&node, "`goal`")?;
        if !words.contains(&word.value.as_str()) {
            reading.push(
                Finding::error(word.place, format!("unknown goal `{}`", word.value))
                    .note("allowed: `least cost`, `least carbon`, `{least: ...}` or `{most: ...}`")
                    .help("write `least cost`, or name a quantity or response: `{least: drying shrinkage}`"),
            );
            return None;
        }
        let of =
            QuantityRef::Phrase(Located { value: word.value.trim_start_matches("least ").to_owned(), place });
        return Some(GoalEntry { most: false, of, carbon_price: None, place });
    }
    let mut fields = reading.fields(node, "`goal`", GOAL)?;
    let (least_place, most_place) = (fields.place_of("least"), fields.place_of("most"));
    let least = fields.take("least").and_then(|node| quantity_ref(node, "`goal`", reading));
    let most = fields.take("most").and_then(|node| quantity_ref(node, "`goal`", reading));
    let carbon_price = fields.scalar("carbon price", reading, &[Dimension::PRICE_BY_MASS]);
    let (most, of) = match (least, most) {
        (Some(of), None) => (false, of),
        (None, Some(of)) => (true, of),
        _ if most_place.is_some() != least_place.is_some() => return None,
        _ => {
            let both = most_place.is_some() && least_place.is_some();
            let place = if both { most_place.max(least_place).unwrap_or(fields.place) } else { fields.place };
            let what = if both { "has both `least` and `most`" } else { "has neither `least` nor `most`" };
            reading.push(
                Finding::error(place, format!("`goal` {what}"))
                    .note("a goal makes one quantity or response least or most")
                    .help("write `goal: least cost`, or `goal: {most: ...}`"),
            );
            return None;
        }
    };
    Some(GoalEntry { most, of, carbon_price, place })
}
