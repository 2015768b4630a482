//! Heat of hydration: Schindler and Folliard 2005, ASTM C1074; formulas are values from memory, figures their own output.

use super::{check, law};

#[test]
fn from_clinker_to_the_rise_of_a_member_that_loses_no_heat() {
    let degree = law("ultimate degree of hydration", &[("water binder ratio", 0.40)]);
    check(degree, 0.6943, 1e-4);
    let heat = law(
        "cement heat",
        &[("alite", 0.57), ("belite", 0.18), ("aluminate", 0.09), ("ferrite", 0.08), ("sulfate", 0.03)],
    );
    check(heat, 462.06, 0.01);
    check(law("binder heat", &[("cement heat", heat), ("cement share", 1.0)]), heat, 1e-9);
    let rise =
        [("binder heat", heat), ("degree of hydration", degree), ("binder", 400.0), ("density", 2400.0)];
    check(law("adiabatic rise", &rise), 53.47, 0.01);
    // ash and slag raise the degree and never above one
    let all = [("water binder ratio", 0.60), ("ash share", 0.30), ("slag share", 0.40)];
    check(law("ultimate degree of hydration", &all), 1.0, 1e-12);
}

#[test]
fn a_day_at_thirty_degrees_is_forty_two_hours_at_twenty() {
    let hours =
        24.0 * law("equivalent age", &[("age", 1.0), ("temperature", 303.15), ("activation", 5000.0)]);
    check(hours, 42.13, 0.01);
    check(law("equivalent age", &[("age", 3.0), ("temperature", 293.15)]), 3.0, 1e-12);
}
