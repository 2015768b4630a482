//! The house itself: arrows point one way, each foreign crate has one home, files stay short, and nothing
//! lies about at the top level. What enters: the text of the source files. Failures are sentences that say
//! what to do.

use std::fs;
use std::path::{Path, PathBuf};

use crate::kept::{none, text};

/// The rooms in the order in which a number walks; those without work yet may be missing.
const ROOMS: &[&str] = &[
    "quantity",
    "number",
    "listed",
    "finding",
    "parallel",
    "statement",
    "material",
    "mixture",
    "standard",
    "response",
    "problem",
    "model",
    "solve",
    "admit",
    "analysis",
    "study",
    "trial",
    "plant",
    "answer",
    "render",
    "cli",
];

/// Foreign crates and where they may be named.
const HOMES: &[(&str, &[&str])] = &[
    ("annotate_snippets", &["finding"]),
    ("clap", &["cli"]),
    ("clap_complete", &["cli"]),
    ("clap_mangen", &["cli"]),
    ("ctrlc", &["cli"]),
    ("signal_hook", &["cli"]),
    ("good_lp", &["solve/engine"]),
    ("indicatif", &["cli"]),
    ("minijinja", &["render"]),
    ("microlp", &["solve/second_engine"]),
    ("nalgebra", &["number"]),
    ("rayon", &["parallel"]),
    ("rust_xlsxwriter", &["render/workbook"]),
    ("schemars", &["answer", "render"]),
    ("serde", &["statement", "answer", "render", "trial"]),
    ("serde_json", &["statement", "answer/record", "render"]),
    ("serde_yaml", &["statement"]),
    ("sha2", &["trial"]),
    ("sobol_burley", &["plant"]),
    ("statrs", &["number"]),
    ("strsim", &["finding"]),
    ("terminal_size", &["cli"]),
    ("textwrap", &["render/layout"]),
];

/// What stands at the top level.
const TOP: &[&str] = &[
    ".ci",
    ".clippy.toml",
    ".gitignore",
    ".rustfmt.toml",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "problems",
    "scripts",
    "src",
    "tests",
];
/// What a working copy may hold besides: not kept by git.
const UNKEPT: &[&str] = &[".git", "target"];

/// Lines of a file.
const MOST_LINES: usize = 400;

/// Marks of work left undone, split so that this file does not hold them.
const UNDONE: &[&str] = &[
    concat!("to", "do!"),
    concat!("d", "bg!"),
    concat!("unimple", "mented!"),
    concat!("FIX", "ME"),
    concat!("TO", "DO"),
    concat!("XX", "X"),
];

/// All Rust files under a folder, by path, with their texts.
pub fn sources(folder: &str) -> Vec<(String, String)> {
    let mut list: Vec<PathBuf> = Vec::new();
    let mut folders = vec![PathBuf::from(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                list.push(path);
            }
        }
    }
    list.sort();
    list.iter()
        .map(|path| (path.to_str().unwrap().replace('\\', "/"), text(path.to_str().unwrap())))
        .collect()
}

/// The place of a file in the house: `solve/engine` for `src/solve/engine.rs`.
pub fn place(path: &str) -> &str {
    path.trim_start_matches("src/").trim_end_matches(".rs")
}

/// The room of a file.
pub fn room(path: &str) -> &str {
    let place = place(path);
    place.split('/').next().unwrap_or(place)
}

/// The code alone: comments, strings and characters become spaces.
pub fn code(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let mut out = String::new();
    let mut at = 0;
    let starts =
        |at: usize, what: &str| what.chars().enumerate().all(|(i, c)| letters.get(at + i) == Some(&c));
    while at < letters.len() {
        let end = if starts(at, "//") {
            (at..letters.len()).find(|i| letters[*i] == '\n').unwrap_or(letters.len())
        } else if starts(at, "/*") {
            (at + 2..letters.len()).find(|i| starts(*i, "*/")).map_or(letters.len(), |i| i + 2)
        } else if starts(at, "r#\"") {
            (at + 3..letters.len()).find(|i| starts(*i, "\"#")).map_or(letters.len(), |i| i + 2)
        } else if letters[at] == '"' {
            let mut i = at + 1;
            while i < letters.len() && letters[i] != '"' {
                i += if letters[i] == '\\' { 2 } else { 1 };
            }
            i + 1
        } else if starts(at, "'\\") {
            (at + 3..letters.len()).find(|i| letters[*i] == '\'').map_or(letters.len(), |i| i + 1)
        } else if letters[at] == '\'' && letters.get(at + 2) == Some(&'\'') {
            at + 3
        } else {
            out.push(letters[at]);
            at += 1;
            continue;
        };
        out.push(' ');
        at = end;
    }
    out
}

/// The names that follow `head` in code: one for `crate::x`, several for `crate::{x, y::z}`.
fn named_after(code: &str, head: &str) -> Vec<String> {
    let word = |text: &str| -> String {
        text.trim_start().chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect()
    };
    let mut names = Vec::new();
    for (at, _) in code.match_indices(head) {
        let before = code[..at].chars().next_back();
        if before.is_some_and(|letter| letter.is_alphanumeric() || letter == '_') {
            continue;
        }
        let rest = &code[at + head.len()..];
        let Some(group) = rest.strip_prefix('{') else {
            names.push(word(rest));
            continue;
        };
        let mut depth = 0;
        let mut piece = String::new();
        for letter in group.chars() {
            match letter {
                '{' => depth += 1,
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                ',' if depth == 0 => names.push(word(&std::mem::take(&mut piece))),
                _ => {}
            }
            if letter != ',' || depth != 0 {
                piece.push(letter);
            }
        }
        names.push(word(&piece));
    }
    names.retain(|name| !name.is_empty());
    names
}

/// What is wrong with the arrows of one file.
fn arrows(path: &str, text: &str) -> Vec<String> {
    let from = room(path);
    let Some(here) = ROOMS.iter().position(|known| *known == from) else { return Vec::new() };
    let mut remarks = Vec::new();
    for to in named_after(&code(text), "crate::") {
        let ahead = ROOMS.iter().position(|known| *known == to).is_some_and(|there| here < there);
        let remark =
            format!("{path}: `{from}` looks ahead to `{to}`; move the shared part to an earlier room");
        if ahead && !remarks.contains(&remark) {
            remarks.push(remark);
        }
    }
    remarks
}

/// What is wrong with the foreign crates of one file.
fn strangers(path: &str, text: &str) -> Vec<String> {
    let code = code(text);
    let place = place(path);
    let at_home = |home: &&str| place == *home || place.starts_with(&format!("{home}/"));
    HOMES
        .iter()
        .filter(|(name, homes)| {
            !homes.iter().any(at_home) && !named_after(&code, &format!("{name}::")).is_empty()
        })
        .map(|(name, homes)| {
            format!("{path}: `{name}` lives in `{}` alone; ask that room", homes.join("`, `"))
        })
        .collect()
}

#[test]
fn rooms_stand_in_reading_order() {
    let listed = named_after(&code(&text("src/lib.rs")), "pub mod ");
    let known: Vec<&str> =
        ROOMS.iter().copied().filter(|room| listed.iter().any(|name| name == room)).collect();
    assert_eq!(
        listed, known,
        "src/lib.rs lists the rooms in another order than the house, or a room it has not"
    );
}

#[test]
fn every_arrow_points_to_an_earlier_room() {
    let files = sources("src");
    assert!(files.len() > 50);
    none(&files.iter().flat_map(|(path, text)| arrows(path, text)).collect::<Vec<_>>());
}

#[test]
fn an_arrow_ahead_is_told_with_the_way_out() {
    let text = "//! See crate::cli.\nuse crate::{finding::Finding, solve::{Verdict, audit}};\nlet x = \"crate::report\";";
    let remarks = arrows("src/mixture/columns.rs", text);
    let sentence = "`mixture` looks ahead to `solve`; move the shared part to an earlier room";
    assert_eq!(remarks, [format!("src/mixture/columns.rs: {sentence}")]);
    assert!(arrows("src/report/json.rs", text).is_empty());
    let remarks = strangers("src/solve/local.rs", "use good_lp::variable; // rayon::join\nmy_serde::read();");
    assert_eq!(remarks, ["src/solve/local.rs: `good_lp` lives in `solve/engine` alone; ask that room"]);
}

#[test]
fn every_foreign_crate_has_one_home() {
    let files = sources("src");
    none(&files.iter().flat_map(|(path, text)| strangers(path, text)).collect::<Vec<_>>());
}

#[test]
fn every_dependency_has_its_reason_beside_it_and_its_home_in_the_table() {
    let manifest = text("Cargo.toml");
    let section = |name: &str| {
        let start =
            manifest.find(&format!("[{name}]\n")).unwrap_or_else(|| panic!("Cargo.toml has no [{name}]"));
        manifest[start..]
            .lines()
            .skip(1)
            .take_while(|line| !line.starts_with('['))
            .filter(|line| !line.is_empty())
    };
    let mut remarks = Vec::new();
    for line in section("dependencies").chain(section("dev-dependencies")) {
        if line.split_once(" # ").is_none_or(|(_, reason)| reason.trim().is_empty()) {
            remarks.push(format!("Cargo.toml: no reason beside `{line}`"));
        }
    }
    for line in section("dependencies") {
        let name = line.split([' ', '=']).next().unwrap().replace('-', "_");
        if !HOMES.iter().any(|(known, _)| *known == name) {
            remarks.push(format!("Cargo.toml: `{name}` has no home in tests/architecture.rs"));
        }
    }
    none(&remarks);
}

#[test]
fn every_file_is_short_says_what_it_is_and_leaves_nothing_undone() {
    let mut remarks = Vec::new();
    for (path, text) in sources("src").into_iter().chain(sources("tests")) {
        let lines = text.lines().count();
        if MOST_LINES <= lines {
            remarks.push(format!("{path} has {lines} lines; split it below {MOST_LINES}"));
        }
        if !text.starts_with("//! ") {
            remarks.push(format!(
                "{path} does not begin with `//!`: what enters, what leaves, what it does not know"
            ));
        }
        for mark in UNDONE.iter().filter(|mark| text.contains(**mark)) {
            remarks.push(format!("{path} holds `{mark}`; finish it or take it out"));
        }
    }
    none(&remarks);
}

#[test]
fn one_helper_of_the_tests_runs_the_program() {
    let sought = concat!("CARGO_BIN", "_EXE_");
    let elsewhere: Vec<String> = sources("tests")
        .into_iter()
        .filter(|(path, text)| path != "tests/program.rs" && text.contains(sought))
        .map(|(path, _)| format!("{path} runs the program by itself; use tests/program.rs"))
        .collect();
    none(&elsewhere);
}

#[test]
fn nothing_lies_about_at_the_top_level() {
    let mut found: Vec<String> =
        fs::read_dir(".").unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    found.retain(|name| !UNKEPT.contains(&name.as_str()));
    found.sort();
    assert_eq!(found, TOP);
    assert!(Path::new(".ci/run").exists());
}
