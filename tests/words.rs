//! What reports say in words and digits: sums, effort, limits as their author wrote them, one conflict alone.
//!
//! What enters: problems of `problems/` with small changes. Expected figures follow from the prices, densities and units
//! that the statements name ("identity").

use std::fs;
use std::process::{Command, Output};

use tempfile::TempDir;

fn mixbound(arguments: &[&str]) -> (i32, String, String) {
    let output: Output = Command::new(env!("CARGO_BIN_EXE_mixbound")).args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

/// A file in a folder that lives as long as the first value.
fn file(name: &str, text: &str) -> (TempDir, String) {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join(name);
    fs::write(&path, text).unwrap();
    let shown = path.to_str().unwrap().to_owned();
    (folder, shown)
}

/// A problem with one piece of its text replaced.
fn changed(problem: &str, old: &str, new: &str) -> (TempDir, String) {
    let text = fs::read_to_string(problem).unwrap();
    assert!(text.contains(old), "{problem} holds {old}");
    file("changed.yaml", &text.replace(old, new))
}

#[test]
fn cost_and_priced_carbon_are_told_as_the_sum_that_the_goal_is() {
    let (_, out, _) = mixbound(&["solve", "problems/08-carbon-price.yaml", "--no-proof"]);
    let numbers = |line: &str| -> Vec<f64> {
        line.split(' ').filter_map(|word| word.trim_end_matches('.').parse().ok()).collect()
    };
    let goal = numbers(out.lines().find(|line| line.starts_with("least cost")).unwrap());
    let sum = numbers(out.lines().find(|line| line.starts_with("That is")).unwrap());
    let (total, [cost, priced, carbon, price]) = (goal[1], [sum[0], sum[1], sum[2], sum[3]]);
    assert_eq!(price, 120.0);
    assert!((cost + priced - total).abs() < 0.011, "{out}");
    assert!((carbon * price / 1000.0 - priced).abs() < 0.011, "{out}");
    let (_, out, _) = mixbound(&["solve", "problems/01-by-hand.yaml"]);
    assert!(!out.contains("That is"), "{out}");
}

#[test]
fn a_limit_keeps_the_digits_of_its_author_and_gets_four_where_units_are_converted() {
    let us = "problems/04-us-units.yaml";
    let text = fs::read_to_string(us).unwrap();
    assert!(text.contains("psi"), "the problem is in psi");
    let (_, out, _) = mixbound(&["solve", us, "--no-proof", "--units", "si"]);
    let limits = out.split("\nLIMITS").nth(1).unwrap().split("\n\n").next().unwrap();
    for word in limits.split_whitespace().filter(|word| word.parse::<f64>().is_ok()) {
        let digits = word.chars().filter(char::is_ascii_digit).count();
        assert!(digits <= 5, "{word} in {limits}");
    }
    // identity: 57.9 % is 0.579, and 100 x 0.579 is 57.89999999999999 in floating point.
    let (_folder, path) =
        changed("problems/01-by-hand.yaml", "limits:\n", "limits:\n  mortar volume: at least 57.9 %\n");
    let (_, csv, _) = mixbound(&["solve", &path, "--no-proof", "--format", "csv"]);
    let line = csv.lines().find(|line| line.starts_with("limit,mortar volume")).unwrap();
    assert!(line.contains(",57.9,"), "{line}");
}

#[test]
fn the_rule_of_a_margin_speaks_the_unit_of_its_limit() {
    let (_folder, path) = changed(
        "problems/01-by-hand.yaml",
        "mean strength: at least 30 MPa",
        "mean strength: {at least: 3000 psi, statistic: specified, margin: {rule: aci 301, deviation: 450 psi}}",
    );
    let (_, out, err) = mixbound(&["solve", &path, "--no-proof", "--units", "us"]);
    let told = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("450 psi"), "{out}{err}");
}

#[test]
fn one_demand_that_conflicts_with_nothing_else_is_said_to_stand_alone() {
    let (_folder, path) = changed(
        "problems/01-by-hand.yaml",
        "mean strength: at least 30 MPa",
        // identity: no material is denser than cement, 3000 kg/m3.
        "fresh density: at least 3500 kg/m3",
    );
    let (code, out, _) = mixbound(&["solve", &path]);
    assert_eq!(code, 1, "{out}");
    assert!(out.contains("CONFLICT: this alone cannot be met\n"), "{out}");
    let (_, out, _) = mixbound(&["solve", "problems/09-cannot-be-met.yaml"]);
    assert!(out.contains("CONFLICT: these cannot hold together"), "{out}");
}
