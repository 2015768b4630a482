//! Internal curing in the report: demand, supply, their ratio, and how much aggregate would just be enough.
//!
//! What enters: given mixes of small statements, invented. Figures are identities of the absorption, the desorption and
//! the equation of Bentz, Lura and Roberts.

use std::fs;

use serde_json::Value;
use tempfile::TempDir;

use crate::program::ran;

const SHELF: &str = "
mixbound: 1
currency: EUR
air: 5 %
materials:
  cement: {role: cement, density: 3150 kg/m3, price: 120 /t, amount: 300 .. 600 kg/m3}
  sand: {role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}
  light sand: {role: lightweight sand, density: 1800 kg/m3 prewetted, absorption: 18 %, desorption: 90 %, price: 60 /t dry}
  light stone: {role: lightweight coarse aggregate, density: 1500 kg/m3 prewetted, absorption: 12 %, desorption: 85 %, price: 70 /t dry}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 100 .. 250 kg/m3}
goal: least cost
";
/// Prewetted 118 kg hold 100 kg dry, which give 16.2 kg of water.
const MIX: &str = "amounts: {cement: 400 kg/m3, water: 120 kg/m3, sand: 1737 kg/m3, light sand: 118 kg/m3}\n";

fn predicted(more: &str, format: &str) -> String {
    let folder = TempDir::new().unwrap();
    let (statement, mix) = (folder.path().join("shelf.yaml"), folder.path().join("mix.yaml"));
    fs::write(&statement, format!("{SHELF}{more}")).unwrap();
    fs::write(&mix, MIX).unwrap();
    let [statement, mix] = [&statement, &mix].map(|path| path.to_str().unwrap());
    let (code, out, told) = ran(&["predict", statement, "--mix", mix, "--format", format]);
    assert!(code <= 1, "{told}");
    out
}

fn json(more: &str) -> Value {
    serde_json::from_str::<Value>(&predicted(more, "json")).unwrap()["internal_curing"].clone()
}

fn near(value: &Value, expected: f64) -> bool {
    value.as_f64().is_some_and(|value| (value - expected).abs() <= 1e-6 * expected.abs().max(1.0))
}

#[test]
fn what_is_wanted_and_given_is_told_with_the_aggregate_that_would_just_be_enough() {
    let demand = "internal curing: {demand: 7 % of binder}\n";
    let told = json(demand);
    assert!(near(&told["demand"], 28.0) && near(&told["supply"], 16.2), "{told}");
    assert!(near(&told["ratio"], 16.2 / 28.0), "{told}");
    let [sand, stone] = [0, 1].map(|at| told["aggregates"][at].clone());
    assert_eq!(sand["material"], "light sand");
    assert!(near(&sand["dry"], 100.0) && near(&sand["just_enough_dry"], 28.0 / 0.162), "{sand}");
    // What is not in the mix may bring what is missing: 11.8 kg.
    assert!(near(&stone["dry"], 0.0) && near(&stone["just_enough_dry"], 11.8 / 0.102), "{stone}");
    let text = predicted(demand, "text");
    assert!(
        text.contains(
            "INTERNAL CURING\ndemand 28.00 kg/m3 of water, supply 16.20 kg/m3: 57.9 % of the demand"
        )
    );
    assert!(text.lines().any(|line| line.contains("light stone") && line.contains("115.7")), "{text}");
    assert!(predicted(demand, "csv").contains("internal curing,light sand,\"just enough, oven-dry\",172.8"));
    assert!(predicted(demand, "markdown").contains("## Internal curing"));
}

#[test]
fn the_demand_may_follow_from_the_law_or_from_what_a_limit_asks() {
    let law = "responses:\n  wanted: {law: internal curing demand, inputs: {binder: binder, water binder ratio: water-binder ratio}}\n";
    // 400 x 0.07 x 0.30 / 0.36
    assert!(near(&json(law)["demand"], 23.333_333), "{}", json(law));
    let limit = "  half: {unit: kg/m3, factors: {b: {is: binder, unit: kg/m3, region: 200 .. 700 kg/m3}}, terms: {constant: 0, b: 0.05}}\n\
                 limits: {enough: {on: internal-curing water, at least: half}}\n";
    assert!(near(&json(&format!("{law}{limit}"))["demand"], 20.0), "a limit says what is wanted");
    assert_eq!(json(""), Value::Null);
}
