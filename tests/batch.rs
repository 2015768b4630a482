//! Several statements at once: one line each in the order given, the highest exit code, failures told at the end,
//! reports in a folder. The bytes do not depend on the number of threads.

use std::fs;
use std::process::{Command, Output, Stdio};

const HAND: &str = "problems/01-by-hand.yaml";
const PLAIN: &str = "problems/02-plain-structural.yaml";
const CANNOT: &str = "problems/09-cannot-be-met.yaml";

fn mixbound(threads: &str, arguments: &[&str]) -> (i32, String, String) {
    let Output { status, stdout, stderr } = Command::new(env!("CARGO_BIN_EXE_mixbound"))
        .args(arguments)
        .env("RAYON_NUM_THREADS", threads)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (status.code().expect("the program ends by itself"), text(stdout), text(stderr))
}

#[test]
fn one_line_a_statement_in_the_order_given_and_the_same_bytes_with_any_number_of_threads() {
    let arguments = ["solve", PLAIN, CANNOT, HAND, "--format", "csv"];
    let (code, out, err) = mixbound("1", &arguments);
    assert_eq!((code, err.as_str()), (1, ""), "one of them has no mix");
    let files: Vec<&str> = out.lines().map(|line| line.split(',').next().unwrap()).collect();
    assert_eq!(files, ["file", PLAIN, CANNOT, HAND]);
    assert!(out.contains(&format!("{HAND},optimal,least cost,57.9,EUR/m3,")), "{out}");
    assert!(out.contains(&format!("{CANNOT},proven infeasible,least cost,,EUR/m3,,")), "{out}");
    assert_eq!(mixbound("3", &arguments), (code, out, err));
}

#[test]
fn the_highest_exit_code_is_returned_and_failures_are_told_at_the_end_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let wrong = folder.path().join("wrong.yaml");
    fs::write(&wrong, "mixbound: 1\ncurency: EUR\n").unwrap();
    let wrong = wrong.to_str().unwrap();
    let (code, out, err) = mixbound("2", &["solve", wrong, HAND]);
    assert_eq!(code, 2, "{err}");
    assert!(out.contains("wrong") && out.contains("57.900") && err.contains("did you mean `currency`?"));
    let missing = folder.path().join("missing.yaml");
    let (code, out, err) = mixbound("2", &["solve", wrong, missing.to_str().unwrap(), HAND]);
    assert_eq!(code, 3, "{err}");
    assert!(out.contains("cannot be read") && out.contains("57.900"), "{out}");
    assert!(err.find("curency") < err.find("cannot read `"), "{err}");
}

#[test]
fn with_a_folder_each_report_is_the_one_that_solve_alone_writes() {
    let folder = tempfile::tempdir().unwrap();
    let reports = folder.path().join("reports");
    let (code, out, err) =
        mixbound("2", &["solve", HAND, CANNOT, "--format", "json", "-o", reports.to_str().unwrap()]);
    assert_eq!((code, err.as_str()), (1, ""));
    let summary: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(summary[0]["report"], reports.join("01-by-hand.json").to_str().unwrap());
    let (_, alone, _) = mixbound("2", &["solve", HAND, "--format", "json"]);
    assert_eq!(fs::read_to_string(reports.join("01-by-hand.json")).unwrap(), alone);
    assert_eq!(fs::read_dir(&reports).unwrap().count(), 2, "nothing else is left in the folder");
}

#[test]
fn a_file_in_place_of_the_folder_and_two_reports_of_one_name_are_refused_before_anything_is_solved() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "kept").unwrap();
    let (code, out, err) = mixbound("2", &["solve", HAND, PLAIN, "-o", file.to_str().unwrap()]);
    assert_eq!((code, out.as_str()), (3, ""));
    assert!(err.contains("several results need a folder"), "{err}");
    assert_eq!(fs::read_to_string(&file).unwrap(), "kept");
    let (code, out, err) = mixbound("2", &["solve", HAND, HAND, "-o", folder.path().to_str().unwrap()]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("two of the statements would write"), "{err}");
}
