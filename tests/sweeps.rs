//! Many cases of one statement: what varies, what a case is, results files, shards. The bytes do not depend on threads,
//! on the order in which cases end, or on where they ran.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::program::ran as mixbound;

const HAND: &str = "problems/01-by-hand.yaml";
const PLAIN: &str = "problems/02-plain-structural.yaml";
const CLASSES: &str = "problems/06-exposure-classes.yaml";
const LISTED: &str = "problems/07-price-list.yaml";

fn json(arguments: &[&str]) -> Value {
    let (code, out, err) = mixbound(&[arguments, &["--format", "json"]].concat());
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    serde_json::from_str(&out).unwrap()
}

fn text(path: &Path) -> String {
    fs::read_to_string(path).unwrap()
}

/// A statement with its limits and a study.
fn with_study(folder: &Path, study: &str) -> String {
    let path = folder.join("statement.yaml");
    fs::write(&path, format!("{}\nstudy:\n{study}", text(Path::new(HAND)))).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn every_case_can_be_printed_as_a_statement_that_solves_to_the_same() {
    for (file, vary) in [
        (HAND, "limits.mean strength.at least=28 MPa .. 34 MPa : 3"),
        (HAND, "materials.cement.price=100 /t, 180 /t"),
        (LISTED, "materials.cement.price=100 /t, 180 /t"),
    ] {
        let sweep = json(&["sweep", file, "--vary", vary]);
        let cases = sweep["cases"].as_array().unwrap();
        let goals: Vec<f64> = cases.iter().map(|case| case["goal"].as_f64().unwrap()).collect();
        assert!(goals.windows(2).all(|pair| pair[0] < pair[1]), "{goals:?}");
        for (number, goal) in goals.iter().enumerate() {
            let case = (number + 1).to_string();
            let (code, printed, err) = mixbound(&["sweep", file, "--vary", vary, "--case", &case, "--print"]);
            assert_eq!((code, err.as_str()), (0, ""));
            // Included files are asked for from the statement's own folder.
            let folder = tempfile::tempdir().unwrap();
            copy_yard(folder.path());
            let path = folder.path().join("case.yaml");
            fs::write(&path, &printed).unwrap();
            let alone = json(&["solve", path.to_str().unwrap()]);
            let found = alone["goal"]["value"].as_f64().unwrap();
            assert!((found - goal).abs() <= 1e-9 * goal, "{file} {vary} case {case}: {found}, {goal}");
        }
    }
}

fn copy_yard(folder: &Path) {
    fs::create_dir(folder.join("yard")).unwrap();
    for entry in fs::read_dir("problems/yard").unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, folder.join("yard").join(path.file_name().unwrap())).unwrap();
    }
}

#[test]
fn a_printed_case_is_the_authors_file_with_one_value_replaced() {
    let vary = "materials.cement.price=111 /t, 112 /t";
    let (_, printed, _) = mixbound(&["sweep", HAND, "--vary", vary, "--case", "2", "--print"]);
    let original = text(Path::new(HAND));
    let changed: Vec<(&str, &str)> =
        original.lines().zip(printed.lines()).filter(|(before, after)| before != after).collect();
    assert_eq!(original.lines().count(), printed.lines().count());
    assert_eq!(changed.len(), 1, "{changed:?}");
    assert!(changed[0].1.contains("112 /t"));
}

#[test]
fn shards_merged_and_a_resumed_run_equal_the_single_run_byte_for_byte() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let vary = [
        "--vary",
        "limits.mean strength.at least=28 MPa .. 34 MPa : 4",
        "--vary",
        "materials.cement.price=100 /t, 140 /t, 180 /t",
    ];
    let run = |more: &[&str]| mixbound(&[&["sweep", HAND], &vary[..], more].concat());
    let whole = path("whole.jsonl");
    let (code, table, err) = run(&["-o", &whole, "--jobs", "1"]);
    assert_eq!((code, err.as_str()), (0, ""));
    let again = path("again.jsonl");
    assert_eq!(run(&["-o", &again, "--jobs", "3"]).1, table);
    assert_eq!(text(Path::new(&whole)), text(Path::new(&again)));
    assert_eq!(text(Path::new(&whole)).lines().count(), 13);

    let parts: Vec<String> = (1..=3).map(|shard| path(&format!("part-{shard}.jsonl"))).collect();
    for (at, part) in parts.iter().enumerate() {
        assert_eq!(run(&["-o", part, "--shard", &format!("{}/3", at + 1)]).0, 0);
    }
    let all = path("all.jsonl");
    let merge = |files: &[&String]| {
        let mut arguments = vec!["merge"];
        arguments.extend(files.iter().map(|file| file.as_str()));
        arguments.extend(["-o", &all]);
        mixbound(&arguments)
    };
    assert_eq!(merge(&[&parts[2], &parts[0], &parts[1]]), (0, String::new(), String::new()));
    assert_eq!(text(Path::new(&whole)), text(Path::new(&all)));

    // Shards that do not fit together.
    let (code, _, err) = merge(&[&parts[0], &parts[2]]);
    assert!(code == 2 && err.contains("4 of 12 cases are in none of these files: 2, 5, 8, 11"), "{err}");
    let other = path("other.jsonl");
    let (code, _, _) = mixbound(&["sweep", HAND, vary[0], vary[1], "-o", &other, "--shard", "2/3"]);
    assert_eq!(code, 0);
    let (code, _, err) = merge(&[&parts[0], &other, &parts[2]]);
    assert!(
        code == 2 && err.contains("are not of one sweep") && err.contains("what varies differs"),
        "{err}"
    );

    // A run that was killed while it wrote a line goes on where it was.
    let cut = path("cut.jsonl");
    let lines: Vec<String> = text(Path::new(&whole)).lines().map(str::to_owned).collect();
    fs::write(&cut, format!("{}\n{}\n{}\n{}", lines[0], lines[7], lines[2], &lines[3][..40])).unwrap();
    let (code, resumed, err) = run(&["--resume", &cut]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(resumed, table);
    assert_eq!(text(Path::new(&whole)), text(Path::new(&cut)));
}

#[test]
fn results_of_another_statement_are_refused_with_what_differs() {
    let folder = tempfile::tempdir().unwrap();
    let results = folder.path().join("results.jsonl");
    let results = results.to_str().unwrap();
    let vary = ["--vary", "limits.mean strength.at least=28 MPa, 30 MPa"];
    assert_eq!(mixbound(&[&["sweep", HAND], &vary[..], &["-o", results]].concat()).0, 0);
    let kept = text(Path::new(results));
    let statement = folder.path().join("statement.yaml");
    let original = text(Path::new(HAND));
    let go_on = |text: &str, more: &[&str]| {
        fs::write(&statement, text).unwrap();
        let file = statement.to_str().unwrap();
        mixbound(&[&["sweep", file], &vary[..], &["--resume", results], more].concat())
    };
    let dearer = original.replacen("price: ", "price: 1", 1);
    assert_ne!(dearer, original);
    let (code, out, err) = go_on(&dearer, &[]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("another sweep") && err.contains("the statement differs under: materials"), "{err}");
    let (code, _, err) = go_on(&original, &["--no-proof"]);
    assert!(code == 2 && err.contains("the settings differ: no proof; in the file: proof to 0.1 %"), "{err}");
    // Another layout is no other statement.
    assert_eq!(go_on(&format!("# a comment\n{original}"), &[]).0, 0);
    // Results are not written over by a run that forgot to go on from them.
    let (code, _, err) = mixbound(&[&["sweep", HAND], &vary[..], &["-o", results]].concat());
    assert!(code == 2 && err.contains("--resume"), "{err}");
    assert_eq!(text(Path::new(results)), kept);
}

#[test]
fn paths_that_lead_nowhere_and_ranges_that_run_downwards_are_told_with_what_is_known() {
    for (vary, expected) in [
        (
            "limits.mean strenth.at least=28 MPa",
            ["unknown key `mean strenth`", "did you mean `mean strength`?"],
        ),
        ("limts.mean strength=28 MPa", ["unknown key `limts` in the statement", "did you mean `limits`?"]),
        (
            "materials.cement.prize=1 /t",
            ["unknown key `prize` in `materials.cement`", "did you mean `price`?"],
        ),
        ("materials.cement=1 /t", ["`materials.cement` is a map", "known keys:"]),
        ("limits.mean strength.at least=34 MPa .. 28 MPa : 4", ["runs downwards", "lower end first"]),
        ("limits.mean strength.at least=28 MPa .. 34 MPa : 0", ["has `0` values", "allowed: 2 .."]),
        ("limits.mean strength.at least=", ["is empty", "write values"]),
        ("limits.mean strength.at least", ["has no `=`", "write `limits"]),
    ] {
        let (code, out, err) = mixbound(&["sweep", HAND, "--vary", vary]);
        assert_eq!((code, out.as_str()), (2, ""), "{vary}");
        for piece in expected {
            assert!(err.contains(piece), "{vary}: {err}");
        }
    }
    let (code, _, err) = mixbound(&["sweep", HAND]);
    assert!(code == 2 && err.contains("nothing varies"), "{err}");
    let (code, _, err) = mixbound(&[
        "sweep",
        HAND,
        "--vary",
        "materials.cement.price=1 /t",
        "--vary",
        "materials.water.price=1 /t",
        "--vary",
        "materials.sand.price=1 /t",
    ]);
    assert!(code == 2 && err.contains("3 keys are varied together"), "{err}");
}

#[test]
fn a_case_that_is_no_statement_is_told_and_the_others_are_solved() {
    let (code, out, err) =
        mixbound(&["sweep", HAND, "--vary", "limits.mean strength.at least=30 MPa, 30 kg/m3"]);
    assert_eq!(code, 2);
    assert!(out.contains("57.900") && out.contains("wrong"), "{out}");
    assert!(err.contains("case 2:") && err.contains("30 kg/m3") && err.contains("--vary"), "{err}");
}

#[test]
fn scenarios_and_keys_in_a_statement_are_swept_together() {
    let folder = tempfile::tempdir().unwrap();
    let file = with_study(
        folder.path(),
        "  vary:\n    limits.mean strength.at least: [28 MPa, 30 MPa]\n  scenarios:\n    as stated:\n    \
         dear cement: {materials: {cement: {price: 200 /t}}}\n",
    );
    let (code, out, err) = mixbound(&["check", &file]);
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    let sweep = json(&["sweep", &file]);
    let of = |case: &Value| {
        (case["values"][0].as_str().unwrap().to_owned(), case["values"][1].as_str().unwrap().to_owned())
    };
    let cases = sweep["cases"].as_array().unwrap();
    let names: Vec<(String, String)> = cases.iter().map(of).collect();
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(
        names,
        [
            pair("as stated", "28 MPa"),
            pair("as stated", "30 MPa"),
            pair("dear cement", "28 MPa"),
            pair("dear cement", "30 MPa")
        ]
    );
    let goal = |at: usize| cases[at]["goal"].as_f64().unwrap();
    assert!((goal(1) - 57.9).abs() < 1e-6 && goal(1) < goal(3) && goal(0) < goal(1));
    // The printed case holds no study any more, and the scenario's price.
    let (_, printed, _) = mixbound(&["sweep", &file, "--case", "4", "--print"]);
    assert!(
        !printed.contains("study:") && printed.contains("200 /t") && printed.contains("30 MPa"),
        "{printed}"
    );
    // A key on the command line stands in place of the same key in the statement.
    let sweep = json(&["sweep", &file, "--vary", "limits.mean strength.at least=29 MPa"]);
    assert_eq!(sweep["cases"].as_array().unwrap().len(), 2);
}

#[test]
fn a_material_that_is_not_to_be_had_is_a_scenario() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("statement.yaml");
    let study = "study: {scenarios: {all: , no fly ash: {choices: {gone: {forbid: [fly ash]}}}}}\n";
    fs::write(&path, format!("{}\n{study}", text(Path::new(PLAIN)))).unwrap();
    let sweep = json(&["sweep", path.to_str().unwrap()]);
    let goal = |at: usize| sweep["cases"][at]["goal"].as_f64().unwrap();
    assert!(goal(0) <= goal(1), "{} {}", goal(0), goal(1));
    let mix = sweep["cases"][1]["mix"].as_array().unwrap();
    assert!(mix.iter().all(|amount| amount["material"] != "fly ash"));
}

#[test]
fn materials_that_come_and_go_along_a_sweep_are_marked() {
    let sweep = json(&["sweep", PLAIN, "--vary", "materials.fly ash.price=10 /t, 400 /t"]);
    let (first, second) = (&sweep["cases"][0], &sweep["cases"][1]);
    assert_eq!(first["enters"], serde_json::json!([]));
    assert_eq!(second["leaves"], serde_json::json!(["fly ash"]), "{second}");
}

#[test]
fn a_front_has_no_dominated_points_and_does_not_depend_on_threads() {
    let arguments = ["front", CLASSES, "--goals", "cost, carbon", "--points", "7", "--format", "json"];
    let (code, out, err) = mixbound(&[&arguments[..], &["--jobs", "1"]].concat());
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(mixbound(&[&arguments[..], &["--jobs", "3"]].concat()).1, out);
    let front: Value = serde_json::from_str(&out).unwrap();
    let values = |point: &Value| [point["values"][0].as_f64().unwrap(), point["values"][1].as_f64().unwrap()];
    let points: Vec<[f64; 2]> = front["points"].as_array().unwrap().iter().map(values).collect();
    assert!(front["conflict"] == true && 5 <= points.len(), "{points:?}");
    assert!(points.windows(2).all(|pair| pair[0][0] < pair[1][0] && pair[1][1] < pair[0][1]), "{points:?}");
    // Its ends are what the goals alone give.
    let alone = json(&["solve", CLASSES]);
    let cost = alone["goal"]["value"].as_f64().unwrap();
    assert!((points[0][0] - cost).abs() <= 1e-3 * cost, "{} {cost}", points[0][0]);
    // A point is a statement: printed and solved it gives the same.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("point.yaml");
    let (code, printed, _) =
        mixbound(&["front", CLASSES, "--goals", "cost, carbon", "--points", "7", "--print", "3"]);
    assert_eq!(code, 0);
    fs::write(&path, printed).unwrap();
    let again = json(&["solve", path.to_str().unwrap()]);
    let found = again["goal"]["value"].as_f64().unwrap();
    assert!((found - points[2][0]).abs() <= 1e-3 * found, "{found} {}", points[2][0]);
}

#[test]
fn goals_that_do_not_conflict_or_are_not_known_are_told() {
    let (code, out, err) = mixbound(&["front", HAND, "--goals", "cost, least cement"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("1 point") && out.contains("do not conflict"), "{out}");
    for (goals, expected) in [
        ("cost", "1 goals are given"),
        ("cost, cost", "stands twice"),
        ("cost, least strenght", "unknown"),
        ("cost, water", "the least or the most `water`"),
    ] {
        let (code, out, err) = mixbound(&["front", HAND, "--goals", goals]);
        assert!(code == 2 && out.is_empty() && err.contains(expected), "{goals}: {err}");
    }
    let (code, out, _) =
        mixbound(&["front", "problems/09-cannot-be-met.yaml", "--goals", "cost, least water", "--no-proof"]);
    assert!(code == 1 && out.contains("there is no front"), "{out}");
}

#[test]
fn several_statements_are_swept_alike_and_one_that_is_wrong_stops_none() {
    let folder = tempfile::tempdir().unwrap();
    let wrong = folder.path().join("wrong.yaml");
    fs::write(&wrong, "mixbound: 1\n").unwrap();
    let results = folder.path().join("results");
    let (wrong, results) = (wrong.to_str().unwrap(), results.to_str().unwrap());
    let vary = "materials.cement.price=100 /t, 140 /t";
    let (code, out, err) = mixbound(&["sweep", HAND, wrong, PLAIN, "--vary", vary, "-o", results]);
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("the statement has no `currency`"), "{err}");
    assert!(out.contains(HAND) && out.contains(PLAIN), "{out}");
    // Each results file is that of the statement swept alone.
    for (file, name) in [(HAND, "01-by-hand.jsonl"), (PLAIN, "02-plain-structural.jsonl")] {
        let alone = folder.path().join(name);
        let (code, table, _) = mixbound(&["sweep", file, "--vary", vary, "-o", alone.to_str().unwrap()]);
        assert_eq!(code, 0);
        assert!(out.contains(&table), "{out}");
        assert_eq!(text(&Path::new(results).join(name)), text(&alone));
    }
    let (code, _, err) = mixbound(&["sweep", HAND, HAND, "--vary", vary, "-o", results]);
    assert!(code == 2 && err.contains("two statements would write"), "{err}");
    let (code, _, err) = mixbound(&["sweep", HAND, PLAIN, "--vary", vary, "--format", "csv"]);
    assert!(code == 2 && err.contains("-o FOLDER"), "{err}");
}
