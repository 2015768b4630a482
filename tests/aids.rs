//! Schema, starter statement, completions and manual page.

use std::fs;
use std::path::PathBuf;

use mixbound::statement::{STARTER, schema};
use serde_json::Value;

use crate::program::output as mixbound;

fn text(output: &[u8]) -> String {
    String::from_utf8(output.to_vec()).expect("it is UTF-8")
}

/// Whether the published schema accepts a statement, judged by a general validator.
fn accepted(yaml: &str) -> Result<(), String> {
    let schema: Value = serde_json::from_str(&schema()).expect("the schema is JSON");
    let mut schemas = boon::Schemas::new();
    let mut compiler = boon::Compiler::new();
    compiler.set_default_draft(boon::Draft::V2020_12);
    compiler.add_resource("statement.json", schema).expect("the schema has a name");
    let index = compiler.compile("statement.json", &mut schemas).expect("the schema is a schema");
    let statement: Value = serde_yaml::from_str(yaml).expect("the statement is YAML");
    schemas.validate(&statement, index).map_err(|error| format!("{error:#}"))
}

fn problems() -> Vec<PathBuf> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/problems");
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the problems are there")
        .map(|entry| entry.expect("an entry").path())
        .collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "yaml"));
    paths.sort();
    paths
}

#[test]
fn every_problem_fits_the_published_schema() {
    let problems = problems();
    assert!(5 <= problems.len());
    for path in problems {
        let yaml = fs::read_to_string(&path).expect("a problem can be read");
        if let Err(error) = accepted(&yaml) {
            panic!("{}: {error}", path.display());
        }
    }
    accepted(STARTER).expect("the starter fits");
}

#[test]
fn the_schema_refuses_what_the_reader_refuses_in_shape() {
    let without = |piece: &str, by: &str| {
        assert!(STARTER.contains(piece), "{piece}");
        STARTER.replace(piece, by)
    };
    for (wrong, what) in [
        (without("goal: least cost ", "goel: least cost "), "an unknown key"),
        (without("goal: least cost ", "# "), "no goal"),
        (without("    role: fly ash\n", ""), "a material without a role"),
        (without("role: fly ash", "role: ash"), "an unknown role"),
        (without("unit: MPa\n", "unit: MPa\n    links: log\n"), "an unknown key of a response"),
        (without("statistic: mean, ", ""), "a strength without its statistic"),
        (without("mixbound: 1 ", "mixbound: one "), "a version that is no number"),
        (without("  sand share: 38 .. 46 %", "  sand share: [38, 46]"), "a list for bounds"),
    ] {
        assert!(accepted(&wrong).is_err(), "{what}");
    }
    // What may come from an included file is not demanded.
    accepted(&without("    role: fly ash\n", "").replace("currency: EUR", "include: shelf.yaml"))
        .expect("the shelf may say the role");
}

#[test]
fn the_starter_statement_checks_without_a_remark_and_solves() {
    let folder = tempfile::tempdir().expect("a folder for the test");
    let path = folder.path().join("statement.yaml").display().to_string();
    assert_eq!(mixbound(&["new", "-o", &path]).status.code(), Some(0));
    assert_eq!(fs::read_to_string(&path).expect("it is there"), STARTER);
    let checked = mixbound(&["check", &path]);
    assert_eq!(checked.status.code(), Some(0));
    assert!(!text(&checked.stdout).contains("warning"), "{}", text(&checked.stdout));
    let solved = mixbound(&["solve", &path, "--no-proof"]);
    assert_eq!(solved.status.code(), Some(0), "{}", text(&solved.stdout));
    let again = mixbound(&["new", "-o", &path]);
    assert_eq!(again.status.code(), Some(3));
    assert!(text(&again.stderr).contains("overwrites nothing"));
    assert_eq!(text(&mixbound(&["new"]).stdout), STARTER);
}

#[test]
fn completions_and_manual_page_name_every_command() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let output = mixbound(&["completions", shell]);
        assert_eq!(output.status.code(), Some(0), "{shell}");
        for word in ["solve", "check", "completions", "no-proof"] {
            assert!(text(&output.stdout).contains(word), "{shell}: {word}");
        }
    }
    let page = mixbound(&["man"]);
    assert_eq!(page.status.code(), Some(0));
    let page = text(&page.stdout);
    assert!(page.starts_with(".ie") || page.starts_with(".TH") || page.contains(".TH mixbound 1"), "{page}");
    for word in ["COMMAND SOLVE", "COMMAND CHECK", "COMMAND NEW", "Exit codes"] {
        assert!(page.contains(word), "{word}");
    }
}

#[test]
fn the_readme_says_what_each_problem_teaches() {
    let readme = include_str!("../README.md");
    for path in problems() {
        let stem = path.file_stem().expect("a problem has a name").to_string_lossy().into_owned();
        assert!(readme.contains(&format!("| `{stem}` | ")), "{stem} is missing in the table of problems");
    }
}
