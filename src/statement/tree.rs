//! YAML text to a small tree with the place of every node; the only file that knows the YAML library.

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_yaml::Spanned;

use crate::finding::{Finding, Place};

/// Largest statement read, in bytes.
pub const LARGEST: usize = 4 << 20;
/// Deepest nesting read.
const DEEPEST: usize = 48;
/// Most nodes read, aliases expanded.
const MOST_NODES: usize = 100_000;

/// One node.
#[derive(Clone, Debug)]
pub struct Node {
    /// What it is.
    pub kind: Kind,
    /// Where it stands.
    pub place: Place,
    /// Where its key stands, if it is the value of one; else its own place.
    pub key: Place,
}

/// What a node is. Scalars keep their text: `0.30` stays `0.30`, and `no` is a word.
#[derive(Clone, Debug)]
pub enum Kind {
    /// Nothing.
    Empty,
    /// Text as written, without quotes.
    Scalar(String),
    /// A list.
    List(Vec<Node>),
    /// A map in file order, keys not yet unique.
    Map(Vec<(Node, Node)>),
}

impl Kind {
    /// In words, for findings.
    pub fn described(&self) -> &'static str {
        match self {
            Self::Empty => "empty",
            Self::Scalar(_) => "a single value",
            Self::List(_) => "a list",
            Self::Map(_) => "a map",
        }
    }
}

/// Reads `text` as one YAML document.
///
/// # Errors
/// One finding: a syntax error stands alone.
pub fn read_tree(text: &str, source: usize) -> Result<Node, Box<Finding>> {
    let whole = Place { source, start: 0, end: text.len().min(1) };
    if text.len() > LARGEST {
        return Err(Box::new(
            Finding::error(whole, format!("the statement is longer than {} MB", LARGEST >> 20))
                .note("a statement is a page or a few; tables of data belong elsewhere")
                .help("leave out what is not part of the statement"),
        ));
    }
    match serde_yaml::from_str_with_options::<Spanned<Raw>>(text, options()) {
        Ok(raw) => Ok(to_node(raw, text, source)),
        Err(error) => {
            let message = error.to_string();
            let place = error.location().map_or(whole, |location| {
                let start = line_column(text, location.line(), location.column());
                Place { source, start, end: (start + 1).min(text.len().max(start)) }
            });
            Err(Box::new(syntax_finding(place, &message, text)))
        }
    }
}

fn options() -> serde_yaml::Options {
    let mut options = serde_yaml::Options::default();
    options.duplicate_keys = serde_yaml::DuplicateKeyPolicy::PassThrough;
    options.non_finite_float_policy = serde_yaml::NonFiniteFloatPolicy::PassThrough;
    options.strict_booleans = true;
    if let Some(budget) = options.budget.as_mut() {
        budget.max_depth = DEEPEST;
        budget.max_nodes = MOST_NODES;
        budget.max_events = 2 * MOST_NODES;
        budget.enforce_alias_anchor_ratio = false;
    }
    options
}

fn syntax_finding(place: Place, message: &str, text: &str) -> Finding {
    let first = message.lines().next().unwrap_or("").trim_start_matches("error: ");
    let told = first
        .split_once(": ")
        .map_or(first, |(before, after)| if before.starts_with("line ") { after } else { first });
    let finding = Finding::error(place, format!("this is not a YAML statement: {told}"));
    if told.contains("multiple YAML documents") {
        return Finding::error(place, "a second document begins here")
            .note("a statement is one YAML document")
            .help("put each statement into a file of its own");
    }
    if told.contains("budget") || told.contains("limit") || told.contains("alias") {
        let what = if told.contains("epth") { "nests too deep" } else { "is too large" };
        return Finding::error(place, format!("the statement {what} here"))
            .note(format!(
                "a statement may nest {DEEPEST} levels deep and hold {MOST_NODES} values, aliases expanded"
            ))
            .help("write the statement out plainly");
    }
    if told.contains("tab")
        && let Some(start) = tab_in_indentation(text, place.start)
    {
        return Finding::error(Place { start, end: start + 1, ..place }, "a tab stands in the indentation")
            .note("YAML is indented by spaces")
            .help("put spaces in place of the tab");
    }
    finding.help("check indentation, brackets and quotes here and on the line before")
}

/// The first tab before the text of a line, from the line that holds byte `from`.
fn tab_in_indentation(text: &str, from: usize) -> Option<usize> {
    let mut start = text.get(..from)?.rfind('\n').map_or(0, |at| at + 1);
    for line in text.get(start..)?.split_inclusive('\n') {
        let indentation = line.len() - line.trim_start_matches([' ', '\t']).len();
        if let Some(tab) = line[..indentation].find('\t') {
            return Some(start + tab);
        }
        start += line.len();
    }
    None
}

/// Byte offset of a line and column, both counted from one, the column in characters.
fn line_column(text: &str, line: u64, column: u64) -> usize {
    let lines_before = usize::try_from(line.saturating_sub(1)).unwrap_or(usize::MAX);
    let start: usize = text.split_inclusive('\n').take(lines_before).map(str::len).sum();
    let characters = usize::try_from(column.saturating_sub(1)).unwrap_or(usize::MAX);
    let rest = text.get(start..).unwrap_or("");
    start
        + rest
            .chars()
            .take_while(|letter| *letter != '\n')
            .take(characters)
            .map(char::len_utf8)
            .sum::<usize>()
}

enum Raw {
    Empty,
    Scalar(String),
    List(Vec<Spanned<Raw>>),
    Map(Vec<(Spanned<Raw>, Spanned<Raw>)>),
}

fn to_node(raw: Spanned<Raw>, text: &str, source: usize) -> Node {
    let span = raw.referenced.span();
    let defined = raw.defined.span();
    let bytes = |span: serde_yaml::Span| {
        let start = usize::try_from(span.byte_offset().unwrap_or(0)).unwrap_or(0).min(text.len());
        let length = usize::try_from(span.byte_len().unwrap_or(0)).unwrap_or(0);
        start..(start + length).min(text.len())
    };
    let written = bytes(span);
    let place = Place { source, start: written.start, end: written.end.max(written.start) };
    let kind = match raw.value {
        Raw::Empty => Kind::Empty,
        Raw::Scalar(read) => {
            let plain = text.get(bytes(defined)).unwrap_or("");
            let quoted = plain.starts_with(['"', '\'']) || plain.contains('\n') || plain.is_empty();
            let block = plain.starts_with(['|', '>', '&', '!', '*']);
            Kind::Scalar(if quoted || block { read } else { plain.trim().to_owned() })
        }
        Raw::List(items) => Kind::List(items.into_iter().map(|item| to_node(item, text, source)).collect()),
        Raw::Map(entries) => Kind::Map(
            entries
                .into_iter()
                .map(|(key, value)| {
                    let key = to_node(key, text, source);
                    let value = Node { key: key.place, ..to_node(value, text, source) };
                    (key, value)
                })
                .collect(),
        ),
    };
    Node { kind, place, key: place }
}

impl Node {
    /// Where to point when the value itself cannot be shown in one line: its key.
    pub fn shown(&self) -> Place {
        match self.kind {
            Kind::Scalar(_) => self.place,
            Kind::Empty | Kind::List(_) | Kind::Map(_) => self.key,
        }
    }
}

struct RawVisitor;

impl<'de> Visitor<'de> for RawVisitor {
    type Value = Raw;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a value, a list or a map")
    }
    fn visit_bool<E: Error>(self, value: bool) -> Result<Raw, E> {
        Ok(Raw::Scalar(value.to_string()))
    }
    fn visit_i64<E: Error>(self, value: i64) -> Result<Raw, E> {
        Ok(Raw::Scalar(value.to_string()))
    }
    fn visit_u64<E: Error>(self, value: u64) -> Result<Raw, E> {
        Ok(Raw::Scalar(value.to_string()))
    }
    fn visit_i128<E: Error>(self, value: i128) -> Result<Raw, E> {
        Ok(Raw::Scalar(value.to_string()))
    }
    fn visit_u128<E: Error>(self, value: u128) -> Result<Raw, E> {
        Ok(Raw::Scalar(value.to_string()))
    }
    fn visit_f64<E: Error>(self, value: f64) -> Result<Raw, E> {
        Ok(Raw::Scalar(value.to_string()))
    }
    fn visit_str<E: Error>(self, value: &str) -> Result<Raw, E> {
        Ok(Raw::Scalar(value.to_owned()))
    }
    fn visit_unit<E: Error>(self) -> Result<Raw, E> {
        Ok(Raw::Empty)
    }
    fn visit_none<E: Error>(self) -> Result<Raw, E> {
        Ok(Raw::Empty)
    }
    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Raw, D::Error> {
        Raw::deserialize(deserializer)
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut access: A) -> Result<Raw, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = access.next_element()? {
            items.push(item);
        }
        Ok(Raw::List(items))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Raw, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = access.next_entry()? {
            entries.push(entry);
        }
        Ok(Raw::Map(entries))
    }
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }
}
