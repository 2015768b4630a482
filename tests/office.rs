//! An office's night, from files to files: what became of each mix since an earlier run, tables with either decimal sign,
//! price lists for every command that tells a cost.
//!
//! What enters: a mortar like that of `problems/01-by-hand.yaml` with a second sand. Expected figures follow from its strength
//! line f = 25 (c/w - 0.5) MPa, its densities and its prices ("identity"): cement 306, water 180, sand 1750 kg/m3 for 30 MPa.

use std::fs;
use std::path::PathBuf;

use serde_json::Value;
use tempfile::TempDir;

use crate::program::ran as mixbound;

const STATEMENT: &str = "mixbound: 1
title: Mortar with two sands, invented
currency: EUR
air: 1.8 %
materials:
  cement: {role: cement, density: 3000 kg/m3, price: 120 /t, amount: at least 250 kg/m3}
  sand: {role: sand, density: 2500 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry, amount: 0 .. 2000 kg/m3}
  quarry sand: {role: sand, density: 2500 kg/m3 surface-dry, absorption: 1 %, price: 13 /t surface-dry, amount: 0 .. 2000 kg/m3}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 180 .. 250 kg/m3}
responses:
  mean strength:
    unit: MPa
    strength: {specimen: cube 100 mm, statistic: mean, age: 28 d, curing: moist}
    factors: {c/w: {is: cement / free water, region: 1.2 .. 2.6}}
    terms: {constant: -12.5, c/w: 25}
limits:
  mean strength: at least 30 MPa
goal: least cost
";

/// A folder with two statements and a price list in which the quarry's sand is the cheaper one.
pub struct Office {
    folder: TempDir,
}

impl Office {
    pub fn new() -> Self {
        let office = Self { folder: TempDir::new().unwrap() };
        office.write("wall.yaml", STATEMENT);
        office.write("floor.yaml", &STATEMENT.replace("at least 30 MPa", "at least 25 MPa"));
        office.write("dear.csv", "material;price\nsand;15,00 /t surface-dry\n");
        office
    }

    pub fn path(&self, name: &str) -> String {
        self.folder.path().join(name).to_str().unwrap().to_owned()
    }

    pub fn write(&self, name: &str, text: &str) -> String {
        fs::write(self.folder.path().join(name), text).unwrap();
        self.path(name)
    }

    /// Solves both statements with more arguments.
    pub fn solve(&self, more: &[&str]) -> (i32, String, String) {
        let files = [self.path("wall.yaml"), self.path("floor.yaml")];
        let arguments: Vec<&str> = ["solve"]
            .into_iter()
            .chain(files.iter().map(String::as_str))
            .chain(more.iter().copied())
            .collect();
        mixbound(&arguments)
    }

    pub fn json(&self, more: &[&str]) -> Value {
        let (_, out, err) = self.solve(&[more, &["--format", "json"]].concat());
        serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}{err}"))
    }
}

fn close(value: &Value, wanted: f64) {
    let got = value.as_f64().unwrap_or(f64::NAN);
    assert!((got - wanted).abs() < 1e-6 * wanted.abs().max(1.0), "{got}, expected {wanted}");
}

#[test]
fn a_night_tells_what_came_in_what_changed_and_what_staying_would_cost() {
    let office = Office::new();
    let yesterday = office.path("yesterday.json");
    assert_eq!(office.solve(&["-o", &yesterday]).0, 0);
    let today = office.json(&["--previous", &yesterday, "--prices", &office.path("dear.csv")]);
    let since = &today[0]["since"];
    // identity: 306 x 0.120 + 180 x 0.001 = 36.90, and 1750 of sand at 0.012, 0.013 and 0.015.
    close(&since["before"], 57.90);
    close(&today[0]["value"], 59.65);
    close(&since["change"], 1.75);
    close(&since["relative"], 1.75 / 57.90);
    assert_eq!(since["mix"]["came_in"], serde_json::json!(["quarry sand"]));
    assert_eq!(since["mix"]["went_out"], serde_json::json!(["sand"]));
    let amounts = since["mix"]["amounts"].as_array().unwrap();
    assert_eq!(amounts.len(), 2, "cement and water did not change: {amounts:?}");
    close(&amounts[0]["change"], 1750.0);
    close(&amounts[1]["before"], 1750.0);
    let staying = &since["earlier_mix_today"];
    close(&staying["value"], 36.90 + 1750.0 * 0.015);
    close(&staying["difference"], 3.5);
    assert_eq!((&staying["holds"], &staying["misses"]), (&true.into(), &serde_json::json!([])));
    assert_eq!(since["prices"][0]["material"], "sand");
    close(&since["prices"][0]["relative"], 0.25);
    let (code, text, err) = office.solve(&["--previous", &yesterday, "--prices", &office.path("dear.csv")]);
    assert_eq!((code, err.as_str()), (0, ""));
    for told in [
        "PRICES that changed since the earlier run",
        "CHANGES since the earlier run",
        "59.650 EUR/m3, before 57.900: +1.75",
        "- came in: quarry sand; went out: sand",
        "quarry sand 0 to 1750.0 (+1750.0), sand 1750.0 to 0 (-1750.0)",
        "63.150 EUR/m3 today, +3.50 beside today's mix",
    ] {
        assert!(text.contains(told), "{told}: {text}");
    }
    // Nothing changed, nothing to tell.
    let (_, same, _) = office.solve(&["--previous", &yesterday]);
    assert!(same.contains("Unchanged, and holding today: Mortar with two sands"), "{same}");
}

#[test]
fn json_and_tables_with_either_decimal_sign_tell_the_next_night_the_same() {
    let office = Office::new();
    let dear = office.path("dear.csv");
    let mut told: Vec<Value> = Vec::new();
    for (name, format) in [("a.json", None), ("a.csv", None), ("b.csv", Some("csv-semicolon"))] {
        let path = office.path(name);
        let format: Vec<&str> = format.iter().flat_map(|format| ["--format", format]).collect();
        let (code, out, err) = office.solve(&[&["-o", path.as_str()], format.as_slice()].concat());
        assert_eq!((code, out.as_str(), err.as_str()), (0, "", ""), "{name} is one file, not a folder");
        assert!(PathBuf::from(&path).is_file());
        let mut today = office.json(&["--previous", &path, "--prices", &dear]);
        for line in today.as_array_mut().unwrap() {
            // Prices are told by JSON alone.
            line["since"].as_object_mut().unwrap().remove("prices");
        }
        told.push(today);
    }
    assert!(told[0][0]["since"]["mix"].is_object(), "{}", told[0]);
    assert_eq!(told[0], told[1]);
    assert_eq!(told[0], told[2]);
    let office_csv = fs::read_to_string(office.path("b.csv")).unwrap();
    assert!(office_csv.starts_with('\u{feff}'), "spreadsheets take it for UTF-8");
    let first = office_csv.lines().nth(1).unwrap();
    assert!(first.contains(";57,9;EUR/m3;") && !first.contains("57.9"), "{first}");
    let plain = fs::read_to_string(office.path("a.csv")).unwrap();
    let heads = plain.lines().next().unwrap();
    assert!(heads.contains("\"cement, kg/m3\"") && heads.contains("\"cost, EUR/m3\""), "{heads}");
    assert!(heads.ends_with(",\"mean strength, MPa\",caution"), "{heads}");
}

#[test]
fn a_tightened_limit_and_a_lost_material_are_told_of_the_earlier_mix() {
    let office = Office::new();
    let yesterday = office.path("yesterday.json");
    assert_eq!(office.solve(&["-o", &yesterday]).0, 0);
    office.write("wall.yaml", &STATEMENT.replace("at least 30 MPa", "at least 35 MPa"));
    // identity: 20 MPa asks for 1.3 x 180 = 234 kg of cement, below the 250 that are asked for.
    office.write("floor.yaml", &STATEMENT.replace("at least 30 MPa", "at least 20 MPa"));
    let today = office.json(&["--previous", &yesterday]);
    let staying = &today[0]["since"]["earlier_mix_today"];
    assert_eq!(
        (&staying["holds"], &staying["misses"]),
        (&false.into(), &serde_json::json!(["mean strength"]))
    );
    let limits = &today[1]["since"]["mix"];
    assert_eq!(limits["began_to_bind"], serde_json::json!(["amount of cement (at least)"]));
    // Cement in plenty lets the water rise, which is cheaper than sand.
    assert_eq!(limits["ceased_to_bind"], serde_json::json!(["amount of water (at least)"]));
    let (_, text, _) = office.solve(&["--previous", &yesterday]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("it NO LONGER HOLDS: it misses mean strength"), "{text}");
    assert!(
        text.contains("now binding: amount of cement (at least); no longer binding: amount of water"),
        "{text}"
    );
    let without: Vec<&str> = STATEMENT.lines().filter(|line| !line.starts_with("  sand:")).collect();
    office.write("wall.yaml", &without.join("\n"));
    let today = office.json(&["--previous", &yesterday]);
    assert_eq!(today[0]["since"]["earlier_mix_today"]["lacks"], serde_json::json!(["sand"]));
    // A night without any mix still tells what the earlier one comes to.
    office.write("wall.yaml", &STATEMENT.replace("at least 30 MPa", "at least 60 MPa"));
    let today = office.json(&["--previous", &yesterday]);
    assert_eq!(today[0]["value"], Value::Null);
    close(&today[0]["since"]["earlier_mix_today"]["value"], 57.90);
}

#[test]
fn one_statement_is_held_against_its_own_report_in_every_form() {
    let office = Office::new();
    let (wall, yesterday) = (office.path("wall.yaml"), office.path("one.json"));
    assert_eq!(mixbound(&["solve", &wall, "-o", &yesterday]).0, 0, "the ending tells the form");
    assert!(fs::read_to_string(&yesterday).unwrap().starts_with('{'));
    let dear = office.path("dear.csv");
    let told = |format: &str| {
        let arguments = ["solve", &wall, "--previous", &yesterday, "--prices", &dear, "--format", format];
        let (code, out, err) = mixbound(&arguments);
        assert_eq!((code, err.as_str()), (0, ""));
        out
    };
    assert!(told("text").contains("- came in: quarry sand; went out: sand"));
    assert!(told("markdown").contains("## Changes since the earlier run"));
    let csv = told("csv");
    assert!(
        csv.contains("since,quarry sand,came in,") && csv.contains("since,earlier mix,value today,63.15"),
        "{csv}"
    );
    let json: Value = serde_json::from_str(&told("json")).unwrap();
    close(&json["since"]["earlier_mix_today"]["difference"], 3.5);
    // A report of one statement says nothing of several.
    let (code, _, err) = office.solve(&["--previous", &yesterday]);
    assert!(code == 2 && err.contains("is the report of one statement, and 2 are solved"), "{err}");
}

#[test]
fn a_mix_beyond_what_is_approved_needs_a_new_trial() {
    let office = Office::new();
    let approved = "approved:
  note: trial report 7, invented
  ranges: {cement: 306 +/- 10 kg/m3, sand: 1750 kg/m3 +/- 3 %, water: 170 .. 190 kg/m3, cement / free water: at most 1.8}
";
    let wall = office.write("wall.yaml", &format!("{STATEMENT}{approved}"));
    let (code, out, err) = mixbound(&["solve", &wall]);
    assert_eq!((code, err.as_str()), (0, ""), "it limits nothing");
    assert!(
        out.contains(
            "It lies within the ranges that the statement calls approved (trial report 7, invented)."
        ),
        "{out}"
    );
    let dear = office.path("dear.csv");
    let (code, out, _) = mixbound(&["solve", &wall, "--prices", &dear]);
    assert_eq!(code, 0);
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("NEEDS A NEW TRIAL") && flat.contains("sand not used, approved 1698 .. 1802 kg/m3"),
        "{flat}"
    );
    assert!(flat.contains("quarry sand 1750 kg/m3, not in the approved mix"), "{flat}");
    let (_, json, _) = mixbound(&["solve", &wall, "--prices", &dear, "--format", "json"]);
    let json: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["approved"]["needs_new_trial"], true);
    assert_eq!(json["approved"]["beyond"].as_array().unwrap().len(), 2, "{}", json["approved"]);
    close(&json["approved"]["beyond"][0]["low"], 1750.0 * 0.97);
    let (_, csv, _) = mixbound(&["solve", &wall, "--prices", &dear, "--format", "csv"]);
    assert!(csv.contains("approved,\"trial report 7, invented\",ranges,,,,,,needs a new trial"), "{csv}");
    let (_, text, _) = office.solve(&["--prices", &dear]);
    assert!(text.lines().any(|line| line.contains("wall.yaml") && line.contains("NEEDED")), "{text}");
    for (range, told) in [
        ("cement: 306 kg/m3 +/- 10 MPa", "`+/-`"),
        ("cement: 306 +/- 10 MPa", "is a stress"),
        ("cement: 30 .. 40 MPa", "is a stress"),
        ("sement: 306 +/- 10 kg/m3", "did you mean `cement`?"),
        ("cement: 306 +/- 5 %", "can be read in two ways"),
        ("cement: 306 +/- -5 kg/m3", "less than nothing"),
    ] {
        let wrong = office.write("wrong.yaml", &format!("{STATEMENT}approved: {{ranges: {{{range}}}}}\n"));
        let (code, out, err) = mixbound(&["check", &wrong]);
        assert!(code == 2 && out.contains(told), "{range}: {out}{err}");
    }
}

#[test]
fn the_scale_says_which_changes_of_amounts_are_told() {
    let office = Office::new();
    let steps = |size: &str| {
        let rounding = format!("rounding: {{steps: {{cement: {size}}}, unrounded: sand}}\n");
        let wall = office.write("wall.yaml", &format!("{STATEMENT}{rounding}"));
        let yesterday = office.path("scale.json");
        assert_eq!(mixbound(&["solve", &wall, "-o", &yesterday]).0, 0);
        // identity: 30.5 MPa asks for 1.72 x 180 = 309.6 kg of cement, 3.6 more.
        let tighter = format!("{}{rounding}", STATEMENT.replace("at least 30 MPa", "at least 30.5 MPa"));
        office.write("wall.yaml", &tighter);
        let (_, out, _) = mixbound(&["solve", &wall, "--previous", &yesterday, "--format", "json"]);
        let json: Value = serde_json::from_str(&out).unwrap();
        let amounts = json["since"]["mix"]["amounts"].as_array().unwrap().clone();
        amounts.iter().map(|line| line["material"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(steps("1 kg"), ["cement", "sand"]);
    assert_eq!(steps("5 kg"), ["sand"], "less than a step of the scale");
}

#[test]
fn a_price_list_serves_every_command_that_tells_a_cost() {
    let office = Office::new();
    let rounding = "rounding: {steps: {cement: 1 kg}, unrounded: sand}\n";
    let carbon = |text: &str| text.replace("price:", "carbon: 0.1 kg/kg, price:");
    let listed = office.write("listed.yaml", &carbon(&format!("{STATEMENT}{rounding}")));
    let dear = STATEMENT.replace("price: 12 /t surface-dry", "price: 15 /t surface-dry");
    let written = office.write("written.yaml", &carbon(&format!("{dear}{rounding}")));
    let prices = office.write("prices.csv", "material,price\nsand,15 /t surface-dry\nash,3 /t\n");
    let mix =
        office.write("mix.yaml", "amounts: {cement: 310 kg/m3, sand: 1746.667 kg/m3, water: 180 kg/m3}\n");
    for command in [
        vec!["limits"],
        vec!["prices"],
        vec!["predict", "--mix", &mix],
        vec!["front", "--goals", "cost, most mean strength", "--points", "3"],
        vec!["sweep", "--vary", "limits.mean strength=at least 25 MPa, at least 30 MPa"],
        vec!["round"],
    ] {
        let run = |file: &str, more: &[&str]| {
            let arguments = [&command[..1], &[file], &command[1..], more, &["--format", "csv"]].concat();
            mixbound(&arguments)
        };
        let (code, out, err) = run(&listed, &["--prices", &prices]);
        let (other, expected, _) = run(&written, &[]);
        assert_eq!((code, &out), (other, &expected), "{command:?}: {err}");
        assert_eq!(err.matches("the statement has no material `ash`").count(), 1, "{command:?}: {err}");
        assert_ne!(run(&listed, &[]).1, expected, "{command:?} tells no cost");
    }
    let (code, page, err) = mixbound(&[
        "report",
        &listed,
        "--prices",
        &prices,
        "--front",
        "cost, most mean strength",
        "--points",
        "2",
    ]);
    assert!(code == 0 && page.contains("59.650"), "{err}");
    assert_eq!(err.matches("the statement has no material `ash`").count(), 1, "{err}");
    let (_, front, _) = mixbound(&[
        "front",
        &listed,
        "--goals",
        "cost, most mean strength",
        "--points",
        "2",
        "--format",
        "csv-semicolon",
    ]);
    let first = front.lines().nth(1).unwrap();
    assert!(
        first.starts_with("1;57,9;30,0"),
        "every number has a decimal comma, and none stands in quotes: {first}"
    );
    // What one of several statements has is no mistake, in a sweep of several either.
    let other = office.write(
        "other.yaml",
        &STATEMENT.replace("  cement:", "  binder cement:").replace("{is: cement /", "{is: binder cement /"),
    );
    let list = office.write("both.csv", "material,price\ncement,130 /t\nbinder cement,140 /t\n");
    let vary = ["--vary", "limits.mean strength=at least 30 MPa"];
    let (code, _, err) = mixbound(&[&["sweep", &listed, &other, "--prices", &list], &vary[..]].concat());
    assert_eq!((code, err.as_str()), (0, ""));
}

#[test]
fn several_statements_are_checked_one_after_another() {
    let office = Office::new();
    let wrong = office.write("wrong.yaml", "mixbound: 1\ncurency: EUR\n");
    let (code, out, err) =
        mixbound(&["check", &office.path("wall.yaml"), &wrong, &office.path("floor.yaml")]);
    assert_eq!((code, err.as_str()), (2, ""));
    assert_eq!(out.matches("well formed; nothing was solved").count(), 2, "{out}");
    assert!(out.contains("did you mean `currency`?"));
    let (code, out, err) = mixbound(&["check", &office.path("missing.yaml"), &office.path("wall.yaml")]);
    assert!(code == 3 && err.contains("missing.yaml") && out.contains("well formed"), "{out}{err}");
}
