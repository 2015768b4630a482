//! Several ages, several files, several rounds of trials: what one round writes, the next reads.
//!
//! All trials are invented.

use std::fs;

use crate::program::{json, output as mixbound, text};

const BATCHES: &str = "problems/trials/batches.csv";
const PROBLEM: &str = "problems/20-from-trials.yaml";
const RESPONSES: &str = "problems/trials/responses.yaml";

/// Statement, trials at 3 and 28 d with two curings and a column without unit, one batch twice in two files.
fn several_ages(folder: &std::path::Path) -> [String; 3] {
    let path = |name: &str| folder.join(name).display().to_string();
    let responses = fs::read_to_string(RESPONSES).unwrap();
    let materials = fs::canonicalize("problems/trials/materials.yaml").unwrap();
    fs::copy(materials, folder.join("materials.yaml")).unwrap();
    fs::write(path("responses.yaml"), responses).unwrap();
    let mut lines = fs::read_to_string(BATCHES).unwrap();
    let (mut early, mut late) = (String::new(), String::new());
    for (at, line) in std::mem::take(&mut lines).lines().enumerate() {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        let age = cells.len() - 3;
        if at == 0 {
            early = format!("{line},curing,slump flow\n");
            late.clone_from(&early);
            continue;
        }
        late.push_str(&format!("{},moist,600\n", cells.join(",")));
        // At 3 d in another file, and stored in air: other results of the same batches.
        cells[age] = String::from("3");
        let strength: f64 = cells[age + 1].parse().unwrap();
        cells[age + 1] = format!("{:.1}", 0.6 * strength);
        cells[age + 2] = String::new();
        early.push_str(&format!("{},moist,600\n", cells.join(",")));
        cells[age] = String::from("28");
        cells[age + 1] = format!("{:.1}", 0.8 * strength);
        early.push_str(&format!("{},air,600\n", cells.join(",")));
    }
    fs::write(path("early.csv"), early).unwrap();
    fs::write(path("late.csv"), late).unwrap();
    [path("responses.yaml"), path("early.csv"), path("late.csv")]
}

/// A response for each age has a name of its own; files join by the names of batches; what is not used is told; the sheet of
/// the next trials has a line for each age, and reads back in `confirm` and in `fit`.
#[test]
fn several_ages_from_several_files_go_round_the_loop() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let [responses, early, late] = several_ages(folder.path());
    let files = ["--trials", &early, "--trials", &late];
    let own = [&["fit", &responses][..], &files, &["--of", "mean strength"]].concat();
    let output = mixbound(&[&own[..], &["--format", "json"]].concat());
    assert!(text(&output.stderr).contains("the column `slump flow` is not read"), "{}", text(&output.stderr));
    let plain = json(&output);
    let kept = json(&mixbound(&["fit", RESPONSES, "--trials", BATCHES, "--format", "json"]));
    assert_eq!(plain["fits"][0]["terms"], kept["fits"][0]["terms"]);
    let not: Vec<&str> =
        plain["not_fitted"].as_array().unwrap().iter().map(|line| line.as_str().unwrap()).collect();
    assert!(
        not.iter().any(|line| line.starts_with("14 results of `mean strength` at 3 d, cured `moist`")),
        "{not:?}"
    );
    assert!(
        not.iter().any(|line| line.starts_with("14 results of `mean strength` at 28 d, cured `air`")),
        "{not:?}"
    );
    let fragment = path("fitted.yaml");
    json(&mixbound(&[&own[..], &["--ages", "28, 3", "--fragment", &fragment, "--format", "json"]].concat()));
    fs::write(
        path("statement.yaml"),
        "mixbound: 1\ninclude: [materials.yaml, fitted.yaml]\nlimits:\n  mean strength at 28 d: {at least: 30 MPa, \
         margin: 95 % confidence}\n  mean strength at 3 d: {at least: 18 MPa, margin: 95 % confidence}\n  sand share: 40 .. 48 %\n\
         goal: least cost\n",
    )
    .unwrap();
    let (statement, sheet) = (path("statement.yaml"), path("next.csv"));
    let plan =
        json(&mixbound(&["plan", &statement, "--batches", "4", "--sheet", &sheet, "--format", "json"]));
    // Fourteen batches were made.
    assert_eq!(plan["order"][0]["name"], "N15");
    let empty = fs::read_to_string(&sheet).unwrap();
    assert_eq!(empty.lines().count(), 1 + 2 * 4);
    let mut filled = String::new();
    for line in empty.lines() {
        filled.push_str(line);
        let age = line.rsplit(',').nth(1).unwrap();
        filled.push_str(match age {
            "3" => "22\n",
            "28" => "37\n",
            _ => "\n",
        });
    }
    fs::write(path("results.csv"), filled).unwrap();
    let results = path("results.csv");
    let confirmed = json(&mixbound(&["confirm", &statement, "--trials", &results, "--format", "json"]));
    let judged: Vec<(&str, usize)> = confirmed["responses"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| (one["response"].as_str().unwrap(), one["results"].as_array().unwrap().len()))
        .collect();
    assert_eq!(judged, [("mean strength at 3 d", 4), ("mean strength at 28 d", 4)]);
    // The statement with the fit is a statement to fit from: the same factors, the same ages, all batches.
    let again = [&["fit", &statement][..], &files, &["--trials", &results, "--format", "json"]].concat();
    let again = json(&mixbound(&again));
    let batches = |at: usize| again["fits"][at]["batches"].as_array().unwrap().len();
    assert_eq!((batches(0), batches(1)), (18, 18));
    let refused = mixbound(&["confirm", &statement, "--trials", &late]);
    assert!(text(&refused.stderr).contains("these very trials"));
}

/// The front of two goals: an order of trials, prices of one goal alone, and a sheet that reads back.
#[test]
fn the_mixes_of_a_front_are_ordered_and_written_to_a_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = folder.path().join("front.csv").display().to_string();
    let asked =
        ["plan", PROBLEM, "--front", "cost, slump", "--points", "3", "--sheet", &sheet, "--format", "json"];
    let plan = json(&mixbound(&asked));
    assert_eq!(plan["criterion_unit"], serde_json::json!(["cost", "EUR/m3"]));
    let single = json(&mixbound(&["plan", PROBLEM, "--batches", "2", "--format", "json"]));
    // The premium at the cheapest point is that of the cost alone: mm of slump are not added to it.
    assert!(plan["before"].as_f64().unwrap() < 3.0 * single["before"].as_f64().unwrap(), "{plan}");
    let rows = fs::read_to_string(&sheet).unwrap();
    assert_eq!(rows.lines().count(), 4);
    assert!(rows.lines().nth(1).unwrap().contains(",N15,"));
    // One of the three is made and tested: the others are told as lines without a result.
    let first = rows.lines().nth(1).unwrap();
    fs::write(&sheet, rows.replace(first, &format!("{}37.2,120", first.strip_suffix(',').unwrap()))).unwrap();
    let output = mixbound(&["fit", RESPONSES, "--trials", BATCHES, "--trials", &sheet, "--format", "json"]);
    let left = json(&output);
    assert_eq!(left["left_out"].as_array().unwrap().len(), 2);
    assert_eq!(left["left_out"][0]["file"], "front.csv");
    assert_eq!(left["fits"][0]["batches"].as_array().unwrap().len(), 15);
}

/// Own coefficients with the covariance of an included fit are no fit, however many terms both have.
#[test]
fn a_statement_does_not_put_its_own_terms_into_a_fit() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    fs::copy("problems/trials/materials.yaml", path("materials.yaml")).unwrap();
    fs::copy("problems/trials/fitted.yaml", path("fitted.yaml")).unwrap();
    let own = fs::read_to_string(RESPONSES).unwrap();
    let own = own.replace("include: materials.yaml", "include: [materials.yaml, fitted.yaml]");
    fs::write(path("both.yaml"), own).unwrap();
    let output = mixbound(&["solve", &path("both.yaml")]);
    assert_eq!(output.status.code(), Some(2));
    let told = text(&output.stderr);
    assert!(
        told.contains("the terms of response `mean strength` stand in another file than its trials"),
        "{told}"
    );
    assert!(!told.contains("no covariance matrix"), "{told}");
}
