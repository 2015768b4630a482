//! Classes of fresh and hardened concrete.

use super::check;
use mixbound::response::law::durability::{
    Penetrability, Scaling, durability_factor, penetrability, scaling, scaling_meets_ft2,
};
use mixbound::response::law::exposure::{Exposure, Limits};
use mixbound::response::law::fresh::{
    Blocking, Conformity, SegregationResistance, SlumpFlow, Viscosity, blocking, column_segregation,
    fibre_factor, flow_meets_target, segregation_resistance, viscosity_by_flow_time, viscosity_by_funnel,
};

/// European Guidelines for Self-Compacting Concrete 2005: classes, and conformity by table A.6.
#[test]
fn european_guidelines() {
    use SlumpFlow::{First, Second, Third};
    let rows = [
        (First, (550.0, 650.0), (520.0, 700.0)),
        (Second, (660.0, 750.0), (640.0, 800.0)),
        (Third, (760.0, 850.0), (740.0, 900.0)),
    ];
    for (class, range, conforming) in rows {
        assert_eq!((class.range(), class.conforming()), (range, conforming));
        assert_eq!((SlumpFlow::of(range.0), SlumpFlow::of(range.1)), (Some(class), Some(class)));
    }
    assert_eq!((SlumpFlow::of(655.0), First.name(), Third.name()), (None, "SF1", "SF3"));
    assert!(flow_meets_target(620.0, 700.0) && !flow_meets_target(619.0, 700.0));
    assert!(flow_meets_target(780.0, 700.0) && !flow_meets_target(781.0, 700.0));
    let limits = [
        (Conformity::FastFunnel, 10.0, 10.1),
        (Conformity::SlowFunnel, 7.0, 27.1),
        (Conformity::SlowFunnel, 27.0, 6.9),
        (Conformity::Passing, 0.75, 0.74),
        (Conformity::FirstSegregation, 23.0, 23.1),
        (Conformity::SecondSegregation, 18.0, 18.1),
    ];
    for (limit, good, bad) in limits {
        assert!(limit.met(good) && !limit.met(bad), "{limit:?}");
    }
    // limits of the viscosity classes: value from memory
    assert_eq!(viscosity_by_flow_time(2.0), Viscosity::Low);
    assert_eq!(viscosity_by_flow_time(2.1), Viscosity::High);
    assert_eq!(
        [8.0, 8.5, 9.0, 26.0].map(viscosity_by_funnel),
        [Some(Viscosity::Low), None, Some(Viscosity::High), None]
    );
}

/// ASTM C1621, C1610 and C1712: value from memory.
#[test]
fn american_tests_of_fresh_concrete() {
    assert_eq!(
        [25.0, 25.1, 50.0, 50.1].map(blocking),
        [Blocking::None, Blocking::Minimal, Blocking::Minimal, Blocking::Extreme]
    );
    check(column_segregation(4.2, 4.7), 11.236, 1e-3);
    check(column_segregation(4.7, 4.2), 0.0, 1e-12);
    assert_eq!(
        [10.0, 10.1, 24.9, 25.0].map(segregation_resistance),
        [
            SegregationResistance::Resistant,
            SegregationResistance::Moderate,
            SegregationResistance::Moderate,
            SegregationResistance::None
        ]
    );
    check(fibre_factor(0.005, 60.0, 0.75), 0.4, 1e-12);
}

/// ASTM C1202, table X1.1, ASTM C666 and SS 13 72 44: value from memory. EN 13877-2, class FT2, is confirmed.
#[test]
fn durability() {
    assert_eq!(
        [99.0, 100.0, 1000.0, 2000.0, 4000.0, 4001.0].map(penetrability),
        [
            Penetrability::Negligible,
            Penetrability::VeryLow,
            Penetrability::Low,
            Penetrability::Moderate,
            Penetrability::Moderate,
            Penetrability::High
        ]
    );
    check(durability_factor(80.0, 300.0, 300.0), 80.0, 1e-12);
    check(durability_factor(60.0, 200.0, 300.0), 40.0, 1e-12);
    assert!(scaling_meets_ft2(0.5, 1.0) && !scaling_meets_ft2(0.51, 0.9) && !scaling_meets_ft2(0.4, 1.01));
    let rows = [
        (0.05, 0.09, Scaling::VeryGood),
        (0.05, 0.19, Scaling::Good),
        (0.30, 0.45, Scaling::Good),
        (0.20, 0.45, Scaling::Unacceptable),
        (0.60, 0.90, Scaling::Acceptable),
        (0.60, 1.10, Scaling::Unacceptable),
    ];
    for (after_28, after_56, expected) in rows {
        assert_eq!(scaling(after_28, after_56), expected, "{after_28} {after_56}");
    }
}

/// EN 206-1:2000, table F.1.
#[test]
fn exposure_classes() {
    let rows = [
        ("X0", 0.0, 12.0, 0.0, 0.0),
        ("XC1", 0.65, 20.0, 260.0, 0.0),
        ("XC2", 0.60, 25.0, 280.0, 0.0),
        ("XC3", 0.55, 30.0, 280.0, 0.0),
        ("XC4", 0.50, 30.0, 300.0, 0.0),
        ("XS1", 0.50, 30.0, 300.0, 0.0),
        ("XS2", 0.45, 35.0, 320.0, 0.0),
        ("XS3", 0.45, 35.0, 340.0, 0.0),
        ("XD1", 0.55, 30.0, 300.0, 0.0),
        ("XD2", 0.55, 30.0, 300.0, 0.0),
        ("XD3", 0.45, 35.0, 320.0, 0.0),
        ("XF1", 0.55, 30.0, 300.0, 0.0),
        ("XF2", 0.55, 25.0, 300.0, 4.0),
        ("XF3", 0.50, 30.0, 320.0, 4.0),
        ("XF4", 0.45, 30.0, 340.0, 4.0),
        ("XA1", 0.55, 30.0, 300.0, 0.0),
        ("XA2", 0.50, 30.0, 320.0, 0.0),
        ("XA3", 0.45, 35.0, 360.0, 0.0),
    ];
    for (name, ratio, strength, cement, air) in rows {
        let limits = Exposure::named(name).expect("a class").limits();
        let got = [limits.water_cement, Some(limits.strength.0), limits.cement, limits.air];
        assert_eq!(got.map(Option::unwrap_or_default), [ratio, strength, cement, air], "{name}");
    }
    let all = Limits::of_all(&[Exposure::XC4, Exposure::XD3, Exposure::XF4]);
    let expected =
        Limits { water_cement: Some(0.45), strength: (35.0, 45.0), cement: Some(340.0), air: Some(4.0) };
    assert_eq!(all, expected);
}
