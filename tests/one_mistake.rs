//! One mistake is told once: with its place, the author's own word, what was allowed, and one way out.
//!
//! What enters: a statement without any finding, invented, with one slip at a time as people make them.

use std::fs;

use crate::program::ran;

/// Nothing is to be said of it.
const STATEMENT: &str = "\
mixbound: 1
title: Slab of an invented hall
note: Invented scenario.
currency: EUR
air: 2 %
materials:
  cement:
    role: cement
    density: 3100 kg/m3
    price: 128 /t
    contents: {chlorides: 0.03 %, alkalis: 0.7 %}
    amount: 280 .. 450 kg/m3
  fly ash:
    role: fly ash
    density: 2300 kg/m3
    price: 62 /t
    if used: 30 .. 120 kg/m3
  sand:
    role: sand
    density: 2640 kg/m3 surface-dry
    absorption: 1.0 %
    moisture: 4 %
    price: 16 /t surface-dry
    grading: {8 mm: 100 %, 4 mm: 98 %, 2 mm: 80 %, 1 mm: 60 %, 0.5 mm: 40 %, 0.25 mm: 15 %, 0.125 mm: 4 %}
  gravel:
    role: coarse aggregate
    density: 2680 kg/m3 surface-dry
    absorption: 0.8 %
    price: 14 /t surface-dry
    amount: 600 .. 1300 kg/m3
    grading: {16 mm: 100 %, 8 mm: 20 %, 4 mm: 2 %, 2 mm: 0 %, 1 mm: 0 %, 0.5 mm: 0 %, 0.25 mm: 0 %, 0.125 mm: 0 %}
  water:
    role: water
    density: 1000 kg/m3
    price: 2 /m3
    amount: 150 .. 200 kg/m3
  plasticiser:
    role: water reducer
    density: 1080 kg/m3
    solids: 30 %
    price: 2.4 /L
    dose: 0.2 .. 1.5 % of binder
quantities:
  fines: {of: [cement, fly ash]}
responses:
  mean strength:
    unit: MPa
    strength: {specimen: cube 150 mm, statistic: mean, age: 28 d, curing: moist}
    factors:
      w: {is: water-binder ratio, region: 0.40 .. 0.65}
      f: {is: fly ash / binder, unit: \"%\", region: 0 .. 30 %}
    terms: {constant: 100, w: -110, f: -0.2}
  slump:
    unit: mm
    factors:
      w: {is: free water, unit: kg/m3, region: 150 .. 200 kg/m3}
      p: {is: plasticiser / binder, unit: \"%\", region: 0.2 .. 1.5 %}
    terms: {constant: -300, w: 2, p: 60}
limits:
  content of alkalis: at most 3.5 kg/m3
  mean strength: {at least: 38 MPa, statistic: characteristic, margin: 6 MPa}
  slump: at least 100 mm
  water-binder ratio: at most 0.55
  sand share: 38 .. 48 %
  passing 4 mm: 40 .. 55 %
  fines: at least 300 kg/m3
choices:
  ash: {of: [fly ash], at most: 1}
goal: least cost
";

/// What is written, what is written in its place, what the finding says, and what its way out says.
const SLIPS: &[(&str, &str, &str, &str)] = &[
    (
        "density: 3100 kg/m3",
        "density: 31000 kg/m3",
        "`density` of material `cement` is 31000 kg/m3",
        "sand has about 2650 kg/m3",
    ),
    (
        "density: 2640 kg/m3 surface-dry",
        "density: 2640 kg/m3 surface dry",
        "unknown unit",
        "write `surface-dry`",
    ),
    (
        "density: 2680 kg/m3 surface-dry",
        "density: 2.68",
        "`density` of material `gravel` has no unit",
        "kg/m3",
    ),
    ("price: 128 /t", "price: 128 EUR", "`price` of material `cement` is an amount of money", "/ton"),
    ("price: 62 /t", "price: 62 USD/t", "is in `USD`", "convert the price"),
    ("role: sand", "role: fine aggregate", "`fine aggregate`", "write `sand`"),
    ("role: water reducer", "role: superplasticizer", "`superplasticizer`", "write `water reducer`"),
    ("amount: 280 .. 450", "amount: 280 - 450", "`amount` of material `cement`", "two points"),
    ("amount: 600 .. 1300", "amount: 1300 .. 600", "runs downwards", "lower end first"),
    ("solids: 30 %", "solids: 30", "`solids` of material `plasticiser` has no unit", "write `30 %`"),
    ("dose: 0.2 .. 1.5 % of binder", "dose: 0.2 .. 1.5 %", "does not say of what", "of binder"),
    ("fly ash / binder", "fly-ash / binder", "unknown name `fly-ash`", "did you mean `fly ash`"),
    (
        "water-binder ratio: at most 0.55",
        "water-binder ratio: at most 55",
        "no mix comes near the limit `water-binder ratio`",
        "check the figure and its unit",
    ),
    (
        "water-binder ratio: at most 0.55",
        "w/b ratio: at most 0.55",
        "unknown name `w/b ratio`",
        "write `water-binder ratio`",
    ),
    ("slump: at least 100 mm", "slump: at least 100", "limit `slump` has no unit", "such as `mm`"),
    (
        "passing 4 mm: 40",
        "passing 5 mm: 40",
        "`passing 5 mm` of limit `passing 5 mm` is not known for: sand, gravel",
        "add this sieve",
    ),
    ("margin: 6 MPa", "margin: 6", "the margin of limit `mean strength`", ""),
    (", margin: 6 MPa", "", "without a margin", "margin: 8 MPa"),
    ("goal: least cost", "goal: minimum cost", "unknown goal `minimum cost`", "write `least cost`"),
    ("goal: least cost", "goal: least carbon", "the statement counts carbon", "to each of them"),
    (
        "of: [fly ash], at most",
        "of: [flyash], at most",
        "unknown material `flyash`",
        "did you mean `fly ash`",
    ),
    ("{of: [cement, fly ash]}", "[cement, fly ash]", "quantity `fines` is a list", "key: value"),
    ("fines: at least", "fine: at least", "unknown name `fine`", "did you mean `fines`"),
    (
        "region: 0.40 .. 0.65",
        "region: 40 .. 65",
        "excludes every allowed mix",
        "check the unit of the region",
    ),
    (
        "terms: {constant: 100, w: -110, f: -0.2}",
        "terms: {constant: 100, wb: -110, f: -0.2}",
        "unknown factor `wb`",
        "did you mean `w`",
    ),
    ("absorption: 1.0 %", "absorption: 1.0", "`absorption` of material `sand` has no unit", "write `1 %`"),
    ("if used: 30 .. 120 kg/m3", "if used: at most 120 kg/m3", "no lower end above zero", "at most"),
    ("air: 2 %", "air: 2", "`air` has no unit", "write `6 %`"),
    ("  water:\n    role: water\n", "  water:\n    role: watr\n", "`watr`", "did you mean `water`"),
    ("4 mm: 98 %", "4 mm: 98", "`4 mm` in `grading`", "write `98 %`"),
    ("4 mm: 98 %, 2 mm: 80 %", "4 mm: 80 %, 2 mm: 98 %", "falls from `2 mm` to `4 mm`", "share that passes"),
    ("currency: EUR\n", "", "no `currency`", "add `currency"),
    ("unit: MPa\n", "unit: Mpa\n", "unknown unit `Mpa`", "did you mean `MPa`"),
    (
        "statistic: characteristic",
        "statistic: caracteristic",
        "`caracteristic`",
        "did you mean `characteristic`",
    ),
    ("sand share: 38 .. 48 %", "sand share: 48 .. 38 %", "runs downwards", "lower end first"),
    ("sand share: 38 .. 48 %", "sand share: 0.38", "on which side", "at least 0.38"),
    ("limits:\n", "limit:\n", "unknown key `limit`", "did you mean `limits`"),
    ("    price: 2.4 /L\n", "", "has no `price`", "add `price"),
    (
        "  slump: at least 100 mm\n",
        "  slump: at least 100 mm\n  slump: at most 150 mm\n",
        "`slump` stands twice",
        "keep one",
    ),
    ("price: 16 /t surface-dry", "price: 16,50 /t surface-dry", "separator in its number", "decimal comma"),
    ("age: 28 d", "age: 28", "`age` of `strength`", "such as `d`"),
    ("amount: 150 .. 200 kg/m3", "amount: 1500 .. 2000 kg/m3", "fill 1834 L", "lower one"),
];

/// What a command says of a statement.
fn told(command: &[&str], text: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("statement.yaml").display().to_string();
    fs::write(&path, text).unwrap();
    let (_, out, err) = ran(&[&command[..1], &[path.as_str()], &command[1..]].concat());
    out + &err
}

fn findings(told: &str) -> usize {
    told.lines().filter(|line| line.starts_with("error: ") || line.starts_with("warning: ")).count()
}

#[test]
fn a_statement_without_a_slip_is_told_nothing() {
    let told = told(&["check"], STATEMENT);
    assert_eq!(findings(&told), 0, "{told}");
}

#[test]
fn each_slip_is_told_once_with_a_way_out() {
    let mut remarks = Vec::new();
    for (from, to, says, way) in SLIPS {
        assert!(STATEMENT.contains(from), "{from}");
        let told = told(&["check"], &STATEMENT.replacen(from, to, 1));
        let placed = told.contains("statement.yaml:");
        if findings(&told) != 1 || !told.contains(says) || !told.contains(way) || !placed {
            remarks.push(format!("{from:?} -> {to:?}\n{told}"));
        }
    }
    crate::kept::none(&remarks);
}

#[test]
fn what_rests_on_a_material_that_could_not_be_read_is_not_told_besides() {
    let with = STATEMENT.replace("goal: least cost", "  fineness modulus: 2 .. 4\ngoal: least cost");
    let with = with
        .replace("  fineness modulus: 2 .. 4\n", "")
        .replace("  fines: at least", "  fineness modulus: 1 .. 4\n  fines: at least");
    for density in ["density: 2640 kg/m3 surface-dry", "density: 2680 kg/m3 surface-dry"] {
        let told = told(&["check"], &with.replace(density, "density: 2640"));
        assert_eq!(findings(&told), 1, "{told}");
        assert!(told.contains("has no unit"), "{told}");
    }
}

#[test]
fn one_region_in_two_responses_is_told_once() {
    let both = STATEMENT.replace(
        "  slump:\n    unit: mm\n    factors:\n",
        "  slump:\n    unit: mm\n    factors:\n      r: {is: water-binder ratio, region: 0.40 .. 0.65}\n",
    );
    let both = both.replace("terms: {constant: -300,", "terms: {constant: -300, r: 1,");
    let wrong = told(&["check"], &both.replace("region: 0.40 .. 0.65", "region: 40 .. 65"));
    assert_eq!(findings(&wrong), 1, "{wrong}");
    assert!(wrong.contains("the same region stands in: slump"), "{wrong}");
    let edge = both
        .replace("region: 0.40 .. 0.65", "region: 0.46 .. 0.65")
        .replace("at least: 38 MPa", "at least: 15 MPa");
    let edge =
        edge.replace("region: 0.46 .. 0.65", "region: 0.40 .. 0.50").replace("at most 0.55", "at most 0.60");
    let solved = told(&["solve", "--no-proof"], &edge);
    assert_eq!(solved.matches("at most 0.5 ").count(), 1, "{solved}");
    assert!(solved.contains("mean strength, slump: water-binder ratio"), "{solved}");
}

#[test]
fn carbon_that_not_every_material_declares_is_added_up_nowhere() {
    let swept = |text: &str, format: &str| {
        told(&["sweep", "--vary", "air=2 %, 3 %", "--no-proof", "--format", format], text)
    };
    let declared = STATEMENT.replace("    price:", "    carbon: 0.1 kg/kg\n    price:");
    let some = STATEMENT.replacen("    price:", "    carbon: 0.1 kg/kg\n    price:", 1);
    for format in ["text", "csv", "json"] {
        assert!(swept(&declared, format).contains("carbon"), "{format}");
        for text in [STATEMENT, &some] {
            assert!(!swept(text, format).contains("carbon"), "{format}\n{}", swept(text, format));
        }
    }
    let front = told(&["front", "--no-proof"], STATEMENT);
    assert_eq!(findings(&front), 1, "{front}");
    assert!(
        front.contains("goals that this statement offers: cost, most mean strength, most slump"),
        "{front}"
    );
    assert!(told(&["front", "--no-proof", "--points", "3"], &declared).contains("carbon"));
}

#[test]
fn a_viscosity_modifier_that_a_choice_calls_for_is_not_missing() {
    let with = STATEMENT
        .replace("  slump:\n    unit", "  slump flow:\n    unit")
        .replace("  slump: at least 100 mm", "  slump flow: at least 100 mm")
        .replace(
            "quantities:",
            "  reducer: {role: shrinkage reducer, density: 950 kg/m3, solids: 60 %, price: 5 /L, if used: 0.5 .. 2 % of binder}\n  \
             stabiliser: {role: viscosity modifier, density: 1010 kg/m3, solids: 5 %, price: 3 /L, if used: 0.1 .. 1 % of binder}\n\
             quantities:",
        );
    let says = "nothing asks for a viscosity modifier";
    assert!(told(&["check"], &with).contains(says));
    for choice in [
        "  stable: {if: reducer, then: stabiliser}\n",
        "  stable: {if: reducer, then: stabiliser, at least: 0.2 % of binder}\n",
        "  stable: {require: stabiliser}\n",
    ] {
        let told = told(&["check"], &with.replace("choices:\n", &format!("choices:\n{choice}")));
        assert!(!told.contains(says) && !told.contains("error:"), "{choice}{told}");
    }
}

#[test]
fn cases_that_no_search_without_proof_can_meet_say_what_they_are() {
    let swept =
        told(&["sweep", "--vary", "limits.mean strength.at least=38 MPa, 90 MPa", "--no-proof"], STATEMENT);
    assert!(swept.contains("nothing found"), "{swept}");
    assert!(swept.contains("it is not proven that none exists"), "{swept}");
}
