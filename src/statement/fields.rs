//! Taking a map apart by its known keys, and a scalar by its expected dimension; every slip becomes a finding.

use super::entry::{Bounds, Located, Word};
use super::keys::{Key, STATES};
use super::tree::{Kind, Node};
use crate::finding::{Finding, Findings, Place};
use crate::quantity::{Dimension, Scalar, Text, Unit, UnitError, ValueError, parse_range, parse_scalar};

/// What reading needs everywhere: the currency, and a place for findings.
pub struct Reading {
    /// The statement's currency.
    pub currency: String,
    /// Everything found so far.
    pub findings: Findings,
}

/// The values of one map by key.
pub struct Fields {
    /// What the map describes, for findings.
    owner: String,
    /// Where the map stands.
    pub place: Place,
    values: Vec<(&'static str, Node, Place)>,
}

/// Longest name an author may give.
const LONGEST_NAME: usize = 80;

impl Reading {
    /// Records a finding.
    pub fn push(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// The entries of a map whose keys are the author's own names: unique and printable.
    pub fn named(&mut self, node: Node, owner: &str) -> Vec<(Word, Node)> {
        let place = node.place;
        let Kind::Map(entries) = node.kind else {
            self.push(
                Finding::error(place, format!("{owner} is {}", node.kind.described()))
                    .note("a map from names to their descriptions is needed"),
            );
            return Vec::new();
        };
        let mut named: Vec<(Word, Node)> = Vec::with_capacity(entries.len());
        for (key, value) in entries {
            let Some(name) = self.name(&key, owner) else { continue };
            if let Some((first, _)) = named.iter().find(|(word, _)| word.value == name.value) {
                self.duplicate(&name, first.place);
            } else {
                named.push((name, value));
            }
        }
        named
    }

    fn name(&mut self, key: &Node, owner: &str) -> Option<Word> {
        let Kind::Scalar(text) = &key.kind else {
            self.push(Finding::error(key.place, format!("a name in {owner} is {}", key.kind.described())));
            return None;
        };
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let too_long = LONGEST_NAME < text.chars().count();
        let hidden = text.chars().any(|letter| letter.is_control() || crate::finding::clean(&letter.to_string()) != letter.to_string());
        let operator = [" / ", " x ", " * ", " + ", " .. "].into_iter().find(|sign| format!(" {text} ").contains(sign));
        let numeric = text.starts_with(|letter: char| letter.is_ascii_digit()) && text.parse::<f64>().is_ok();
        let complaint = if text.is_empty() {
            "an empty name".to_owned()
        } else if too_long {
            format!("a name of {} characters", text.chars().count())
        } else if hidden {
            format!("the name `{text}` holds control characters")
        } else if let Some(sign) = operator {
            format!("the name `{text}` holds `{}` between spaces", sign.trim())
        } else if numeric {
            format!("the name `{text}` is a number")
        } else {
            return Some(Located { value: text, place: key.place });
        };
        self.push(
            Finding::error(key.place, format!("{complaint} in {owner}"))
                .note(format!("a name is up to {LONGEST_NAME} printable characters without `/`, `x`, `*`, `+` or `..` standing alone"))
                .help("choose another name"),
        );
        None
    }

    fn duplicate(&mut self, name: &Word, first: Place) {
        let _ = first;
        self.push(
            Finding::error(name.place, format!("`{}` stands twice in the same map", name.value))
                .help("keep one of them, or rename one"),
        );
    }

    /// Takes a map apart; unknown, repeated and missing keys are findings.
    pub fn fields(&mut self, node: Node, owner: &str, keys: &'static [Key]) -> Option<Fields> {
        let place = node.place;
        let Kind::Map(entries) = node.kind else {
            self.push(
                Finding::error(place, format!("{owner} is {}", node.kind.described()))
                    .note(format!("a map with these keys is needed: {}", key_names(keys).join(", "))),
            );
            return None;
        };
        let mut fields = Fields { owner: owner.to_owned(), place, values: Vec::new() };
        for (key, value) in entries {
            let Kind::Scalar(word) = &key.kind else {
                self.push(Finding::error(key.place, format!("a key in {owner} is {}", key.kind.described())));
                continue;
            };
            let Some(known) = keys.iter().find(|known| known.name == word) else {
                self.push(
                    Finding::error(key.place, format!("unknown key `{word}` in {owner}")).known("keys", word, key_names(keys)),
                );
                continue;
            };
            if fields.values.iter().any(|(name, ..)| *name == known.name) {
                self.duplicate(&Located { value: word.clone(), place: key.place }, key.place);
            } else {
                fields.values.push((known.name, value, key.place));
            }
        }
        for missing in keys.iter().filter(|key| key.needed) {
            if !fields.values.iter().any(|(name, ..)| *name == missing.name) {
                self.push(
                    Finding::error(first_line_of(place), format!("{owner} has no `{}`", missing.name))
                        .note(missing.meaning)
                        .help(format!("add `{}: {}`", missing.name, missing.form.example())),
                );
            }
        }
        Some(fields)
    }

    /// A word or phrase.
    pub fn word(&mut self, node: &Node, owner: &str) -> Option<Word> {
        match &node.kind {
            Kind::Scalar(text) => {
                Some(Located { value: text.split_whitespace().collect::<Vec<_>>().join(" "), place: node.place })
            }
            other => {
                self.push(
                    Finding::error(node.place, format!("{owner} is {}", other.described())).note("a single value is needed"),
                );
                None
            }
        }
    }

    /// One of a closed list of words.
    pub fn one_of(&mut self, node: &Node, owner: &str, words: &[&str]) -> Option<Word> {
        let word = self.word(node, owner)?;
        if words.contains(&word.value.as_str()) {
            return Some(word);
        }
        self.push(
            Finding::error(word.place, format!("unknown word `{}` for {owner}", word.value)).known(
                "words",
                &word.value,
                words.iter().copied(),
            ),
        );
        None
    }

    /// A list of words; a single word is a list of one.
    pub fn words(&mut self, node: &Node, owner: &str) -> Vec<Word> {
        match &node.kind {
            Kind::List(items) => items.iter().filter_map(|item| self.word(item, owner)).collect(),
            _ => self.word(node, owner).into_iter().collect(),
        }
    }

    /// A value of one of the expected dimensions.
    pub fn scalar(&mut self, node: &Node, owner: &str, expected: &[Dimension]) -> Option<Located<Scalar>> {
        let word = self.raw_text(node, owner)?;
        match parse_scalar(self.text(&word.value)) {
            Ok(value) => {
                self.dimension_fits(&value, word.place, owner, expected).then_some(Located { value, place: word.place })
            }
            Err(error) => {
                self.value_finding(&word, &error, owner, expected);
                None
            }
        }
    }

    /// A plain number or share.
    pub fn number(&mut self, node: &Node, owner: &str) -> Option<Located<f64>> {
        let value = self.scalar(node, owner, &[Dimension::NONE])?;
        if value.value.words.is_empty() {
            return Some(Located { value: value.value.base, place: value.place });
        }
        self.push(Finding::error(value.place, format!("{owner} is a plain share, without `{}`", value.value.words)));
        None
    }

    /// A share between `low` and `high`.
    pub fn share(&mut self, node: &Node, owner: &str, low: f64, high: f64) -> Option<Located<f64>> {
        let number = self.number(node, owner)?;
        if low <= number.value && number.value <= high {
            return Some(number);
        }
        let percent = |share: f64| format!("{} %", crate::quantity::trimmed(100.0 * share, 6));
        self.push(
            Finding::error(node.place, format!("{owner} is {}", percent(number.value)))
                .note(format!("allowed: {} .. {}", percent(low), percent(high))),
        );
        None
    }

    /// A whole number.
    pub fn count(&mut self, node: &Node, owner: &str) -> Option<Located<u32>> {
        let word = self.word(node, owner)?;
        match word.value.parse::<u32>() {
            Ok(value) if value <= 1000 => Some(Located { value, place: word.place }),
            _ => {
                self.push(
                    Finding::error(word.place, format!("{owner} is `{}`", word.value)).note("a whole number from 0 to 1000 is needed"),
                );
                None
            }
        }
    }

    /// `a .. b`, `at least a`, `at most b` or one value.
    pub fn bounds(&mut self, node: &Node, owner: &str, expected: &[Dimension]) -> Option<Located<Bounds>> {
        let word = self.raw_text(node, owner)?;
        let (rest, side) = match word.value.as_str() {
            text if text.starts_with("at least ") => (&text[9..], -1),
            text if text.starts_with("at most ") => (&text[8..], 1),
            text => (text, 0),
        };
        let shift = word.value.len() - rest.len();
        match parse_range(self.text(rest)) {
            Ok((low, high)) => {
                if !self.dimension_fits(&high, word.place, owner, expected) {
                    return None;
                }
                let value = Bounds { low: (side <= 0).then_some(low), high: (0 <= side).then_some(high) };
                Some(Located { value, place: word.place })
            }
            Err(error) => {
                let shifted = Located { value: rest.to_owned(), place: Place { start: word.place.start + shift, ..word.place } };
                self.value_finding(&shifted, &error, owner, expected);
                None
            }
        }
    }

    /// The text of a scalar, spacing kept so that places inside it are right.
    fn raw_text(&mut self, node: &Node, owner: &str) -> Option<Word> {
        match &node.kind {
            Kind::Scalar(text) => {
                let quoted = usize::from(node.place.end - node.place.start == text.len() + 2);
                let place = Place { start: node.place.start + quoted, end: node.place.end - quoted, ..node.place };
                Some(Located { value: text.clone(), place })
            }
            other => {
                self.push(
                    Finding::error(node.place, format!("{owner} is {}", other.described())).note("a single value is needed"),
                );
                None
            }
        }
    }

    fn text<'t>(&'t self, text: &'t str) -> Text<'t> {
        Text { text, currency: &self.currency, trailing: STATES }
    }

    fn dimension_fits(&mut self, value: &Scalar, place: Place, owner: &str, expected: &[Dimension]) -> bool {
        if expected.is_empty() || expected.contains(&value.unit.dimension) {
            return true;
        }
        let wanted = expected.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or ");
        let examples = expected.iter().map(|dimension| dimension.examples()).collect::<Vec<_>>().join("; or ");
        let message = if value.unit.text.is_empty() {
            format!("{owner} has no unit; {wanted} is needed")
        } else {
            format!("{owner} is {} (`{}`); {wanted} is needed", value.unit.dimension, value.unit.text)
        };
        self.push(Finding::error(place, message).note(format!("allowed units: {examples}")));
        false
    }

    fn value_finding(&mut self, word: &Word, error: &ValueError, owner: &str, expected: &[Dimension]) {
        let span = error.span();
        let start = (word.place.start + span.start).min(word.place.end);
        let place = Place { start, end: (word.place.start + span.end).clamp(start, word.place.end.max(start)), ..word.place };
        let piece = word.value.get(span).unwrap_or("");
        let example = expected.first().map_or("a number", |dimension| dimension.examples());
        let finding = match error {
            ValueError::NoNumber(_) => Finding::error(place, format!("{owner} does not begin with a number: `{piece}`"))
                .help("write the number first, with a decimal point, then its unit"),
            ValueError::NotFinite(_) => Finding::error(place, format!("{owner} is `{piece}`, not a finite number")),
            ValueError::Unit(UnitError::Unknown(unit), _) => {
                let finding = Finding::error(place, format!("unknown unit `{unit}` in {owner}"));
                if unit.starts_with(',') || unit.starts_with('_') {
                    finding.help("numbers have a decimal point and no separators: 0.42, 1000")
                } else {
                    let near = crate::finding::nearest(unit, Unit::words()).map(str::to_owned);
                    let finding = finding.note(format!("allowed units: {example}"));
                    match near {
                        Some(near) => finding.help(format!("did you mean `{near}`?")),
                        None => finding,
                    }
                }
            }
            ValueError::Unit(UnitError::OtherCurrency(other), _) => {
                let own = if self.currency.is_empty() { "none" } else { &self.currency };
                Finding::error(place, format!("{owner} is in `{other}`; the currency of this statement is `{own}`"))
                    .help("convert the price, or leave the currency out")
            }
            ValueError::Reversed(_) => {
                Finding::error(place, format!("the range of {owner} runs downwards: `{piece}`")).help("write the lower end first")
            }
            ValueError::MixedUnits(_) => {
                Finding::error(place, format!("the two ends of {owner} have different dimensions: `{piece}`"))
            }
        };
        self.push(finding);
    }
}

/// An empty place at the start: findings about what is missing point to the line, not at a whole block.
pub fn first_line_of(place: Place) -> Place {
    Place { end: place.start, ..place }
}

fn key_names(keys: &'static [Key]) -> Vec<&'static str> {
    keys.iter().map(|key| key.name).collect()
}

impl Fields {
    /// Takes the value of a key.
    pub fn take(&mut self, key: &str) -> Option<Node> {
        let at = self.values.iter().position(|(name, ..)| *name == key)?;
        Some(self.values.remove(at).1)
    }

    /// A phrase naming this key for findings: `` `density` of material `sand` ``.
    pub fn named(&self, key: &str) -> String {
        format!("`{key}` of {}", self.owner)
    }

    /// Takes a value of one of the expected dimensions.
    pub fn scalar(&mut self, key: &str, reading: &mut Reading, expected: &[Dimension]) -> Option<Located<Scalar>> {
        let node = self.take(key)?;
        reading.scalar(&node, &self.named(key), expected)
    }

    /// Takes a share between `low` and `high`.
    pub fn share(&mut self, key: &str, reading: &mut Reading, low: f64, high: f64) -> Option<Located<f64>> {
        let node = self.take(key)?;
        reading.share(&node, &self.named(key), low, high)
    }

    /// Takes bounds.
    pub fn bounds(&mut self, key: &str, reading: &mut Reading, expected: &[Dimension]) -> Option<Located<Bounds>> {
        let node = self.take(key)?;
        reading.bounds(&node, &self.named(key), expected)
    }

    /// Takes a word.
    pub fn word(&mut self, key: &str, reading: &mut Reading) -> Option<Word> {
        let node = self.take(key)?;
        reading.word(&node, &self.named(key))
    }

    /// Takes one of a closed list of words.
    pub fn one_of(&mut self, key: &str, reading: &mut Reading, words: &[&str]) -> Option<Word> {
        let node = self.take(key)?;
        reading.one_of(&node, &self.named(key), words)
    }
}
