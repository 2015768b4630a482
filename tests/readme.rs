//! The README tells the truth: what it shows as output is what the program prints, what it shows as a statement
//! stands in the file, and every problem and every command is listed. `scripts/bless` rewrites the blocks.
//!
//! A block stands between `<!-- output: COMMAND -->` or `<!-- statement: FILE -->` and `<!-- end of ... -->`.

use std::fs;

use clap::CommandFactory;
use mixbound::cli::{Arguments, CHAPTERS};

use crate::kept;
use crate::program::ran;

const README: &str = "README.md";

/// What the program prints, as text in a fence unless it is Markdown itself.
fn output(line: &str) -> String {
    let mut words = line.split_whitespace();
    assert_eq!(words.next(), Some("mixbound"), "{line}");
    let (code, text, _) = ran(&words.collect::<Vec<_>>());
    assert_eq!(code, 0, "{line} fails");
    if text.contains("\n|---") { text } else { format!("```text\n{text}```\n") }
}

/// A statement without its comments.
fn statement(path: &str) -> String {
    let text = kept::text(path);
    let lines: Vec<&str> = text.lines().filter(|line| !line.trim_start().starts_with('#')).collect();
    format!("```yaml\n{}\n```\n", lines.join("\n").trim())
}

/// The text with every block of a kind written anew; how many there were.
fn renewed(text: &str, kind: &str, write: impl Fn(&str) -> String) -> (String, usize) {
    let (begin, end) = (format!("<!-- {kind}: "), format!("<!-- end of {kind} -->"));
    let mut pieces = text.split(&begin);
    let mut result = pieces.next().unwrap_or("").to_owned();
    let mut count = 0;
    for piece in pieces {
        let (what, rest) = piece.split_once(" -->\n").expect("a block begins on a line of its own");
        let (_, after) = rest.split_once(&end).unwrap_or_else(|| panic!("`{what}` has no end"));
        result.push_str(&format!("{begin}{what} -->\n{}{end}{after}", write(what)));
        count += 1;
    }
    (result, count)
}

#[test]
fn what_the_readme_shows_is_what_the_program_prints() {
    let now = kept::text(README);
    let (now, statements) = renewed(&now, "statement", statement);
    let (now, outputs) = renewed(&now, "output", output);
    assert!(1 <= statements && 1 <= outputs);
    kept::none(&kept::difference(README, &now).into_iter().collect::<Vec<_>>());
}

#[test]
fn the_readme_lists_every_problem_and_every_command() {
    let readme = kept::text(README);
    let mut remarks = Vec::new();
    for name in kept::stems("problems", "yaml") {
        if !readme.contains(&format!("| `{name}` |")) {
            remarks.push(format!("{README} has no row for problems/{name}.yaml"));
        }
    }
    for command in Arguments::command().get_subcommands() {
        if !readme.contains(&format!("| `mixbound {}", command.get_name())) {
            remarks.push(format!("{README} has no row for `mixbound {}`", command.get_name()));
        }
    }
    kept::none(&remarks);
}

#[test]
fn files_that_the_documents_name_are_there() {
    let mut remarks = Vec::new();
    let documents = [README, "DEVELOPERS.md"].map(|name| (name, kept::text(name)));
    let chapters = CHAPTERS.iter().map(|chapter| (chapter.name, chapter.text.to_owned()));
    for (document, text) in documents.into_iter().chain(chapters) {
        for word in text.split('`').skip(1).step_by(2) {
            let looks =
                ["src/", "tests/", "scripts/", "problems/"].iter().any(|folder| word.starts_with(folder));
            let plain = !word.contains(|letter: char| letter.is_whitespace() || "*{<…".contains(letter));
            let named = word.chars().any(|letter| letter.is_ascii_uppercase());
            if looks && plain && !named && fs::metadata(word).is_err() {
                remarks.push(format!("{document} names `{word}`, which is not there"));
            }
        }
    }
    kept::none(&remarks);
}

/// Most lines and bytes of a document that people read from the top.
const LONGEST: &[(&str, usize, usize)] = &[(README, 350, 25_000), ("DEVELOPERS.md", 300, 25_000)];

#[test]
fn documents_stay_short_enough_to_be_read() {
    let mut remarks = Vec::new();
    for (document, lines, bytes) in LONGEST {
        let text = kept::text(document);
        if *lines < text.lines().count() || *bytes < text.len() {
            remarks.push(format!(
                "{document} has {} lines and {} bytes; at most {lines} and {bytes}: a chapter of the guide, a file's \
                 header or a script's header is the place for the rest",
                text.lines().count(),
                text.len()
            ));
        }
    }
    kept::none(&remarks);
}
