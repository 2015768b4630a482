//! Sets of the trade: what tests are usually asked to show, as limits of responses of those names, and what goes with a
//! shrinkage reducer.
//!
//! What enters: small statements, invented. The figures are common practice without a source unless a test says
//! otherwise.

use mixbound::finding::Sources;
use mixbound::problem::{Problem, Wanted, usual};

use crate::problems::written;

/// The problem and its findings, or the findings alone.
fn checked(text: &str) -> Result<(Problem, String), String> {
    written(text).map(|(problem, _, told)| (problem, told))
}

/// A shelf for self-consolidating concrete.
pub const FLOWABLE: &str = "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {role: cement, density: 3150 kg/m3, price: 120 /t, amount: 300 .. 600 kg/m3}
  sand: {role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry, amount: at least 300 kg/m3}
  stone: {role: coarse aggregate, density: 2700 kg/m3 surface-dry, absorption: 1 %, price: 14 /t surface-dry}
  water: {role: water, density: 1000 kg/m3, price: 1 /t}
goal: least cost
";

const TESTED: &str = "
mixbound: 1
currency: EUR
air: 6 %
materials:
  cement: {role: cement, density: 3150 kg/m3, price: 120 /t, amount: 300 .. 600 kg/m3}
  sand: {role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}
  threads: {role: fibre, density: 910 kg/m3, price: 5000 /t, length: 12 mm, diameter: 0.03 mm, amount: 1 .. 9 kg/m3}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 150 .. 250 kg/m3}
responses:
  durability factor: {unit: \"%\", factors: {w: {is: water-binder ratio, region: 0.3 .. 0.7}}, terms: {constant: 120, w: -70}}
  spacing factor: {unit: mm, factors: {w: {is: water-binder ratio, region: 0.3 .. 0.7}}, terms: {constant: 0.1, w: 0.2}}
  scaling loss: {unit: g/m2, factors: {w: {is: water-binder ratio, region: 0.3 .. 0.7}}, terms: {constant: -500, w: 3000}}
  charge passed: {unit: C, factors: {w: {is: water-binder ratio, region: 0.3 .. 0.7}}, terms: {constant: -500, w: 5000}}
  surface settlement: {unit: \"%\", factors: {w: {is: water-binder ratio, region: 0.3 .. 0.7}}, terms: {constant: 0, w: 1}}
  stability index: {unit: \"1\", factors: {w: {is: water-binder ratio, region: 0.3 .. 0.7}}, terms: {constant: 0, w: 1}}
goal: least cost
";

/// Figure, side, value in base units.
type Brought = (String, &'static str, f64);

/// Limits that named sets bring, and what is found beside.
fn brought(text: &str) -> Result<(Vec<Brought>, String), String> {
    let (problem, findings) = checked(text)?;
    let limits = problem.requirements.iter().filter_map(|requirement| {
        let (_, figure) = requirement.name.split_once(": ").filter(|(class, _)| TRADE.contains(class))?;
        let Wanted::Value(value) = requirement.wanted else { return None };
        Some((figure.to_owned(), requirement.side.words(), requirement.unit.to_base(value)))
    });
    Ok((limits.collect(), findings))
}

const TRADE: [&str; 5] =
    ["frost tests", "salt tests", "penetration tests", "stability tests", "flowing fibres"];

/// Common practice, no source: 80 % after 300 cycles, 1000 g/m2 after 50, 2000 C, 0.5 %, 0 .. 0.5, half a per cent of
/// fibres; spacing factor of 0.200 mm: value from memory.
#[test]
fn sets_of_the_trade_limit_responses_of_their_names() {
    let all = TRADE.join(", ");
    let (got, told) =
        brought(&format!("{TESTED}classes: [{all}]\nlimits: {{fibre factor: at most 1}}\n")).unwrap();
    assert!(told.ends_with("0 errors, 0 warnings\n"), "{told}");
    let expected = [
        ("durability factor", "at least", 0.80),
        ("spacing factor", "at most", 0.200e-3),
        ("scaling loss", "at most", 1.0),
        ("charge passed", "at most", 2000.0),
        ("surface settlement", "at most", 0.005),
        ("stability index", "at least", 0.0),
        ("stability index", "at most", 0.5),
        ("fibre volume", "at most", 0.005),
    ];
    assert_eq!(got.len(), expected.len(), "{got:?}");
    for ((figure, side, value), (name, expected_side, expected)) in got.iter().zip(expected) {
        assert_eq!((figure.as_str(), *side), (name, expected_side));
        assert!((value - expected).abs() <= 1e-12 * expected.abs(), "{figure}: {value}");
    }
    let (problem, _) = checked(&format!("{TESTED}classes: [frost tests]\n")).unwrap();
    let basis = problem.bases.join(" ");
    for words in ["after 300 cycles", "after 50 cycles", "common practice, no source", "value from memory"] {
        assert!(basis.contains(words), "{basis}");
    }
}

#[test]
fn what_a_set_of_the_trade_asks_and_no_response_predicts_is_told_as_not_checked() {
    let bare = TESTED.split("responses:").next().unwrap();
    let (got, told) =
        brought(&format!("{bare}goal: least cost\nclasses: [frost tests, salt tests]\n")).unwrap();
    assert!(got.is_empty(), "{got:?}");
    for words in [
        "nothing that class `frost tests` asks for is checked",
        "it asks for durability factor at least 80 %, and for spacing factor at most 0.2 mm; the statement holds none of it",
        "nothing that class `salt tests` asks for is checked",
        "it asks for scaling loss at most 1000 g/m2; the statement holds none of it",
    ] {
        assert!(told.contains(words), "{told}");
    }
    // No figure is published for the fibre factor: the author gives one, or is told.
    let (_, told) = brought(&format!("{TESTED}classes: [flowing fibres]\n")).unwrap();
    assert!(told.contains("asks for fibre factor limited from above"), "{told}");
    // An own limit stands in place of the set's, and a looser one is a warning.
    let own = format!("{TESTED}classes: [salt tests]\nlimits: {{scaling loss: at most 1500 g/m2}}\n");
    let (got, told) = brought(&own).unwrap();
    assert!(got.is_empty() && told.contains("is looser than class `salt tests` asks"), "{told}");
}

/// Common practice, no source: a shrinkage reducer tends to call for a viscosity modifier in flowing concrete.
#[test]
fn check_asks_for_a_viscosity_modifier_with_a_shrinkage_reducer_in_flowing_concrete() {
    let told = |more: &str, rest: &str| {
        let text = FLOWABLE.replace("goal:", &format!("{more}{rest}goal:"));
        let (problem, _) = checked(&text).unwrap_or_else(|told| panic!("{told}"));
        let mut sources = Sources::default();
        sources.add("statement.yaml", &text);
        usual(&problem).render(&sources)
    };
    let reducer = "  brake: {role: shrinkage reducer, density: 950 kg/m3, mixing water: 100 %, price: 3000 /t, if used: 3 .. 8 kg/m3}\n";
    let modifier = "  thickener: {role: viscosity modifier, density: 1050 kg/m3, solids: 10 %, price: 2000 /t, if used: 0.5 .. 3 kg/m3}\n";
    let tie = "choices: {stable: {if: brake, then: thickener}}\n";
    let words = "nothing asks for a viscosity modifier with shrinkage reducer `brake`";
    let both = format!("{reducer}{modifier}");
    assert!(told(reducer, "classes: [SF2]\n").contains(words));
    assert!(told(&both, "classes: [SF2]\n").contains("`stable: {if: brake, then: thickener}`"));
    assert!(!told(&both, &format!("{tie}classes: [SF2]\n")).contains(words), "the choice ties them");
    assert!(!told(&both, "").contains(words), "nothing says that it flows");
}

/// US practice (common practice, no source); paste and powder by ACI 237R: value from memory.
#[test]
fn proportions_of_us_practice_are_a_set() {
    let with = |rest: &str| checked(&FLOWABLE.replace("goal:", &format!("{rest}goal:"))).unwrap();
    let (problem, told) = with("classes: [flowing proportions]\n");
    assert!(told.ends_with("0 errors, 0 warnings\n"), "{told}");
    for (name, low, high) in [
        ("coarse aggregate volume", 0.28, 0.32),
        ("mortar volume", 0.68, 0.72),
        ("sand share", 0.45, 0.55),
        ("paste volume", 0.34, 0.40),
        ("powder", 386.0, 475.0),
    ] {
        let own: Vec<f64> = problem
            .requirements
            .iter()
            .filter(|one| one.name == format!("flowing proportions: {name}"))
            .map(|one| match one.wanted {
                Wanted::Value(value) => one.unit.to_base(value),
                _ => f64::NAN,
            })
            .collect();
        assert!(
            own.len() == 2 && (own[0] - low).abs() < 1e-9 && (own[1] - high).abs() < 1e-9,
            "{name} {own:?}"
        );
    }
    assert!(problem.bases.join(" ").contains("common practice, no source"));
}

/// ASTM C1761: 5 % absorbed and 85 % given back, value from memory.
#[test]
fn check_tells_of_aggregates_that_hold_or_give_too_little_water_for_internal_curing() {
    let told = |absorption: &str, desorption: &str, demand: &str| {
        let light = format!(
            "  light: {{role: lightweight sand, density: 1800 kg/m3 prewetted, absorption: {absorption}, \
             desorption: {desorption}, price: 60 /t prewetted}}\n"
        );
        let text = FLOWABLE.replace("goal:", &format!("{light}{demand}goal:"));
        let (problem, _) = checked(&text).unwrap_or_else(|told| panic!("{told}"));
        let mut sources = Sources::default();
        sources.add("statement.yaml", &text);
        usual(&problem).render(&sources)
    };
    let demand = "internal curing: {demand: 7 % of binder}\n";
    assert!(told("4 %", "90 %", demand).contains("`light` absorbs 4 %"));
    assert!(told("18 %", "80 %", demand).contains("`light` gives back 80 %"));
    for quiet in [told("18 %", "90 %", demand), told("4 %", "0 %", demand), told("4 %", "80 %", "")] {
        assert!(!quiet.contains("ASTM C1761"), "{quiet}");
    }
}
