//! A tree as YAML text: written out whole, or the author's file with single values replaced.

use super::tree::{Kind, Node};
use crate::finding::Place;

/// The text with pieces replaced; pieces do not overlap unless one of them is the same, and then the last one counts.
pub fn written_in_place(text: &str, edits: &[(Place, String)]) -> String {
    let mut sorted: Vec<&(Place, String)> = Vec::new();
    for (at, edit) in edits.iter().enumerate() {
        if edits[at + 1..].iter().all(|(place, _)| place.start != edit.0.start) {
            sorted.push(edit);
        }
    }
    sorted.sort_by_key(|(place, _)| place.start);
    let mut out = String::with_capacity(text.len());
    let mut from = 0;
    for (place, new) in sorted {
        if place.start < from {
            continue;
        }
        out.push_str(text.get(from..place.start).unwrap_or(""));
        out.push_str(new);
        from = place.end;
    }
    out.push_str(text.get(from..).unwrap_or(""));
    out
}

/// The whole tree in block style.
pub fn written_out(node: &Node) -> String {
    let mut text = String::new();
    write(node, 0, &mut text);
    if !text.ends_with('\n') {
        text.push('\n');
    }
    text
}

fn write(node: &Node, depth: usize, text: &mut String) {
    let indent = "  ".repeat(depth);
    match &node.kind {
        Kind::Empty => {}
        Kind::Scalar(value) => text.push_str(&plain_or_quoted(value)),
        Kind::List(items) if items.is_empty() => text.push_str("[]"),
        Kind::Map(entries) if entries.is_empty() => text.push_str("{}"),
        Kind::List(items) if items.iter().all(|item| matches!(item.kind, Kind::Scalar(_))) => {
            let items: Vec<String> = items
                .iter()
                .map(|item| {
                    if let Kind::Scalar(value) = &item.kind { plain_or_quoted(value) } else { String::new() }
                })
                .collect();
            text.push_str(&format!("[{}]", items.join(", ")));
        }
        Kind::List(items) => {
            for item in items {
                text.push_str(&format!("{indent}-"));
                value(item, depth + 1, text);
            }
        }
        Kind::Map(entries) => {
            for (key, inner) in entries {
                let name = if let Kind::Scalar(word) = &key.kind {
                    plain_or_quoted(word)
                } else {
                    "\"\"".to_owned()
                };
                text.push_str(&format!("{indent}{name}:"));
                value(inner, depth + 1, text);
            }
        }
    }
}

/// What stands behind a colon or a dash.
fn value(node: &Node, depth: usize, text: &mut String) {
    let in_block = match &node.kind {
        Kind::Map(entries) => !entries.is_empty(),
        Kind::List(items) => {
            !items.is_empty() && !items.iter().all(|item| matches!(item.kind, Kind::Scalar(_)))
        }
        Kind::Empty | Kind::Scalar(_) => false,
    };
    match (&node.kind, in_block) {
        (Kind::Empty, _) => text.push('\n'),
        (_, true) => {
            text.push('\n');
            write(node, depth, text);
        }
        (_, false) => {
            text.push(' ');
            write(node, depth, text);
            text.push('\n');
        }
    }
}

/// A single value as it may stand in block and in flow style.
pub fn plain_or_quoted(text: &str) -> String {
    let is_plain = text.starts_with(|letter: char| letter.is_ascii_alphanumeric())
        && !text.ends_with(' ')
        && text.chars().all(|letter| letter.is_ascii_alphanumeric() || " .%/_+-*()^<>=".contains(letter))
        && !matches!(text.to_ascii_lowercase().as_str(), "null");
    if is_plain {
        return text.to_owned();
    }
    let quoted = serde_json::to_string(text).expect("text is JSON");
    let escaped = |letter: char| match letter {
        letter if steers(letter) => format!("\\u{:04x}", u32::from(letter)),
        letter => letter.to_string(),
    };
    quoted.chars().map(escaped).collect()
}

/// Whether a character steers a terminal or turns the direction of writing; a line end and a tab do not.
pub fn steers(letter: char) -> bool {
    matches!(letter, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        || letter.is_control() && !matches!(letter, '\n' | '\t')
}
