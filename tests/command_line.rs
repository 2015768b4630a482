//! The program as a person runs it: exit codes, what goes to standard output and what to standard error,
//! closed pipes, and output files that appear whole or not at all.

use std::fs;
use std::io::Read;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

use crate::kept;
use crate::program::{command, output as mixbound};

const BY_HAND: &str = "problems/01-by-hand.yaml";

fn code(output: &Output) -> i32 {
    output.status.code().expect("the program ends by itself")
}

fn out(output: &Output) -> &str {
    std::str::from_utf8(&output.stdout).unwrap()
}

fn err(output: &Output) -> &str {
    std::str::from_utf8(&output.stderr).unwrap()
}

/// A folder of one test, with the by-hand problem changed in one place.
fn changed(from: &str, to: &str) -> (TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let text = kept::text(BY_HAND);
    assert!(text.contains(from), "{BY_HAND} no longer holds `{from}`");
    let path = folder.path().join("changed.yaml").to_str().unwrap().to_owned();
    fs::write(&path, text.replace(from, to)).unwrap();
    (folder, path)
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_mix_is_printed_on_standard_output_and_nothing_on_standard_error() {
    let output = mixbound(&["solve", BY_HAND]);
    assert_eq!((code(&output), err(&output)), (0, ""));
    assert!(out(&output).contains("57.90"), "{}", out(&output));
}

#[test]
fn a_statement_without_any_mix_ends_with_one_and_shows_the_limits_not_met() {
    let (_folder, path) = changed("at least 30 MPa", "at least 30 MPa\n  cement: at most 200 kg/m3");
    let output = mixbound(&["solve", &path]);
    assert_eq!(code(&output), 1, "{}", err(&output));
    assert!(out(&output).contains("NOT MET"), "{}", out(&output));
}

#[test]
fn a_wrong_statement_ends_with_two_and_its_findings_stand_on_standard_error() {
    let (_folder, path) = changed("role: cement", "role: cemet");
    let output = mixbound(&["solve", &path]);
    assert_eq!((code(&output), out(&output)), (2, ""));
    assert!(err(&output).contains("did you mean `cement`?"), "{}", err(&output));
}

#[test]
fn check_prints_its_findings_as_its_result() {
    let (_folder, path) = changed("role: cement", "role: cemet");
    let output = mixbound(&["check", &path]);
    assert_eq!((code(&output), err(&output)), (2, ""));
    assert!(out(&output).contains("did you mean `cement`?"), "{}", out(&output));
    let output = mixbound(&["check", BY_HAND]);
    assert_eq!((code(&output), err(&output)), (0, ""));
    assert!(out(&output).ends_with("well formed; nothing was solved\n"), "{}", out(&output));
}

#[test]
fn wrong_arguments_end_with_two_and_help_with_zero() {
    for arguments in [&[][..], &["solv", BY_HAND], &["solve"], &["solve", BY_HAND, "--format", "poem"]] {
        let output = mixbound(arguments);
        assert_eq!((code(&output), out(&output)), (2, ""), "{arguments:?}");
        assert!(!err(&output).is_empty(), "{arguments:?}");
    }
    for arguments in [&["--help"][..], &["solve", "--help"], &["check", "--help"]] {
        let output = mixbound(arguments);
        assert_eq!((code(&output), err(&output)), (0, ""), "{arguments:?}");
        assert!(out(&output).contains("Example"), "{arguments:?} shows no example");
    }
}

#[test]
fn a_file_that_cannot_be_read_ends_with_three() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("missing.yaml");
    for path in [missing.to_str().unwrap(), folder.path().to_str().unwrap()] {
        for verb in ["solve", "check"] {
            let output = mixbound(&[verb, path]);
            assert_eq!((code(&output), out(&output)), (3, ""), "{verb} {path}");
            assert!(err(&output).starts_with("error: cannot read `"), "{}", err(&output));
        }
    }
}

#[test]
fn a_region_in_percent_beside_coefficients_of_plain_numbers_is_told() {
    let (_folder, path) = changed("region: 1.2 .. 2.6", "region: 120 .. 260 %");
    let output = mixbound(&["solve", &path]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(err(&output).contains("is in `%`, its coefficients count the plain number"), "{}", err(&output));
    assert!(err(&output).contains("1 % is 0.01 to them"), "{}", err(&output));
    let (_folder, path) = changed("region: 1.2 .. 2.6", "unit: \"%\", region: 120 .. 260 %");
    assert!(!err(&mixbound(&["check", &path])).contains("its coefficients"));
}

#[test]
fn warnings_stand_on_standard_error_and_never_in_the_result() {
    let reducer = "180 .. 250 kg/m3\n  reducer:\n    role: water reducer\n    density: 1070 kg/m3\n    \
        solids: 30 %\n    price: 3 /L";
    let (_folder, path) = changed("180 .. 250 kg/m3", reducer);
    let output = mixbound(&["solve", &path, "--format", "json"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(err(&output).contains("warning: "), "{}", err(&output));
    let document: serde_json::Value = serde_json::from_str(out(&output)).unwrap();
    assert_eq!(document["mixbound"], 1);
}

#[test]
fn an_output_file_appears_whole_and_leaves_nothing_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mix.json");
    let printed = mixbound(&["solve", BY_HAND, "--format", "json"]);
    let written = mixbound(&["solve", BY_HAND, "--format", "json", "-o", path.to_str().unwrap()]);
    assert_eq!((code(&written), out(&written), err(&written)), (0, "", ""));
    assert_eq!(fs::read_to_string(&path).unwrap(), out(&printed));
    assert_eq!(names(folder.path()), ["mix.json"]);
}

#[test]
fn a_failed_run_leaves_an_older_output_file_as_it_was() {
    let (folder, path) = changed("role: cement", "role: cemet");
    let older = folder.path().join("mix.txt");
    fs::write(&older, "older").unwrap();
    let output = mixbound(&["solve", &path, "-o", older.to_str().unwrap()]);
    assert_eq!(code(&output), 2);
    assert_eq!(fs::read_to_string(&older).unwrap(), "older");
    assert_eq!(names(folder.path()), ["changed.yaml", "mix.txt"]);
}

#[test]
fn an_output_that_cannot_be_written_fails_and_nothing_is_printed() {
    let (folder, path) = changed("at least 30 MPa", "at least 30 MPa\n  cement: at most 200 kg/m3");
    let nowhere = folder.path().join("nowhere").join("mix.txt");
    for output in [nowhere.to_str().unwrap(), folder.path().to_str().unwrap()] {
        let output = mixbound(&["solve", &path, "-o", output]);
        assert_eq!((code(&output), out(&output)), (3, ""), "{}", err(&output));
        assert!(err(&output).starts_with("error: cannot write `"), "{}", err(&output));
    }
    assert_eq!(names(folder.path()), ["changed.yaml"]);
}

#[test]
fn a_reader_that_closes_the_pipe_is_no_error() {
    let mut child =
        command(&["solve", BY_HAND]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let mut told = String::new();
    child.stderr.take().unwrap().read_to_string(&mut told).unwrap();
    assert_eq!((child.wait().unwrap().code(), told.as_str()), (Some(0), ""));
}

#[test]
fn the_number_of_threads_does_not_change_a_byte() {
    let with = |threads: &str| {
        let output = command(&["solve", "problems/00-reference-repair.yaml", "--format", "json"])
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .unwrap();
        assert_eq!(code(&output), 0);
        output.stdout
    };
    assert!(with("1") == with("4"), "one thread and four threads differ");
}

#[test]
fn laws_lists_every_law_within_the_page_and_shows_each_with_its_numbers() {
    use mixbound::response::law::Law;
    let list = mixbound(&["laws"]);
    assert_eq!((code(&list), err(&list)), (0, ""));
    let mut pages = out(&list).to_owned();
    for law in Law::ALL {
        let card = law.card();
        assert!(out(&list).contains(&format!("  {}", card.name)), "{} is not listed", card.name);
        let page = mixbound::render::laws::law_page(*law);
        assert!(page.contains("source: ") && page.contains("WORKED NUMBERS"), "{page}");
        assert!(card.inputs.iter().all(|input| page.contains(&format!("  {} (", input.name))), "{page}");
        pages.push_str(&page);
    }
    let wide: Vec<&str> = pages.lines().filter(|line| 100 < line.chars().count()).collect();
    assert!(wide.is_empty(), "{wide:#?}");
    let one = mixbound(&["laws", "eurocode", "modulus"]);
    assert_eq!(code(&one), 0);
    assert!(out(&one).contains("22 (f_cm / 10)^0.3"), "{}", out(&one));
}

#[test]
fn an_unknown_law_ends_with_two_and_a_way_out() {
    let output = mixbound(&["laws", "eurocode modulos"]);
    assert_eq!((code(&output), out(&output)), (2, ""));
    assert!(err(&output).contains("did you mean `eurocode modulus`?"), "{}", err(&output));
}

#[test]
fn impossible_gaps_and_time_limits_are_told_with_what_is_allowed() {
    for (argument, value, allowed) in [
        ("--gap", "-1", "0.0001 .. 50 %"),
        ("--gap", "0", "0.0001 .. 50 %"),
        ("--gap", "nan", "0.0001 .. 50 %"),
        ("--gap", "200", "0.0001 .. 50 %"),
        ("--time-limit", "0", "above 0"),
        ("--time-limit", "-3", "above 0"),
        ("--time-limit", "inf", "above 0"),
    ] {
        let output = mixbound(&["solve", BY_HAND, argument, value]);
        assert_eq!((code(&output), out(&output)), (2, ""), "{argument} {value}");
        assert!(err(&output).contains(value) && err(&output).contains(allowed), "{}", err(&output));
    }
}

/// Hundredths of a second that a process has computed; `None` where the system does not tell.
#[cfg(unix)]
fn ticks(process: u32) -> Option<u64> {
    let text = fs::read_to_string(format!("/proc/{process}/stat")).ok()?;
    let after = text.rsplit_once(')')?.1;
    let mut fields = after.split_whitespace().skip(11);
    Some(fields.next()?.parse::<u64>().ok()? + fields.next()?.parse::<u64>().ok()?)
}

#[test]
#[cfg(unix)]
fn an_interrupted_proof_keeps_the_best_mix_and_how_far_it_came() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mix.json");
    // Its proof takes minutes.
    let problem = "problems/12-mechanistic-cracking.yaml";
    let mut run =
        command(&["solve", problem, "--format", "json", "-o", path.to_str().unwrap()]).spawn().unwrap();
    // Long enough for a mix, far too short for the proof: by its own time, since machines are busy.
    for round in 0..240 {
        std::thread::sleep(std::time::Duration::from_millis(250));
        if ticks(run.id()).map_or(12 <= round, |ticks| 400 < ticks) {
            break;
        }
    }
    let told = Command::new("kill").args(["-INT", &run.id().to_string()]).status().unwrap();
    assert!(told.success());
    assert_eq!(run.wait().unwrap().code(), Some(130));
    let answer: serde_json::Value = serde_json::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
    assert_eq!(answer["state"], "best found");
    assert!(answer["goal"]["value"].as_f64().unwrap() < 210.0, "{}", answer["goal"]);
    assert_eq!(names(folder.path()), ["mix.json"], "nothing half-written is left");
}
