//! Laws for repair concrete: air voids, low water-binder ratios, tension, chlorides, placing, fibres. Every formula:
//! value from memory unless a row names where it was seen; the figures are the formulas' own output.

use super::{check, check_relative, law};

/// Powers 1949 and ASTM C457: two branches that meet near a ratio of paste to air of 4.342.
#[test]
fn spacing_of_air_voids() {
    let spacing = |paste: f64, air: f64, surface: f64| {
        law("spacing factor", &[("paste volume", paste), ("air", air), ("specific surface", surface)])
    };
    check(spacing(30.0, 6.0, 24.0), 0.1930, 5e-5);
    check(spacing(18.0, 6.0, 24.0), 0.1250, 1e-9);
    check_relative(spacing(4.342, 1.0, 24.0), spacing(4.342_01, 1.0, 24.0), 1e-3);
    // more air or finer voids: closer
    assert!(spacing(30.0, 7.0, 24.0) < spacing(30.0, 6.0, 24.0));
    assert!(spacing(30.0, 6.0, 30.0) < spacing(30.0, 6.0, 24.0));
}

/// Tazawa and Miyazawa 1997; EN 1992-2:2005, annex B.
#[test]
fn autogenous_shrinkage_of_low_ratios() {
    let final_by = |ratio: f64| law("jsce ultimate autogenous shrinkage", &[("water binder ratio", ratio)]);
    check(final_by(0.30), 354.05, 0.01);
    check(final_by(0.40), 172.33, 0.01);
    let at_age = |age: f64| {
        let inputs =
            [("water binder ratio", 0.30), ("age", age), ("growth factor", 0.6), ("growth exponent", 0.5)];
        law("jsce autogenous shrinkage", &inputs)
    };
    check(at_age(0.3), 0.0, 0.3);
    check(at_age(1e4), 354.05, 0.01);
    let bridges = |age: f64| {
        let inputs = [("characteristic strength", 80.0), ("age", age)];
        law("eurocode high-strength autogenous shrinkage", &inputs)
    };
    check(bridges(28.0), 118.70, 0.01);
    check(bridges(1e5), 168.0, 0.01);
    let early = |strength: f64| {
        let inputs = [("characteristic strength", 80.0), ("strength at age", strength)];
        law("eurocode high-strength early autogenous shrinkage", &inputs)
    };
    check(early(7.0), 0.0, 1e-9);
    check(early(80.0), 120.0, 1e-9);
}

/// EN 1992-1-1:2004, 3.1.2(8) and 3.1.8; ACI 363R.
#[test]
fn tension_by_the_way_of_testing() {
    check(law("direct tension from splitting", &[("splitting tensile strength", 4.0)]), 3.6, 1e-9);
    let tension = law("eurocode tension", &[("characteristic strength", 30.0)]);
    let flexure =
        |depth: f64| law("eurocode flexural strength", &[("tensile strength", tension), ("depth", depth)]);
    check(flexure(150.0), 1.45 * tension, 1e-9);
    check(flexure(600.0), tension, 1e-9);
    check(flexure(900.0), tension, 1e-9);
    check(law("aci 363 modulus of rupture", &[("compressive strength", 60.0)]), 7.281, 1e-3);
    check(law("aci 363 splitting tension", &[("compressive strength", 60.0)]), 4.570, 1e-3);
}

/// Thomas and Bentz 2000; um2/s are 1e-12 m2/s.
#[test]
fn chlorides_diffuse_slower_with_silica_fume_and_age() {
    let at_28 =
        |fume: f64| law("chloride diffusion", &[("water binder ratio", 0.40), ("silica fume share", fume)]);
    check(at_28(0.0), 7.943, 1e-3);
    check(at_28(7.0), 2.503, 1e-3);
    let aged = |age: f64, ash: f64| {
        law("chloride diffusion at age", &[("diffusion", 8.0), ("age", age), ("fly ash share", ash)])
    };
    check(aged(28.0, 20.0), 8.0, 1e-9);
    assert!(aged(3650.0, 25.0) < aged(3650.0, 0.0));
}

/// AASHTO LRFD 5.4.2.3.3, in inches and ksi: V/S 1.5 in, humidity 50 %, f'ci 4 ksi, 90 d of drying.
#[test]
fn shrinkage_by_aashto() {
    let got = |size: f64, humidity: f64, ksi: f64, days: f64| {
        let inputs = [
            ("volume surface ratio", size * 25.4),
            ("humidity", humidity),
            ("initial strength", ksi * 6.894_757),
            ("age", 5.0 + days),
            ("drying age", 5.0),
        ];
        law("aashto shrinkage", &inputs)
    };
    check(got(1.5, 50.0, 4.0, 90.0), 533.9, 0.1);
    // the size factor is at least one
    check(got(4.0, 50.0, 4.0, 90.0), got(3.5, 50.0, 4.0, 90.0), 1e-6);
}

/// Uno 1998.
#[test]
fn evaporation_from_a_fresh_surface() {
    let got = |humidity: f64, wind: f64| {
        let inputs = [
            ("concrete temperature", 30.0),
            ("air temperature", 30.0),
            ("humidity", humidity),
            ("wind speed", wind),
        ];
        law("surface evaporation", &inputs)
    };
    check(got(50.0, 20.0), 0.9578, 1e-4);
    check(got(100.0, 20.0), 0.0, 1e-12);
    assert!(got(50.0, 10.0) < got(50.0, 20.0));
}

/// fib Model Code 2010, 5.6.4.
#[test]
fn residual_stress_of_fibres() {
    check(law("fibre residual stress in service", &[("residual strength 1", 4.0)]), 1.80, 1e-9);
    let ultimate = |third: f64, width: f64| {
        let inputs = [("residual strength 1", 4.0), ("residual strength 3", third), ("crack width", width)];
        law("fibre residual stress ultimate", &inputs)
    };
    check(ultimate(3.2, 1.5), 1.20, 1e-9);
    check(ultimate(0.0, 2.5), 0.0, 1e-9);
}

/// Powers 1958: the cube of the gel-space ratio.
#[test]
fn gel_space_ratio() {
    let inputs = [("water binder ratio", 0.5), ("hydration", 0.8)];
    check(law("gel-space ratio", &inputs), 0.7196, 1e-4);
    check(law("gel-space strength", &inputs), 87.19, 0.01);
    // at w/c 0.36 all of the space is filled when all cement has hydrated
    check(law("gel-space ratio", &[("water binder ratio", 0.36), ("hydration", 1.0)]), 1.0, 1e-9);
}
