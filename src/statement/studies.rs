//! The cases that a statement asks for: paths with their values, and scenarios. What the paths lead to is looked up
//! when the cases are made.

use super::fields::Reading;
use super::keys::STUDY;
use super::part::Part;
use super::tree::{Kind, Node};
use super::word::Word;
use crate::finding::Finding;

/// The cases asked for.
#[derive(Clone, Debug, Default)]
pub struct StudyEntry {
    /// Keys with their values.
    pub vary: Vec<VaryEntry>,
    /// Scenarios in file order.
    pub scenarios: Vec<ScenarioEntry>,
}

/// A key of the statement and the values it takes.
#[derive(Clone, Debug)]
pub struct VaryEntry {
    /// The path of the key.
    pub path: Word,
    /// Values, or ranges of values, as written.
    pub values: Vec<Word>,
}

/// A part of a statement laid over the whole.
#[derive(Clone, Debug)]
pub struct ScenarioEntry {
    /// Its name.
    pub name: Word,
    /// What it says.
    pub part: Part,
}

/// Reads `study`.
pub fn study(node: Node, reading: &mut Reading) -> Option<StudyEntry> {
    let mut fields = reading.fields(node, "`study`", STUDY)?;
    let vary = fields.take("vary").map(|node| vary(node, reading)).unwrap_or_default();
    let scenarios = fields.take("scenarios").map(|node| scenarios(node, reading)).unwrap_or_default();
    Some(StudyEntry { vary, scenarios })
}

/// Paths are no names of the author's: they may hold ` * ` and numbers.
fn vary(node: Node, reading: &mut Reading) -> Vec<VaryEntry> {
    let Kind::Map(entries) = node.kind else {
        reading.push(
            Finding::error(node.shown(), format!("`vary` is {}", node.kind.described()))
                .note("a map from paths of keys to values is needed")
                .help("write `limits.binder.at most: [440 kg/m3, 480 kg/m3]`"),
        );
        return Vec::new();
    };
    let mut list: Vec<VaryEntry> = Vec::new();
    for (key, value) in entries {
        let Some(path) = reading.word(&key, "a path in `vary`") else { continue };
        if list.iter().any(|entry| entry.path.value == path.value) {
            reading.push(
                Finding::error(path.place, format!("`{}` stands twice in `vary`", path.value))
                    .help("put all its values into one list"),
            );
            continue;
        }
        let values = reading.words(&value, &format!("`{}` in `vary`", path.value));
        list.push(VaryEntry { path, values });
    }
    list
}

fn scenarios(node: Node, reading: &mut Reading) -> Vec<ScenarioEntry> {
    let mut list = Vec::new();
    for (name, node) in reading.named(node, "`scenarios`") {
        match node.kind {
            Kind::Map(_) | Kind::Empty => list.push(ScenarioEntry { name, part: Part(node) }),
            ref other => reading.push(
                Finding::error(node.place, format!("scenario `{}` is {}", name.value, other.described()))
                    .note("a part of a statement is needed, or nothing for the statement as it stands")
                    .help("write what differs: `{materials: {slag: {price: 95 /t}}}`"),
            ),
        }
    }
    list
}
