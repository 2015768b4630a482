//! What reports say in words and digits: sums, effort, limits as their author wrote them, one conflict alone.
//!
//! What enters: problems of `problems/` with small changes. Expected figures follow from the prices, densities and units
//! that the statements name ("identity").

use std::fs;

use tempfile::TempDir;

use crate::program::ran as mixbound;

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

#[test]
fn liquids_are_told_by_volume_in_us_units_and_may_be_given_so() {
    // identity: 8.34 lb of water at 62.4 lb/ft3 are 8.34 / 62.4 x 1728 / 231 gal; 128 fl oz are one gal.
    let us = "problems/04-us-units.yaml";
    let (_, csv, _) = mixbound(&["solve", us, "--no-proof", "--format", "csv"]);
    let figure = |name: &str, what: &str| -> f64 {
        let row = csv.lines().find(|line| line.starts_with(&format!("mix,{name},\"{what}")));
        let row = row.or_else(|| csv.lines().find(|line| line.starts_with(&format!("mix,{name},{what}"))));
        row.unwrap_or_else(|| panic!("{name} {what}: {csv}")).rsplit(',').nth(5).unwrap().parse().unwrap()
    };
    let cubic_feet = figure("water", "volume,");
    let delivered = figure("water", "amount, as delivered with") / figure("water", "amount, as delivered\"");
    let gallons = cubic_feet * delivered * 1728.0 / 231.0;
    assert!((figure("water", "volume to batch") / gallons - 1.0).abs() < 1e-9, "{csv}");
    let (_, text, _) = mixbound(&["solve", us, "--no-proof"]);
    assert!(text.contains("Liquids by volume") && text.lines().all(|line| line.chars().count() <= 100));
    let (_, text, _) = mixbound(&["solve", us, "--no-proof", "--units", "si"]);
    assert!(!text.contains("Liquids by volume"), "the volume column is in litres: {text}");
}

#[test]
fn a_mix_may_give_its_liquids_by_volume_and_nothing_else() {
    let predicted = |water: &str| {
        let (_folder, path) =
            file("mix.yaml", &format!("amounts: {{cement: 320 kg/m3, sand: 1705 kg/m3, water: {water}}}\n"));
        let (_, out, err) = mixbound(&["predict", "problems/01-by-hand.yaml", "--mix", &path]);
        assert_eq!(err, "", "{water}");
        out
    };
    assert_eq!(predicted("190 L/m3"), predicted("190 kg/m3"));
    // identity: 40 gal is 40 x 231 in3, and one yd3 is 46656 in3.
    let by_mass = format!("{} kg/m3", 40.0 * 231.0 / 46656.0 * 1000.0);
    assert_eq!(predicted("40 gal/yd3"), predicted(&by_mass));
    let (_folder, path) = file("mix.yaml", "amounts: {cement: 100 L/m3, sand: 5 %, water: 3}\n");
    let (code, _, err) = mixbound(&["predict", "problems/01-by-hand.yaml", "--mix", &path]);
    assert_eq!(code, 2);
    assert!(err.contains("`sand` in `amounts`") && err.contains("`water` in `amounts`"), "{err}");
    let (_folder, path) = file("mix.yaml", "amounts: {cement: 100 L/m3, water: 190 L/m3}\n");
    let (_, _, err) = mixbound(&["predict", "problems/01-by-hand.yaml", "--mix", &path]);
    assert!(err.contains("the amount of `cement` is a volume"), "{err}");
}

#[test]
fn prices_are_told_in_the_unit_and_state_in_which_they_were_written() {
    let (_folder, path) = changed("problems/01-by-hand.yaml", "price: 1 /t", "price: 0.002 /L");
    let text = fs::read_to_string(&path).unwrap();
    let text = text.replace(
        "absorption: 1 %\n    price: 12 /t surface-dry",
        "absorption: 1 %\n    moisture: 5 %\n    price: 12 /t as delivered",
    );
    fs::write(&path, text).unwrap();
    let (_, json, err) = mixbound(&["prices", &path, "--format", "json"]);
    let list: serde_json::Value = serde_json::from_str(&json).unwrap_or_else(|_| panic!("{json}{err}"));
    let told =
        |at: usize| (list[at]["price"].as_f64().unwrap(), list[at]["unit"].as_str().unwrap().to_owned());
    assert_eq!(told(0), (120.0, "EUR/t".to_owned()));
    assert_eq!(told(1), (12.0, "EUR/t".to_owned()));
    assert_eq!(list[1]["state"], "as delivered");
    assert_eq!(told(2), (0.002, "EUR/L".to_owned()));
    let (_, text, _) = mixbound(&["prices", &path]);
    assert!(text.contains("/t as delivered") && text.contains("/L "), "{text}");
}

#[test]
fn a_limit_outside_everything_its_response_gives_is_warned_of_with_what_it_gives() {
    // identity: 25 (c/w - 0.5) MPa for c/w of 1.2 .. 2.6 is 17.5 .. 52.5 MPa.
    for (limit, word) in [
        ("at most 17 MPa", Some("never")),
        ("at least 53 MPa", Some("never")),
        ("at least 1.7 MPa", Some("always")),
        ("at least -3 MPa", Some("always")),
        ("at least 17 MPa", None),
        ("at most -3 MPa", Some("never")),
        ("at least 52 MPa", None),
        ("at most 30 MPa", None),
    ] {
        let (_folder, path) = changed(
            "problems/01-by-hand.yaml",
            "mean strength: at least 30 MPa",
            &format!("mean strength: {limit}"),
        );
        let (code, out, _) = mixbound(&["check", &path]);
        assert_eq!(code, 0, "{out}");
        match word {
            Some(word) => {
                let told = format!("limit `mean strength` is {word} met in the region");
                assert!(out.contains(&told) && out.contains("17.5 .. 52.5 MPa"), "{limit}: {out}");
            }
            None => assert!(!out.contains("met in the region"), "{limit}: {out}"),
        }
    }
    let (_folder, path) =
        changed("problems/01-by-hand.yaml", "limits:\n", "limits:\n  binder: at most -300 kg/m3\n");
    let (_, out, _) = mixbound(&["check", &path]);
    assert!(out.contains("limit `binder` is never met"), "{out}");
}

#[test]
fn a_class_of_strength_against_a_law_without_specimen_is_remarked_on() {
    let law = "responses:\n  mean strength:\n    law: bolomey strength\n    inputs: {water binder ratio: water-binder ratio, constant k: 24 MPa}\n\nlimits:\n  mean strength: {at least: C20/25, margin: 6 MPa}\n\n";
    let text = fs::read_to_string("problems/01-by-hand.yaml").unwrap();
    let (start, end) = (text.find("responses:").unwrap(), text.find("goal:").unwrap());
    for (strength, remarked) in [
        ("", true),
        ("    strength: {specimen: cube 150 mm, statistic: mean, age: 28 d, curing: moist}\n", false),
    ] {
        let law = law.replace("\n\nlimits", &format!("\n{strength}\nlimits"));
        let (_folder, path) = file("statement.yaml", &format!("{}{law}{}", &text[..start], &text[end..]));
        let (code, out, _) = mixbound(&["check", &path]);
        assert_eq!(code, 0, "{out}");
        assert_eq!(out.contains("is a cylinder or a cube is not said"), remarked, "{out}");
    }
}

#[test]
fn part_of_a_laws_name_lists_the_laws_that_hold_it() {
    let (code, out, _) = mixbound(&["laws", "modulus", "aci"]);
    assert_eq!(code, 0);
    let named = |line: &&str| line.starts_with("  ") && !line.starts_with("   ");
    assert!(out.lines().filter(named).count() > 1, "{out}");
    assert!(out.lines().filter(named).all(|line| line.contains("aci") && line.contains("modulus")), "{out}");
    assert_eq!(mixbound(&["laws", "nothing of the kind"]).0, 2);
}
