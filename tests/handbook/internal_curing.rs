//! Internal curing: the equation of Bentz, Lura and Roberts, and published worked numbers.

use super::{check, law};

/// Identity: binder, chemical shrinkage, water-binder ratio, saturation, desorbed water; aggregate for 0.36
/// and 0.42, water.
#[test]
fn the_equation() {
    let rows = [
        [400.0, 0.070, 0.30, 1.0, 0.15, 155.56, 133.33, 23.333],
        [400.0, 0.070, 0.40, 1.0, 0.15, 186.67, 177.78, 28.000],
        [350.0, 0.070, 0.34, 1.0, 0.24, 96.41, 82.64, 23.139],
        [500.0, 0.070, 0.25, 1.0, 0.20, 121.53, 104.17, 24.306],
        [450.0, 0.065, 0.33, 0.9, 0.18, 165.51, 141.87, 26.813],
    ];
    for [binder, shrinkage, ratio, saturation, desorbed, supplied, sealed, water] in rows {
        let demand = |full: f64| {
            let inputs = [
                ("binder", binder),
                ("chemical shrinkage", shrinkage),
                ("water binder ratio", ratio),
                ("full hydration ratio", full),
            ];
            law("internal curing demand", &inputs)
        };
        let aggregate = |demand: f64| {
            let inputs = [("demand", demand), ("saturation", saturation), ("desorbed water", desorbed)];
            law("internal curing aggregate", &inputs)
        };
        check(demand(0.36), water, 1e-3);
        check(aggregate(demand(0.36)), supplied, 0.01);
        check(aggregate(demand(0.42)), sealed, 0.01);
    }
}

/// Largest hydration of the equation: identity, by a ratio of 0.36 with supply and 0.42 sealed.
#[test]
fn maximum_hydration() {
    for (ratio, full, expected) in
        [(0.30, 0.36, 0.8333), (0.40, 0.36, 1.0), (0.30, 0.42, 0.7143), (0.40, 0.42, 0.9524)]
    {
        let inputs = [("water binder ratio", ratio), ("full hydration ratio", full)];
        check(law("maximum hydration", &inputs), expected, 1e-4);
    }
}

/// NIST, internal curing: chemical shrinkage falls by 0.0005 per degree Celsius above 25 and rises by as much
/// below.
#[test]
fn temperature() {
    let at = |celsius: f64| {
        let inputs = [("binder", 400.0), ("water binder ratio", 0.40), ("temperature", celsius)];
        law("internal curing demand", &inputs)
    };
    check(at(25.0), 28.0, 1e-9);
    check(at(35.0), 400.0 * 0.065, 1e-9);
    check(at(15.0), 400.0 * 0.075, 1e-9);
}

/// Concrete Construction, "Curing from the inside out", in lb per cubic yard: 42 lb of water. The printed 259
/// lb of aggregate is its oven-dry mass; prewetted it weighs 305.93 lb and fills 5.562 cubic feet (printed
/// 4.7, from the wrong mass).
#[test]
fn curing_from_the_inside_out() {
    let demand = law("internal curing demand", &[("binder", 600.0), ("water binder ratio", 0.40)]);
    check(demand, 42.0, 1e-9);
    let dry = law("internal curing aggregate", &[("demand", demand), ("desorbed water", 0.18 * 0.9)]);
    check(dry, 259.26, 0.01);
    check(dry * 1.18, 305.93, 0.01);
    check(dry * 1.18 / 55.0, 5.562, 1e-3);
    let supply = law(
        "internal curing supply",
        &[("dry aggregate", dry), ("absorption", 18.0), ("desorbed share", 0.9)],
    );
    check(supply, demand, 1e-9);
}

/// Federal Highway Administration, technical note on internal curing of concrete: inputs as published (six bags, 0.36, absorption 15 %), results an
/// identity; lb.
#[test]
fn six_bag_mix() {
    let demand = law("internal curing demand", &[("binder", 564.0), ("water binder ratio", 0.36)]);
    check(demand, 39.48, 1e-9);
    let dry = law("internal curing aggregate", &[("demand", demand), ("desorbed water", 0.15)]);
    check(dry, 263.20, 0.01);
    check(dry * 1.15, 302.68, 0.01);
}

/// Bentz, Lura and Roberts 2005: coefficients are a value from memory, the sum an identity.
#[test]
fn a_blend() {
    let inputs = [("cement", 75.0), ("fly ash", 20.0), ("silica fume", 5.0)];
    check(law("blend chemical shrinkage", &inputs), 0.0895, 1e-9);
    // slag 0.18 to 0.20, silica fume 0.20 to 0.22, fly ash 0.10 to 0.16, cement 0.06 to 0.07
    let alone = |name: &'static str| {
        let mixed = law("blend chemical shrinkage", &[("cement", 100.0), (name, 100.0)]);
        2.0 * mixed - law("blend chemical shrinkage", &[("cement", 100.0)])
    };
    for (name, low, high) in [("slag", 0.18, 0.20), ("silica fume", 0.20, 0.22), ("fly ash", 0.10, 0.16)] {
        assert!((low - 1e-9..=high + 1e-9).contains(&alone(name)), "{name}");
    }
    assert!((0.06..=0.07).contains(&law("blend chemical shrinkage", &[("cement", 100.0)])));
}
