//! What US practice writes and SI practice does not: relative densities, liquids by volume wherever they are bounded,
//! fineness modulus and bulk volume; and ratios as names of limits. Sources stand beside the checks.

use mixbound::solve::{Found, Settings, Verdict, solve};

use crate::problems::written;

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
    let slump = problem.predict(0, &found.mix).expect("it is predicted");
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
