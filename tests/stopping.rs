//! Work that has to end: time limits and signals while a statement is read and checked, large programs, and what is said
//! then in each form. What enters: runs of the program. What leaves: exit codes and texts; never a claim of a clock.

use std::process::Stdio;
use std::time::{Duration, Instant};

use crate::program::{command, ended, ran};

const HAND: &str = "problems/01-by-hand.yaml";
const REFERENCE: &str = "problems/00-reference-repair.yaml";
/// What a loaded machine may need beyond a limit, unoptimised.
const PATIENCE: Duration = Duration::from_secs(30);

/// A statement with many materials, all alike but for their prices.
fn many_materials(count: usize) -> String {
    let mut text = "mixbound: 1\ncurrency: EUR\nair: 2 %\nmaterials:\n".to_owned();
    for number in 0..count {
        let (role, density) =
            [("cement", 3100), ("sand", 2650), ("coarse aggregate", 2700), ("water", 1000)][number % 4];
        text.push_str(&format!(
            "  m{number}: {{role: {role}, density: {density} kg/m3, price: {} /t}}\n",
            10 + number % 7
        ));
    }
    text + "responses:\n  slump:\n    unit: mm\n    factors: {w: {is: water-binder ratio, region: 0.3 .. 0.7}}\n    \
            terms: {constant: -80, w: 400}\nlimits:\n  binder: at least 250 kg/m3\n  free water: at least 120 kg/m3\n  \
            slump: at most 100 mm\ngoal: least cost\n"
}

#[test]
fn a_statement_of_many_materials_is_checked_soon_and_a_limit_holds_for_its_programs() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("many.yaml");
    std::fs::write(&path, many_materials(600)).unwrap();
    let path = path.to_str().unwrap();
    let began = Instant::now();
    let (code, out, _) = ran(&["check", path]);
    assert!(code == 0 && out.contains("600 materials"), "{out}");
    let (code, out, told) = ran(&["solve", path, "--time-limit", "0.2"]);
    assert!(began.elapsed() < PATIENCE, "{:?}", began.elapsed());
    assert!(code == 0 || code == 1, "{code} {out} {told}");
    assert!(!out.contains("OPTIMAL") || code == 0);
}

#[test]
fn what_had_to_end_says_so_in_every_form() {
    for (format, words) in [("text", "time limit"), ("json", "out of time"), ("csv", "out of time")] {
        let limit = ["solve", REFERENCE, "--time-limit", "0.001", "--format", format];
        let (code, out, told) = ran(&limit);
        // On a slow machine the time is over before the statement has been read.
        let early = code == 1 && out.is_empty() && told.contains("the time was over before");
        assert!(early || out.contains(words), "{format}: {code} {out} {told}");
    }
}

/// A pipe that nobody writes to, in a folder of its own.
#[cfg(unix)]
fn pipe() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let pipe = folder.path().join("pipe.yaml");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status().unwrap();
    assert!(made.success());
    let pipe = pipe.to_str().unwrap().to_owned();
    (folder, pipe)
}

/// Runs that do little but wait, all at once.
#[cfg(unix)]
fn at_once<Row: Sync>(rows: &[Row], run: impl Fn(&Row) + Sync) {
    let began = Instant::now();
    std::thread::scope(|scope| {
        for row in rows {
            scope.spawn(|| run(row));
        }
    });
    assert!(began.elapsed() < PATIENCE, "{:?}", began.elapsed());
}

#[cfg(unix)]
#[test]
fn a_pipe_that_nobody_writes_to_does_not_outlast_a_limit() {
    let (_folder, pipe) = pipe();
    let pipe = pipe.as_str();
    let read = [
        &["solve", pipe, "--time-limit", "0.2"][..],
        &["limits", pipe, "--time-limit", "0.2"],
        &["export", pipe, "--what", "full", "--time-limit", "0.2"],
        &["report", pipe, "-o", "/dev/null", "--time-limit", "0.2"],
        &["front", pipe, "--goals", "cost, carbon", "--time-limit", "0.2"],
        &["sweep", pipe, "--case", "1", "--time-limit", "0.2"],
        &["check", pipe, "--time-limit", "0.2"],
        &["predict", pipe, "--mix", "tests/data/fuzz/mixes/mix.yaml", "--time-limit", "0.2"],
        &["solve", HAND, "--against", pipe, "--time-limit", "0.2"],
        &["solve", HAND, "--prices", pipe, "--time-limit", "0.2"],
        &["predict", HAND, "--mix", pipe, "--time-limit", "0.2"],
        &["report", HAND, "--against", pipe, "-o", "/dev/null", "--time-limit", "0.2"],
        &["plan", pipe, "--time-limit", "0.2"],
        &["plan", pipe, "--front", "cost, carbon", "--time-limit", "0.2"],
        &["confirm", pipe, "--trials", "problems/trials/batches.csv", "--time-limit", "0.2"],
        &["round", pipe, "--time-limit", "0.2"],
        &["risk", pipe, "--time-limit", "0.2"],
        &["risk", "problems/17-weighed-with-risk.yaml", "--mix", pipe, "--time-limit", "0.2"],
        &["batch-sheet", pipe, "--order", "problems/16-batch-sheet/order.yaml", "--time-limit", "0.2"],
    ];
    at_once(&read, |arguments| {
        let (code, out, told) = ran(arguments);
        assert_eq!((code, out.as_str()), (1, ""), "{arguments:?}: {told}");
        assert!(told.contains("before the statement was read and checked"), "{arguments:?}: {told}");
    });
    let beside = [
        (&["plant", pipe][..], "the plant was read and checked"),
        (&["fit", HAND, "--trials", pipe], "the trials were read"),
        (&["confirm", "problems/20-from-trials.yaml", "--trials", pipe], "the trials were read"),
        (
            &["calibrate", HAND, "--trials", pipe, "--of", "s", "--between", "9", "--within", "9"],
            "the trials were read",
        ),
        (&["batch-sheet", "problems/16-batch-sheet.yaml", "--order", pipe], "the order was read"),
        (&["merge", pipe], "the results were read"),
    ];
    at_once(&beside, |(arguments, undone)| {
        // Longer, since a mix is sought first.
        let (code, out, told) = ended(command(arguments).args(["--time-limit", "3"]));
        assert_eq!((code, out.as_str()), (1, ""), "{arguments:?}: {told}");
        assert!(told.contains(&format!("the time was over before {undone}")), "{arguments:?}: {told}");
    });
}

#[cfg(unix)]
#[test]
fn of_several_statements_the_one_that_cannot_be_read_is_left_and_the_others_are_answered() {
    let (folder, pipe) = pipe();
    let pipe = pipe.as_str();
    let (code, out, told) = ran(&["solve", HAND, pipe, "--time-limit", "2"]);
    assert_eq!(code, 1, "{told}");
    assert!(out.contains("57.900") && out.contains("unsettled"), "{out}{told}");
    assert!(told.contains("stopped before the statement was read and checked"), "{told}");
    let pages = folder.path().join("pages");
    let pages = pages.to_str().unwrap();
    let (code, _, told) = ran(&["report", pipe, HAND, "-o", pages, "--time-limit", "2"]);
    assert_eq!(code, 1, "{told}");
    assert!(folder.path().join("pages/01-by-hand.html").exists(), "{told}");
    let varied = "materials.water.price=1 /t, 2 /t";
    let (code, out, told) = ran(&["sweep", pipe, HAND, "--vary", varied, "--time-limit", "3"]);
    assert!(code == 1 && out.contains("57.9"), "{code} {out}{told}");
}

#[cfg(unix)]
#[test]
fn a_pipe_that_nobody_writes_to_does_not_outlast_a_signal() {
    let (_folder, pipe) = pipe();
    let pipe = pipe.as_str();
    let runs = [
        &["solve", pipe][..],
        &["solve", HAND, pipe],
        &["solve", HAND, "--previous", pipe],
        &["check", pipe],
        &["round", pipe],
        &["risk", pipe],
        &["plan", pipe],
        &["plant", pipe],
        &["merge", pipe],
        &["fit", HAND, "--trials", pipe],
        &["sweep", HAND, "--vary", "materials.water.price=1 /t, 2 /t", "--resume", pipe],
    ];
    at_once(&runs, |arguments| {
        let mut run = command(arguments).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(150));
        let signal = std::process::Command::new("kill").args(["-TERM", &run.id().to_string()]).status();
        assert!(signal.unwrap().success());
        let status = run.wait().unwrap();
        // A signal that came before the program listened ends it as any other program.
        assert!(status.code().is_none_or(|code| code == 130), "{arguments:?}: {status:?}");
    });
}

#[test]
fn a_risk_that_is_not_known_in_time_is_not_told() {
    let weighed = "problems/17-weighed-with-risk.yaml";
    let (code, out, told) = ran(&["risk", weighed, "--batches", "1000000", "--time-limit", "0.05"]);
    assert_eq!((code, out.as_str()), (1, ""), "{told}");
    assert!(told.contains("the time was over before"), "{told}");
    // The same of margins for a risk: that there was no time for them says nothing of mixes.
    let asked = "problems/19-at-most-so-much-risk.yaml";
    let (code, out, told) = ran(&["solve", asked, HAND, "--time-limit", "0.08"]);
    assert!(code == 0 || code == 1, "{told}");
    assert!(!told.contains("none meets the margins") && !told.contains("did not settle"), "{out}{told}");
}

#[test]
fn a_sweep_that_was_stopped_by_its_limit_goes_on_to_the_bytes_of_one_that_was_not() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let vary = "materials.cement.price=100 /t .. 160 /t : 60";
    let water = "materials.water.price=1 /t .. 5 /t : 80";
    let sweep = ["sweep", HAND, "--no-proof", "--vary", vary, "--vary", water];
    let with = |more: &[&str]| ran(&sweep.iter().chain(more).copied().collect::<Vec<_>>());
    let (whole, part) = (at("whole.jsonl"), at("part.jsonl"));
    assert_eq!(with(&["-o", &whole]).0, 0);
    let (code, _, told) = with(&["-o", &part, "--time-limit", "0.05"]);
    assert_eq!(code, 1, "{told}");
    if told.contains("of 4800 cases were not reached") {
        assert!(told.contains("stopped by the time limit") && told.contains("--resume"), "{told}");
        assert_eq!(with(&["--resume", &part]).0, 0);
    } else {
        // On a slow machine the time is over before the statement has been read.
        assert!(told.contains("the time was over before"), "{told}");
        assert_eq!(with(&["-o", &part]).0, 0);
    }
    assert_eq!(std::fs::read(&whole).unwrap(), std::fs::read(&part).unwrap());
}
