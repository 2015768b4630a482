//! Cases that went wrong once, in `tests/data/cases`: each with what the program must make of it.
//!
//! What enters: a statement and a command. What leaves: the exit code and what must be told. Which numbers come out is for
//! other tests.

use crate::kept;
use crate::program::ran as run;

const FOLDER: &str = "tests/data/cases";

/// Exit code, standard output, standard error.
fn case(name: &str) -> String {
    format!("{FOLDER}/{name}")
}

#[test]
fn words_that_nobody_would_look_at_are_a_finding_at_their_place() {
    for (name, line, told) in [
        ("unit-ignored-1.yaml", ":27:", "`of binder` behind `kg/m3`"),
        ("unit-ignored-2.yaml", ":20:", "`of nonsense`"),
    ] {
        let (code, _, told_at) = run(&["solve", &case(name)]);
        assert_eq!(code, 2, "{told_at}");
        assert!(told_at.contains(line) && told_at.contains(told), "{told_at}");
    }
}

#[test]
fn quantities_in_a_circle_are_named() {
    let (code, _, told) = run(&["solve", &case("says-nothing.yaml")]);
    assert_eq!(code, 2);
    assert!(told.contains("quantities use one another in a circle: q, r"), "{told}");
    assert_eq!(told.matches("error:").count(), 1, "{told}");
}

#[test]
fn limits_that_contradict_one_another_are_a_verdict_with_its_conflict() {
    for name in ["contradiction.yaml", "limit-against-limit.yaml", "limit-against-bound.yaml"] {
        let (code, out, told) = run(&["solve", &case(name)]);
        assert_eq!(code, 1, "{told}");
        assert!(out.contains("PROVEN INFEASIBLE") && out.contains("CONFLICT"), "{out}");
        assert!(told.contains("cannot hold together with") && told.contains("warning:"), "{told}");
    }
}

#[test]
fn a_scenario_has_the_prices_that_it_includes() {
    let (code, out, told) = run(&["sweep", &case("scenario-include.yaml"), "--format", "csv"]);
    assert_eq!(code, 0, "{told}");
    let goals: Vec<&str> = out.lines().collect();
    // By hand 57.90; with cement at 1 per tonne as much of it as the region allows with 250 kg of water, 650 kg, and
    // 1288.3 kg of sand: 0.65 + 15.46 + 0.25 = 16.36.
    assert!(goals.iter().any(|line| line.contains(",57.9")), "{out}");
    assert!(goals.iter().any(|line| line.contains(",16.36") || line.contains(",16.359999")), "{out}");
    let (code, _, told) = run(&["sweep", &case("scenario-include.yaml"), "--vary", "include=cheap.yaml"]);
    assert!(code == 2 && told.contains("a file is no value"), "{told}");
}

#[test]
fn a_price_list_fixes_its_decimal_sign_once() {
    let statement = "problems/01-by-hand.yaml";
    let (code, out, told) = run(&["solve", statement, "--prices", &case("mixed-commas.csv"), "--no-proof"]);
    assert_eq!(code, 0, "{told}");
    // With sand at 1250 per tonne as little of it as can be: 250 kg of water, 2.6 times as much cement at 130.50 per tonne,
    // and 1288.3 kg of sand in what is left: 84.83 + 1610.42 + 0.25.
    assert!(out.contains("1695.5"), "{out}");
}

#[test]
fn boxes_whose_ends_cross_end_in_an_answer() {
    for (name, answer) in [
        ("box-turned-over-1.yaml", "PROVEN INFEASIBLE"),
        ("box-turned-over-2.yaml", "optimal: 57.900"),
        ("box-turned-over-3.yaml", "PROVEN INFEASIBLE"),
        ("box-turned-over-4.yaml", "PROVEN INFEASIBLE"),
        ("box-turned-over-5.yaml", "PROVEN INFEASIBLE"),
    ] {
        let (code, out, told) = run(&["solve", &case(name)]);
        assert_eq!(code, i32::from(!answer.starts_with("optimal")), "{name}: {told}");
        assert!(out.contains(answer), "{name}: {out}");
    }
}

#[test]
fn a_trace_is_not_a_use() {
    let (code, out, told) = run(&["solve", &case("unsettled-trace.yaml"), "--format", "json"]);
    assert_eq!(code, 0, "{told}");
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(answer["state"], "optimal");
    for material in answer["mix"].as_array().unwrap() {
        let amount = material["amount"]["value"].as_f64().unwrap();
        assert!(amount == 0.0 || 1e-3 <= amount, "{material}");
    }
}

#[test]
fn the_price_that_makes_a_material_worth_using_is_not_passed() {
    let (code, out, told) = run(&["prices", &case("price-not-free.yaml"), "--format", "csv"]);
    assert_eq!(code, 0, "{told}");
    let line = out.lines().find(|line| line.starts_with("strong reducer")).unwrap();
    let below: f64 = line.split(',').nth(7).unwrap().parse().unwrap();
    // At 2 /L it is used.
    assert!((2.0..2.2).contains(&below), "{line}");
    let (list, statement) = (case("price-at-2.csv"), case("price-not-free.yaml"));
    let (_, out, _) = run(&["solve", &statement, "--prices", &list]);
    assert!(out.contains("Not used: water reducer."), "{out}");
}

#[test]
fn an_explanation_ends_with_the_time_and_leaves_open_what_it_has_not_settled() {
    for name in ["long-explanation-1.yaml", "long-explanation-2.yaml", "long-explanation-3.yaml"] {
        let began = std::time::Instant::now();
        let (code, out, told) = run(&["solve", &case(name), "--time-limit", "1"]);
        assert_eq!(code, 1, "{name}: {told}");
        // A second over, and what a busy machine takes.
        assert!(began.elapsed().as_secs_f64() < 4.0, "{name} took {:?}", began.elapsed());
        let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
        // What was proven comes with its conflict, members settled or marked; what was not says why it stopped.
        let explained =
            out.contains("PROVEN INFEASIBLE") && out.contains("CONFLICT: these cannot hold together");
        assert!(
            explained || out.contains("not settled") || out.contains("stopped by its time limit"),
            "{name}: {out}"
        );
    }
}

#[test]
fn every_case_is_looked_at() {
    let source = kept::text("tests/cases.rs");
    let unseen: Vec<String> = (kept::stems(FOLDER, "yaml").into_iter())
        .filter(|stem| !source.contains(&format!("{stem}.yaml")))
        .map(|stem| format!("no test looks at {FOLDER}/{stem}.yaml"))
        .collect();
    kept::none(&unseen);
}
