//! The problems of `problems/`: each solves, and its consequences equal `tests/expected/NAME.json` within
//! tolerance; each prints within the width of a page; no expectation is left without its problem.
//!
//! Kept are the state, the goal, the totals, and what each limit wanted and got: what amounts bring about, not
//! the amounts themselves, since two mixes of one cost are the same answer.

use std::path::Path;

use mixbound::analysis::Explanation;
use mixbound::answer::build::report;
use mixbound::answer::report::{Report, State};
use mixbound::answer::units::Units;
use mixbound::cli::checked;
use mixbound::finding::Sources;
use mixbound::problem::Problem;
use mixbound::render::layout::Width;
use mixbound::render::{Format, render};
use mixbound::solve::{Settings, solve};
use serde_json::{Value, json};

use crate::kept;

const FOLDER: &str = "problems";
const EXPECTED: &str = "tests/expected";
/// Relative difference between two values of the goal that counts as none.
const OF_GOAL: f64 = 1e-6;
/// The same for what the mix brings about: around an optimum it moves by the square root of the goal.
const OF_CONSEQUENCES: f64 = 1e-3;
/// Problems whose proof takes minutes: here they are solved without it.
const WITHOUT_PROOF: &[&str] = &["12-mechanistic-cracking"];
/// Columns of a printed page.
const WIDTH: usize = 100;

#[test]
fn every_problem_solves_and_comes_to_what_is_expected() {
    let names = kept::stems(FOLDER, "yaml");
    assert!(!names.is_empty(), "{FOLDER} holds no problem");
    let remarks: Vec<String> = names.iter().flat_map(|name| remarks(name)).collect();
    kept::none(&remarks);
}

#[test]
fn no_expectation_is_left_without_its_problem() {
    let orphans = kept::orphans(EXPECTED, "json", FOLDER, "yaml");
    kept::none(&orphans.iter().map(|path| format!("{path} has no problem")).collect::<Vec<_>>());
}

#[test]
fn numbers_count_as_equal_within_the_tolerance_and_not_beyond_it() {
    let of = |number: f64, name: &str| json!({"goal": {"value": number}, "totals": [{"name": name}]});
    let differences = |now: Value| {
        let mut list = Vec::new();
        compare("", &of(100.0, "paste"), &now, &mut list);
        list
    };
    assert!(differences(of(100.00001, "paste")).is_empty());
    let paste = |value: f64| json!({"totals": [{"value": value}]});
    let mut list = Vec::new();
    compare("", &paste(30.0), &paste(30.02), &mut list);
    assert!(list.is_empty());
    compare("", &paste(30.0), &paste(30.04), &mut list);
    assert_eq!(list, [" totals 0 value: kept 30.0, now 30.04"]);
    assert_eq!(differences(of(100.001, "paste")), [" goal value: kept 100.0, now 100.001"]);
    assert_eq!(differences(of(100.0, "mortar")), [" totals 0 name: kept \"paste\", now \"mortar\""]);
    assert_eq!(differences(json!({"goal": {"value": 100.0}, "totals": []})).len(), 1);
    assert_eq!(differences(json!({"totals": []})).len(), 1);
}

/// The checked problem of a file that must be right.
pub fn problem(path: &str, text: String) -> (Problem, Sources) {
    let mut sources = Sources::default();
    let built = checked(Path::new(path), text, &mut sources);
    let (problem, _) = built.unwrap_or_else(|findings| panic!("\n{}", findings.render(&sources)));
    (problem, sources)
}

/// The problem of a statement written in a test, its sources, and its warnings as text; or its findings as text.
pub fn written(text: &str) -> Result<(Problem, Sources, String), String> {
    let mut sources = Sources::default();
    let source = sources.add("statement.yaml", text);
    let (statement, mut findings) =
        mixbound::statement::read(&sources, source).map_err(|told| told.render(&sources))?;
    match mixbound::problem::build(&statement, &sources) {
        Ok((problem, more)) => {
            findings.extend(more);
            let told = findings.render(&sources);
            Ok((problem, sources, told))
        }
        Err(more) => {
            findings.extend(more);
            Err(findings.render(&sources))
        }
    }
}

fn remarks(name: &str) -> Vec<String> {
    let path = format!("{FOLDER}/{name}.yaml");
    let (problem, sources) = problem(&path, kept::text(&path));
    let settings = if WITHOUT_PROOF.contains(&name) { Settings::local() } else { Settings::default() };
    let report = report(&problem, &solve(&problem, &settings), &Explanation::default(), &sources, Units::Si);
    let mut remarks = Vec::new();
    if !matches!(report.state, State::Optimal | State::BestFound | State::Infeasible) {
        remarks.push(format!("{path} comes to no answer: {}", report.state.words()));
    }
    for (number, line) in render(&report, Format::Text, Width::PIPED).lines().enumerate() {
        if WIDTH < line.chars().count() {
            remarks.push(format!("{path} prints line {} wider than {WIDTH} columns: {line}", number + 1));
        }
    }
    remarks.extend(difference(name, &consequences(&report)));
    remarks
}

/// What is kept of a report.
fn consequences(report: &Report) -> Value {
    let whole: Value = serde_json::from_str(&render(report, Format::Json, Width::PIPED)).unwrap();
    let picked = |list: &str, keys: &[&str]| -> Vec<Value> {
        let lines = whole[list].as_array().unwrap();
        lines
            .iter()
            .map(|line| keys.iter().map(|key| ((*key).to_owned(), line[*key].clone())).collect())
            .collect()
    };
    let mut consequences = json!({
        "state": whole["state"],
        "goal": whole["goal"],
        "totals": picked("totals", &["name", "value", "unit"]),
        "limits": picked("limits", &["name", "kind", "side", "wanted", "got", "unit"]),
    });
    shorten(&mut consequences);
    consequences
}

/// Nine digits of every number: what lies beyond them is rounding and would only make noise in the kept files.
fn shorten(value: &mut Value) {
    match value {
        Value::Number(number) => {
            let short: f64 = format!("{:.8e}", number.as_f64().unwrap()).parse().unwrap();
            *value = json!(short);
        }
        Value::Array(list) => list.iter_mut().for_each(shorten),
        Value::Object(map) => map.values_mut().for_each(shorten),
        Value::Null | Value::Bool(_) | Value::String(_) => {}
    }
}

/// What differs from the kept file; it is rewritten under `scripts/bless` only if something differs.
fn difference(name: &str, now: &Value) -> Vec<String> {
    let path = format!("{EXPECTED}/{name}.json");
    let text = format!("{}\n", serde_json::to_string_pretty(now).unwrap());
    if !Path::new(&path).exists() {
        return kept::difference(&path, &text).into_iter().collect();
    }
    let mut list = Vec::new();
    let before: Value = serde_json::from_str(&kept::text(&path)).unwrap();
    compare(&path, &before, now, &mut list);
    if kept::blessing() && !list.is_empty() {
        list.clear();
        list.extend(kept::difference(&path, &text));
    }
    list
}

/// Collects where two documents differ; numbers may differ by the tolerance.
fn compare(place: &str, kept: &Value, now: &Value, list: &mut Vec<String>) {
    match (kept, now) {
        (Value::Object(left), Value::Object(right)) if left.keys().eq(right.keys()) => {
            for (key, value) in left {
                compare(&format!("{place} {key}"), value, &right[key], list);
            }
        }
        (Value::Object(left), Value::Object(right)) => {
            let keys =
                |map: &serde_json::Map<String, Value>| map.keys().cloned().collect::<Vec<_>>().join(", ");
            list.push(format!("{place}: kept keys {}, now {}", keys(left), keys(right)));
        }
        (Value::Array(left), Value::Array(right)) => {
            if left.len() != right.len() {
                list.push(format!("{place}: kept {} entries, now {}", left.len(), right.len()));
            }
            for (at, (left, right)) in left.iter().zip(right).enumerate() {
                compare(&format!("{place} {at}"), left, right, list);
            }
        }
        (Value::Number(left), Value::Number(right)) => {
            let (left, right) = (left.as_f64().unwrap(), right.as_f64().unwrap());
            // Below one the difference counts as it stands: amounts that ought to be zero carry rounding.
            let tolerance = if place.ends_with(" goal value") { OF_GOAL } else { OF_CONSEQUENCES };
            if tolerance * left.abs().max(right.abs()).max(1e-3) < (left - right).abs() {
                list.push(format!("{place}: kept {left:?}, now {right:?}"));
            }
        }
        _ if kept == now => {}
        _ => list.push(format!("{place}: kept {kept}, now {now}")),
    }
}
