//! Overdesign rules as margins: figures of the standards, and limits that move.

use mixbound::listed::Id;
use mixbound::problem::Problem;
use mixbound::quantity::Unit;
use mixbound::solve::{Settings, Verdict, solve};
use mixbound::standard::MarginRule;

use crate::problems::written;

fn problem(limit: &str) -> Result<Problem, String> {
    let text = format!(
        "
mixbound: 1
currency: EUR
air: 1.8 %
materials:
  cement: {{role: cement, density: 3000 kg/m3, price: 120 /t, amount: 150 .. 700 kg/m3}}
  sand: {{role: sand, density: 2500 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}}
  water: {{role: water, density: 1000 kg/m3, price: 1 /t, amount: 180 .. 250 kg/m3}}
goal: least cost
responses:
  mean strength: {{law: bolomey strength, inputs: {{water binder ratio: water-cement ratio}}}}
limits:
  mean strength: {limit}
"
    );
    written(&text).map(|(problem, ..)| problem)
}

fn strength(problem: &Problem) -> f64 {
    let Verdict::Found(found) = solve(problem, &Settings::default()) else { panic!("there is a mix") };
    problem.predict(Id::at(0), &found.mix).expect("it has a value").value
}

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected}");
}

/// ACI 318, table of required average strength and table of modification factors (constants in MPa: value from
/// memory): 28 MPa and a deviation of 4 MPa from 30 tests or more ask for 33.82 MPa, from 20 tests for 1.08 times the
/// deviation, without record for 8.3 MPa more.
#[test]
fn the_mix_reaches_the_required_average_strength() {
    let asked = |margin: &str| {
        strength(&problem(&format!("{{at least: 28 MPa, statistic: specified, margin: {margin}}}")).unwrap())
    };
    near(asked("{rule: aci 318, deviation: 4 MPa}"), 33.82, 5e-3);
    near(asked("{rule: aci 301, deviation: 4 MPa, tests: 20}"), 28.0 + 2.33 * 4.32 - 3.5, 1e-5);
    near(asked("{rule: aci 301}"), 36.3, 1e-5);
}

/// ACI 318, the same table in psi: 4000 psi and a deviation of 600 psi ask for 4898 psi.
#[test]
fn a_limit_in_psi_follows_the_rule_in_psi() {
    let limit = "{at least: 4000 psi, statistic: specified, margin: {rule: aci 318, deviation: 600 psi}}";
    near(Unit::known("psi").from_base(1e6 * strength(&problem(limit).unwrap())), 4898.0, 0.5);
}

/// EN 206-1:2000, annex A.5 (about twice the deviation, 6 to 12 MPa without record: value from memory), and EN
/// 1992-1-1:2004, table 3.1.
#[test]
fn characteristic_strengths_have_the_margins_of_their_standards() {
    let asked = |margin: &str| {
        strength(
            &problem(&format!("{{at least: 30 MPa, statistic: characteristic, margin: {margin}}}")).unwrap(),
        )
    };
    near(asked("{rule: en 1992}"), 38.0, 1e-5);
    near(asked("{rule: en 206, offset: 8 MPa}"), 38.0, 1e-5);
    near(asked("{rule: en 206, deviation: 4 MPa}"), 38.0, 1e-5);
    near(asked("{rule: en 206, deviation: 5 MPa, lambda: 1.64}"), 38.2, 1e-5);
}

/// The rule's own output: above 35 MPa the rule asks for 0.9 f + 2.33 s, so the margin falls as the limit rises.
#[test]
fn the_margin_follows_a_limit_that_moves() {
    let problem =
        problem("{at least: 30 MPa, statistic: specified, margin: {rule: aci 318, deviation: 5 MPa}}")
            .unwrap();
    let moved = problem.with_wanted(Id::at(0), 40.0);
    near(strength(&moved), 0.9 * 40.0 + 2.33 * 5.0, 1e-5);
    let requirement = &problem.requirements[Id::at(0)];
    for asked in [12.0, 30.0, 34.4, 40.0] {
        let required = MarginRule::AciRecorded(5.0, 1.0).required(asked, &requirement.unit);
        near(requirement.severest_met(required, requirement.margin.natural), asked, 1e-9);
    }
}

#[test]
fn what_a_rule_cannot_judge_is_told() {
    let told = |limit: &str| problem(limit).unwrap_err();
    let wrong = told("{at most: 40 MPa, statistic: specified, margin: {rule: aci 318}}");
    assert!(wrong.contains("no strength that must be reached"), "{wrong}");
    let wrong = told("{at least: 40 MPa, statistic: characteristic, margin: {rule: aci 318}}");
    assert!(wrong.contains("starts from a specified strength"), "{wrong}");
    let wrong = told("{at least: 40 MPa, margin: {rule: aci 318, deviation: 4 MPa, tests: 9}}");
    assert!(wrong.contains("fewer than 15 tests"), "{wrong}");
    let wrong = told("{at least: 40 MPa, margin: {rule: en 1992, deviation: 4 MPa}}");
    assert!(wrong.contains("takes no deviation"), "{wrong}");
    for (margin, words) in [
        ("{rule: en 206}", "lacks the scatter of the results"),
        ("{rule: en 206, offset: 4 MPa}", "allowed: 6 .. 12 MPa"),
        ("{rule: en 206, deviation: 4 MPa, lambda: 1.48}", "allowed: 1.64 and more"),
        ("{rule: en 206, deviation: 4 MPa, offset: 8 MPa}", "take one of the two out"),
        ("{rule: aci 318, lambda: 2}", "belong to `rule: en 206`"),
    ] {
        let wrong = told(&format!("{{at least: 40 MPa, margin: {margin}}}"));
        assert!(wrong.contains(words), "{wrong}");
    }
}
