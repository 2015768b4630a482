//! What classes demand and nobody checks stands in every form of the report, and the author can say which strength they
//! mean.
//!
//! What enters: a small invented statement with two strengths. EN 206-1:2000, table F.1: XD3 asks for C35/45, a
//! water-cement ratio of at most 0.45 and 320 kg/m3 of cement.

use std::fs;
use std::process::Command;

use mixbound::problem::{Problem, Subject};

use crate::problems::written;

const TWO: &str = "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {role: cement, density: 3150 kg/m3, price: 120 /t, amount: 300 .. 500 kg/m3}
  sand: {role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 150 .. 220 kg/m3}
responses:
  drilled cores:
    unit: MPa
    strength: {specimen: cylinder 100 x 200 mm, statistic: mean, age: 28 d, curing: on site}
    factors: {w: {is: water-cement ratio, region: 0.3 .. 0.7}}
    terms: {constant: 80, w: -75}
  moist cylinders:
    unit: MPa
    strength: {specimen: cylinder 150 x 300 mm, statistic: mean, age: 28 d, curing: moist}
    factors: {w: {is: water-cement ratio, region: 0.3 .. 0.7}}
    terms: {constant: 85, w: -75}
goal: least cost
";

const WHY: &str = "XD3: strength at least C35/45 not checked: the statement holds 2 strengths at 28 d (drilled cores, moist \
                   cylinders): name one";

fn statement(classes: &str) -> String {
    format!("{TWO}classes: {{of: [XD3], margin: 8 MPa{classes}}}\n")
}

/// Exit code and standard output of a solve, spaces and line breaks made alike.
fn solved(text: &str, format: &str) -> (i32, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("statement.yaml");
    fs::write(&path, text).unwrap();
    let path = path.to_str().unwrap();
    let arguments = match format {
        "page" => vec!["report", path],
        _ => vec!["solve", path, "--format", format],
    };
    let output = Command::new(env!("CARGO_BIN_EXE_mixbound")).args(arguments).output().unwrap();
    let words: Vec<String> =
        String::from_utf8(output.stdout).unwrap().split_whitespace().map(str::to_owned).collect();
    (output.status.code().unwrap(), words.join(" "))
}

#[test]
fn a_demand_that_nobody_checks_stands_in_every_form_of_the_report() {
    for format in ["text", "markdown", "csv", "page"] {
        let (code, out) = solved(&statement(""), format);
        assert_eq!(code, 0, "{format}");
        if format == "csv" {
            assert!(out.contains("demand,XD3: strength at least C35/45"), "{out}");
            assert!(out.contains("not checked"), "{out}");
        } else {
            let verdict = "every limit that could be checked is met, 1 demand of a class was not";
            assert!(out.contains(verdict), "{format}");
            assert!(out.replace('\\', "").replace("&#x2f;", "/").contains(WHY), "{format}");
        }
    }
    let (_, json) = solved(&statement(""), "json");
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["not_checked"][0]["name"], "XD3: strength");
    assert_eq!(json["not_checked"][0]["demand"], "at least C35/45");
    let (_, plain) = solved(TWO, "text");
    assert!(plain.contains("every limit is met"), "{plain}");
}

fn checked(text: &str) -> Result<(Problem, String), String> {
    written(text).map(|(problem, _, told)| (problem, told))
}

#[test]
fn the_author_says_which_strength_a_class_means() {
    let (problem, told) = checked(&statement(", strength: moist cylinders")).unwrap();
    assert!(told.ends_with("0 errors, 0 warnings\n") && problem.unchecked.is_empty(), "{told}");
    let limit = problem.requirements.iter().find(|one| one.name == "XD3: moist cylinders").unwrap();
    assert!(matches!(limit.subject, Subject::Response(1)));
    // an own limit on one of the two says it as well
    let (problem, _) = checked(&format!(
        "{}limits: {{drilled cores: {{at least: 40 MPa, statistic: characteristic, margin: 8 MPa}}}}\n",
        statement("")
    ))
    .unwrap();
    assert!(problem.unchecked.is_empty());
    let wrong = checked(&statement(", strength: moist cylinder")).unwrap_err();
    assert!(wrong.contains("unknown response `moist cylinder` in `classes`"), "{wrong}");
    assert!(wrong.contains("did you mean `moist cylinders`?"), "{wrong}");
}

#[test]
fn a_class_of_which_nothing_is_checked_is_told() {
    let (problem, told) = checked(&format!("{TWO}classes: [penetration tests]\n")).unwrap();
    assert!(told.contains("nothing that class `penetration tests` asks for is checked"), "{told}");
    assert_eq!(problem.unchecked.len(), 1);
}

/// EN 206-1, annex A.5 and the criteria of initial production: a target of 8 MPa over C35/45 with a deviation of 4 MPa.
#[test]
fn acceptance_criteria_stand_beside_the_target_of_a_strength() {
    let text = statement(", strength: moist cylinders")
        .replace("margin: 8 MPa", "margin: {rule: en 206, deviation: 4 MPa}");
    for format in ["text", "markdown", "csv", "json", "page"] {
        let (code, out) = solved(&text, format);
        assert_eq!(code, 0);
        assert!(
            out.contains("the acceptance criteria of EN 206 judge results, they are no target"),
            "{format}"
        );
        assert!(out.contains("three results meet the initial criteria"), "{format}");
    }
}
