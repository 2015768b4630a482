//! Finding a value in a statement by a path of keys, and putting another in its place.
//!
//! A path is keys with points between them, as they stand in the file; names may hold points themselves, since the
//! longest key that fits is taken. A side of a range or of a short limit is a key too: `limits.binder.at most`.

use super::keys::Form;
use super::tree::{Kind, Node};
use super::word::Word;
use super::writing::plain_or_quoted;
use crate::finding::{Finding, Place};

/// A piece of a file and what stands there instead; none if a key was added.
pub type Edit = Option<(Place, String)>;

/// Puts a value at a path. `forms` are the shapes that the node may have.
///
/// # Errors
/// A finding in the path if it leads nowhere.
pub fn set(root: &mut Node, forms: &[Form], path: &Word, value: &Word) -> Result<Edit, Box<Finding>> {
    Walk { path, value }.set(root, forms, 0)
}

struct Walk<'w> {
    path: &'w Word,
    value: &'w Word,
}

impl Walk<'_> {
    fn set(&self, node: &mut Node, forms: &[Form], from: usize) -> Result<Edit, Box<Finding>> {
        let rest = &self.path.value[from..];
        if rest.is_empty() {
            return self.replaced(node, forms);
        }
        if let Kind::Scalar(text) = &node.kind {
            let Some(text) = with_side(text, rest, &self.value.value) else {
                let known = ["at least", "at most"];
                return Err(self
                    .at(from, format!("`{}` is a single value", self.before(from)))
                    .known("keys", rest, known)
                    .into());
            };
            return Ok(self.put(node, text));
        }
        let Kind::Map(entries) = &mut node.kind else {
            return Err(self
                .at(from, format!("`{}` is {}", self.before(from), node.kind.described()))
                .note("a path leads through maps to a single value")
                .into());
        };
        let next = entries
            .iter()
            .enumerate()
            .filter_map(|(at, (key, _))| match &key.kind {
                Kind::Scalar(word) if leads(rest, word) => Some((word.len(), at)),
                _ => None,
            })
            .max();
        if let Some((length, at)) = next {
            let forms = inner(forms, &rest[..length]);
            let from = (from + length + 1).min(self.path.value.len());
            return self.set(&mut entries[at].1, &forms, from);
        }
        // A key that the author has left out may be added, where the table of keys knows it.
        let tables =
            || forms.iter().filter_map(|form| if let Form::Keys(keys) = form { Some(*keys) } else { None });
        if let Some(key) = tables().flatten().find(|key| key.name == rest) {
            let scalar = |kind: String| Node {
                kind: Kind::Scalar(kind),
                place: self.value.place,
                key: self.path.place,
            };
            entries.push((scalar(key.name.to_owned()), scalar(self.value.value.clone())));
            return Ok(None);
        }
        let word = rest.split('.').next().unwrap_or(rest);
        let mut known: Vec<&str> = entries
            .iter()
            .filter_map(
                |(key, _)| if let Kind::Scalar(word) = &key.kind { Some(word.as_str()) } else { None },
            )
            .collect();
        for key in tables().flatten() {
            if !known.contains(&key.name) {
                known.push(key.name);
            }
        }
        let owner = if from == 0 { "the statement".to_owned() } else { format!("`{}`", self.before(from)) };
        Err(self.at(from, format!("unknown key `{word}` in {owner}")).known("keys", word, known).into())
    }

    fn replaced(&self, node: &mut Node, forms: &[Form]) -> Result<Edit, Box<Finding>> {
        let path = &self.path.value;
        match &node.kind {
            Kind::Scalar(_) | Kind::Empty => Ok(self.put(node, self.value.value.clone())),
            Kind::Map(entries) => {
                let mut known: Vec<&str> =
                    entries
                        .iter()
                        .filter_map(|(key, _)| {
                            if let Kind::Scalar(word) = &key.kind { Some(word.as_str()) } else { None }
                        })
                        .collect();
                for form in forms {
                    let Form::Keys(keys) = form else { continue };
                    known.extend(keys.iter().map(|key| key.name));
                }
                known.sort_unstable();
                known.dedup();
                let help = format!("name one of them: `{path}.{}`", known.first().copied().unwrap_or("..."));
                Err(self
                    .at(0, format!("`{path}` is a map, not a single value"))
                    .note(format!("known keys: {}", crate::finding::listed(&known)))
                    .help(help)
                    .into())
            }
            Kind::List(_) => Err(self
                .at(0, format!("`{path}` is a list, not a single value"))
                .help("write a scenario that holds the whole list")
                .into()),
        }
    }

    fn put(&self, node: &mut Node, text: String) -> Edit {
        let edit = (node.place, plain_or_quoted(&text));
        let was_empty = matches!(node.kind, Kind::Empty);
        node.kind = Kind::Scalar(text);
        node.place = self.value.place;
        (!was_empty).then_some(edit)
    }

    /// The path up to a byte, without its point.
    fn before(&self, from: usize) -> &str {
        self.path.value[..from].trim_end_matches('.')
    }

    fn at(&self, from: usize, message: String) -> Finding {
        let place = self.path.place;
        let is_as_written = place.end - place.start == self.path.value.len();
        let start = if is_as_written { place.start + from } else { place.start };
        Finding::error(Place { start, ..place }, message)
    }
}

/// Whether a path begins with a key.
fn leads(path: &str, key: &str) -> bool {
    path.strip_prefix(key).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

/// The shapes of the value of a key.
fn inner(forms: &[Form], key: &str) -> Vec<Form> {
    let mut found = Vec::new();
    for form in forms {
        match form {
            Form::Keys(keys) => {
                flat(keys.iter().filter(|known| known.name == key).map(|known| known.form), &mut found);
            }
            Form::Named(inner) => flat(std::iter::once(**inner), &mut found),
            _ => {}
        }
    }
    found
}

fn flat(forms: impl Iterator<Item = Form>, into: &mut Vec<Form>) {
    for form in forms {
        match form {
            Form::Either(several) => flat(several.iter().copied(), into),
            one => into.push(one),
        }
    }
}

/// `360 .. 480 kg/m3` with another upper end: `360 kg/m3 .. 500 kg/m3`; `at most 27 GPa` with another value.
fn with_side(text: &str, side: &str, value: &str) -> Option<String> {
    if side != "at least" && side != "at most" {
        return None;
    }
    if let Some((low, high)) = text.split_once("..") {
        let (low, high) = (low.trim(), high.trim());
        // Each end keeps its own unit, so that a new one with another unit does not change what the other end says.
        let has_unit = low.parse::<f64>().is_err();
        let unit = after_number(high);
        let low = if has_unit || unit.is_empty() { low.to_owned() } else { format!("{low} {unit}") };
        return Some(match side {
            "at least" => format!("{value} .. {high}"),
            _ => format!("{low} .. {value}"),
        });
    }
    let (word, other) = if text.starts_with("at least ") {
        ("at least", text)
    } else if text.starts_with("at most ") {
        ("at most", text)
    } else {
        return None;
    };
    if side == word {
        return Some(format!("{side} {value}"));
    }
    // The other side comes in: a range of both.
    let old = other.strip_prefix(word)?.trim();
    Some(if side == "at least" { format!("{value} .. {old}") } else { format!("{old} .. {value}") })
}

fn after_number(text: &str) -> &str {
    let is_number = |letter: char| letter.is_ascii_digit() || "+-.eE".contains(letter);
    let end = text.find(|letter| !is_number(letter)).unwrap_or(text.len());
    text[end..].trim()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_of_a_range_changes_and_the_other_keeps_its_unit() {
        for (text, side, value, expected) in [
            ("at most 27 GPa", "at most", "26 GPa", "at most 26 GPa"),
            ("360 .. 480 kg/m3", "at most", "0.5 t/m3", "360 kg/m3 .. 0.5 t/m3"),
            ("360 .. 480 kg/m3", "at least", "340 kg/m3", "340 kg/m3 .. 480 kg/m3"),
            ("0.34 .. 0.42", "at most", "0.40", "0.34 .. 0.40"),
            ("3 .. 8 % of binder", "at most", "6 % of binder", "3 % of binder .. 6 % of binder"),
            ("at least 30 MPa", "at most", "60 MPa", "30 MPa .. 60 MPa"),
        ] {
            assert_eq!(with_side(text, side, value).as_deref(), Some(expected), "{text}");
        }
        assert_eq!(with_side("38 MPa", "at least", "40 MPa"), None);
        assert_eq!(with_side("0.34 .. 0.42", "within", "0.3 .. 0.4"), None);
    }
}
