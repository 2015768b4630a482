//! ACI 209, ACI 318, ACI 363, GL2000 and RILEM B4.

use super::{check, check_relative, law};

/// ACI 318 and ACI 363R: value from memory, GPa.
#[test]
fn modulus() {
    let strength = ("specified strength", 30.0);
    check(law("aci modulus from density", &[strength, ("density", 2300.0)]), 25.979, 1e-3);
    check(law("aci modulus from density", &[strength, ("density", 1800.0)]), 17.986, 1e-3);
    check(law("aci modulus", &[strength]), 25.743, 1e-3);
    let strength = ("specified strength", 60.0);
    check(law("aci high strength modulus", &[strength]), 32.617, 1e-3);
    check(law("aci high strength modulus", &[strength, ("density", 2200.0)]), 30.119, 1e-3);
    // 8000 psi in the form of the inch-pound edition: 4.5777e6 psi
    let got = law("aci high strength modulus", &[("specified strength", 8000.0 / 145.0377)]);
    check_relative(got, 4.5777e6 / 145_037.7, 3e-4);
}

/// ACI 318 in the form of the inch-pound edition: value from memory. 33 w^1.5 and 57000 times the root of the strength in
/// psi; the two editions differ by their rounded constants.
#[test]
fn modulus_in_psi() {
    let psi = 145.0377;
    let strength = ("specified strength", 4000.0 / psi);
    for (density, expected) in [(145.0, 3.6441e6), (115.0, 2.5739e6)] {
        let inputs = [strength, ("density", density * 16.018_46)];
        check_relative(law("aci modulus from density", &inputs) * 1e3 * psi, expected, 8e-3);
    }
    check_relative(law("aci modulus", &[strength]) * 1e3 * psi, 3.6050e6, 8e-3);
}

/// Three formulas at 30, 40 and 50 MPa: why a limit names its formula. Identity.
#[test]
fn moduli_differ_by_formula() {
    for (strength, aci, high, euro) in
        [(30.0, 25.7, 25.1, 32.8), (40.0, 29.7, 27.9, 35.2), (50.0, 33.2, 30.4, 37.3)]
    {
        check(law("aci modulus", &[("specified strength", strength)]), aci, 0.05);
        check(law("aci high strength modulus", &[("specified strength", strength)]), high, 0.05);
        check(law("eurocode modulus", &[("mean strength", strength + 8.0)]), euro, 0.05);
    }
}

/// ACI 209R-92, eq. 2-1: constants are a value from memory.
#[test]
fn growth_with_age() {
    let ages = [1.0, 3.0, 7.0, 14.0, 28.0, 90.0, 365.0];
    let rows = [
        (4.0, 0.85, [0.2062, 0.4580, 0.7035, 0.8805, 1.0072, 1.1180, 1.1615]),
        (2.3, 0.92, [0.3106, 0.5929, 0.8009, 0.9223, 0.9979, 1.0576, 1.0796]),
        (1.0, 0.95, [0.5128, 0.7792, 0.9150, 0.9790, 1.0145, 1.0405, 1.0496]),
    ];
    for (a, beta, factors) in rows {
        for (age, factor) in ages.into_iter().zip(factors) {
            check(
                law("aci age factor", &[("age", age), ("constant a", a), ("constant beta", beta)]),
                factor,
                1e-4,
            );
        }
    }
}

const EXAMPLE: [(&str, f64); 5] = [
    ("humidity", 70.0),
    ("volume surface ratio", 100.0),
    ("slump", 75.0),
    ("fine aggregate share", 40.0),
    ("air", 2.0),
];

/// ACI 209.2R-08, appendix C: inputs and factors are a value from memory; ultimate constants 780 and 2.35 are
/// confirmed.
#[test]
fn aci_209_example() {
    let rows = [(14.0, 58.0), (28.0, 130.5), (60.0, 209.6), (90.0, 244.8), (180.0, 289.4), (365.0, 317.0)];
    for (age, expected) in rows {
        let inputs = [&EXAMPLE[..], &[("cement", 409.0), ("age", age), ("drying age", 7.0)]].concat();
        check(law("aci shrinkage", &inputs), expected, 0.1);
    }
    let rows = [(28.0, 0.4241), (60.0, 0.6456), (90.0, 0.7425), (180.0, 0.8835), (365.0, 0.9983)];
    for (age, expected) in rows {
        let inputs = [&EXAMPLE[..], &[("age", age), ("loading age", 14.0)]].concat();
        check(law("aci creep", &inputs), expected, 1e-3);
    }
}

/// ACI 209R-92: each factor of the example, as the ratio of the law to that at the input where the factor is one.
/// Factors of shrinkage are a value from memory.
#[test]
fn aci_209_factors() {
    let changed = |name: &str, more: &[(&str, f64)], input: &str, value: f64| {
        let own = [&EXAMPLE[..], more].concat();
        let other: Vec<(&str, f64)> =
            own.iter().map(|(name, old)| (*name, if *name == input { value } else { *old })).collect();
        law(name, &own) / law(name, &other)
    };
    let more = [("cement", 409.0), ("age", 90.0), ("drying age", 7.0)];
    // where 1.40 - 1.02 h, 1.2 exp(-0.00472 V/S), 0.89 + 0.00161 s, 0.30 + 0.014 p and 0.75 + 0.00061 c are one
    for (input, one, expected) in [
        ("humidity", 40.0 / 1.02, 0.6860),
        ("volume surface ratio", f64::ln(1.2) / 0.00472, 0.7485),
        ("slump", 0.11 / 0.00161, 1.0108),
        ("fine aggregate share", 50.0, 0.8600),
        ("cement", 0.25 / 0.000_61, 0.9995),
    ] {
        check(changed("aci shrinkage", &more, input, one), expected, 1e-4);
    }
    let more = [("age", 90.0), ("loading age", 14.0)];
    for (input, one, expected) in [
        ("humidity", 27.0 / 0.67, 0.8010),
        ("volume surface ratio", f64::ln(2.26) / 0.0213, 0.7562),
        ("slump", 0.18 / 0.002_64, 1.0180),
        ("fine aggregate share", 50.0, 0.9760),
        ("air", 6.0, 1.0),
    ] {
        check(changed("aci creep", &more, input, one), expected, 1e-4);
    }
    // after very long: the product of the factors times 780 and 2.35
    let last = [&EXAMPLE[..], &[("cement", 409.0), ("age", 1e9), ("drying age", 7.0)]].concat();
    check(law("aci shrinkage", &last), 347.96, 0.05);
    let last = [&EXAMPLE[..], &[("age", 1e12), ("loading age", 14.0)]].concat();
    check(law("aci creep", &last), 1.2948, 1e-3);
}

/// ACI 209R-92, curing factor: table and formula differ by up to 1 %; value from memory.
#[test]
fn aci_209_curing_factor() {
    for (end, expected) in [(1.0, 1.2), (3.0, 1.1), (7.0, 1.0), (14.0, 0.93), (28.0, 0.86), (90.0, 0.75)] {
        check(law("aci curing factor", &[("curing end", end)]), expected, 0.011);
    }
}

/// ACI 209.2R-08, C.3.3: CEB MC90, as printed and recomputed, microstrain.
#[test]
fn mc90_example() {
    let at = |age: f64| {
        law(
            "mc90 shrinkage",
            &[
                ("mean strength", 33.0),
                ("beta", 5.0),
                ("humidity", 70.0),
                ("volume surface ratio", 100.0),
                ("age", age),
                ("drying age", 7.0),
            ],
        )
    };
    let rows = [
        (7.0, 0.0, 0.0),
        (14.0, 32.0, 32.0),
        (28.0, 55.0, 55.1),
        (60.0, 87.0, 86.5),
        (90.0, 107.0, 107.2),
        (180.0, 150.0, 150.3),
        (365.0, 205.0, 204.5),
    ];
    for (age, printed, recomputed) in rows {
        check(at(age), printed, 0.6);
        check(at(age), recomputed, 0.06);
    }
    // 445 times 1.018 microstrain after infinite time; growth .071, .122, .191, .237, .332, .451 as printed
    for (age, growth) in
        [(14.0, 0.071), (28.0, 0.122), (60.0, 0.191), (90.0, 0.237), (180.0, 0.332), (365.0, 0.451)]
    {
        check(at(age) / 453.0, growth, 6e-4);
    }
}

/// ACI 209.2R-08, C.3.4: CEB MC90-99, as printed and recomputed; the autogenous part with age is an identity.
#[test]
fn mc90_99_example() {
    let at = |age: f64| {
        law(
            "mc90-99 drying shrinkage",
            &[
                ("mean strength", 33.0),
                ("alpha 1", 4.0),
                ("alpha 2", 0.12),
                ("humidity", 70.0),
                ("volume surface ratio", 100.0),
                ("age", age),
                ("drying age", 7.0),
            ],
        )
    };
    let rows = [
        (14.0, 32.0, 31.9),
        (28.0, 55.0, 55.0),
        (60.0, 86.0, 86.4),
        (90.0, 107.0, 107.0),
        (180.0, 150.0, 150.0),
        (365.0, 204.0, 204.1),
    ];
    for (age, printed, recomputed) in rows {
        check(at(age), printed, 0.6);
        check(at(age), recomputed, 0.06);
    }
    let own = |age: f64| {
        law("mc90-99 autogenous shrinkage", &[("mean strength", 33.0), ("alpha", 700.0), ("age", age)])
    };
    check(own(1e6), 52.50, 0.01);
    for (age, expected) in
        [(7.0, 21.6), (14.0, 27.7), (28.0, 34.3), (60.0, 41.3), (90.0, 44.6), (180.0, 48.9), (365.0, 51.4)]
    {
        check(own(age), expected, 0.06);
    }
}

/// ACI 209.2R-08, C.4.3: GL2000. The printed value at 90 d (139) contradicts the formula and the other rows:
/// not asserted.
#[test]
fn gl2000_example() {
    let at = |age: f64| {
        law(
            "gl2000 shrinkage",
            &[
                ("constant k", 1.0),
                ("mean strength", 32.5),
                ("humidity", 70.0),
                ("volume surface ratio", 100.0),
                ("age", age),
                ("drying age", 7.0),
            ],
        )
    };
    for (age, printed) in [(7.0, 0.0), (28.0, 81.0), (60.0, 128.0), (180.0, 220.0), (365.0, 297.0)] {
        check(at(age), printed, 0.6);
    }
    for (age, recomputed) in [(28.0, 81.3), (60.0, 127.5), (90.0, 157.6), (180.0, 220.0), (365.0, 297.1)] {
        check(at(age), recomputed, 0.06);
    }
}

/// ACI 209.2R-08, C.4: the elastic chain of GL2000, growth constant 0.335.
#[test]
fn gl2000_elastic_chain() {
    check(law("gl2000 modulus", &[("mean strength", 32.5)]), 28.014, 1e-3);
    let young = law("eurocode strength at age", &[("mean strength", 32.5), ("age", 14.0), ("s", 0.335)]);
    check(young, 28.289, 1e-3);
    let modulus = law("gl2000 modulus", &[("mean strength", young)]);
    check(modulus, 26.371, 1e-3);
    check(1e3 / modulus, 37.92, 0.01);
}

/// RILEM TC 242-MDC 2015, model B4: autogenous shrinkage of the example with rapid cement.
#[test]
fn b4_example() {
    let at = |age: f64| {
        law(
            "b4 autogenous shrinkage",
            &[("water cement ratio", 0.60), ("aggregate cement ratio", 7.0), ("age", age)],
        )
    };
    check(at(112.0), 36.971, 0.01);
    check(at(28.0), 31.004, 0.01);
    check(at(1e9), 37.820, 0.01);
    let slow = [
        ("water cement ratio", 0.60),
        ("aggregate cement ratio", 7.0),
        ("age", 112.0),
        ("base shrinkage", 0.0),
    ];
    check(law("b4 autogenous shrinkage", &slow), 0.0, 1e-12);
}
