//! Trial batches written as mixes: the file that `predict` reads, many in one, results beside them.
//!
//! What enters: the text of a file, either a map `batches` or one mix. What leaves: [`TrialBatchEntry`] values whose names
//! are still unresolved, or findings. What was measured, and on what, is for the trials to say.

use super::fields::Reading;
use super::keys::{TRIAL_BATCH, TRIAL_FILE};
use super::tree::{Kind, Node};
use super::word::{Bounds, Located, Word};
use crate::finding::{Finding, Findings, Place, Sources};
use crate::quantity::{Dimension, Scalar};

/// Results at one age.
#[derive(Clone, Debug)]
pub struct TrialResultEntry {
    /// Where they stand.
    pub place: Place,
    /// Age at test.
    pub age: Option<Located<Scalar>>,
    /// Curing.
    pub curing: Option<Word>,
    /// Values by name, one for each specimen; a range, or one end of it, where only that is known.
    pub values: Vec<(Word, Vec<Located<Bounds>>)>,
}

/// One batch.
#[derive(Clone, Debug)]
pub struct TrialBatchEntry {
    /// Its name.
    pub name: Word,
    /// Its mix.
    pub mix: Option<Word>,
    /// What it shares with other batches.
    pub block: Option<Word>,
    /// Date.
    pub date: Option<Word>,
    /// Amounts by material, per volume of concrete or as weighed.
    pub amounts: Vec<(Word, Located<Scalar>)>,
    /// Total water of aggregates, share of their dry mass.
    pub moistures: Vec<(Word, Located<Scalar>)>,
    /// Volume batched.
    pub volume: Option<Located<Scalar>>,
    /// Air, share.
    pub air: Option<Located<f64>>,
    /// Results.
    pub results: Vec<TrialResultEntry>,
}

/// Reads the batches in the file with this index in `sources`; a file of one mix is one batch, named `name`.
///
/// # Errors
/// All findings.
pub fn read_trial_batches(
    sources: &Sources,
    source: usize,
    (currency, name): (&str, &str),
) -> Result<Vec<TrialBatchEntry>, Findings> {
    Reading::new(sources, currency).file((sources, source), |root, reading| {
        if is_one_mix(&root) {
            let name = Word { value: name.to_owned(), place: Place { end: root.place.start, ..root.place } };
            return Some(batch(name, root, reading).into_iter().collect());
        }
        Some(file(root, reading))
    })
}

fn is_one_mix(root: &Node) -> bool {
    let Kind::Map(entries) = &root.kind else { return false };
    entries.iter().any(|(key, _)| matches!(&key.kind, Kind::Scalar(text) if text == "amounts"))
}

fn file(root: Node, reading: &mut Reading) -> Vec<TrialBatchEntry> {
    let Some(mut fields) = reading.fields(root, "the file of trials", TRIAL_FILE) else { return Vec::new() };
    let _ = (fields.word("title", reading), fields.word("note", reading));
    let Some(node) = fields.take("batches") else { return Vec::new() };
    let named = reading.named(node, "`batches`");
    named.into_iter().filter_map(|(name, node)| batch(name, node, reading)).collect()
}

fn batch(name: Word, node: Node, reading: &mut Reading) -> Option<TrialBatchEntry> {
    let owner = format!("batch `{}`", name.value);
    let mut fields = reading.fields(node, &owner, TRIAL_BATCH)?;
    let title = fields.word("title", reading);
    let _ = fields.word("volume", reading);
    let amounts = match fields.take("amounts") {
        Some(node) => amounts(node, &owner, reading),
        None => Vec::new(),
    };
    let moistures = match fields.take("moisture") {
        Some(node) => {
            let share = |reading: &mut Reading, node: &Node, owner: &str| {
                reading.scalar(node, owner, &[Dimension::NONE])
            };
            by_name(node, &format!("`moisture` of {owner}"), share, reading)
        }
        None => Vec::new(),
    };
    let mut results = Vec::new();
    if let Some(node) = fields.take("measured") {
        results.extend(result(node, &format!("`measured` of {owner}"), reading));
    }
    if let Some(node) = fields.take("results") {
        let owner = format!("`results` of {owner}");
        match node.kind {
            Kind::List(items) => {
                results.extend(items.into_iter().filter_map(|item| result(item, &owner, reading)));
            }
            _ => results.extend(result(node, &owner, reading)),
        }
    }
    Some(TrialBatchEntry {
        mix: fields.word("mix", reading).or(title),
        block: fields.word("block", reading),
        date: fields.word("date", reading),
        volume: fields.scalar("batch volume", reading, &[Dimension::VOLUME]),
        air: fields.percentage("air", reading, 0.0, 0.5),
        name,
        amounts,
        moistures,
        results,
    })
}

fn amounts(node: Node, owner: &str, reading: &mut Reading) -> Vec<(Word, Located<Scalar>)> {
    let one = |reading: &mut Reading, node: &Node, owner: &str| {
        let expected = if reading.is_volume_by_volume(node) {
            vec![Dimension::NONE]
        } else {
            vec![Dimension::DENSITY, Dimension::MASS, Dimension::VOLUME]
        };
        reading.scalar_with_words(node, owner, expected.as_slice())
    };
    by_name(node, &format!("`amounts` of {owner}"), one, reading)
}

fn by_name(
    node: Node,
    owner: &str,
    read: impl Fn(&mut Reading, &Node, &str) -> Option<Located<Scalar>>,
    reading: &mut Reading,
) -> Vec<(Word, Located<Scalar>)> {
    let named = reading.named(node, owner);
    named
        .into_iter()
        .filter_map(|(name, node)| {
            let value = read(reading, &node, &format!("`{}` in {owner}", name.value))?;
            Some((name, value))
        })
        .collect()
}

/// One map of results; `age` and `curing` say what they are of.
fn result(node: Node, owner: &str, reading: &mut Reading) -> Option<TrialResultEntry> {
    let place = node.shown();
    if !matches!(node.kind, Kind::Map(_)) {
        reading.push(
            Finding::error(place, format!("{owner} holds {}", node.kind.described()))
                .note("a map of names and values is needed")
                .help("write `- {age: 28 d, mean strength: [38.2 MPa, 39.1 MPa]}`"),
        );
        return None;
    }
    let mut entry = TrialResultEntry { place, age: None, curing: None, values: Vec::new() };
    for (name, node) in reading.named_or_ratios(node, owner) {
        let about = format!("`{}` in {owner}", name.value);
        match name.value.as_str() {
            "age" => entry.age = reading.scalar(&node, &about, &[Dimension::TIME]),
            "curing" => entry.curing = reading.word(&node, &about),
            _ => {
                let items = match node.kind {
                    Kind::List(items) => items,
                    _ => vec![node],
                };
                let values = items.iter().filter_map(|item| reading.bounds(item, &about, &[])).collect();
                entry.values.push((name, values));
            }
        }
    }
    Some(entry)
}
