//! Margins by a confidence: Student's quantile, what it holds for, and what surfaces fitted to trials tell.

use mixbound::listed::Id;
use mixbound::problem::{Measured, Problem};
use mixbound::solve::{Settings, Verdict, solve};

use crate::problems::written;

/// A strength of 40 MPa whatever the mix, the mean of `batches` batches that scatter by 1 MPa.
fn problem(batches: u32, margin: &str, trials: &str) -> Result<Problem, String> {
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
  mean strength:
    unit: MPa
    strength: {{specimen: cylinder, statistic: mean, age: 28 d, curing: moist}}
    factors: {{w/c: {{is: water-cement ratio, region: 0.3 .. 0.8}}}}
    terms: {{constant: 40}}
    residual: 1 MPa
    covariance: [[{}]]
    trials: {{degrees of freedom: {}{trials}}}
limits:
  mean strength: {{at least: 30 MPa, statistic: characteristic, margin: {margin}}}
",
        1.0 / f64::from(batches),
        batches - 1,
    );
    written(&text).map(|(problem, ..)| problem)
}

fn measured(problem: &Problem) -> Measured {
    let Verdict::Found(found) = solve(problem, &Settings::default()) else { panic!("there is a mix") };
    problem.measure(&problem.requirements[Id::at(0)], &found.mix).expect("it has a value")
}

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected}");
}

/// One-sided 95 % factors of one more batch from the mean of 3, 5 and 10: Student's quantile times sqrt(1 + 1 / n), as
/// tables of tolerance factors give them.
#[test]
fn a_confidence_counts_how_few_batches_there_were() {
    for (batches, factor) in [(3, 3.372), (5, 2.335), (10, 1.923)] {
        near(measured(&problem(batches, "95 % confidence", "").unwrap()).margin, factor, 6e-4);
    }
}

/// The fit of a large set of published results counted more than a thousand.
#[test]
fn a_fit_may_rest_on_thousands_of_batches() {
    assert!(problem(5, "95 % confidence", ", batches: 1030").is_ok());
}

#[test]
fn a_confidence_says_what_it_holds_for() {
    let of = |margin: &str, trials: &str| measured(&problem(5, margin, trials).unwrap()).margin;
    let t = 2.131_846_8;
    near(of("{confidence: 95 %, of: mean}", ""), t * 0.2_f64.sqrt(), 1e-6);
    near(of("{confidence: 95 %}", ""), t * 1.2_f64.sqrt(), 1e-6);
    // s2 - s2(batch) + production2 where repeated batches tell it, else s2 + production2.
    let production = "{confidence: 95 %, of: production batch, deviation: 2 MPa}";
    near(of(production, ", batch deviation: 0.6 MPa"), t * (0.2_f64 + 1.0 - 0.36 + 4.0).sqrt(), 1e-6);
    near(of(production, ""), t * (0.2_f64 + 1.0 + 4.0).sqrt(), 1e-6);
    // Beside a rule that holds scatter, the mean alone is bounded.
    near(of("{rule: en 1992, confidence: 95 %}", ""), 8.0 + t * 0.2_f64.sqrt(), 1e-6);
}

/// The deviation is 1 MPa at 20 MPa and grows with the prediction: at a limit of 30 MPa and its margin it is a constant
/// that solves m = t (30 + m) / 20, the leverage left out.
#[test]
fn a_growing_deviation_is_that_of_the_limit_with_its_margin() {
    let got = measured(&problem(1_000_000, "95 % confidence", ", power: 1, at: 20 MPa").unwrap()).margin;
    let t = 1.644_854_9;
    near(got, t * 30.0 / (20.0 - t), 1e-3);
}

#[test]
fn confidences_that_mean_nothing_are_refused() {
    for (margin, why) in [
        ("{confidence: 95 %, of: production batch}", "has no `deviation`"),
        ("{confidence: 95 %, deviation: 2 MPa}", "that nothing needs"),
        ("{of: mean}", "neither `rule` nor `confidence`"),
        ("{rule: en 206, confidence: 95 %, of: trial batch}", "holds the scatter"),
        ("{confidence: 95 %, of: production batch, deviation: 2 kg}", "another unit"),
        ("{confidence: 95 %, tests: 20}", "has `tests`"),
    ] {
        let told = problem(5, margin, "").expect_err(margin);
        assert!(told.contains(why), "{margin}: {told}");
    }
    let told = problem(5, "95 % confidence", ", power: 0.7").unwrap_err();
    assert!(told.contains("no `at`"), "{told}");
}
