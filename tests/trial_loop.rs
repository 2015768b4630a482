//! The loop of trials from files to files: fit, solve, plan, fill in, confirm; and what each of them refuses.
//!
//! All trials are invented.

use std::fs;
use std::process::Output;

use serde_json::Value;

use crate::program::output as mixbound;

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("it is UTF-8")
}

fn json(output: &Output) -> Value {
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("it is JSON")
}

const RESPONSES: &str = "problems/trials/responses.yaml";
const BATCHES: &str = "problems/trials/batches.csv";
const PROBLEM: &str = "problems/20-from-trials.yaml";

#[test]
fn the_fragment_that_is_kept_is_what_the_trials_give() {
    let folder = tempfile::tempdir().unwrap();
    let fragment = folder.path().join("fitted.yaml").display().to_string();
    let output =
        mixbound(&["fit", RESPONSES, "--trials", BATCHES, "--fragment", &fragment, "--format", "json"]);
    let facts = json(&output);
    let kept = fs::read_to_string("problems/trials/fitted.yaml").unwrap();
    assert_eq!(fs::read_to_string(&fragment).unwrap(), kept);
    let strength = &facts["fits"][0];
    assert_eq!(strength["response"], "mean strength");
    assert_eq!(strength["batches"].as_array().unwrap().len(), 14);
    // Three cylinders a batch are one result each, and their scatter is told apart.
    assert_eq!(strength["specimens"][1], 28);
    assert!(strength["degrees_of_freedom"].as_f64().unwrap() < 14.0);
}

#[test]
fn trials_are_planned_filled_in_and_fitted_with_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = folder.path().join("next.csv").display().to_string();
    let plan = json(&mixbound(&["plan", PROBLEM, "--batches", "6", "--sheet", &sheet, "--format", "json"]));
    let number = |key: &str| plan[key].as_f64().unwrap();
    assert!(number("after") < number("classical") && number("after") < number("random"));
    assert!(number("after") < number("before"));
    let again = json(&mixbound(&["plan", PROBLEM, "--batches", "6", "--format", "json"]));
    assert_eq!(plan, again);
    // Results as an invented laboratory fills them in: near what the fit predicts.
    let empty = fs::read_to_string(&sheet).unwrap();
    let mut filled = String::new();
    for (at, line) in empty.lines().enumerate() {
        let predicted = |mix: &str| {
            let mixes = plan["mixes"].as_array().unwrap();
            let mix = mixes.iter().find(|known| known["name"] == mix).unwrap();
            [0, 1].map(|of| mix["predicted"][of][1].as_f64().unwrap())
        };
        if at == 0 {
            filled.push_str(&format!("{line}\n"));
            continue;
        }
        let mix = line.split(',').nth(2).unwrap();
        let [strength, slump] = predicted(mix);
        let off = if at % 2 == 0 { 0.6 } else { -0.6 };
        let cells = line.strip_suffix(",,").unwrap();
        filled.push_str(&format!("{cells},{:.1},{:.0}\n", strength + off, slump - 4.0 * off));
    }
    let results = folder.path().join("results.csv").display().to_string();
    fs::write(&results, filled).unwrap();
    let confirmed = json(&mixbound(&["confirm", PROBLEM, "--trials", &results, "--format", "json"]));
    for judged in confirmed["responses"].as_array().unwrap() {
        assert!(0.05 < judged["f"][3].as_f64().unwrap(), "{judged}");
        assert!(judged["fitted_to"].as_str().unwrap().starts_with("sha256:"));
    }
    let fit =
        json(&mixbound(&["fit", RESPONSES, "--trials", &results, "--terms", "constant", "--format", "json"]));
    assert_eq!(fit["fits"][0]["batches"].as_array().unwrap().len(), 6);
    // Two results far above what was predicted refute the fit, and tell the side.
    let far: String = fs::read_to_string(&results)
        .unwrap()
        .lines()
        .enumerate()
        .map(|(at, line)| {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            if at != 0 {
                let last = cells.len() - 2;
                cells[last] = format!("{}", cells[last].parse::<f64>().unwrap() + 8.0);
            }
            cells.join(",") + "\n"
        })
        .collect();
    fs::write(&results, far).unwrap();
    let confirmed = json(&mixbound(&["confirm", PROBLEM, "--trials", &results, "--format", "json"]));
    let strength = &confirmed["responses"][0];
    assert!(strength["f"][3].as_f64().unwrap() < 0.01 && 5.0 < strength["bias"][0].as_f64().unwrap());
}

#[test]
fn a_fit_is_not_confirmed_by_its_own_trials() {
    let output = mixbound(&["confirm", PROBLEM, "--trials", BATCHES]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("these very trials"));
    let output = mixbound(&["plan", "problems/01-by-hand.yaml"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("no response of this statement tells of its trials"));
}

/// What a file of trials gets, each with a piece of what is told.
#[test]
fn wrong_trials_are_told_with_row_and_column() {
    let head = "mix,batch,cement (kg/m3),fly ash (kg/m3),sand (kg/m3),gravel (kg/m3),water (kg/m3),water reducer (kg/m3),age (d),mean strength (MPa)";
    let row = "A,B1,300,0,830,1060,180,2,28,40";
    let cases: &[(&str, String, &str)] = &[
        (
            "text",
            format!("{head}\nA,B1,300,0,830,1060,about 180,2,28,40\n"),
            "`about 180` in the column `water (kg/m3)` is no number",
        ),
        (
            "unit",
            format!("{}\n{row}\n", head.replace("cement (kg/m3)", "cement")),
            "the column `cement` has no unit",
        ),
        ("unknown unit", format!("{}\n{row}\n", head.replace("(MPa)", "(Mpa)")), "unknown unit `Mpa`"),
        (
            "weights",
            format!("{head}\n{row}\nA,B1,310,0,830,1060,180,2,7,30\n"),
            "batch `B1` returns with other weights",
        ),
        ("yield", format!("{head}\nA,B1,300,0,830,560,180,2,28,40\n"), "of their volume"),
        ("negative", format!("{head}\nA,B1,300,0,830,1060,180,2,28,-40\n"), "of -40 MPa cannot be"),
        ("age", format!("{head}\nA,B1,300,0,830,1060,180,2,0,40\n"), "an age of 0 d"),
        ("ragged", format!("{head}\nA,B1,300\n"), "3 values stand in this line"),
        ("twice", format!("{head},mean strength (MPa)\n{row},41\n"), "stands twice"),
        ("empty", String::new(), "is empty"),
        ("no result", "mix,cement (kg/m3)\nA,300\n".to_owned(), "no column holds a result"),
        (
            "unknown material",
            format!("{head},silica fume (kg/m3)\n{row},20\n"),
            "no material of the statement is `silica fume`",
        ),
        (
            "misspelled",
            format!("{}\n{row}\n", head.replace("gravel (", "gravell (")),
            "did you mean `gravel`?",
        ),
        ("one batch", format!("{head}\n{row}\n"), "has the one value"),
        (
            "collinear",
            format!("{head}\n{row}\nA,B2,320,0,820,1050,180,2,28,42\n"),
            "factor `ash` has the one value 0",
        ),
    ];
    let folder = tempfile::tempdir().unwrap();
    for (name, trials, told) in cases {
        let file = folder.path().join("trials.csv");
        fs::write(&file, trials).unwrap();
        let output = mixbound(&["fit", RESPONSES, "--trials", &file.display().to_string()]);
        let stderr = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{name}: {stderr}");
        assert!(stderr.contains(told), "{name}: {stderr}");
        assert!(!stderr.contains("panicked"), "{name}: {stderr}");
    }
}

#[test]
fn forms_that_trials_cannot_carry_are_refused_in_words() {
    let refused = |arguments: &[&str], told: &str| {
        let all = [&["fit", RESPONSES, "--trials", BATCHES], arguments].concat();
        let output = mixbound(&all);
        let stderr = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{stderr}");
        assert!(stderr.contains(told), "{arguments:?}: {stderr}");
    };
    let strength = ["--of", "mean strength"];
    let with = |more: &[&'static str]| -> Vec<&'static str> { [&strength[..], more].concat() };
    let collinear =
        "a = binder, b = free water, c = binder / free water, d = water-binder ratio, e = paste volume";
    refused(&with(&["--factors", collinear, "--terms", "second"]), "results cannot carry the 21 terms");
    refused(&with(&["--factors", "a = binder, b = binder", "--terms", "first"]), "confounded: `b`");
    refused(&with(&["--factors", "a = bindr"]), "did you mean `binder`");
    refused(&with(&["--terms", "constant, x"]), "unknown factor `x`");
    refused(&with(&["--factors", "a = binder, ln age"]), "all results are of one age");
    refused(&with(&["--ages", "91"]), "stands at 91 d");
    refused(&["--of", "modulus"], "nothing of the name `modulus` was measured");
}

#[test]
fn a_decimal_comma_and_semicolons_give_the_same_fit() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("trials.csv");
    let commas = fs::read_to_string(BATCHES).unwrap();
    let turned: String = commas
        .lines()
        .enumerate()
        .map(|(at, line)| {
            let line = line.replace(',', ";");
            if at == 0 { line + "\n" } else { line.replace('.', ",") + "\n" }
        })
        .collect();
    fs::write(&file, turned).unwrap();
    let one = json(&mixbound(&["fit", RESPONSES, "--trials", BATCHES, "--format", "json"]));
    let other =
        json(&mixbound(&["fit", RESPONSES, "--trials", &file.display().to_string(), "--format", "json"]));
    assert_eq!(one["fits"], other["fits"]);
    assert_ne!(one["data"], other["data"]);
}

#[test]
fn lines_alike_in_every_cell_count_once_until_they_are_confirmed() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("trials.csv");
    let once = fs::read_to_string(BATCHES).unwrap();
    let twin = once.lines().nth(1).unwrap();
    fs::write(&file, format!("{once}{twin}\n")).unwrap();
    let path = file.display().to_string();
    let output = mixbound(&["fit", RESPONSES, "--trials", &path, "--format", "json"]);
    assert!(text(&output.stderr).contains("counts once"));
    assert_eq!(json(&output)["left_out"][0]["line"], 44);
    let confirmed =
        json(&mixbound(&["fit", RESPONSES, "--trials", &path, "--repeats", "confirmed", "--format", "json"]));
    assert_eq!(confirmed["fits"][0]["specimens"][1], 29);
}

/// A statement whose strength follows a law.
fn by_law(include: &str) -> String {
    format!(
            "
mixbound: 1
currency: EUR
air: 2 %
{include}
materials:
  cement: {{role: cement, density: 3120 kg/m3, price: 128 /t, amount: 180 .. 500 kg/m3}}
  sand: {{role: sand, density: 2630 kg/m3 surface-dry, absorption: 0.9 %, price: 14 /t surface-dry}}
  gravel: {{role: coarse aggregate, density: 2670 kg/m3 surface-dry, absorption: 0.7 %, price: 13 /t surface-dry}}
  water: {{role: water, density: 1000 kg/m3, price: 1.1 /m3, amount: 170 .. 210 kg/m3}}
responses:
  mean strength: {{law: bolomey strength, inputs: {{water binder ratio: water-cement ratio}}}}
limits:
  mean strength: {{at least: 35 MPa, margin: 95 % confidence}}
  sand share: 40 .. 48 %
goal: least cost
"
    )
}

#[test]
fn a_law_is_corrected_by_own_results_and_stays_an_exact_row() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let plain = by_law("").replace(", margin: 95 % confidence", "");
    fs::write(path("law.yaml"), &plain).unwrap();
    fs::write(
        path("own.csv"),
        "mix,cement (kg/m3),sand (kg/m3),gravel (kg/m3),water (kg/m3),age (d),mean strength (MPa)\nA,320,816,1044,180,28,44.0\n",
    )
    .unwrap();
    let law = path("law.yaml");
    let arguments = ["calibrate", &law, "--trials", &path("own.csv"), "--of", "mean strength"];
    let prior = ["--between", "20", "--within", "10", "--fragment", &path("scale.yaml"), "--format", "json"];
    let facts = json(&mixbound(&[&arguments[..], &prior[..]].concat()));
    assert!((facts["share"].as_f64().unwrap() - 0.8).abs() < 1e-9);
    let predicted = facts["results"][0][3].as_f64().unwrap();
    let scale = facts["scale"].as_f64().unwrap();
    assert!((scale - (0.8 * (44.0 / predicted).ln()).exp()).abs() < 1e-9);
    fs::write(path("with.yaml"), by_law("include: scale.yaml")).unwrap();
    let solved = json(&mixbound(&["solve", &path("with.yaml"), "--format", "json"]));
    assert_eq!(solved["linearisation_error"].as_f64().unwrap(), 0.0);
    let limit =
        solved["limits"].as_array().unwrap().iter().find(|limit| limit["name"] == "mean strength").unwrap();
    // One more batch deviates by sqrt(0.04 x 0.2 + 0.01) of its prediction: m = 1.645 x 0.1342 (35 + m).
    let relative = 1.644_87 * (0.04_f64 * 0.2 + 0.01).sqrt();
    let margin = limit["margin"].as_f64().unwrap();
    assert!((margin - 35.0 * relative / (1.0 - relative)).abs() < 0.05, "{margin}");
    let refused = mixbound(&[
        "calibrate",
        PROBLEM,
        "--trials",
        BATCHES,
        "--of",
        "slump",
        "--between",
        "9",
        "--within",
        "9",
    ]);
    assert_eq!(refused.status.code(), Some(2));
}

/// Own results of lean and rich mixes bend the law: the limit stays an exact row, predictions follow the power, and the margin
/// is that of the formula, worked here by hand.
#[test]
fn a_slope_is_freed_by_results_far_apart_and_the_limit_stays_exact() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    fs::write(path("law.yaml"), by_law("").replace(", margin: 95 % confidence", "")).unwrap();
    let mut rows =
        "mix,cement (kg/m3),sand (kg/m3),gravel (kg/m3),water (kg/m3),age (d),mean strength (MPa)\n"
            .to_owned();
    for (cement, sand, strength) in
        [(230.0, 890.0, 27.0), (300.0, 832.0, 38.5), (380.0, 766.0, 50.0), (460.0, 700.0, 58.0)]
    {
        rows.push_str(&format!("M{cement},{cement},{sand},1044,180,28,{strength}\n"));
    }
    fs::write(path("own.csv"), rows).unwrap();
    let (law, own, scale) = (path("law.yaml"), path("own.csv"), path("scale.yaml"));
    let asked =
        ["calibrate", &law, "--trials", &own, "--of", "mean strength", "--between", "20", "--within", "6"];
    let facts = json(&mixbound(&[&asked[..], &["--fragment", &scale, "--format", "json"]].concat()));
    let number = |key: &str| facts[key].as_f64().unwrap();
    // Least squares of the logarithms on those of the law, by hand.
    let pairs: Vec<(f64, f64)> = facts["results"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| (line[3].as_f64().unwrap().ln(), line[2].as_f64().unwrap().ln()))
        .collect();
    let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / 4.0;
    let (x, y) = (mean(|pair| pair.0), mean(|pair| pair.1));
    let square: f64 = pairs.iter().map(|pair| (pair.0 - x).powi(2)).sum();
    let power = pairs.iter().map(|pair| (pair.0 - x) * (pair.1 - y)).sum::<f64>() / square;
    assert!((number("power") - power).abs() < 1e-9 && power < 0.95, "{power}");
    let deviation = 0.06 / square.sqrt();
    assert!((number("power_deviation") - deviation).abs() < 1e-9);
    fs::write(path("with.yaml"), by_law("include: scale.yaml")).unwrap();
    let solved = json(&mixbound(&["solve", &path("with.yaml"), "--format", "json"]));
    assert_eq!(solved["linearisation_error"].as_f64().unwrap(), 0.0);
    let limits = solved["limits"].as_array().unwrap();
    let limit = limits.iter().find(|limit| limit["name"] == "mean strength").unwrap();
    let level = 0.04 * 0.06_f64.powi(2) / (0.04 * 4.0 + 0.06_f64.powi(2)) + 0.06_f64.powi(2);
    let at = number("scale") * number("at");
    // The limit moved to the law's scale, where the deviation is taken at the limit and its margin.
    let (on_law, back) = (|f: f64| at * (f / at).powf(1.0 / power), |p: f64| at * (p / at).powf(power));
    let mut needed = 35.0_f64;
    for _ in 0..50 {
        let z = (needed / at).ln() / power;
        let relative = (level + (deviation * z).powi(2)).sqrt() / power;
        needed = back(on_law(35.0) + 1.644_87 * relative * at * (needed / at).powf(1.0 / power));
    }
    let got = limit["got"].as_f64().unwrap();
    assert!((got - needed).abs() < 0.01, "{got} {needed}");
    // Lean and rich mixes alone are too close together where moisture is not known to 3 %.
    let coarse = json(&mixbound(&[&asked[..], &["--moisture", "3", "--format", "json"]].concat()));
    assert_eq!((coarse["power"].as_f64(), coarse["power_deviation"].as_f64()), (Some(1.0), Some(0.0)));
}

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

/// What is paid for uncertainty, by `solve` for all responses, by `limits` for each, by `front` at each point.
#[test]
fn what_is_paid_for_uncertainty_is_told_by_solve_limits_and_front() {
    let solved = json(&mixbound(&["solve", PROBLEM, "--format", "json"]));
    let all = solved["uncertainty"]["paid"].as_f64().unwrap();
    assert!(solved["uncertainty"]["beyond"][1].as_f64().unwrap() < solved["goal"]["value"].as_f64().unwrap());
    let limits = json(&mixbound(&["limits", PROBLEM, "--format", "json"]));
    let mut sum = 0.0;
    for line in limits.as_array().unwrap() {
        let fitted = ["mean strength", "slump"].contains(&line["limit"].as_str().unwrap());
        assert_eq!(line.get("known").is_some(), fitted, "{line}");
        let Some(known) = line.get("known") else { continue };
        let paid = known["paid"].as_f64().unwrap();
        assert!(0.0 < paid && paid < all, "{paid} of {all}");
        assert!(line["tightest"].as_f64() < known["tightest"].as_f64(), "{line}");
        sum += paid;
    }
    // The two limits bind through different materials: their parts nearly add up.
    assert!((sum - all).abs() < 0.05 * all, "{sum} {all}");
    let front =
        json(&mixbound(&["front", PROBLEM, "--goals", "cost, slump", "--points", "3", "--format", "json"]));
    for point in front["points"].as_array().unwrap() {
        let paid = point["paid_for_uncertainty"].as_f64().unwrap();
        let value = point["values"][usize::from(point["best"] == "slump")].as_f64().unwrap();
        let beyond = point["without_regions"].as_f64().unwrap();
        assert!(0.0 < paid && paid < 0.1 * value);
        assert!(if point["best"] == "slump" { value < beyond } else { beyond < value });
    }
    let plain = json(&mixbound(&["limits", "problems/01-by-hand.yaml", "--format", "json"]));
    assert!(plain.as_array().unwrap().iter().all(|line| line.get("known").is_none()));
}
