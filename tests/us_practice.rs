//! What US practice writes and SI practice does not: relative densities, liquids by volume wherever they are bounded,
//! fineness modulus and bulk volume; and ratios as names of limits. Sources stand beside the checks.

use mixbound::listed::Id;
use mixbound::solve::{Found, Settings, Verdict, solve};

use crate::problems::written;
use crate::program::ran;

const STATEMENT: &str = "\
mixbound: 1
title: Invented
currency: $
air: 1.8 %
materials:
  cement: {role: cement, density: 3.15 SG, price: $120/ton, amount: at least 300 lb/yd3}
  sand: {role: sand, density: 2.62 SG SSD, absorption: 1 %, price: $12/ton SSD, amount: at least 400 lb/yd3, grading: {3/8 in: 100 %, No. 4: 98 %, No. 8: 85 %, No. 16: 65 %, No. 30: 45 %, No. 50: 20 %, No. 100: 5 %}}
  stone: {role: coarse aggregate, density: 2.65 relative density oven-dry, absorption: 2 %, bulk density: 100 lb/ft3, price: $11/ton SSD, share: at least 30 % of aggregate volume}
  reducer: {role: water reducer, density: 1.07 SG, solids: 30 %, price: $16/gal, amount: 5 .. 60 fl oz/yd3}
  water: {role: water, density: 62.4 lb/ft3, price: $1/ton}
limits:
  binder: at least 500 lb/yd3
  water: at least 30 gal/yd3
  water-binder ratio: at most 0.5
  reducer / binder: 0.2 .. 2 %
  bulk volume of coarse aggregate: at most 65 %
  fineness modulus: 2.3 .. 3.1
responses:
  slump:
    unit: in
    factors:
      d: {is: reducer / binder, unit: fl oz/cwt, region: 1 .. 12}
    terms: {constant: 1, d: 0.5}
goal: least cost
";

/// The mix found, and what was got for the limits on these names, in the author's units.
fn solved(text: &str) -> (Found, Vec<(String, f64)>) {
    let (problem, ..) = written(text).unwrap_or_else(|told| panic!("{told}"));
    let Verdict::Found(found) = solve(&problem, &Settings::default()) else { panic!("it has a mix") };
    let line = |line: &mixbound::solve::Line| {
        Some((problem.requirements[line.requirement].name.clone(), line.measured?.got))
    };
    let got = found.audit.lines.iter().filter_map(line).collect();
    (found, got)
}

fn got(list: &[(String, f64)], name: &str) -> f64 {
    list.iter().find(|(known, _)| known == name).unwrap_or_else(|| panic!("no limit `{name}`")).1
}

/// The amounts of the mix in kg/m3, recomputed here from pounds, feet and gallons.
#[test]
fn relative_densities_gallons_and_bulk_volumes_mean_what_the_trade_means() {
    const POUND: f64 = 0.453_592_37;
    const FOOT: f64 = 0.3048;
    const GALLON: f64 = 3.785_411_784e-3;
    let pcf = POUND / FOOT.powi(3);
    let (found, list) = solved(STATEMENT);
    let [cement, sand, stone, reducer, water] = found.mix[..5] else { panic!("five materials") };
    // 62.4 lb/ft3 for water, as ACI 211.1 reckons (value from memory).
    let (unit, ssd) = (62.4 * pcf, 1.02);
    let volume = cement / (3.15 * unit)
        + sand / (2.62 * unit)
        + stone / (2.65 * unit * ssd)
        + reducer / (1.07 * unit)
        + water / (62.4 * pcf);
    assert!((volume - 0.982).abs() < 1e-9, "{volume}");
    let cubic_yard = (3.0 * FOOT).powi(3);
    let gallons = water / (62.4 * pcf) / GALLON * cubic_yard;
    assert!((got(&list, "water") - gallons).abs() < 1e-6, "{gallons}");
    // ACI 211.1, 6.3.6: oven-dry mass over dry-rodded bulk density.
    let bulk = 100.0 * stone / ssd / (100.0 * pcf);
    assert!((got(&list, "bulk volume of coarse aggregate") - bulk).abs() < 1e-6, "{bulk}");
    let ounces = reducer / (1.07 * unit) / (GALLON / 128.0) * cubic_yard;
    assert!((5.0 - 1e-6..=60.0).contains(&ounces), "{ounces}");
    // ASTM C136: retained in all 2, 15, 35, 55, 80 and 95 %, so 2.82.
    assert!((got(&list, "fineness modulus") - 2.82).abs() < 1e-9);
    assert!((got(&list, "reducer / binder") - 100.0 * reducer / cement).abs() < 1e-9);
}

#[test]
fn a_factor_takes_liquids_by_volume_on_the_mass_of_binder() {
    let (problem, ..) = written(STATEMENT).unwrap_or_else(|told| panic!("{told}"));
    let Verdict::Found(found) = solve(&problem, &Settings::default()) else { panic!("it has a mix") };
    let slump = problem.predict(Id::at(0), &found.mix).expect("it is predicted");
    // 1 cwt = 100 lb = 45.359237 kg; 1 fl oz = 29.5735295625 mL.
    let density = 1.07 * 62.4 * 0.453_592_37 / 0.3048_f64.powi(3);
    let dose = found.mix[3] / density / 29.573_529_562_5e-6 / (found.mix[0] / 45.359_237);
    assert!((slump.value - (1.0 + 0.5 * dose)).abs() < 1e-6, "{} against {dose}", slump.value);
}

#[test]
fn what_a_quantity_rests_on_is_named_where_it_is_not_declared() {
    let told = |from: &str, to: &str| written(&STATEMENT.replace(from, to)).err().unwrap_or_default();
    for (from, to, says) in [
        (", No. 30: 45 %", "", "`fineness modulus` of limit `fineness modulus` is not known for: sand"),
        (", bulk density: 100 lb/ft3", "", "is not known for: stone"),
        ("2.62 SG SSD", "2.62 SG", "the relative density of aggregate `sand` does not say its state"),
        ("at least 300 lb/yd3", "at least 30 gal/yd3", "`amount` of material `cement` is a volume"),
        (
            "binder: at least 500",
            "passing 4 mm: at least 5 %\n  binder: at least 500",
            "`passing 4 mm` of limit",
        ),
    ] {
        let told = told(from, to);
        assert!(told.contains(says), "{says}\n{told}");
        assert!(!told.contains("unknown name"), "{told}");
    }
}

/// Everything that `check` says of a statement without the usual limits.
fn checked(text: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("statement.yaml").display().to_string();
    std::fs::write(&path, text).unwrap();
    let (code, told, wrong) = ran(&["check", &path]);
    assert_eq!(code, 0, "{told}{wrong}");
    told
}

const BARE: &str = "\
mixbound: 1
title: Invented
currency: $
air: 6 %
materials:
  cement: {role: cement, density: 3.15 SG, price: $120/ton, amount: 450 .. 700 lb/yd3, contents: {alkalis: 0.6 %}}
  fly ash: {role: fly ash, density: 2.4 SG, price: $60/ton, contents: {alkalis: 0.5 %}}
  sand: {role: sand, density: 2.62 SG SSD, price: $12/ton, amount: at least 400 lb/yd3}
  stone: {role: coarse aggregate, density: 2.65 SG SSD, price: $11/ton}
  fibres: {role: fibre, density: 56 lb/ft3, price: $4/lb, amount: at least 1 lb/yd3}
  reducer: {role: water reducer, density: 1.07 SG, solids: 30 %, price: $16/gal, dose: at least 3 fl oz/cwt of binder}
  water: {role: water, density: 62.4 lb/ft3, price: $1/ton, amount: 230 .. 300 lb/yd3}
classes: {of: [F3, C2], largest aggregate: 3/4 in, concrete: reinforced}
responses:
  strength: {unit: psi, strength: {specimen: cylinder 4 x 8 in, statistic: mean, age: 28 d, curing: moist}, factors: {w: {is: water-binder ratio, region: 0.3 .. 0.7}}, terms: {constant: 11000, w: -12000}}
limits:
  sand share: 38 .. 46 %
  strength: {at least: 5000 psi, statistic: specified, margin: {rule: aci 318}}
goal: least cost
";

#[test]
fn what_check_recommends_is_cited_from_the_codes_that_go_with_the_units() {
    let told = checked(BARE);
    for cited in ["ACI 318-19", "ASTM C1778", "lb/yd3", "fl oz/cwt"] {
        assert!(told.contains(cited), "{cited}\n{told}");
    }
    for foreign in ["EN 206", "EN 13877", "MPa", "kg/m3", "g/m2"] {
        assert!(!told.contains(foreign), "{foreign}\n{told}");
    }
    let metric = [
        ("450 .. 700 lb/yd3", "270 .. 420 kg/m3"),
        ("$4/lb", "$9/kg"),
        ("56 lb/ft3", "900 kg/m3"),
        ("at least 1 lb/yd3", "at least 1 kg/m3"),
        ("400 lb/yd3", "240 kg/m3"),
        ("3 fl oz/cwt", "0.2 %"),
        ("62.4 lb/ft3", "1000 kg/m3"),
        ("230 .. 300 lb/yd3", "140 .. 180 kg/m3"),
        ("/ton", "/t"),
        ("/gal", "/L"),
        (
            "{of: [F3, C2], largest aggregate: 3/4 in, concrete: reinforced}",
            "{of: [XF4, XD3], largest aggregate: 20 mm}",
        ),
        ("unit: psi", "unit: MPa"),
        ("cylinder 4 x 8 in", "cube 150 mm"),
        ("constant: 11000, w: -12000", "constant: 80, w: -80"),
        ("{at least: 5000 psi, statistic: specified, margin: {rule: aci 318}}", "{at least: 35 MPa}"),
    ];
    let text = metric.iter().fold(BARE.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    let told = checked(&text);
    for cited in ["EN 206", "EN 13877-2", "kg/m3"] {
        assert!(told.contains(cited), "{cited}\n{told}");
    }
    for foreign in ["psi", "lb/", "ASTM C1778", "fl oz"] {
        assert!(!told.contains(foreign), "{foreign}\n{told}");
    }
}

#[test]
fn a_dose_in_ounces_of_weight_is_told_once_and_taken_as_written() {
    let told = checked(&BARE.replace("3 fl oz/cwt", "3 oz/cwt"));
    assert_eq!(told.matches("is in ounces of weight, `oz/cwt`").count(), 1, "{told}");
    assert!(told.contains("write `fl oz/cwt` if fluid ounces are meant"), "{told}");
    assert!(!checked(BARE).contains("ounces"));
}

/// What stands behind a key, with a unit that fits nowhere, and the units that the finding then lists: each is accepted.
#[test]
fn every_unit_that_a_finding_offers_is_accepted_there() {
    let mut tried = 0;
    for (before, number, after) in [
        ("density: ", "2.4", ", price: $60/ton, contents"),
        ("amount: ", "450 .. 700", ", contents: {alkalis: 0.6 %}"),
        ("amount: ", "230 .. 300", "}\nclasses"),
        ("dose: at least ", "3", " of binder}"),
        ("price: ", "$16", ", dose"),
        ("price: ", "$120", ", amount"),
        ("strength: {at least: ", "5000", ", statistic: specified"),
    ] {
        let at = BARE
            .match_indices(&format!("{before}{number}"))
            .map(|(at, _)| at)
            .find(|at| {
                BARE[*at..]
                    .split_once('\n')
                    .is_some_and(|_| BARE[*at..].chars().take(90).collect::<String>().contains(after))
            })
            .unwrap_or_else(|| panic!("{before}{number} ... {after}"));
        let start = at + before.len() + number.len();
        let end = start + BARE[start..].find(after).unwrap();
        let with = |unit: &str| format!("{}{unit}{}", &BARE[..start], &BARE[end..]);
        let told = written(&with(" degF")).err().unwrap_or_else(|| panic!("{before} takes a temperature"));
        let line =
            told.lines().find(|line| line.contains("allowed units: ")).unwrap_or_else(|| panic!("{told}"));
        for unit in line.split('`').skip(1).step_by(2).filter(|unit| !unit.starts_with("of ")) {
            tried += 1;
            let gap = if unit.starts_with('/') { "" } else { " " };
            let told = written(&with(&format!("{gap}{unit}"))).err().unwrap_or_default();
            for refused in ["is needed", "unknown unit", "has no unit", "is a volume"] {
                assert!(!told.contains(refused), "{before}{number}{gap}{unit}\n{told}");
            }
        }
    }
    assert!(30 < tried, "{tried}");
}
