//! The loop of trials from files to files: fit, solve, plan, fill in, confirm; and what each of them refuses.
//!
//! All trials are invented.

use std::fs;

use crate::program::{json, output as mixbound, text};

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
