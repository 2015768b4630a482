//! Strength laws, and ACI 318, ACI 301 and ACI 214 on required average strength.

use super::{check, law};

/// Abrams 1918: value from memory, MPa and psi.
#[test]
fn abrams() {
    let rows = [
        (0.30, 51.71, 7502.0),
        (0.40, 42.00, 6094.0),
        (0.45, 37.86, 5492.0),
        (0.50, 34.12, 4950.0),
        (0.60, 27.71, 4020.0),
        (0.70, 22.51, 3266.0),
    ];
    for (ratio, expected, psi) in rows {
        let got = law("abrams strength", &[("water binder ratio", ratio)]);
        check(got, expected, 0.01);
        check(got * 145.0377, psi, 3.0);
    }
}

/// Bolomey 1925, with the form of Dreux: the formula's own output.
#[test]
fn bolomey() {
    for (binder_over_water, expected) in [(1.5, 25.0), (2.0, 37.5), (2.5, 50.0)] {
        let got = law("bolomey strength", &[("water binder ratio", 1.0 / binder_over_water)]);
        check(got, expected, 1e-9);
    }
    let got = law("bolomey strength", &[("water binder ratio", 0.5), ("constant k", 0.5 * 45.0)]);
    check(got, 33.75, 1e-9);
}

/// Feret 1892: the formula's own output.
#[test]
fn feret() {
    let inputs = [("binder volume", 350.0 / 3150.0), ("water volume", 0.175), ("air volume", 0.015)];
    check(law("feret strength", &inputs), 34.041, 1e-3);
}

/// ACI 318-05, table 5.3.2.1, psi.
#[test]
fn required_average_in_psi() {
    for (specified, deviation, expected) in
        [(4000.0, 400.0, 4536.0), (4000.0, 600.0, 4898.0), (6000.0, 500.0, 6670.0), (6000.0, 700.0, 7031.0)]
    {
        let inputs = [("specified strength", specified), ("standard deviation", deviation)];
        check(law("aci required average strength in psi", &inputs), expected, 0.5);
    }
}

/// ACI 318M-05, table 5.3.2.1, MPa: its constants of 3.5 and 35 MPa are a value from memory.
#[test]
fn required_average_in_mpa() {
    for (specified, deviation, expected) in
        [(28.0, 3.0, 32.02), (28.0, 4.0, 33.82), (45.0, 4.0, 50.36), (45.0, 5.0, 52.15)]
    {
        let inputs = [("specified strength", specified), ("standard deviation", deviation)];
        check(law("aci required average strength", &inputs), expected, 0.006);
    }
}

/// Where the two criteria cross: s = 500 / 0.99 psi and 3.5 / 0.99 MPa; the formulas' own output.
#[test]
fn criteria_cross() {
    for (name, specified, crossing) in [
        ("aci required average strength in psi", 4000.0, 505.05),
        ("aci required average strength", 28.0, 3.5354),
    ] {
        let at = |deviation: f64| {
            law(name, &[("specified strength", specified), ("standard deviation", deviation)])
        };
        let slope = |deviation: f64| (at(deviation * 1.001) - at(deviation)) / (deviation * 0.001);
        check(slope(crossing * 0.99), 1.34, 1e-6);
        check(slope(crossing * 1.01), 2.33, 1e-6);
    }
}

/// ACI 318-05, table 5.3.1.2, factors for few tests.
#[test]
fn few_tests() {
    for (tests, expected) in
        [(15.0, 1.16), (17.0, 1.128), (20.0, 1.08), (25.0, 1.03), (30.0, 1.0), (50.0, 1.0)]
    {
        check(law("aci sample factor", &[("tests", tests)]), expected, 1e-9);
    }
    let inputs = [("specified strength", 4000.0), ("standard deviation", 400.0), ("sample factor", 1.16)];
    check(law("aci required average strength in psi", &inputs), 4621.76, 0.01);
}

/// ACI 318-05 and 318M-05, table 5.3.2.2, no record: psi; above 5000 psi a value from memory, and so is every value in MPa.
#[test]
fn no_record() {
    for (specified, expected) in
        [(2999.0, 3999.0), (3000.0, 4200.0), (4000.0, 5200.0), (5000.0, 6200.0), (6000.0, 7300.0)]
    {
        let name = "aci required average strength without record in psi";
        check(law(name, &[("specified strength", specified)]), expected, 1e-9);
    }
    for (specified, expected) in [(20.0, 27.0), (21.0, 29.3), (35.0, 43.3), (50.0, 60.0)] {
        let name = "aci required average strength without record";
        check(law(name, &[("specified strength", specified)]), expected, 1e-9);
    }
}
