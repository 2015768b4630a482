//! Responses by built-in laws: what they bring about in a mix, and how limits on them are stated.
//!
//! What enters: small statements whose answers follow from the laws by hand ("identity").

use mixbound::listed::Id;
use mixbound::problem::{ConditionOrigin, Form, Problem};
use mixbound::response::law::Law;
use mixbound::solve::{Settings, Verdict, solve};
use mixbound::standard::Statistic;

use crate::problems::written;

const SHELF: &str = "
mixbound: 1
currency: EUR
air: 1.8 %
materials:
  cement: {role: cement, density: 3000 kg/m3, price: 120 /t, amount: 150 .. 600 kg/m3}
  sand: {role: sand, density: 2500 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 180 .. 250 kg/m3}
goal: least cost
";

/// The checked problem, or the findings as text.
fn checked(rest: &str) -> Result<(Problem, String), String> {
    written(&format!("{SHELF}{rest}")).map(|(problem, _, told)| (problem, told))
}

fn problem(rest: &str) -> Problem {
    checked(rest).unwrap_or_else(|findings| panic!("{findings}")).0
}

/// The mix: cement, sand, water.
fn mix(problem: &Problem) -> Vec<f64> {
    match solve(problem, &Settings::default()) {
        Verdict::Found(found) => {
            let certainty = found.certainty.expect("a proof was asked for");
            assert!(certainty.complete && certainty.bound <= found.goal * (1.0 + 1e-9), "{certainty:?}");
            found.mix.clone()
        }
        other => panic!("no mix: {other:?}"),
    }
}

fn is_exact(problem: &Problem) -> bool {
    problem.conditions.iter().all(|condition| matches!(condition.form, Form::Linear(_)))
}

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected}");
}

const BOLOMEY: &str = "
responses:
  mean strength:
    law: bolomey strength
    inputs: {water binder ratio: water-cement ratio}
limits:
  mean strength: at least 30 MPa
";

/// identity: the mortar solved by hand in `problems/01-by-hand.yaml`, its strength written as a law.
#[test]
fn bolomeys_law_gives_the_mortar_solved_by_hand() {
    let problem = problem(BOLOMEY);
    assert!(is_exact(&problem), "no linearisation is needed");
    let mix = mix(&problem);
    for (got, expected) in mix.iter().zip([306.0, 1750.0, 180.0]) {
        near(*got, expected, 1e-6 * expected);
    }
    let strength =
        problem.responses[Id::at(0)].strength.as_ref().expect("a law of strength says what it gives");
    assert_eq!(strength.statistic, Statistic::Mean);
    near(problem.predict(Id::at(0), &mix).expect("it has a value").value, 30.0, 1e-9);
}

/// identity: 96.5 / 8^w = 36 MPa at w = ln(96.5 / 36) / ln 8; the margin is folded in before the law is turned over.
#[test]
fn abrams_law_with_a_margin_is_a_bound_on_the_ratio() {
    let problem = problem(
        "
responses:
  mean strength: {law: abrams strength, inputs: {water binder ratio: water-cement ratio}}
limits:
  mean strength: {at least: 30 MPa, margin: 6 MPa}
",
    );
    assert!(is_exact(&problem));
    let mix = mix(&problem);
    near(mix[2] / mix[0], f64::ln(96.5 / 36.0) / f64::ln(8.0), 1e-9);
}

/// identity: a limit on a falling law from above bounds the ratio from below.
#[test]
fn both_sides_of_a_law_are_exact() {
    let problem = problem(
        "
responses:
  mean strength: {law: abrams strength, inputs: {water binder ratio: water-cement ratio}}
limits:
  mean strength: 30 .. 32 MPa
",
    );
    let limits: Vec<_> = problem
        .conditions
        .iter()
        .filter(|condition| condition.origin.requirement().is_some_and(|index| index < Id::at(2)))
        .collect();
    let value = |index: usize, ratio: f64| match &limits[index].form {
        Form::Linear(affine) => affine.at(&[300.0, 1700.0, 300.0 * ratio]),
        Form::Curved(_) => panic!("curved"),
    };
    let ratio = |strength: f64| f64::ln(96.5 / strength) / f64::ln(8.0);
    assert_eq!(limits.len(), 2);
    assert!(value(0, ratio(30.01)) > 0.0 && value(0, ratio(29.99)) < 0.0, "at least 30 MPa");
    assert!(value(1, ratio(31.99)) > 0.0 && value(1, ratio(32.01)) < 0.0, "at most 32 MPa");
}

/// identity: Feret's share of binder in binder, water and air.
#[test]
fn ferets_law_at_fixed_air_is_exact() {
    let problem = problem(
        "
responses:
  mean strength:
    law: feret strength
    inputs: {binder volume: volume of binder, water volume: free water volume, air volume: air}
limits:
  mean strength: at least 34 MPa
",
    );
    let first = problem
        .conditions
        .iter()
        .find(|condition| condition.origin == ConditionOrigin::Requirement(Id::at(0)))
        .expect("the limit");
    assert!(matches!(first.form, Form::Linear(_)));
    let mix = mix(&problem);
    let (binder, water) = (mix[0] / 3000.0, mix[2] / 1000.0);
    near(250.0 * (binder / (binder + water + 0.018)).powi(2), 34.0, 1e-6);
}

/// identity: a limit on the strength at 7 d passes through the age factor and Abrams' law to a ratio.
#[test]
fn a_chain_of_laws_is_turned_over_link_by_link() {
    let problem = problem(
        "
responses:
  mean strength: {law: abrams strength, inputs: {water binder ratio: water-cement ratio}}
  early strength:
    law: eurocode strength at age
    inputs: {mean strength: mean strength, age: 7 d, s: 0.25}
  modulus: {law: eurocode modulus, inputs: {mean strength: mean strength}}
limits:
  early strength: at least 20 MPa
  modulus: at most 36 GPa
",
    );
    assert!(
        problem
            .conditions
            .iter()
            .filter(|c| c.origin.requirement().is_some_and(|index| index < Id::at(2)))
            .all(|c| matches!(c.form, Form::Linear(_)))
    );
    let mix = mix(&problem);
    let strength = problem.predict(Id::at(0), &mix).expect("it has a value").value;
    near(strength * f64::exp(0.25 * (1.0 - 2.0)), 20.0, 1e-6);
    let early = problem.responses[Id::at(1)].strength.as_ref().expect("a strength");
    near(early.age, 7.0 * 86_400.0, 1e-6);
    let modulus = problem.predict(Id::at(2), &mix).expect("it has a value").value;
    near(modulus, 22.0 * (strength / 10.0).powf(0.3), 1e-9);
}

/// identity: a law may be a factor of a surface, and the surface an input of a law: the solver meets both curved.
#[test]
fn laws_and_surfaces_feed_one_another() {
    let problem = problem(
        "
responses:
  mean strength: {law: abrams strength, inputs: {water binder ratio: water-cement ratio}}
  characteristic strength:
    unit: MPa
    strength: {specimen: cylinder, statistic: characteristic, age: 28 d, curing: moist}
    factors: {m: {is: mean strength, unit: MPa, region: 20 .. 90 MPa}}
    terms: {constant: -8, m: 1}
  tension: {law: eurocode tension, inputs: {characteristic strength: characteristic strength}}
limits:
  tension: at least 2.5 MPa
",
    );
    let mix = mix(&problem);
    let tension = problem.predict(Id::at(2), &mix).expect("it has a value").value;
    near(tension, 2.5, 1e-5);
    let ratio = mix[2] / mix[0];
    near(0.3 * (96.5 / 8f64.powf(ratio) - 8.0).powf(2.0 / 3.0), 2.5, 1e-5);
}

/// The published region is a requirement: the cheapest mix stops at it, and the report says so.
#[test]
fn a_law_is_not_used_outside_its_region() {
    let asked = |region: &str| {
        problem(&format!(
            "
responses:
  mean strength:
    law: abrams strength
    inputs: {{water binder ratio: {{is: water-cement ratio{region}}}}}
limits:
  mean strength: at least 5 MPa
"
        ))
    };
    let published = Law::Abrams.card().inputs[0].range;
    let by_source = mix(&asked(""));
    near(by_source[2] / by_source[0], published.1, 1e-6);
    let narrower = mix(&asked(", region: 0.3 .. 0.6"));
    near(narrower[2] / narrower[0], 0.6, 1e-6);
}

#[test]
fn a_fixed_input_outside_the_published_region_is_remarked_on() {
    let (_, remarks) = checked(
        "
responses:
  mean strength: {law: abrams strength, inputs: {water binder ratio: water-cement ratio, constant a: 20 MPa}}
limits: {mean strength: at least 5 MPa}
",
    )
    .expect("it can be used");
    assert!(remarks.contains("where the law is not known") && remarks.contains("30 .. 250 MPa"), "{remarks}");
}

/// A strength inside a law that keeps the statistic hands it on.
#[test]
fn a_loss_through_air_keeps_the_statistic() {
    let problem = problem(
        "
responses:
  strength without air: {law: bolomey strength, inputs: {water binder ratio: water-cement ratio}}
  strength with air: {law: strength after air, inputs: {strength: strength without air, air: air, reference air: 1 %}}
limits:
  strength with air: at least 30 MPa
",
    );
    assert_eq!(problem.responses[Id::at(1)].strength, problem.responses[Id::at(0)].strength);
    let mix = mix(&problem);
    near(25.0 * (mix[0] / mix[2] - 0.5) * (1.0 - 0.05 * 0.8), 30.0, 1e-6);
}

/// identity: Bolomey's law by cement and slag over water at a fixed age is affine; at no fixed age it would not be.
#[test]
fn a_law_that_is_affine_in_ratios_over_one_denominator_is_exact() {
    let problem = problem(
        "
responses:
  mean strength:
    law: bolomey strength with age
    inputs:
      cement water ratio: cement / free water
      slag water ratio: {is: sand / free water, region: 0 .. 12}
      fly ash water ratio: 0
      age: 28 d
      constant: -17.8 MPa
      cement coefficient: 15.3 MPa
      slag coefficient: 0 MPa
      fly ash coefficient: 0 MPa
      growth constant: 4.1 MPa
      cement growth: 1.3 MPa
      slag growth: 0 MPa
      fly ash growth: 0 MPa
limits:
  mean strength: at least 30 MPa
",
    );
    let first = problem
        .conditions
        .iter()
        .find(|condition| condition.origin == ConditionOrigin::Requirement(Id::at(0)))
        .expect("the limit");
    assert!(matches!(first.form, Form::Linear(_)));
    let mix = mix(&problem);
    let growth = f64::ln(28.0);
    near(-17.8 + 4.1 * growth + (15.3 + 1.3 * growth) * mix[0] / mix[2], 30.0, 1e-6);
}
