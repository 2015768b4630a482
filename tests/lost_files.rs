//! No file is lost: what a run reads is never written to, links and permissions hold, of two writers the second is
//! refused, results of a sweep are gone on with or left alone.
//!
//! What enters: commands in a folder of their own. What leaves: exit codes, and what stands in the folder afterwards.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use crate::kept;
use crate::program::{PROGRAM, output as mixbound};

const HAND: &str = "problems/01-by-hand.yaml";

fn code(output: &Output) -> i32 {
    output.status.code().unwrap_or(-1)
}

fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Names in a folder, hidden ones too.
fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn an_output_that_names_an_input_is_refused_before_the_work() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let (statement, shelf, prices, mix) =
        (at("statement.yaml"), at("shelf.yaml"), at("prices.csv"), at("mix.yaml"));
    fs::write(&shelf, "materials: {cement: {price: 121 /t}}\n").unwrap();
    fs::write(&statement, kept::text(HAND).replace("\nair: ", "\ninclude: shelf.yaml\nair: ")).unwrap();
    fs::write(&prices, "material,price\nsand,13 /t\n").unwrap();
    fs::write(&mix, "amounts: {cement: 306 kg/m3, water: 180 kg/m3, sand: 1750 kg/m3}\n").unwrap();
    fs::hard_link(&statement, at("again.yaml")).unwrap();
    let before: Vec<(String, String)> = (names(folder.path()).into_iter())
        .map(|name| (name.clone(), fs::read_to_string(at(&name)).unwrap()))
        .collect();
    let (s, p, m) = (text(&statement), text(&prices), text(&mix));
    for arguments in [
        &["solve", s, "-o", s][..],
        &["solve", s, "-o", text(&at("again.yaml"))],
        &["solve", s, "-o", text(&shelf)],
        &["solve", s, "--prices", p, "-o", p],
        &["solve", s, "--against", m, "-o", m],
        &["predict", s, "--mix", m, "-o", m],
        &["limits", s, "-o", s],
        &["prices", s, "-o", text(&shelf)],
        &["report", s, "-o", text(&shelf)],
        &["export", s, "--what", "lp", "-o", s],
        &["front", s, "--goals", "cost, least water", "-o", s],
        &["sweep", s, "--vary", "materials.water.price=1 /t, 2 /t", "-o", s],
        &[
            "sweep",
            s,
            "--vary",
            "materials.water.price=1 /t, 2 /t",
            "--case",
            "1",
            "--print",
            "-o",
            text(&shelf),
        ],
    ] {
        let output = mixbound(arguments);
        assert!([2, 3].contains(&code(&output)), "{arguments:?}: {}", told(&output));
        assert!(
            told(&output).contains("one of the files that this run reads"),
            "{arguments:?}: {}",
            told(&output)
        );
        assert!(output.stdout.is_empty(), "{arguments:?}");
    }
    let after: Vec<(String, String)> = (names(folder.path()).into_iter())
        .map(|name| (name.clone(), fs::read_to_string(at(&name)).unwrap()))
        .collect();
    assert_eq!(before, after);
}

#[test]
#[cfg(unix)]
fn links_are_followed_and_permissions_and_the_umask_hold() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::create_dir(at("shared")).unwrap();
    symlink("shared/mix.json", at("link.json")).unwrap();
    assert_eq!(code(&mixbound(&["solve", HAND, "--format", "json", "-o", text(&at("link.json"))])), 0);
    assert!(at("link.json").is_symlink(), "the link was replaced");
    let written = at("shared/mix.json");
    assert!(fs::read_to_string(&written).unwrap().starts_with('{'));
    fs::set_permissions(&written, fs::Permissions::from_mode(0o620)).unwrap();
    assert_eq!(code(&mixbound(&["solve", HAND, "--format", "csv", "-o", text(&at("link.json"))])), 0);
    assert!(!fs::read_to_string(&written).unwrap().starts_with('{'));
    assert_eq!(written.metadata().unwrap().mode() & 0o777, 0o620);
    fs::set_permissions(&written, fs::Permissions::from_mode(0o444)).unwrap();
    let output = mixbound(&["solve", HAND, "-o", text(&written)]);
    assert!(code(&output) == 3 && told(&output).contains("it is read-only"), "{}", told(&output));
    let masked = format!("umask 027; {PROGRAM} solve {HAND} -o {}", text(&at("masked.txt")));
    assert!(Command::new("sh").args(["-c", &masked]).status().unwrap().success());
    assert_eq!(at("masked.txt").metadata().unwrap().mode() & 0o777, 0o640);
    // Standard output by its other name is written to, also behind what stands there.
    let log = at("log.txt");
    fs::write(&log, "first\n").unwrap();
    let append = format!("{PROGRAM} solve {HAND} -o /dev/stdout >> {}", text(&log));
    assert!(Command::new("sh").args(["-c", &append]).status().unwrap().success());
    let log = fs::read_to_string(&log).unwrap();
    assert!(log.starts_with("first\n") && log.contains("MIX for 1 m3"), "{log}");
    assert_eq!(names(folder.path()), ["link.json", "log.txt", "masked.txt", "shared"]);
    assert_eq!(names(&at("shared")), ["mix.json"]);
}

#[test]
fn of_two_writers_the_second_is_refused_and_what_a_killed_run_left_is_cleared() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let held = fs::File::create(at(".mix.txt.lock")).unwrap();
    held.try_lock().unwrap();
    let output = mixbound(&["solve", HAND, "-o", text(&at("mix.txt"))]);
    assert!(code(&output) == 3 && told(&output).contains("another run is writing it"), "{}", told(&output));
    drop(held);
    // The lock went with its holder, as after `kill -9`; its file and a half-written one are still there.
    fs::write(at(".mix.txt.part"), "half").unwrap();
    let output = mixbound(&["solve", HAND, "-o", text(&at("mix.txt"))]);
    assert_eq!(code(&output), 0, "{}", told(&output));
    assert_eq!(names(folder.path()), ["mix.txt"]);
}

#[test]
fn a_resumed_sweep_drops_no_finished_case() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let (one, other) = (at("one.jsonl"), at("other.jsonl"));
    let vary = "materials.water.price=1 /t, 2 /t, 3 /t, 4 /t";
    let sweep = |more: &[&str]| {
        let arguments: Vec<&str> =
            ["sweep", HAND, "--no-proof", "--vary", vary].iter().chain(more).copied().collect();
        mixbound(&arguments)
    };
    assert_eq!(code(&sweep(&["--shard", "1/2", "-o", text(&one)])), 0);
    assert_eq!(code(&sweep(&["--shard", "2/2", "-o", text(&other)])), 0);
    let (first, second) = (fs::read_to_string(&one).unwrap(), fs::read_to_string(&other).unwrap());
    for (arguments, why) in [
        (&["--shard", "2/2", "--resume", text(&one)][..], "not of this shard"),
        (&["--shard", "1/2", "--resume", text(&one), "-o", text(&other)], "holds other results"),
        (&["-o", text(&one)], "holds results of a sweep"),
    ] {
        let output = sweep(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}: {}", told(&output));
        assert!(told(&output).contains(why), "{arguments:?}: {}", told(&output));
    }
    fs::write(at("notes.txt"), "mine\n").unwrap();
    let output = sweep(&["--shard", "1/2", "--resume", text(&one), "-o", text(&at("notes.txt"))]);
    assert!(code(&output) == 2 && told(&output).contains("holds something else"), "{}", told(&output));
    assert_eq!(fs::read_to_string(&one).unwrap(), first);
    assert_eq!(fs::read_to_string(&other).unwrap(), second);
    // The whole sweep goes on from one shard, and a case that failed is tried again.
    let failed = first.replacen("\"state\":\"best found\"", "\"state\":\"failed\"", 1);
    assert_ne!(failed, first);
    fs::write(&one, failed).unwrap();
    assert_eq!(code(&sweep(&["--resume", text(&one)])), 0);
    let whole = fs::read_to_string(&one).unwrap();
    assert_eq!(whole.matches("\"state\":\"best found\"").count(), 4, "{whole}");
    assert_eq!(names(folder.path()), ["notes.txt", "one.jsonl", "other.jsonl"]);
}

#[test]
#[cfg(unix)]
fn results_files_are_read_in_bounded_memory() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("huge.jsonl");
    let sweep = ["sweep", HAND, "--no-proof", "--vary", "materials.water.price=1 /t, 2 /t"];
    let arguments: Vec<&str> = sweep.iter().copied().chain(["-o", text(&path)]).collect();
    assert_eq!(code(&mixbound(&arguments)), 0);
    let huge = fs::read_to_string(&path).unwrap().replace("\"cases\":2", "\"cases\":4000000000");
    fs::write(&path, huge).unwrap();
    for (path, why) in [(text(&path), "a sweep of 4000000000 cases"), ("/dev/zero", "too large")] {
        for arguments in [vec!["merge", path], sweep.iter().copied().chain(["--resume", path]).collect()] {
            let output = mixbound(&arguments);
            assert_eq!(code(&output), 2, "{arguments:?}: {}", told(&output));
            assert!(told(&output).contains(why), "{arguments:?}: {}", told(&output));
        }
    }
}
