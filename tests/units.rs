//! The same mix told in SI and in US customary units.

use mixbound::analysis::Explanation;
use mixbound::answer::build::report;
use mixbound::answer::report::Report;
use mixbound::answer::units::Units;
use mixbound::finding::Sources;
use mixbound::problem::{Problem, build, convert};
use mixbound::quantity::{System, Unit};
use mixbound::solve::{Settings, solve};

fn problem(sources: &mut Sources, text: &str) -> Problem {
    let source = sources.add("statement.yaml", text);
    let (statement, _) = mixbound::statement::read(sources, source).expect("it is read");
    build(&statement, sources).expect("it is right").0
}

fn both(text: &str) -> (Problem, Report, Report) {
    let mut sources = Sources::default();
    let problem = problem(&mut sources, text);
    let verdict = solve(&problem, &Settings::default());
    let si = report(&problem, &verdict, &Explanation::default(), &sources, Units::Si);
    let us = report(&problem, &verdict, &Explanation::default(), &sources, Units::Customary);
    (problem, si, us)
}

fn same(si: (f64, &Unit), us: (f64, &Unit), what: &str) {
    assert_eq!(si.1.dimension, us.1.dimension, "{what}");
    let there = convert(si.0, si.1, us.1);
    assert!((there - us.0).abs() <= 1e-9 * us.0.abs().max(1e-9), "{what}: {there} {} {}", us.0, us.1.text);
}

#[test]
fn every_figure_of_a_report_is_the_same_in_both_systems() {
    for text in
        [include_str!("../problems/04-us-units.yaml"), include_str!("../problems/00-reference-repair.yaml")]
    {
        let (_, si, us) = both(text);
        assert!(si.state.is_proposal());
        same((si.goal_value.unwrap(), &si.goal_unit), (us.goal_value.unwrap(), &us.goal_unit), "goal");
        for (a, b) in si.totals.iter().zip(&us.totals) {
            same((a.value.unwrap(), &a.unit), (b.value.unwrap(), &b.unit), &a.label);
        }
        for (a, b) in si.limits.iter().zip(&us.limits) {
            let (Some(left), Some(right)) = (a.measured, b.measured) else { continue };
            same((left.wanted, &a.unit), (right.wanted, &b.unit), &a.name);
            same((left.got, &a.unit), (right.got, &b.unit), &a.name);
            let scale = a.unit.factor / b.unit.factor;
            assert!((left.slack * scale - right.slack).abs() <= 1e-9 * right.scale, "{}", a.name);
            assert!((left.margin * scale - right.margin).abs() <= 1e-9 * right.scale, "{}", a.name);
        }
        for (a, b) in si.responses.iter().zip(&us.responses) {
            same((a.value, &a.unit), (b.value, &b.unit), &a.name);
            for (x, y) in a.factors.iter().zip(&b.factors) {
                same((x.value, &x.unit), (y.value, &y.unit), &x.name);
                same((x.region.0, &x.unit), (y.region.0, &y.unit), &x.name);
                same((x.region.1, &x.unit), (y.region.1, &y.unit), &x.name);
            }
        }
        for line in us.limits.iter().chain(&si.limits) {
            let foreign = if us.limits.iter().any(|known| std::ptr::eq(known, line)) {
                System::Si
            } else {
                System::Customary
            };
            assert_ne!(line.unit.system(), Some(foreign), "{}: {}", line.name, line.unit.text);
        }
    }
}

#[test]
fn a_report_speaks_the_units_of_its_statement() {
    let mut sources = Sources::default();
    let us = problem(&mut sources, include_str!("../problems/04-us-units.yaml"));
    let si = problem(&mut sources, include_str!("../problems/01-by-hand.yaml"));
    assert_eq!((us.system, si.system), (System::Customary, System::Si));
}

/// The statement of the hand calculation with each value rewritten exactly in US units has the same optimum.
#[test]
fn a_statement_rewritten_in_us_units_has_the_same_mix() {
    let si = include_str!("../problems/01-by-hand.yaml");
    let pounds = |kilograms: f64| kilograms / 0.453_592_37;
    let per_yard = |per_metre: f64| pounds(per_metre) * 0.764_554_857_984;
    let us = si
        .replace("3000 kg/m3", &format!("{:.12} lb/yd3", per_yard(3000.0)))
        .replace("2500 kg/m3", &format!("{:.12} lb/yd3", per_yard(2500.0)))
        .replace("density: 1000 kg/m3", &format!("density: {:.12} lb/yd3", per_yard(1000.0)))
        .replace("180 .. 250 kg/m3", &format!("{:.12} .. {:.12} lb/yd3", per_yard(180.0), per_yard(250.0)))
        .replace("price: 120 /t", &format!("price: {:.12} /ton", 0.120 * 907.184_74))
        .replace("price: 12 /t", &format!("price: {:.12} /ton", 0.012 * 907.184_74))
        .replace("price: 1 /t", &format!("price: {:.12} /ton", 0.001 * 907.184_74))
        .replace("at least 30 MPa", &format!("at least {:.9} psi", 30e6 / 6_894.757_293_168_361));

    let (_, first, _) = both(si);
    let (_, second, _) = both(&us);
    assert_eq!(second.units, Units::Si);
    assert!((first.goal_value.unwrap() - 57.90).abs() < 1e-6);
    assert!((first.goal_value.unwrap() / second.goal_value.unwrap() - 1.0).abs() < 1e-9);
}
