//! Materials that a limited prediction takes no account of are told, in every form of the report.
//!
//! What enters: one small statement, invented, whose materials all have a least amount.

use mixbound::analysis::Explanation;
use mixbound::answer::build::report;
use mixbound::answer::report::Report;
use mixbound::answer::units::Units;
use mixbound::render::layout::Width;
use mixbound::render::{Format, render};
use mixbound::solve::{Settings, solve};

use crate::problems::written;

const SHELF: &str = "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {role: cement, density: 3150 kg/m3, price: 120 /t, amount: 300 .. 600 kg/m3}
  swelling lime: {role: expansive agent, density: 3000 kg/m3, price: 400 /t, amount: 15 .. 30 kg/m3}
  sand: {role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}
  light sand: {role: lightweight sand, density: 1800 kg/m3 prewetted, absorption: 18 %, desorption: 90 %, price: 60 /t prewetted, amount: 200 .. 300 kg/m3}
  drying brake: {role: shrinkage reducer, density: 950 kg/m3, mixing water: 100 %, price: 3000 /t, amount: 4 .. 8 kg/m3}
  threads: {role: fibre, density: 910 kg/m3, price: 5000 /t, amount: 2 .. 6 kg/m3}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 150 .. 250 kg/m3}
quantities:
  reducer dose: {of: drying brake, to: binder}
responses:
  drying shrinkage:
    unit: microstrain
    factors:
      w: {is: water-binder ratio, region: 0.2 .. 0.9}
      r: {is: reducer dose, unit: \"%\", region: 0 .. 3 %}
    terms: {constant: 500, w: 400, r: -50}
  modulus:
    unit: GPa
    factors: {l: {is: lightweight share of sand, unit: \"%\", region: 0 .. 60 %}}
    terms: {constant: 32, l: -0.1}
  age:
    cracking:
      counted from: casting
      restraint: 0.7
      drying from: 1 d
      drying shrinkage: {amount: drying shrinkage, half time: 20 d}
      modulus: modulus
      tensile strength: 4.2 MPa
  slump flow:
    unit: mm
    factors: {w: {is: water-binder ratio, region: 0.2 .. 0.9}}
    terms: {constant: 500, w: 300}
goal: least cost
";

fn told(limits: &str) -> Report {
    let (problem, sources, _) = written(&format!("{SHELF}{limits}")).unwrap_or_else(|told| panic!("{told}"));
    report(&problem, &solve(&problem, &Settings::default()), &Explanation::default(), &sources, Units::Si)
}

fn unheeded<'r>(report: &'r Report, name: &str) -> Vec<&'r str> {
    let line = report.responses.iter().find(|line| line.name == name).unwrap();
    line.unheeded.iter().map(String::as_str).collect()
}

#[test]
fn a_limited_shrinkage_names_what_it_takes_no_account_of() {
    let told = told("limits: {drying shrinkage: at most 900 microstrain, slump flow: at least 400 mm}\n");
    // The swelling lime is in the binder of the water-binder ratio, and that is all.
    assert_eq!(unheeded(&told, "drying shrinkage"), ["swelling lime", "light sand", "threads"]);
    for name in ["modulus", "age", "slump flow"] {
        assert!(unheeded(&told, name).is_empty(), "{name}");
    }
    let words = "takes no account of swelling lime, light sand, threads";
    let text = render(&told, Format::Text, Width::PIPED);
    assert!(text.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{text}");
    assert!(render(&told, Format::Markdown, Width::PIPED).contains(words));
    assert!(
        render(&told, Format::Csv, Width::PIPED)
            .contains("response,drying shrinkage,takes no account of threads,")
    );
    let json: serde_json::Value = serde_json::from_str(&render(&told, Format::Json, Width::PIPED)).unwrap();
    assert_eq!(json["responses"][0]["takes_no_account_of"][2], "threads");
    assert!(json["responses"][1].get("takes_no_account_of").is_none());
}

#[test]
fn an_age_at_cracking_takes_account_through_what_stands_behind_it() {
    let told = told("limits: {age: at least 2 d}\n");
    // By the dose in its shrinkage and by the share in its modulus; the shrinkage behind it says its own.
    assert_eq!(unheeded(&told, "age"), ["swelling lime", "threads"]);
    assert_eq!(unheeded(&told, "drying shrinkage"), ["swelling lime", "light sand", "threads"]);
    assert!(unheeded(&told, "modulus").is_empty());
    let remarks = &told.responses[2].cracking.as_ref().unwrap().remarks;
    assert!(!remarks.iter().any(|remark| remark.contains("expansive agent") || remark.contains("Fibres")));
}

#[test]
fn nothing_is_told_where_nothing_is_asked() {
    let told = told("limits: {water-binder ratio: at most 0.7}\n");
    assert!(told.responses.iter().all(|line| line.unheeded.is_empty()));
}
