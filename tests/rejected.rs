//! Bad statements: each `tests/rejected/NAME.yaml` fails with exactly the text of `NAME.txt` beside it.
//!
//! One mistake, or one family of mistakes, per file; its first comment says what is wrong. A new case is a
//! YAML file; `scripts/bless` writes the text, and a person reads it before it is committed.

use std::path::Path;

use mixbound::cli::checked;
use mixbound::finding::Sources;

use crate::kept;

const FOLDER: &str = "tests/rejected";

#[test]
fn every_bad_statement_fails_with_exactly_its_text() {
    let cases = kept::stems(FOLDER, "yaml");
    assert!(!cases.is_empty(), "{FOLDER} holds no statement");
    let remarks: Vec<String> = cases.iter().filter_map(|case| remark(case)).collect();
    kept::none(&remarks);
}

#[test]
fn no_text_of_a_bad_statement_is_left_without_its_statement() {
    let orphans = kept::orphans(FOLDER, "txt", FOLDER, "yaml");
    kept::none(&orphans.iter().map(|path| format!("{path} has no statement beside it")).collect::<Vec<_>>());
}

/// What is wrong with one case, if anything.
fn remark(case: &str) -> Option<String> {
    let path = format!("{FOLDER}/{case}.yaml");
    let mut sources = Sources::default();
    match checked(Path::new(&path), kept::text(&path), &mut sources) {
        Ok(_) => Some(format!("{path} was accepted; a rejected statement must hold an error")),
        Err(findings) => kept::difference(&format!("{FOLDER}/{case}.txt"), &findings.render(&sources)),
    }
}
