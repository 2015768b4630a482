//! Published check values, one table per source. "Value from memory" marks what no text at hand confirmed,
//! "identity" what follows from the formula alone.

mod american;
mod classes;
mod composites;
mod eurocode;
mod heat;
mod internal_curing;
mod model_code;
mod proportioning;
mod repair;
mod rings;
mod strengths;

use mixbound::response::law::Law;

/// The law of that name at named inputs; the others take their defaults.
fn law(name: &str, inputs: &[(&str, f64)]) -> f64 {
    let law = Law::named(name).unwrap_or_else(|| panic!("no law `{name}`"));
    law.value(&law.arrange(inputs).unwrap_or_else(|| panic!("inputs of `{name}`: {inputs:?}")))
}

/// Within an absolute tolerance.
#[track_caller]
fn check(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} within {tolerance}");
}

/// Within a relative tolerance.
#[track_caller]
fn check_relative(got: f64, expected: f64, tolerance: f64) {
    check(got, expected, tolerance * expected.abs());
}
