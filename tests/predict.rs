//! Given mixes: predicted and judged without seeking, beside measured values, and against what is found.
//!
//! What enters: the problem solved by hand in `problems/01-by-hand.yaml`, and mixes written here. Expected figures follow
//! from its strength line f = 25 (c/w - 0.5) MPa and its densities and prices ("identity").

use std::fs;

use tempfile::TempDir;

use crate::program::ran as mixbound;

const BY_HAND: &str = "problems/01-by-hand.yaml";

/// A mix file; its folder lives as long as the first value.
fn mix(name: &str, text: &str) -> (TempDir, String) {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join(name);
    fs::write(&path, text).unwrap();
    let shown = path.to_str().unwrap().to_owned();
    (folder, shown)
}

/// The first row of that name in the table of changes.
fn changes(out: &str, name: &str) -> String {
    let table = out.split("CHANGES").last().unwrap();
    table.lines().find(|line| line.trim_start().starts_with(name)).unwrap().to_owned()
}

const TODAY: &str = "
title: Mix of today, invented
amounts: {cement: 320 kg/m3, sand: 1705 kg/m3, water: 190 kg/m3}
measured: {mean strength: 31.2 MPa, water-cement ratio: 0.6}
";
/// Meets the strength, with too little water for its bound and c/w beyond the region.
const STRONG: &str = "amounts: {cement: 400 kg/m3, sand: 1675 kg/m3 dry, water: 150 kg/m3}\n";

#[test]
fn a_given_mix_is_predicted_and_judged_beside_what_was_measured() {
    let (_folder, path) = mix("today.yaml", TODAY);
    let (code, out, err) = mixbound(&["predict", BY_HAND, "--mix", &path]);
    assert_eq!((code, err.as_str()), (1, ""), "{out}");
    assert!(out.starts_with("Mix of today, invented\n"), "{out}");
    // identity: 25 (320 / 190 - 0.5) = 29.61 MPa; 320 x 0.120 + 1705 x 0.012 + 190 x 0.001 = 59.05.
    assert!(out.contains("cost: 59.050 EUR/m3") && out.contains("29.61 MPa"), "{out}");
    assert!(out.contains("It does not meet 1 limit.\n"), "{out}");
    assert!(out.contains("MIX AS GIVEN") && out.contains("MEASURED beside predicted"), "{out}");
    assert!(out.lines().any(|line| line.contains("31.20 MPa") && line.contains("1.59")), "{out}");
    let (_, json, _) = mixbound(&["predict", BY_HAND, "--mix", &path, "--format", "json"]);
    let value: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(value["state"], "as given");
    assert_eq!(value["measured"][0]["measured"], 31.2);
    assert!(
        (value["measured"][0]["predicted"].as_f64().unwrap() - 25.0 * (320.0 / 190.0 - 0.5)).abs() < 1e-9
    );
}

#[test]
fn what_lies_outside_a_region_or_does_not_fill_the_volume_is_marked() {
    let (_folder, path) = mix("strong.yaml", STRONG);
    let (code, out, _) = mixbound(&["predict", BY_HAND, "--mix", &path]);
    assert_eq!(code, 1);
    assert!(out.contains("OUTSIDE what responses are known for in 1 place"), "{out}");
    assert!(out.lines().any(|line| line.contains("1.2 .. 2.6") && line.contains("OUTSIDE")), "{out}");
    // identity: sand is 1675 x 1.01 surface-dry; 400/3000 + 1691.75/2500 + 0.150 + 0.018 = 0.97803 m3.
    assert!(out.contains("fill 0.9780 m3, not 1 m3"), "{out}");
    assert!(out.contains("It does not meet 1 bound of materials.\n"), "{out}");
}

#[test]
fn several_mixes_are_compared_with_the_first_and_the_better_direction_is_that_of_the_statement() {
    let (_one, today) = mix("today.yaml", TODAY);
    let (_two, strong) = mix("strong.yaml", STRONG);
    let (_, out, _) = mixbound(&["predict", BY_HAND, "--mix", &today, &strong]);
    let row = |name: &str| changes(&out, name);
    assert!(row("cement").contains("400.0 (+80.0)"), "kilograms: {}", row("cement"));
    assert!(row("mean strength").contains("better)"), "asked for at least so much: {}", row("mean strength"));
    assert!(row("cost").contains("worse)"), "the goal is the least: {}", row("cost"));
    assert!(!row("fresh density").contains("better") && !row("fresh density").contains("worse"));
    let told = changes(&out, "strong");
    assert!(told.contains("misses: amount of water") && out.contains("It fills 0.9780"), "{told}");
    assert!(out.lines().all(|line| line.chars().count() <= 100), "{out}");
    let as_written = |format: &str| {
        let (code, out, err) = mixbound(&["predict", BY_HAND, "--mix", &today, &strong, "--format", format]);
        assert_eq!((code, err.as_str()), (1, ""));
        out
    };
    let csv = as_written("csv");
    assert!(csv.starts_with("mix,part,name,figure,value,unit,"), "{csv}");
    let from = "\"change from Mix of today, invented\"";
    assert!(csv.contains(&format!("strong,change,cement,{from},80.0,kg/m3,,,,\r\n")), "{csv}");
    assert!(csv.contains("\"Mix of today, invented\",measured,mean strength,measured,31.2,MPa"), "{csv}");
    // identity: 25 (400 / 150 - 320 / 190)
    let json: serde_json::Value = serde_json::from_str(&as_written("json")).unwrap();
    assert!(json[0].get("changes").is_none());
    let figures = json[1]["changes"]["figures"].as_array().unwrap();
    let strength = figures.iter().find(|figure| figure["name"] == "mean strength").unwrap();
    let gained = 25.0 * (400.0 / 150.0 - 320.0 / 190.0);
    assert!((strength["change"].as_f64().unwrap() - gained).abs() < 1e-9, "{strength}");
    assert_eq!(strength["verdict"], "better");
    assert!(as_written("markdown").contains("## Changes from Mix of today, invented"));
}

#[test]
fn a_found_mix_is_held_against_that_of_today() {
    let (_folder, path) = mix("today.yaml", TODAY);
    let (code, out, err) = mixbound(&["solve", BY_HAND, "--against", &path]);
    assert_eq!((code, err.as_str()), (0, ""));
    let row = |name: &str| changes(&out, name);
    assert!(out.contains("CHANGES from Mix of today, invented"), "{out}");
    assert!(row("cement").contains("306.0 (-14.0)") && row("water").contains("180.0 (-10.0)"), "{out}");
    assert!(row("cost").contains("57.90 (-1.15, better)"), "{}", row("cost"));
    for format in ["json", "csv", "markdown"] {
        let (code, out, err) = mixbound(&["solve", BY_HAND, "--against", &path, "--format", format]);
        assert_eq!((code, err.as_str()), (0, ""));
        assert!(out.contains("Mix of today, invented") && out.contains("better"), "{format}: {out}");
    }
    let (code, _, err) = mixbound(&["solve", BY_HAND, BY_HAND, "--against", &path]);
    assert_eq!(code, 2);
    assert!(err.contains("`--against`"), "{err}");
}

#[test]
fn a_quantity_within_its_limit_is_neither_better_nor_worse() {
    let statement = fs::read_to_string(BY_HAND).unwrap();
    let (_one, today) = mix("today.yaml", TODAY);
    for (limit, directed) in [("at most 350 kg/m3", false), ("at most 310 kg/m3", true)] {
        let limited = statement.replace("limits:\n", &format!("limits:\n  binder: {limit}\n"));
        let (_two, path) = mix("statement.yaml", &limited);
        let (_, out, _) = mixbound(&["solve", &path, "--against", &today]);
        let row = changes(&out, "binder ");
        assert_eq!(row.contains("better)"), directed, "320 kg/m3 of today against {limit}: {row}");
    }
}

#[test]
fn what_is_no_mix_of_these_materials_is_told_all_at_once() {
    let (_folder, path) = mix(
        "bad.yaml",
        "amounts: {cemet: 300 kg/m3, sand: 9000 kg/m3, water: 180 kg/m3}\nair: 9 %\nmeasured: {mean strength: 3 d, slump: 60 mm}\n",
    );
    let (code, out, err) = mixbound(&["predict", BY_HAND, "--mix", &path]);
    assert_eq!((code, out.as_str()), (2, ""));
    for told in [
        "did you mean `cement`?",
        "the amount of `sand` cannot be",
        "the mix has 9 % of air",
        "`mean strength` is a stress, and a time was measured",
        "unknown name `slump`",
    ] {
        assert!(err.contains(told), "{told}: {err}");
    }
}

const CRACKING: &str = "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {role: cement, density: 3000 kg/m3, price: 120 /t, carbon: 0.9 kg/kg, amount: 300 .. 500 kg/m3}
  sand: {role: sand, density: 2500 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry, carbon: 0.005 kg/kg}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, carbon: 0 kg/kg}
responses:
  drying: {unit: microstrain, factors: {w: {is: water-binder ratio, region: 0.3 .. 0.7}}, terms: {constant: -1400, w: 4000}}
  age:
    cracking:
      counted from: drying
      restraint: 0.7
      drying from: 1 d
      horizon: 91 d
      drying shrinkage: {amount: drying, half time: 20 d}
      modulus: {amount: 28 GPa, growth: {1 d: 68 %, 3 d: 86 %, 28 d: 100 %}}
      tensile strength: {amount: 4.2 MPa, growth: {1 d: 34 %, 3 d: 60 %, 28 d: 100 %}}
      creep: 2.35
limits: {age: at least 2 d}
goal: least carbon
";

/// An age that there is none of is better than any where an age is asked for, and no number; a measured age lies within
/// the test's scatter or not.
#[test]
fn a_mix_that_does_not_crack_is_better_without_a_number() {
    let (_folder, statement) = mix("cracking.yaml", CRACKING);
    let one = |ratio: f64, age: &str| {
        let water = 400.0 * ratio;
        let sand = (0.98 - 400.0 / 3000.0 - water / 1000.0) * 2500.0;
        format!("amounts: {{cement: 400 kg/m3, sand: {sand} kg/m3, water: {water} kg/m3}}\n{age}")
    };
    let (_one, wet) = mix("wet.yaml", &one(0.60, "measured: {age: 30 d}\n"));
    let (_two, dry) = mix("dry.yaml", &one(0.45, ""));
    let (_, out, err) = mixbound(&["predict", &statement, "--mix", &wet, &dry]);
    assert_eq!(err, "", "{err}");
    assert!(changes(&out, "age").contains("none by 90 d (better)"), "{out}");
    let measured = out.split("MEASURED").nth(1).unwrap();
    assert!(measured.contains("OUTSIDE the test's"), "{measured}");
    for figure in ["cost", "carbon"] {
        assert!(changes(&out, figure).contains('('), "{}", changes(&out, figure));
    }
    let (_, out, _) = mixbound(&["predict", &statement, "--mix", &dry, &wet]);
    assert!(changes(&out, "age").contains("(worse)"), "{out}");
}

/// An input written as a number where the law is not known is a warning when the statement is read, and marked beside the
/// prediction like one that follows from the mix.
#[test]
fn a_fixed_input_outside_the_region_of_a_law_is_marked_with_its_value_and_the_region() {
    let law = "  shrinkage: {law: mc90 shrinkage, inputs: {mean strength: 38 MPa, humidity: 30 %, volume surface ratio: 75 mm, beta: 5, age: 90 d, drying age: 7 d}}\n";
    let statement = CRACKING.replace("responses:\n", &format!("responses:\n{law}"));
    let (_folder, statement) = mix("law.yaml", &statement);
    let (_one, given) =
        mix("given.yaml", "amounts: {cement: 400 kg/m3, sand: 1567 kg/m3, water: 220 kg/m3}\n");
    let (_, out, err) = mixbound(&["predict", &statement, "--mix", &given]);
    assert!(
        err.contains("is 30 %, where the law is not known") && err.contains("known for 40 .. 99 %"),
        "{err}"
    );
    let told = |line: &&str| line.trim_start().starts_with("humidity");
    let line = out.lines().find(told).unwrap();
    assert!(line.contains("30.00 %") && line.contains("40 .. 99") && line.contains("OUTSIDE"), "{line}");
    // Formulas for one property differ: each form of the report names the one.
    for format in ["text", "json", "csv", "markdown"] {
        let (_, out, _) = mixbound(&["predict", &statement, "--mix", &given, "--format", format]);
        let named =
            if format == "json" { "\"law\": \"mc90 shrinkage\"" } else { "by the law mc90 shrinkage" };
        assert!(out.contains(named), "{format}: {out}");
    }
}

/// What each candidate meets, in a line and limit by limit: a limit on a response that is asked outside what it is known
/// for is not judged, whatever the figure.
#[test]
fn many_mixes_are_judged_in_short_limit_by_limit() {
    let (_one, today) = mix("today.yaml", TODAY);
    let (_two, strong) = mix("strong.yaml", STRONG);
    let asked = ["predict", BY_HAND, "--short", "--mix", &today, &strong];
    let (code, out, err) = mixbound(&asked);
    assert_eq!((code, err.as_str()), (1, ""));
    let row = |name: &str| out.lines().rfind(|line| line.starts_with(name)).unwrap_or_default();
    // By hand: today's strength is 25 x 320 / 190 - 12.5 = 29.61 MPa; the ratio of `strong` is 2.67, known up to 2.6.
    assert!(row("mean strength").contains("FAIL (-0.395)"), "{out}");
    assert!(row("mean strength").ends_with("not judged"), "{out}");
    assert!(row("amount of water").contains("pass (+10.0)"), "{out}");
    assert!(row("amount of water").ends_with("FAIL (-30.0)"), "{out}");
    let (_, json, _) = mixbound(&[&asked[..], &["--format", "json"]].concat());
    let told: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(told["limits"][0]["results"][1]["judged"], "not judged");
    let slack = told["limits"][0]["results"][0]["slack"].as_f64().unwrap();
    assert!((slack - (25.0 * 320.0 / 190.0 - 12.5 - 30.0)).abs() < 1e-9, "{slack}");
    assert_eq!(told["mixes"][1]["not_judged"], 1);
    let (_, csv, _) = mixbound(&[&asked[..], &["--format", "csv"]].concat());
    assert_eq!(csv.lines().count(), 1 + 2 * told["limits"].as_array().unwrap().len());
    assert!(
        csv.lines()
            .any(|line| line.starts_with("strong,amount of water,36,at least,180.0,kg/m3,fail,150.0,-30.0"))
    );
}

/// Identity: 320 kg of cement, 1705 kg of sand and 190 kg of water scaled to fill one cubic metre keep their ratios.
#[test]
fn a_mix_may_be_scaled_to_its_yield() {
    let (_folder, path) = mix("today.yaml", &format!("volume: to yield\n{}", TODAY.trim_start()));
    let (_, json, err) = mixbound(&["predict", BY_HAND, "--mix", &path, "--format", "json"]);
    let value: serde_json::Value = serde_json::from_str(&json).unwrap_or_else(|_| panic!("{json}{err}"));
    let amount = |name: &str| {
        let line =
            value["mix"].as_array().unwrap().iter().find(|line| line["material"] == name).unwrap().clone();
        (line["amount"]["value"].as_f64().unwrap(), line["volume"]["value"].as_f64().unwrap())
    };
    let lines = [amount("cement"), amount("sand"), amount("water")];
    assert!((lines[0].0 / lines[2].0 - 320.0 / 190.0).abs() < 1e-9);
    assert!((lines[1].0 / lines[2].0 - 1705.0 / 190.0).abs() < 1e-9);
    let air = value["air"]["value"].as_f64().unwrap_or(0.0);
    let filled: f64 = lines.iter().map(|line| line.1).sum();
    assert!((filled + air - 1000.0).abs() < 1e-6, "{filled} L of materials and {air} L of air");
}
