//! No circles among the files of a room: files import downwards, also by `super::` and `self::`.
//!
//! What enters: the text of the source files. A name that a room's root re-exports counts as an import from the file that
//! defines it, so that a re-export hides nothing.

use std::collections::{BTreeMap, BTreeSet};

use crate::architecture::{code, place, room, sources};
use crate::kept::none;

/// Files that import one another, round by round: none, and none may be added.
const TANGLED: &[&str] = &[];

/// One item of a `use` tree or a path in code: the segments after the head.
fn paths(code: &str, head: &str) -> Vec<Vec<String>> {
    let mut list = Vec::new();
    for (at, _) in code.match_indices(head) {
        let before = code[..at].chars().next_back();
        if before.is_some_and(|letter| letter.is_alphanumeric() || letter == '_' || letter == ':') {
            continue;
        }
        tree(&code[at + head.len()..], &mut Vec::new(), &mut list);
    }
    list
}

/// Reads one path or group of paths; returns how many bytes it took.
fn tree(text: &str, before: &mut Vec<String>, list: &mut Vec<Vec<String>>) -> usize {
    let start = text.len() - text.trim_start().len();
    let rest = &text[start..];
    if let Some(group) = rest.strip_prefix('{') {
        let mut at = 1;
        loop {
            at += tree(&rest[at..], before, list);
            match rest[at..].trim_start().chars().next() {
                Some(',') => at += rest[at..].find(',').unwrap_or(0) + 1,
                _ => break,
            }
            if rest[at..].trim_start().starts_with('}') {
                break;
            }
        }
        let end = rest[at..].find('}').map_or(group.len() + 1, |end| at + end + 1);
        return start + end;
    }
    let word: String = rest.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect();
    if word.is_empty() {
        return start;
    }
    let taken = start + word.len();
    before.push(word);
    let used = if let Some(deeper) = text[taken..].strip_prefix("::") {
        taken + 2 + tree(deeper, before, list)
    } else {
        list.push(before.clone());
        taken
    };
    before.pop();
    used
}

/// The files of all rooms by place, with their code.
struct House {
    files: BTreeMap<String, String>,
}

impl House {
    /// The file that a path from a module leads to, through re-exports of roots; `None` outside the house.
    fn file(&self, module: &str, path: &[String]) -> Option<String> {
        let mut at = module.to_owned();
        let mut rest = path;
        while let Some((first, deeper)) = rest.split_first() {
            let below = if at.is_empty() { first.clone() } else { format!("{at}/{first}") };
            if self.files.contains_key(&below) {
                at = below;
                rest = deeper;
                continue;
            }
            // An item: of this file, or re-exported from one below.
            let code = self.files.get(&at)?;
            let found =
                paths(code, "pub use ").into_iter().find(|path| path.last() == Some(first) && 1 < path.len());
            return match found {
                Some(path) => self.file(&at, &path).or(Some(at)),
                None => Some(at),
            };
        }
        (!at.is_empty()).then_some(at)
    }

    /// The files of the same room that a file imports from.
    fn imports(&self, from: &str) -> BTreeSet<String> {
        let code = &self.files[from];
        // Unit tests may look anywhere.
        let code = code.split("#[cfg(test)]").next().unwrap_or(code);
        let parent = from.rsplit_once('/').map_or("", |(parent, _)| parent);
        let grandparent = parent.rsplit_once('/').map_or("", |(parent, _)| parent);
        let mut found = BTreeSet::new();
        for (head, module) in
            [("crate::", ""), ("super::super::", grandparent), ("super::", parent), ("self::", from)]
        {
            for path in paths(code, head) {
                if path.first().is_some_and(|word| word == "super") {
                    continue;
                }
                found.extend(self.file(module, &path));
            }
        }
        // A root imports what it re-exports only where it uses the names itself.
        for path in paths(code, "use ") {
            let [first, .., last] = path.as_slice() else { continue };
            let below = format!("{from}/{first}");
            let uses = code.split(|letter: char| !(letter.is_alphanumeric() || letter == '_'));
            if self.files.contains_key(&below) && 1 < uses.filter(|word| word == last).count() {
                found.extend(self.file(from, &path));
            }
        }
        found.retain(|to| to != from && room(to) == room(from));
        found
    }

    /// Files that lie on a circle of imports, each with one that it goes through.
    fn circles(&self) -> BTreeMap<String, String> {
        let imports: BTreeMap<&String, BTreeSet<String>> =
            self.files.keys().map(|file| (file, self.imports(file))).collect();
        let mut found = BTreeMap::new();
        for (file, first) in &imports {
            for start in first {
                let mut seen = BTreeSet::from([start]);
                let mut open = vec![start];
                while let Some(at) = open.pop() {
                    open.extend(imports[at].iter().filter(|next| seen.insert(next)));
                }
                if seen.contains(file) {
                    found.entry((*file).clone()).or_insert_with(|| start.clone());
                }
            }
        }
        found
    }
}

fn house(files: impl IntoIterator<Item = (String, String)>) -> House {
    House { files: files.into_iter().map(|(path, text)| (place(&path).to_owned(), code(&text))).collect() }
}

#[test]
fn no_two_files_of_a_room_import_one_another() {
    let circles = house(sources("src")).circles();
    let tangled = circles.iter().filter(|(file, _)| !TANGLED.contains(&file.as_str())).map(|(file, through)| {
        format!("src/{file}.rs is imported by what it imports (`{through}`); move the shared part to a file below both")
    });
    let free = TANGLED.iter().filter(|file| !circles.contains_key(**file)).map(|file| {
        format!("`{file}` lies on no circle any more; take it out of TANGLED in tests/circles.rs")
    });
    none(&tangled.chain(free).collect::<Vec<_>>());
}

#[test]
fn circles_are_seen_through_super_and_self_and_re_exports() {
    let file = |path: &str, text: &str| (format!("src/{path}.rs"), text.to_owned());
    let circles =
        |files: &[(String, String)]| -> Vec<String> { house(files.to_vec()).circles().into_keys().collect() };
    let root = file("room", "mod one;\nmod two;\npub use one::{One, other};\npub use two::Two;");
    let down = file("room/two", "use super::one::One;\npub struct Two(One);");
    let free = file("room/one", "pub struct One;\n#[cfg(test)]\nmod tests { use super::super::two::Two; }");
    assert!(circles(&[root.clone(), down.clone(), free]).is_empty());
    for import in
        ["use super::two::Two;", "use super::Two;", "use crate::room::{Two};", "use crate::{room::two};"]
    {
        let tangled = file("room/one", &format!("{import}\npub struct One;"));
        assert_eq!(circles(&[root.clone(), down.clone(), tangled]), ["room/one", "room/two"], "{import}");
    }
    let whole = file("room", "mod one;\npub use one::One;\npub struct Whole { part: One }");
    let part = file("room/one", "use super::Whole;\npub struct One;");
    assert_eq!(circles(&[whole, part]), ["room", "room/one"]);
}
