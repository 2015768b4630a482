//! Laws corrected by own results, from files to files: level, slope, exact rows.
//!
//! All results are invented.

use std::fs;

use crate::program::{json, output as mixbound};

const BATCHES: &str = "problems/trials/batches.csv";
const PROBLEM: &str = "problems/20-from-trials.yaml";

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
