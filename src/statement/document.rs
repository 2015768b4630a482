//! A statement that can be varied: its tree, included files laid under it, with single values put in place of others.
//!
//! What enters: the text of a statement and its library, then changes: a path of keys and the text of the new value, or
//! a part of a statement laid over the whole. What leaves: a [`Statement`] that passes the same reader as a file, and the
//! text of a file that reads as the same statement. What the values mean is for later rooms to say.

use super::entry::Statement;
use super::include::{Including, Library, NoLibrary};
use super::keys::{Form, STATEMENT};
use super::part::Part;
use super::path::set;
use super::price_list::PriceList;
use super::read::{statement_of, study_of};
use super::studies::StudyEntry;
use super::tree::{Kind, Node, read_tree};
use super::word::Word;
use super::writing::{steers, written_in_place, written_out};
use crate::finding::{Finding, Findings, Place, Sources};

/// The tree of a statement.
#[derive(Clone, Debug)]
pub struct Document {
    root: Node,
    /// What stands under `study`.
    study: Option<Node>,
    /// What included files gave reason to say.
    findings: Findings,
    /// The file that it was read from.
    home: usize,
    /// Pieces of that file with what stands there instead; absent once a change cannot be made so.
    edits: Option<Vec<(Place, String)>>,
}

impl Document {
    /// Reads a statement without its meaning; its `study`, if there is one, is left out: it asks for cases and is none
    /// of what a case says.
    ///
    /// # Errors
    /// If there is no map to look into.
    pub fn read(sources: &mut Sources, home: usize, library: &mut dyn Library) -> Result<Self, Findings> {
        let mut findings = Findings::default();
        let root = match read_tree(sources.whole(home), home) {
            Ok(root) => root,
            Err(finding) => {
                findings.push(*finding);
                return Err(findings);
            }
        };
        let mut including = Including::new(sources, library, &mut findings);
        let root = including.expand(root);
        let edits = Some(Vec::new());
        let mut document = Self { root, study: None, findings: Findings::default(), home, edits };
        document.leave_out_study();
        document.expand_scenarios(&mut including);
        document.findings = findings;
        Ok(document)
    }

    /// A scenario may include files as a statement does: they lie under what it says itself.
    fn expand_scenarios(&mut self, including: &mut Including<'_>) {
        let known: Vec<String> = self.materials().into_iter().map(str::to_owned).collect();
        let Some(Kind::Map(study)) = self.study.as_mut().map(|node| &mut node.kind) else { return };
        let scenarios = study.iter_mut().filter(|(key, _)| is(key, "scenarios"));
        let scenarios = scenarios.filter_map(|(_, node)| match &mut node.kind {
            Kind::Map(scenarios) => Some(scenarios),
            _ => None,
        });
        for (_, part) in scenarios.flatten() {
            let bare = Node { kind: Kind::Empty, ..part.clone() };
            *part = including.expand_part(std::mem::replace(part, bare), &known);
        }
    }

    fn leave_out_study(&mut self) {
        let Kind::Map(entries) = &mut self.root.kind else { return };
        let Some(at) = entries.iter().position(|(key, _)| is(key, "study")) else { return };
        let (key, value) = entries.remove(at);
        if key.place.source == self.home && value.place.source == self.home {
            let whole = Place { end: value.place.end.max(key.place.end), ..key.place };
            self.edits.get_or_insert_default().push((whole, String::new()));
        }
        self.study = Some(value);
    }

    /// The statement that the tree says, or what is wrong with it; errors as in [`super::read_from`].
    ///
    /// # Errors
    /// If there is no map to look into.
    pub fn statement(&self, sources: &Sources) -> Result<(Statement, Findings), Findings> {
        statement_of(self.root.clone(), self.findings.clone(), sources)
    }

    /// What the statement's `study` asks for; `None` if there is none.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn study(&self, sources: &Sources) -> Result<Option<StudyEntry>, Findings> {
        match &self.study {
            Some(node) => study_of(node.clone(), sources).map(Some),
            None => Ok(None),
        }
    }

    /// The same with another value at a path of keys: `limits.crack-free age.at least`, `materials.slag.price`.
    ///
    /// # Errors
    /// A finding in the path if it leads nowhere, with the keys that are known there.
    pub fn changed(&self, path: &Word, value: &Word) -> Result<Self, Box<Finding>> {
        if path.value.split('.').next().is_some_and(|first| first.trim() == "include") {
            return Err(Box::new(
                Finding::error(path.place, "`include` is varied, and a file is no value")
                    .note("a scenario may include files: what they say lies under what it says itself")
                    .help("write `study: {scenarios: {other prices: {include: [prices.yaml]}}}`"),
            ));
        }
        let mut changed = self.clone();
        let edit = set(&mut changed.root, &[Form::Keys(STATEMENT)], path, value)?;
        changed.edits = match (changed.edits, edit) {
            (Some(mut edits), Some((place, text))) if place.source == self.home => {
                edits.push((place, text));
                Some(edits)
            }
            _ => None,
        };
        Ok(changed)
    }

    /// The same with a part of a statement laid over it, key by key.
    #[must_use]
    pub fn under(&self, part: &Part) -> Self {
        let mut changed = self.clone();
        let is_nothing = matches!(&part.0.kind, Kind::Empty);
        if !is_nothing {
            lay(&mut changed.root, &part.0);
            changed.edits = None;
        }
        changed
    }

    /// Names of the materials, in file order.
    pub fn materials(&self) -> Vec<&str> {
        let Kind::Map(entries) = &self.root.kind else { return Vec::new() };
        let materials = entries.iter().find(|(key, _)| is(key, "materials")).map(|(_, value)| &value.kind);
        let Some(Kind::Map(materials)) = materials else { return Vec::new() };
        let keys = materials.iter().map(|(key, _)| &key.kind);
        keys.filter_map(|key| if let Kind::Scalar(name) = key { Some(name.as_str()) } else { None }).collect()
    }

    /// The same with the prices of a list in place of its own; a material that it does not have is left out.
    #[must_use]
    pub fn priced(&self, list: &PriceList) -> Self {
        let scalar =
            |word: &Word| Node { kind: Kind::Scalar(word.value.clone()), place: word.place, key: word.place };
        let map = |name: Node, value: Node| Node {
            place: value.place,
            key: value.key,
            kind: Kind::Map(vec![(name, value)]),
        };
        let known = self.materials();
        let mut changed = self.clone();
        for (name, price) in list.entries.iter().filter(|(name, _)| known.contains(&name.value.as_str())) {
            let key = |text: &str| Node { kind: Kind::Scalar(text.to_owned()), ..scalar(name) };
            let part = map(key("materials"), map(scalar(name), map(key("price"), scalar(price))));
            lay(&mut changed.root, &part);
            changed.edits = None;
        }
        changed
    }

    /// The same without a key at the top.
    #[must_use]
    pub fn without(&self, key: &str) -> Self {
        let mut changed = self.clone();
        if let Kind::Map(entries) = &mut changed.root.kind {
            entries.retain(|(known, _)| !is(known, key));
        }
        changed.edits = None;
        changed
    }

    /// A file that reads as this statement: the author's own with the values put in place where that is possible, else
    /// written out, included files and all.
    pub fn printed(&self, sources: &Sources) -> String {
        self.in_place(sources).unwrap_or_else(|| written_out(&self.root))
    }

    /// The author's file with other values, if that reads as the same tree.
    fn in_place(&self, sources: &Sources) -> Option<String> {
        let text = written_in_place(sources.whole(self.home), self.edits.as_ref()?).replace("\r\n", "\n");
        // What steers a terminal never leaves the program as it is: written out, such characters are escaped.
        if text.chars().any(steers) {
            return None;
        }
        let mut alone = Sources::default();
        let home = alone.add("case", text.clone());
        let again = Self::read(&mut alone, home, &mut NoLibrary).ok()?;
        // With included files the author's own part is compared: what lies under it has not changed.
        let mut own = Sources::default();
        let before = own.add("statement", sources.whole(self.home));
        let mut original = Self::read(&mut own, before, &mut NoLibrary).ok()?;
        if original.findings.is_empty() && again.findings.is_empty() {
            return same(&again.root, &self.root).then_some(text);
        }
        // An include that cannot be followed here: only values were replaced, so the shapes must agree.
        original.root = shape(&original.root);
        same(&original.root, &shape(&again.root)).then_some(text)
    }

    /// Each key at the top with what stands under it, written out the same way whatever the author's layout: for telling
    /// whether two statements say the same.
    pub fn sections(&self) -> Vec<(String, String)> {
        let Kind::Map(entries) = &self.root.kind else { return Vec::new() };
        entries
            .iter()
            .filter_map(|(key, value)| match &key.kind {
                Kind::Scalar(word) => Some((word.clone(), written_out(value))),
                _ => None,
            })
            .collect()
    }
}

fn is(key: &Node, word: &str) -> bool {
    matches!(&key.kind, Kind::Scalar(text) if text == word)
}

/// Lays one tree over another: maps key by key, everything else whole.
fn lay(under: &mut Node, over: &Node) {
    let (Kind::Map(below), Kind::Map(above)) = (&mut under.kind, &over.kind) else {
        under.kind = over.kind.clone();
        under.place = over.place;
        under.key = over.key;
        return;
    };
    for (key, value) in above {
        let known = below.iter_mut().find(|(known, _)| match (&known.kind, &key.kind) {
            (Kind::Scalar(known), Kind::Scalar(word)) => known == word,
            _ => false,
        });
        match known {
            Some((_, known)) => lay(known, value),
            None => below.push((key.clone(), value.clone())),
        }
    }
}

/// Whether two trees say the same, wherever they stand.
fn same(a: &Node, b: &Node) -> bool {
    match (&a.kind, &b.kind) {
        (Kind::Empty, Kind::Empty) => true,
        (Kind::Scalar(a), Kind::Scalar(b)) => a == b,
        (Kind::List(a), Kind::List(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b)),
        (Kind::Map(a), Kind::Map(b)) => {
            a.len() == b.len()
                && a.iter().zip(b).all(|((key, value), (other, at))| same(key, other) && same(value, at))
        }
        _ => false,
    }
}

/// The tree without its single values.
fn shape(node: &Node) -> Node {
    let kind = match &node.kind {
        Kind::Empty => Kind::Empty,
        Kind::Scalar(_) => Kind::Scalar(String::new()),
        Kind::List(items) => Kind::List(items.iter().map(shape).collect()),
        Kind::Map(entries) => {
            Kind::Map(entries.iter().map(|(key, value)| (key.clone(), shape(value))).collect())
        }
    };
    Node { kind, ..node.clone() }
}
