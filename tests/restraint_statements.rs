//! Restrained concrete as an author describes it: an overlay, rings beside estimates, trends, setting times, own data,
//! hydration, temperature. Statements are invented; expected orders are common practice, no source.

use mixbound::answer::restraint::cracking_line;
use mixbound::answer::units::Units;
use mixbound::listed::Id;
use mixbound::problem::{Problem, restrained};
use mixbound::response::law::Law;
use mixbound::response::law::cracking::Cracking;
use mixbound::response::law::ring_class::Ring;
use mixbound::response::{Face, History, Thermal};

use crate::problems::written;

/// A statement whose mix does not matter; `more` holds every line of the description below restraint and drying.
fn problem(more: &str) -> Problem {
    let text = format!(
        "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {{role: cement, density: 3150 kg/m3, price: 120 /t, amount: 300 .. 600 kg/m3}}
  sand: {{role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}}
  water: {{role: water, density: 1000 kg/m3, price: 1 /t, amount: 150 .. 250 kg/m3}}
goal: least cost
responses:
  age:
    cracking:
      counted from: casting
{more}"
    );
    written(&text).map_or_else(|told| panic!("{told}\n{text}"), |(problem, ..)| problem)
}

fn outcome(more: &str) -> (History, f64) {
    let problem = problem(more);
    let rule = restrained(&problem.responses[Id::at(0)]).expect("it is an age at cracking");
    let history = rule.history(&[]);
    let age = match rule.outcome(&history) {
        Cracking::At(age) => age,
        Cracking::NoneBy(_) => f64::INFINITY,
    };
    (history, age)
}

const GROWN: &str = "      modulus: {amount: 30 GPa, growth: {1 d: 65 %, 3 d: 84 %, 7 d: 93 %, 28 d: 100 %}}
      tensile strength: {amount: 3.5 MPa, growth: {1 d: 36 %, 3 d: 62 %, 7 d: 80 %, 28 d: 100 %, 90 d: 107 %}}
";

fn overlay(base: f64, shrinkage: f64, creep: f64, drying: f64) -> String {
    format!(
        "      restraint: {{overlay: {{base modulus: {base} GPa, base thickness: 200 mm, thickness: 60 mm}}}}
      drying from: {drying} d
      drying shrinkage: {{amount: {shrinkage} microstrain, half time: 25 d}}
      creep: {creep}
{GROWN}"
    )
}

/// An overlay is worked out, and cracks where a constant degree with the same start would call it safe for longer.
#[test]
fn an_overlay_cracks_where_a_creeping_base_would_be_called_safe() {
    let text = overlay(30.0, 380.0, 2.35, 3.0);
    let (history, age) = outcome(&text);
    // two bars side by side, elastic, at the modulus of 28 d
    let axial = [30.0, 200.0, 30.0, 60.0, 1.0];
    let degree = Law::AxialRestraint.value(&axial);
    let creeping = text.replace(
        "{overlay: {base modulus: 30 GPa, base thickness: 200 mm, thickness: 60 mm}}",
        &degree.to_string(),
    );
    let (constant, later) = outcome(&creeping);
    let last = history.stress.len() - 1;
    assert!(
        1.05 * constant.stress[last] < history.stress[last],
        "{} {}",
        constant.stress[last],
        history.stress[last]
    );
    assert!(age < later && age.is_finite(), "{age} {later}");
    // beside the estimates: below the elastic stress, near that of the age-adjusted modulus
    let strain = 380.0 * 87.0 / 112.0;
    let elastic = degree * 30.0 * strain * 1e-3;
    let phi = 2.35 * 87.0_f64.powf(0.6) / (10.0 + 87.0_f64.powf(0.6));
    let adjusted = elastic / (1.0 + 0.8 * degree * phi);
    assert!(
        history.stress[last] < elastic && (history.stress[last] / adjusted - 1.0).abs() < 0.15,
        "{} {adjusted}",
        history.stress[last]
    );
}

/// A ring with creep lies between the elastic stress and that of the effective modulus with all creep at once, for a strain
/// that comes early; the mean over the wall is the less strict measure.
#[test]
fn a_ring_beside_its_estimates() {
    let ring = |face: &str, creep: &str| {
        format!(
            "      restraint: {{ring: astm c1581, stress at: {face}}}
      drying from: 1 d
      drying shrinkage: {{amount: 400 microstrain, half time: 10 d}}
      creep: {{final: {creep}, law: aci 209 any age}}
      modulus: {{amount: 30 GPa, growth: {{1 d: 100 %, 28 d: 100 %}}}}
      tensile strength: {{amount: 3 MPa, growth: {{1 d: 100 %, 28 d: 100 %}}}}
"
        )
    };
    let strain = 400.0 * 89.0 / 99.0;
    let law = |modulus: f64| Law::RingStress.value(&[strain, modulus, 152.0, 165.0, 203.0, 200.0, 0.3, 0.18]);
    let last = |text: &str| *outcome(text).0.stress.last().expect("there are ages");
    let phi = 2.0 * 89.0_f64.powf(0.6) / (10.0 + 89.0_f64.powf(0.6));
    let (elastic, got) = (last(&ring("inner face", "0")), last(&ring("inner face", "2")));
    assert!((elastic / law(30.0) - 1.0).abs() < 1e-9, "{elastic} {}", law(30.0));
    assert!(
        got < elastic && (got / law(30.0 / (1.0 + phi)) - 1.0).abs() < 0.1,
        "{got} {}",
        law(30.0 / (1.0 + phi))
    );
    assert!(outcome(&ring("inner face", "2")).1 < outcome(&ring("mean", "2")).1, "the mean cracks later");
}

/// Softer base, more creep, less shrinkage, later drying: each cracks later, or not at all.
#[test]
fn what_makes_cracking_later() {
    let base = outcome(&overlay(30.0, 450.0, 2.0, 3.0)).1;
    assert!(base.is_finite());
    for (what, text) in [
        ("softer", overlay(15.0, 450.0, 2.0, 3.0)),
        ("creepier", overlay(30.0, 450.0, 3.0, 3.0)),
        ("less shrinkage", overlay(30.0, 350.0, 2.0, 3.0)),
        ("later drying", overlay(30.0, 450.0, 2.0, 14.0)),
    ] {
        let later = outcome(&text).1;
        assert!(base < later, "{what}: {base} {later}");
    }
    let splitting = overlay(30.0, 450.0, 2.0, 3.0) + "      tensile strength by: splitting\n";
    assert!(outcome(&splitting).1 < base, "of a splitting strength 0.9 is taken");
}

/// Sealed concrete of low water-binder ratio: the earlier restraint begins, the more of the early autogenous strain counts.
#[test]
fn an_earlier_onset_cracks_earlier() {
    let sealed = |onset: &str| {
        let text = format!(
            "      restraint: {{ring: astm c1581}}
      drying from: never
      onset: {onset}
      autogenous shrinkage: {{amount: 700 microstrain, rate: 0.9}}
      modulus: 36 GPa
      tensile strength: 4.4 MPa
      hydration: {{time: 10 h, slope: 1.1, setting degree: 8 %}}
"
        );
        outcome(&text).1
    };
    let (first, second) =
        (sealed("{setting time: 8 h, test: astm c403}"), sealed("{setting time: 14 h, test: en 480-2}"));
    let stated = sealed("1 d");
    assert!(first <= second && second <= stated && first < stated, "{first} {second} {stated}");
}

/// identity: one history of temperature gives the equivalent age and, from zero at the onset, the strain.
#[test]
fn one_history_of_temperature_for_growth_and_strain() {
    let thermal = Thermal::new(vec![(0.0, 20.0), (1.0, 40.0), (3.0, 20.0)], 10.0, 5000.0, 1.0);
    assert!(thermal.strain(1.0).abs() < 1e-12 && (thermal.strain(3.0) - 200.0).abs() < 1e-9);
    let flat = Thermal::new(vec![(0.0, 30.0), (9.0, 30.0)], 10.0, 5000.0, 1.0);
    let law = Law::EquivalentAge.value(&[2.0, 303.15, 5000.0]);
    assert!((flat.equivalent_age(2.0) - law).abs() < 1e-9, "{} {law}", flat.equivalent_age(2.0));
    // a fine sum by hand on the rising line
    let parts = 20_000;
    let by_hand: f64 = (0..parts)
        .map(|part| (f64::from(part) + 0.5) / f64::from(parts))
        .map(|age| f64::exp(-5000.0 * (1.0 / (293.15 + 20.0 * age) - 1.0 / 293.15)) / f64::from(parts))
        .sum();
    assert!(
        (thermal.equivalent_age(1.0) - by_hand).abs() < 1e-7,
        "{} {by_hand}",
        thermal.equivalent_age(1.0)
    );
    // cooling after the onset cracks earlier than none
    let plain = overlay(30.0, 450.0, 2.0, 3.0);
    let cooled = plain.clone()
        + "      temperature: {history: {0 d: 20 degC, 1 d: 38 degC, 4 d: 20 degC}, expansion: 10 microstrain/K}\n";
    assert!(outcome(&cooled).1 < outcome(&plain).1);
}

/// ASTM C1581 (value from memory) makes stress of the strain of the steel with 72.2 GPa: for a strain of 100 microstrain at
/// 30 GPa the inside of the steel gives 28.89 microstrain (Lame's thick rings), so 2.086 MPa, whichever stress is compared.
#[test]
fn the_class_by_stress_rate_goes_by_the_strain_of_the_steel() {
    for (face, hoop) in [(Face::Inner, 2.1399), (Face::Mean, 1.8987)] {
        let reckoned = hoop * face.steel_stress(Ring::Thin);
        assert!((reckoned - 28.89e-6 * 72.2e3).abs() < 1e-3, "{face:?}: {reckoned}");
    }
}

/// A reader of customary units gets radii in inches and stresses in psi; ages stay.
#[test]
fn a_ring_is_told_in_the_units_of_its_reader() {
    let text = format!(
        "      restraint: {{ring: astm c1581}}
      drying from: 1 d
      drying shrinkage: {{amount: 500 microstrain, half time: 20 d}}
{GROWN}"
    );
    let problem = problem(&text);
    let told = |units: Units| {
        cracking_line(&problem, Id::at(0), &[], &[true; 3], units).expect("it is an age at cracking")
    };
    let (metric, customary) = (told(Units::Si), told(Units::Customary));
    assert!(metric.restraint.contains("152 mm, 165 mm and 203 mm"), "{}", metric.restraint);
    assert!(customary.restraint.contains("5.984 in, 6.496 in and 7.992 in"), "{}", customary.restraint);
    assert!(customary.classes.iter().any(|class| class.contains(" psi/d")), "{:?}", customary.classes);
    assert_eq!(customary.stress_unit.text, "psi");
    assert_eq!(metric.age, customary.age);
}

/// A temperature strain goes with the heat of the mix: twice the rise is twice the strain, the same rise the history as given,
/// none at all no strain of temperature. The equivalent age stays.
#[test]
fn a_strain_of_temperature_goes_with_the_heat_of_the_mix() {
    let text = |expansion: f64, rise: &str| {
        format!(
            "      restraint: 0.7
      drying from: 2 d
      drying shrinkage: {{amount: 150 microstrain, half time: 20 d}}
      temperature: {{history: {{0 d: 20 degC, 1 d: 45 degC, 4 d: 20 degC}}, expansion: {expansion} microstrain/K{rise}}}
{GROWN}"
        )
    };
    let stress = |expansion: f64, rise: &str| outcome(&text(expansion, rise)).0.stress;
    let near = |got: Vec<f64>, expected: Vec<f64>| {
        assert!(got.iter().zip(&expected).all(|(got, expected)| (got - expected).abs() < 1e-9), "{got:?}");
    };
    near(stress(6.0, ", rise: 38 K, rise of history: 38 K"), stress(6.0, ""));
    near(stress(6.0, ", rise: 57 K, rise of history: 38 K"), stress(9.0, ""));
    let (warmer, cooler) = (
        stress(10.0, ", rise: 45 K, rise of history: 38 K"),
        stress(10.0, ", rise: 30 K, rise of history: 38 K"),
    );
    assert!(cooler.last() < warmer.last(), "less heat, less stress once it has cooled");
}
