//! What an author is told about a statement: place, own word, what was allowed, one way out.
//!
//! Findings are the author's to mend and are collected, all of them, sorted by place. Faults of the world
//! (a file that cannot be read) are [`Fault`]s and stop the run.

mod rests_on;
mod shown;
mod words;

pub use rests_on::RestsOn;
pub use shown::clean;
pub use words::{listed, nearest};

use std::collections::BTreeSet;
use std::fmt;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use shown::shown;

/// How many findings one run prints in full.
const PRINTED: usize = 40;

/// A piece of one source file, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// Index into [`Sources`].
    pub source: usize,
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// The files a statement was read from, so that findings can show their lines.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<(String, String)>,
}

impl Sources {
    /// Adds a file by its displayed name and text; returns its index.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> usize {
        self.files.push((name.into(), text.into()));
        self.files.len() - 1
    }

    /// The text at a place, as the author wrote it.
    pub fn text(&self, place: Place) -> &str {
        self.files.get(place.source).and_then(|(_, text)| text.get(place.start..place.end)).unwrap_or("")
    }

    /// The whole text of a file.
    pub fn whole(&self, source: usize) -> &str {
        self.files.get(source).map_or("", |(_, text)| text)
    }

    /// How long all texts are together, in bytes.
    pub fn size(&self) -> usize {
        self.files.iter().map(|(_, text)| text.len()).sum()
    }

    /// The displayed name of a file.
    pub fn name(&self, source: usize) -> &str {
        self.files.get(source).map_or("", |(name, _)| name)
    }

    /// `line 12`, with the file before it if that is another one than `home` is in.
    pub fn line_seen_from(&self, place: Place, home: Place) -> String {
        let line = self.line(place);
        if place.source == home.source {
            format!("line {line}")
        } else {
            format!("`{}`, line {line}", clean(self.name(place.source)))
        }
    }

    /// The byte at which each line begins, file by file.
    pub fn line_starts(&self) -> Vec<Vec<usize>> {
        let starts = |text: &str| {
            let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at + 1);
            std::iter::once(0).chain(ends).collect()
        };
        self.files.iter().map(|(_, text)| starts(text)).collect()
    }

    /// The line, counted from one.
    pub fn line(&self, place: Place) -> usize {
        let text = self.whole(place.source);
        let before = &text.as_bytes()[..place.start.min(text.len())];
        before.iter().filter(|byte| **byte == b'\n').count() + 1
    }
}

/// Whether a statement can be solved in spite of the finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The statement cannot be used.
    Error,
    /// The statement can be used; the author probably wants to know.
    Warning,
}

/// One remark on a statement.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Finding {
    /// Error or warning.
    pub severity: Severity,
    /// Lower case, the author's names in backticks.
    pub message: String,
    /// Where, if it is anywhere.
    pub place: Option<Place>,
    /// What was allowed, and other facts.
    pub notes: Vec<String>,
    /// One way out.
    pub help: Option<String>,
    /// What it may only repeat.
    pub rests_on: RestsOn,
}

impl Finding {
    /// The same, as one that may only repeat what is wrong elsewhere.
    #[must_use]
    pub fn resting_on(self, rests_on: RestsOn) -> Self {
        Self { rests_on, ..self }
    }

    /// An error at a place.
    pub fn error(place: Place, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Error,
            message: message.into(),
            place: Some(place),
            notes: Vec::new(),
            help: None,
            rests_on: RestsOn::ItsPlace,
        }
    }

    /// A warning at a place.
    pub fn warning(place: Place, message: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, ..Self::error(place, message) }
    }

    /// Adds a fact, usually what was allowed.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }

    /// Adds the way out.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Adds the known words and, if one is near, the suggestion.
    #[must_use]
    pub fn known<'w>(self, what: &str, word: &str, known: impl IntoIterator<Item = &'w str>) -> Self {
        let mut known: Vec<&str> = known.into_iter().collect();
        known.dedup();
        let near = nearest(word, known.iter().copied()).map(str::to_owned);
        let with_list = self.note(format!("known {what}: {}", listed(&known)));
        match near {
            Some(near) if with_list.help.is_none() => with_list.help(format!("did you mean `{near}`?")),
            _ => with_list,
        }
    }
}

/// All findings of one statement.
#[derive(Clone, Debug, Default)]
pub struct Findings {
    list: Vec<Finding>,
    /// All that were ever pushed, so that a statement made of mistakes takes no quadratic time.
    seen: BTreeSet<Finding>,
}

impl Findings {
    /// Adds one; a second one equal to an earlier one is dropped.
    pub fn push(&mut self, finding: Finding) {
        if self.seen.insert(finding.clone()) {
            self.list.push(finding);
        }
    }

    /// Adds all of another collection.
    pub fn extend(&mut self, other: Self) {
        for finding in other.list {
            self.push(finding);
        }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Drops those that only say that one of these names is not known: the reason is told elsewhere.
    pub fn without_echoes_of(&mut self, lost: &[String]) {
        let lost: BTreeSet<&str> = lost.iter().map(String::as_str).collect();
        self.list.retain(|finding| {
            let quoted = finding.message.strip_prefix("unknown ").and_then(|rest| rest.split('`').nth(1));
            let is_lost = |name: &str| {
                let bare = ["share of ", "volume of ", "dry mass of "];
                let name = bare.iter().find_map(|words| name.strip_prefix(words)).unwrap_or(name);
                lost.contains(name.trim())
            };
            !quoted.is_some_and(|quoted| quoted.split(" / ").any(is_lost))
        });
    }

    /// Drops those that rest on what is wrong itself, and has been told.
    pub fn without_echoes_resting_on(&mut self, wrong: RestsOn) {
        self.list.retain(|finding| finding.rests_on != wrong);
    }

    /// Whether any finding forbids solving.
    pub fn has_errors(&self) -> bool {
        self.list.iter().any(|finding| finding.severity == Severity::Error)
    }

    /// Whether there is nothing to say.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The findings, errors first, then by place.
    pub fn sorted(&self) -> Vec<&Finding> {
        let mut sorted: Vec<&Finding> = self.list.iter().collect();
        sorted.sort_by_key(|finding| (finding.severity, finding.place));
        sorted
    }

    /// All findings as text with source lines and carets, ending in a count.
    pub fn render(&self, sources: &Sources) -> String {
        let renderer = Renderer::plain();
        let mut text = String::new();
        for finding in self.sorted().into_iter().take(PRINTED) {
            text.push_str(&render_one(&renderer, finding, sources));
            text.push_str("\n\n");
        }
        if self.list.len() > PRINTED {
            text.push_str(&format!("... and {} more findings\n\n", self.list.len() - PRINTED));
        }
        let count = |severity| self.list.iter().filter(|finding| finding.severity == severity).count();
        text.push_str(&format!(
            "{}, {}\n",
            numbered("error", count(Severity::Error)),
            numbered("warning", count(Severity::Warning))
        ));
        text
    }
}

/// `1 error`, `2 errors`.
pub fn numbered(noun: &str, count: usize) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

fn render_one(renderer: &Renderer, finding: &Finding, sources: &Sources) -> String {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let mut group = level
        .primary_title(shown(&finding.message))
        .elements(std::iter::empty::<Snippet<'_, annotate_snippets::Annotation<'_>>>());
    if let Some(place) = finding.place {
        let text = sources.whole(place.source);
        let end = place.end.min(text.len());
        let start = place.start.min(end);
        let (start, end) = (floor_boundary(text, start), floor_boundary(text, end));
        let snippet = Snippet::source(text)
            .path(sources.name(place.source))
            .annotation(AnnotationKind::Primary.span(start..first_line_end(text, start, end)));
        group = group.element(snippet);
    }
    for note in &finding.notes {
        group = group.element(Level::NOTE.no_name().message(shown(note)));
    }
    if let Some(help) = &finding.help {
        group = group.element(Level::HELP.message(shown(help)));
    }
    // The author's own line and the file's name are shown too.
    renderer.render(&[group]).split('\n').map(clean).collect::<Vec<_>>().join("\n")
}

/// An annotation never runs over the end of its first line.
fn first_line_end(text: &str, start: usize, end: usize) -> usize {
    text[start..end].find('\n').map_or(end, |at| start + at)
}

fn floor_boundary(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// A fault of the world: not the author's mistake, not this program's.
#[derive(Debug)]
pub enum Fault {
    /// A file could not be read.
    Read {
        /// Which file.
        path: String,
        /// What the system said.
        reason: String,
    },
    /// A file could not be written.
    Write {
        /// Which file.
        path: String,
        /// What the system said.
        reason: String,
    },
    /// Both solver engines failed on a program.
    Solver {
        /// What the engines said.
        reason: String,
    },
}

impl Fault {
    /// What the system said.
    pub fn reason(&self) -> &str {
        match self {
            Self::Read { reason, .. } | Self::Write { reason, .. } | Self::Solver { reason } => reason,
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Read { path, reason } => write!(f, "cannot read `{}`: {reason}", clean(path)),
            Self::Write { path, reason } => write!(f, "cannot write `{}`: {reason}", clean(path)),
            Self::Solver { reason } => write!(f, "the solver failed: {reason}"),
        }
    }
}

impl std::error::Error for Fault {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_finding_shows_place_word_known_names_and_a_way_out() {
        let mut sources = Sources::default();
        let text = "limits:\n  paste:\n    of: [binder, filer]\n";
        let source = sources.add("problems/x.yaml", text);
        let start = text.find("filer").unwrap();
        let mut findings = Findings::default();
        findings.push(
            Finding::error(
                Place { source, start, end: start + 5 },
                "unknown material `filer` in limit `paste`",
            )
            .known("materials", "filer", ["binder", "filler", "water", "sand"]),
        );
        let rendered = findings.render(&sources);
        let expected = "\
error: unknown material `filer` in limit `paste`
 --> problems/x.yaml:3:18
  |
3 |     of: [binder, filer]
  |                  ^^^^^
  |
  = known materials: binder, filler, water, sand
  = help: did you mean `filler`?

1 error, 0 warnings
";
        assert_eq!(rendered, expected);
    }

    #[test]
    fn control_characters_never_reach_a_terminal() {
        assert_eq!(clean("a\u{1b}[31mb\u{7}"), "a␛[31mb␇");
    }
}
