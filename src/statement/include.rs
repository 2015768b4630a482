//! Included files: a shared shelf, a price list. The trees of all files become one tree before anything is understood.
//!
//! What enters: the statement's tree and a [`Library`] that opens files. What leaves: one tree, each value with the
//! place it came from. The statement's own values win over included ones, key by key: at the top, in each named entry,
//! and in each key of an entry (`materials`, then `cement`, then `price`); what stands deeper is taken whole. Two
//! included files that say different things about one key are a finding, unless the statement itself says it.
//! This room does not know what a path is; the library does.

use super::tree::{Kind, LARGEST, Node, read_tree};
use crate::finding::{Finding, Findings, Place, Sources, listed};

/// Where included files come from.
pub trait Library {
    /// Opens the file that `from` calls `name`; `from` is empty for the statement itself, else an earlier `path`.
    ///
    /// # Errors
    /// Why not, for the author: one sentence without a full stop.
    fn open(&mut self, name: &str, from: &str) -> Result<Opened, String>;
}

/// An included file.
#[derive(Clone, Debug)]
pub struct Opened {
    /// What tells it apart from others, whatever it was called.
    pub path: String,
    /// Its name for findings.
    pub shown: String,
    /// Its text.
    pub text: String,
}

/// For texts that stand alone: nothing can be included.
#[derive(Clone, Copy, Debug)]
pub struct NoLibrary;

impl Library for NoLibrary {
    fn open(&mut self, _: &str, _: &str) -> Result<Opened, String> {
        Err("this statement is read without its folder".to_owned())
    }
}

/// One key with what the file itself says and what its includes say.
struct Entry {
    name: Node,
    own: Option<Node>,
    under: Vec<Node>,
}

#[derive(Clone, Copy)]
enum Whose {
    Own,
    Included,
}

/// Deepest chain of includes.
const DEEPEST: usize = 8;
/// Most includes in one statement, those of included files counted each time.
const MOST: usize = 32;
/// How deep own and included maps are laid over one another.
const LEVELS: usize = 3;

/// What expanding needs on the way.
pub struct Including<'i> {
    /// All files so far.
    pub sources: &'i mut Sources,
    /// Where files come from.
    pub library: &'i mut dyn Library,
    /// Everything found.
    pub findings: &'i mut Findings,
    /// Files read, with their index in the sources.
    read: Vec<(String, usize)>,
    /// How many includes were followed, the same file counted each time.
    followed: usize,
    /// Bytes of all included files.
    bytes: usize,
}

impl<'i> Including<'i> {
    /// Nothing included yet.
    pub fn new(sources: &'i mut Sources, library: &'i mut dyn Library, findings: &'i mut Findings) -> Self {
        Self { sources, library, findings, read: Vec::new(), followed: 0, bytes: 0 }
    }

    /// The statement's tree with all included files laid under it.
    pub fn expand(&mut self, root: Node) -> Node {
        let mut root = self.with_includes(root, &mut Vec::new());
        self.drop_prices_of_nothing(&mut root, &[]);
        root
    }

    /// A part of a statement, such as a scenario, with all its included files laid under it. What they say of materials
    /// that are not among `known` and have no role is left out.
    pub fn expand_part(&mut self, part: Node, known: &[String]) -> Node {
        let home = self.read.iter().find(|(_, source)| *source == part.place.source);
        let mut chain: Vec<String> = home.into_iter().map(|(path, _)| path.clone()).collect();
        let mut part = self.with_includes(part, &mut chain);
        self.drop_prices_of_nothing(&mut part, known);
        part
    }

    /// `chain` holds the paths from the statement to this file.
    fn with_includes(&mut self, mut root: Node, chain: &mut Vec<String>) -> Node {
        let Kind::Map(entries) = &mut root.kind else { return root };
        let is_include = |key: &Node| matches!(&key.kind, Kind::Scalar(word) if word == "include");
        let Some(at) = entries.iter().position(|(key, _)| is_include(key)) else { return root };
        let (_, list) = entries.remove(at);
        let mut included = Vec::new();
        for (name, place) in self.names(list) {
            if let Some(tree) = self.open(&name, place, chain) {
                included.push(tree);
            }
        }
        self.laid_over(Some(root), included, 1, "the statement")
    }

    fn names(&mut self, list: Node) -> Vec<(String, Place)> {
        let items = match list.kind {
            Kind::List(items) => items,
            kind => vec![Node { kind, ..list }],
        };
        let mut names = Vec::new();
        for item in items {
            let place = item.place;
            match item.kind {
                Kind::Scalar(name) if !name.trim().is_empty() => {
                    names.push((name.trim().to_owned(), place));
                }
                kind => self.findings.push(
                    Finding::error(place, format!("what `include` holds is {}", described(&kind)))
                        .note("it is the name of a file, or a list of names")
                        .help("write `include: prices.yaml` or `include: [shelf.yaml, prices.yaml]`"),
                ),
            }
        }
        names
    }

    fn open(&mut self, name: &str, place: Place, chain: &mut Vec<String>) -> Option<Node> {
        let refuse = |message: String| Finding::error(place, message);
        if DEEPEST <= chain.len() {
            self.findings.push(
                refuse(format!("`{name}` is included {} files deep", chain.len() + 1))
                    .note(format!("allowed: {DEEPEST} files deep"))
                    .help("include it from a file further up"),
            );
            return None;
        }
        self.followed += 1;
        if MOST < self.followed {
            self.findings.push(
                refuse(format!("`{name}` is one include too many"))
                    .note(format!("a statement may hold {MOST} includes, those of included files counted"))
                    .help("put some of the files together"),
            );
            return None;
        }
        let opened = match self.library.open(name, chain.last().map_or("", String::as_str)) {
            Ok(opened) => opened,
            Err(reason) => {
                self.findings.push(
                    refuse(format!("cannot include `{name}`: {reason}"))
                        .note("an included file lies in the folder of the statement or below it"),
                );
                return None;
            }
        };
        if opened.path.is_empty() || chain.contains(&opened.path) {
            let from = chain.iter().position(|path| *path == opened.path).unwrap_or(0);
            let mut circle: Vec<&str> = chain[from..].iter().map(String::as_str).collect();
            if opened.path.is_empty() {
                circle.insert(0, "the statement");
            }
            let first = circle.first().copied().unwrap_or("itself").to_owned();
            circle.push(&first);
            self.findings.push(
                refuse(format!("`{name}` includes itself: {}", circle.join(" -> ")))
                    .help("take one of these includes out"),
            );
            return None;
        }
        let known = self.read.iter().find(|(path, _)| *path == opened.path).map(|(_, source)| *source);
        let source = if let Some(source) = known {
            source
        } else {
            self.bytes += opened.text.len();
            if LARGEST < self.bytes {
                self.findings.push(
                    refuse(format!("with `{name}` the included files are {} MB long", self.bytes >> 20))
                        .note(format!("allowed: {} MB together", LARGEST >> 20))
                        .help("leave out what is not part of the statement"),
                );
                return None;
            }
            let source = self.sources.add(opened.shown, opened.text);
            self.read.push((opened.path.clone(), source));
            source
        };
        let tree = match read_tree(self.sources.whole(source), source) {
            Ok(tree) => tree,
            Err(finding) => {
                self.findings.push(*finding);
                return None;
            }
        };
        if !matches!(tree.kind, Kind::Map(_)) {
            self.findings.push(
                refuse(format!("`{name}` is {}, not a part of a statement", tree.kind.described()))
                    .help("an included file holds keys of a statement, such as `materials:`"),
            );
            return None;
        }
        chain.push(opened.path);
        let tree = self.with_includes(tree, chain);
        chain.pop();
        Some(tree)
    }

    /// `own` over `included`, key by key.
    fn laid_over(&mut self, own: Option<Node>, included: Vec<Node>, level: usize, owner: &str) -> Node {
        let mut entries: Vec<Entry> = Vec::new();
        let mut base = None;
        let own = own.into_iter().map(|tree| (tree, Whose::Own));
        for (tree, whose) in own.chain(included.into_iter().map(|tree| (tree, Whose::Included))) {
            base.get_or_insert((tree.place, tree.key));
            let Kind::Map(list) = tree.kind else { continue };
            let before = entries.len();
            let mut seen: Vec<String> = Vec::new();
            for (name, value) in list {
                let word = scalar(&name).map(str::to_owned);
                // A key that stands twice in one file stays twice, for the reader to tell.
                let again = word.as_ref().is_none_or(|word| seen.contains(word));
                seen.extend(word.clone());
                let known = entries[..before].iter_mut().find(|entry| scalar(&entry.name) == word.as_deref());
                match (known, whose) {
                    (Some(entry), Whose::Included) if !again => entry.under.push(value),
                    (_, Whose::Included) => entries.push(Entry { name, own: None, under: vec![value] }),
                    (_, Whose::Own) => entries.push(Entry { name, own: Some(value), under: Vec::new() }),
                }
            }
        }
        let (place, key) = base.expect("there is at least one tree");
        let merged = entries.into_iter().filter_map(|entry| self.settled(entry, level, owner)).collect();
        Node { kind: Kind::Map(merged), place, key }
    }

    /// One value out of the own one and those under it.
    fn settled(&mut self, entry: Entry, level: usize, owner: &str) -> Option<(Node, Node)> {
        let Entry { name, own, mut under } = entry;
        let is_map = |node: &Node| matches!(node.kind, Kind::Map(_));
        let all_maps = own.iter().chain(&under).all(is_map);
        if own.is_some() && (under.is_empty() || LEVELS <= level || !all_maps) {
            return own.map(|own| (name, own));
        }
        let word = scalar(&name).unwrap_or("").to_owned();
        if own.is_none() && under.len() == 1 {
            return under.pop().map(|value| (name, value));
        }
        if level < LEVELS && all_maps {
            let value = self.laid_over(own, under, level + 1, &format!("`{word}`"));
            return Some((name, value));
        }
        let mut under = under.into_iter();
        let value = under.next()?;
        for other in under {
            let same =
                other.place == value.place || scalar(&other).is_some() && scalar(&other) == scalar(&value);
            if same {
                continue;
            }
            let line = self.sources.line(value.place);
            let file = self.sources.name(value.place.source).to_owned();
            self.findings.push(
                Finding::error(other.key, format!("two included files differ in `{word}` of {owner}"))
                    .note(format!("it also stands in `{file}`, line {line}"))
                    .help("keep one of them, or say it in the statement itself, which wins"),
            );
        }
        Some((name, value))
    }

    /// Entries of `materials` without a role that come from included files alone name no material of this statement.
    fn drop_prices_of_nothing(&mut self, root: &mut Node, known: &[String]) {
        let statement = root.place.source;
        let Kind::Map(entries) = &mut root.kind else { return };
        let Some((_, materials)) = entries.iter_mut().find(|(key, _)| scalar(key) == Some("materials"))
        else {
            return;
        };
        let Kind::Map(list) = &mut materials.kind else { return };
        let mut dropped: Vec<(String, Place)> = Vec::new();
        list.retain(|(name, value)| {
            let Kind::Map(fields) = &value.kind else { return true };
            let has_role = fields.iter().any(|(key, _)| scalar(key) == Some("role"));
            let is_known = scalar(name).is_some_and(|name| known.iter().any(|other| other == name));
            let keep = has_role || is_known || name.place.source == statement;
            if !keep {
                dropped.push((scalar(name).unwrap_or("").to_owned(), name.place));
            }
            keep
        });
        if let Some((_, place)) = dropped.first() {
            let names: Vec<&str> = dropped.iter().map(|(name, _)| name.as_str()).collect();
            self.findings.push(
                Finding::warning(*place, format!("no material of this statement: {}", listed(&names))).note(
                    "an included entry without a `role` says something about a material of the statement",
                ),
            );
        }
    }
}

fn described(kind: &Kind) -> &'static str {
    if let Kind::Scalar(_) = kind { "an empty name" } else { kind.described() }
}

fn scalar(node: &Node) -> Option<&str> {
    match &node.kind {
        Kind::Scalar(text) => Some(text),
        _ => None,
    }
}
