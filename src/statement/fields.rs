//! Taking a map apart by its known keys, and a scalar by its expected dimension; every slip becomes a finding.

use std::collections::BTreeMap;

use super::keys::Key;
use super::other_words::OTHER_WORDS;
use super::tree::{Kind, Node, read_tree};
use super::word::{Bounds, Located, Word};
use crate::finding::{Finding, Findings, Place, Sources, nearest};
use crate::quantity::{Expected, Scalar, Tally};

/// What reading needs everywhere: the currency, and a place for findings.
pub struct Reading {
    /// The statement's currency.
    pub currency: String,
    /// Everything found so far.
    pub findings: Findings,
    /// Names of materials, quantities and responses that could not be read.
    pub unread: Vec<String>,
    /// The byte at which each line begins, file by file.
    pub lines: Vec<Vec<usize>>,
    /// The systems of units of the values read so far.
    pub tally: Tally,
}

/// The values of one map by key.
pub struct Fields {
    /// What the map describes, for findings.
    owner: String,
    /// Where the key of the map stands, or the map itself where it has none.
    pub place: Place,
    keys: &'static [Key],
    values: Vec<(&'static str, Node, Place)>,
    /// Keys that are not known: one of them may be meant for what seems missing.
    unknown: Vec<String>,
}

/// Most names in one map.
const MOST_NAMES: usize = 2000;
/// Longest name an author may give.
const LONGEST_NAME: usize = 80;
/// What stands between names where quantities are put together; the first one makes ratios.
const OPERATORS: &[&str] = &[" / ", " x ", " * ", " + ", " .. "];

impl Reading {
    /// A reading that has found nothing yet.
    pub fn new(sources: &Sources, currency: &str) -> Self {
        Self {
            currency: currency.to_owned(),
            findings: Findings::default(),
            unread: Vec::new(),
            lines: sources.line_starts(),
            tally: Tally::default(),
        }
    }

    /// Reads a whole file, the one with this index, by `read`.
    ///
    /// # Errors
    /// All findings.
    pub fn file<T>(
        mut self,
        (sources, source): (&Sources, usize),
        read: impl FnOnce(Node, &mut Self) -> Option<T>,
    ) -> Result<T, Findings> {
        let entry = match read_tree(sources.whole(source), source) {
            Ok(root) => read(root, &mut self),
            Err(finding) => {
                self.push(*finding);
                None
            }
        };
        entry.filter(|_| !self.findings.has_errors()).ok_or(self.findings)
    }

    /// Records a finding.
    pub fn push(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// Reads something that has a name; it is left out, and its name kept, if any finding came up.
    ///
    /// What is half read would only raise findings that follow from the first.
    pub fn whole<T>(&mut self, name: &Word, read: impl FnOnce(&mut Self) -> Option<T>) -> Option<T> {
        let value = self.sound(read);
        if value.is_none() {
            self.unread.push(name.value.clone());
        }
        value
    }

    /// Reads something without a name of its own; it is left out if any finding came up.
    pub fn sound<T>(&mut self, read: impl FnOnce(&mut Self) -> Option<T>) -> Option<T> {
        let before = self.findings.len();
        read(self).filter(|_| self.findings.len() == before)
    }

    /// The entries of a map whose keys are the author's own names: unique and printable.
    pub fn named(&mut self, node: Node, owner: &str) -> Vec<(Word, Node)> {
        self.named_apart_by(node, owner, OPERATORS)
    }

    /// The entries of a map whose keys name what they are about, so that a ratio `A / B` is a name too.
    pub fn named_or_ratios(&mut self, node: Node, owner: &str) -> Vec<(Word, Node)> {
        self.named_apart_by(node, owner, &OPERATORS[1..])
    }

    fn named_apart_by(&mut self, node: Node, owner: &str, operators: &[&str]) -> Vec<(Word, Node)> {
        let place = node.shown();
        let Kind::Map(entries) = node.kind else {
            self.push(
                Finding::error(place, format!("{owner} is {}", node.kind.described()))
                    .note("a map from names to their descriptions is needed")
                    .help("write `name: ...` on lines of their own below it, indented"),
            );
            return Vec::new();
        };
        if MOST_NAMES < entries.len() {
            self.push(
                Finding::error(place, format!("{owner} holds {} names", entries.len()))
                    .note(format!("allowed: {MOST_NAMES}"))
                    .help("leave out what is not part of the statement"),
            );
        }
        let mut named: Vec<(Word, Node)> = Vec::with_capacity(entries.len().min(MOST_NAMES));
        let mut first: BTreeMap<String, Place> = BTreeMap::new();
        for (key, value) in entries.into_iter().take(MOST_NAMES) {
            let Some(name) = self.name(&key, owner, operators) else { continue };
            if let Some(first) = first.get(&name.value) {
                self.duplicate(&name, *first, owner);
            } else {
                first.insert(name.value.clone(), name.place);
                named.push((name, value));
            }
        }
        named
    }

    fn name(&mut self, key: &Node, owner: &str, operators: &[&str]) -> Option<Word> {
        let Kind::Scalar(text) = &key.kind else {
            self.push(Finding::error(key.place, format!("a name in {owner} is {}", key.kind.described())));
            return None;
        };
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let too_long = LONGEST_NAME < text.chars().count();
        let hidden = text.chars().any(|letter| {
            letter.is_control() || crate::finding::clean(&letter.to_string()) != letter.to_string()
        });
        let operator = operators.iter().find(|sign| format!(" {text} ").contains(**sign));
        let numeric = text.starts_with(|letter: char| letter.is_ascii_digit()) && text.parse::<f64>().is_ok();
        let complaint = if text.is_empty() {
            "an empty name".to_owned()
        } else if too_long {
            format!("a name of {} characters", text.chars().count())
        } else if hidden {
            format!("the name `{text}` holds control characters")
        } else if let Some(sign) = operator.filter(|sign| sign.trim() == text) {
            format!("the name `{}` is kept for operators", sign.trim())
        } else if let Some(sign) = operator {
            format!("the name `{text}` holds `{}` between spaces", sign.trim())
        } else if numeric {
            format!("the name `{text}` is a number")
        } else {
            return Some(Located { value: text, place: key.place });
        };
        self.unread.push(text);
        self.push(
            Finding::error(key.place, format!("{complaint} in {owner}"))
                .note(format!("a name is up to {LONGEST_NAME} printable characters without `/`, `x`, `*`, `+` or `..` standing alone"))
                .help("choose another name"),
        );
        None
    }

    fn duplicate(&mut self, name: &Word, first: Place, owner: &str) {
        let line = self.line(first);
        self.push(
            Finding::error(name.place, format!("`{}` stands twice in {owner}", name.value))
                .note(format!("first on line {line}"))
                .help("keep one of them, or rename one"),
        );
    }

    /// The line of a place, counted from one.
    fn line(&self, place: Place) -> usize {
        self.lines.get(place.source).map_or(1, |starts| starts.partition_point(|start| *start <= place.start))
    }

    /// Takes a map apart; unknown, repeated and missing keys are findings.
    pub fn fields(&mut self, node: Node, owner: &str, keys: &'static [Key]) -> Option<Fields> {
        let place = node.shown();
        let Kind::Map(entries) = node.kind else {
            self.push(
                Finding::error(place, format!("{owner} is {}", node.kind.described()))
                    .note(format!("a map with these keys is needed: {}", key_names(keys).join(", ")))
                    .help("write `key: value` on lines of their own below it, indented, or `{key: value}` behind it"),
            );
            return None;
        };
        let mut fields =
            Fields { owner: owner.to_owned(), place, keys, values: Vec::new(), unknown: Vec::new() };
        for (key, value) in entries {
            let Kind::Scalar(word) = &key.kind else {
                self.push(Finding::error(key.place, format!("a key in {owner} is {}", key.kind.described())));
                continue;
            };
            let Some(known) = keys.iter().find(|known| known.name == word) else {
                fields.unknown.push(word.clone());
                self.push(Finding::error(key.place, format!("unknown key `{word}` in {owner}")).known(
                    "keys",
                    word,
                    key_names(keys),
                ));
                continue;
            };
            if let Some((.., first)) = fields.values.iter().find(|(name, ..)| *name == known.name) {
                let first = *first;
                self.duplicate(&Located { value: word.clone(), place: key.place }, first, owner);
            } else {
                fields.values.push((known.name, value, key.place));
            }
        }
        for missing in keys.iter().filter(|key| key.needed) {
            self.demand(&fields, missing.name);
        }
        Some(fields)
    }

    /// A finding if a key is not there, unless a misspelt one stands in its place.
    pub fn demand(&mut self, fields: &Fields, name: &str) {
        let Some(missing) = fields.keys.iter().find(|key| key.name == name) else { return };
        let misspelt = |word: &String| nearest(word, key_names(fields.keys)) == Some(missing.name);
        if fields.has(name) || fields.unknown.iter().any(misspelt) {
            return;
        }
        self.push(
            Finding::error(fields.place, format!("{} has no `{name}`", fields.owner))
                .note(sentence_as_note(missing.meaning))
                .help(format!("add `{name}: {}`", missing.form.example())),
        );
    }

    /// A word or phrase.
    pub fn word(&mut self, node: &Node, owner: &str) -> Option<Word> {
        match &node.kind {
            Kind::Scalar(text) => Some(Located {
                value: text.split_whitespace().collect::<Vec<_>>().join(" "),
                place: node.place,
            }),
            other => {
                self.push(
                    Finding::error(node.shown(), format!("{owner} is {}", other.described()))
                        .note("a single value is needed"),
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
        let finding = Finding::error(word.place, format!("unknown word `{}` for {owner}", word.value));
        let lower = word.value.to_lowercase();
        let other = OTHER_WORDS.iter().find(|(other, known)| *other == lower && words.contains(known));
        let finding = match other {
            Some((_, known)) => finding.help(format!("write `{known}`")),
            None => finding,
        };
        self.push(finding.known("words", &word.value, words.iter().copied()));
        None
    }

    /// A list of words; a single word is a list of one.
    pub fn words(&mut self, node: &Node, owner: &str) -> Vec<Word> {
        match &node.kind {
            Kind::List(items) => items.iter().filter_map(|item| self.word(item, owner)).collect(),
            _ => self.word(node, owner).into_iter().collect(),
        }
    }
}

/// An empty place at the start: findings about what is missing point to the line, not at a whole block.
pub fn first_line_of(place: Place) -> Place {
    Place { end: place.start, ..place }
}

/// A sentence of the key table as a note: lower case, without its full stop.
fn sentence_as_note(sentence: &str) -> String {
    let mut letters = sentence.strip_suffix('.').unwrap_or(sentence).chars();
    letters
        .next()
        .map(|first| first.to_lowercase().collect::<String>() + letters.as_str())
        .unwrap_or_default()
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

    /// Whether a key is there and not yet taken.
    pub fn has(&self, key: &str) -> bool {
        self.values.iter().any(|(name, ..)| *name == key)
    }

    /// Where a key stands, if it is there and not yet taken.
    pub fn place_of(&self, key: &str) -> Option<Place> {
        self.values.iter().find(|(name, ..)| *name == key).map(|(.., place)| *place)
    }

    /// A phrase naming this key for findings: `` `density` of material `sand` ``.
    pub fn named(&self, key: &str) -> String {
        format!("`{key}` of {}", self.owner)
    }

    /// Takes a value of one of the expected dimensions.
    pub fn scalar<'e>(
        &mut self,
        key: &str,
        reading: &mut Reading,
        expected: impl Into<Expected<'e>>,
    ) -> Option<Located<Scalar>> {
        let node = self.take(key)?;
        reading.scalar(&node, &self.named(key), expected)
    }

    /// Takes a value with a base or a state behind its unit, which the taker must judge.
    pub fn scalar_with_words<'e>(
        &mut self,
        key: &str,
        reading: &mut Reading,
        expected: impl Into<Expected<'e>>,
    ) -> Option<Located<Scalar>> {
        let node = self.take(key)?;
        reading.scalar_with_words(&node, &self.named(key), expected)
    }

    /// Takes a share between `low` and `high`.
    pub fn share(&mut self, key: &str, reading: &mut Reading, low: f64, high: f64) -> Option<Located<f64>> {
        let node = self.take(key)?;
        reading.share(&node, &self.named(key), low, high)
    }

    /// Takes a share that must say that it is one: `0.9 %`, so that nobody has to guess what `0.9` is.
    pub fn percentage(
        &mut self,
        key: &str,
        reading: &mut Reading,
        low: f64,
        high: f64,
    ) -> Option<Located<f64>> {
        let node = self.take(key)?;
        reading.percentage(&node, &self.named(key), low, high)
    }

    /// Takes bounds.
    pub fn bounds<'e>(
        &mut self,
        key: &str,
        reading: &mut Reading,
        expected: impl Into<Expected<'e>>,
    ) -> Option<Located<Bounds>> {
        let node = self.take(key)?;
        reading.bounds(&node, &self.named(key), expected)
    }

    /// Takes bounds with a base or a state behind their unit, which the taker must judge.
    pub fn bounds_with_words<'e>(
        &mut self,
        key: &str,
        reading: &mut Reading,
        expected: impl Into<Expected<'e>>,
    ) -> Option<Located<Bounds>> {
        let node = self.take(key)?;
        reading.bounds_with_words(&node, &self.named(key), expected)
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
