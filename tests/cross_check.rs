//! Problems whose answers others have published or computed: linear and mixed-integer programs through the engine,
//! and nonlinear ones written as statements (`data/nonlinear/`) through the whole solver.
//!
//! "Value from memory" marks an answer that no text at hand confirmed; each was solved again by other programs.

use mixbound::finding::Sources;
use mixbound::model::{Program, RowOrigin};
use mixbound::problem::{Problem, build};
use mixbound::solve::{Found, Outcome, Settings, Verdict, solve, solve_program};

/// The optimum of a program.
#[track_caller]
fn optimum(program: &Program) -> (Vec<f64>, f64) {
    match solve_program(program) {
        Outcome::Optimal(point, objective) => (point, objective),
        other => panic!("no optimum: {other:?}"),
    }
}

#[track_caller]
fn check(got: f64, expected: f64, tolerance: f64) {
    let size = expected.abs().max(1e-3);
    assert!((got - expected).abs() <= tolerance * size, "got {got}, expected {expected} within {tolerance}");
}

/// Columns from zero without end at these costs, and one equality for each row of coefficients.
fn blend(costs: &[f64], rows: &[(&[f64], f64)]) -> Program {
    let mut program = Program::default();
    for (index, cost) in costs.iter().enumerate() {
        program.add_column(format!("alloy {index}"), 0.0, f64::INFINITY, *cost);
    }
    for (index, (coefficients, wanted)) in rows.iter().enumerate() {
        let terms = coefficients.iter().copied().enumerate().collect();
        program.add_row(RowOrigin::Derived, format!("metal {index}"), terms, *wanted, *wanted);
    }
    program
}

/// Dantzig 1963, Linear Programming and Extensions, section 3.4: blending nine alloys to 30 % lead, 30 % zinc and 40 %
/// tin at least cost.
#[test]
fn the_blend_of_nine_alloys_costs_what_dantzig_says() {
    let lead = [10.0, 10.0, 40.0, 60.0, 30.0, 30.0, 30.0, 50.0, 20.0];
    let zinc = [10.0, 30.0, 50.0, 30.0, 30.0, 40.0, 20.0, 40.0, 30.0];
    let tin = [80.0, 60.0, 10.0, 10.0, 40.0, 30.0, 50.0, 10.0, 50.0];
    let prices = [4.1, 4.3, 5.8, 6.0, 7.6, 7.5, 7.3, 6.9, 7.3];
    let (point, cost) = optimum(&blend(&prices, &[(&lead, 30.0), (&zinc, 30.0), (&tin, 40.0)]));
    check(cost, 4.98, 1e-9);
    check(point[1], 0.6, 1e-9);
    check(point[3], 0.4, 1e-9);
}

/// Hillier and Lieberman, Introduction to Operations Research: the alloy of a metal company, at two sets of costs.
#[test]
fn the_alloy_of_five_costs_what_hillier_and_lieberman_give() {
    let tin = [60.0, 25.0, 45.0, 20.0, 50.0];
    let zinc = [10.0, 15.0, 45.0, 50.0, 40.0];
    let lead = [30.0, 60.0, 10.0, 30.0, 10.0];
    for (costs, expected) in
        [([22.0, 20.0, 25.0, 24.0, 27.0], 23.456_522), ([77.0, 70.0, 88.0, 84.0, 94.0], 82.434_783)]
    {
        let (point, cost) = optimum(&blend(&costs, &[(&tin, 40.0), (&zinc, 35.0), (&lead, 25.0)]));
        check(cost, expected, 1e-7);
        for (got, of_23) in point.iter().zip([1.0, 6.5, 15.5, 0.0, 0.0]) {
            check(*got, of_23 / 23.0, 1e-7);
        }
    }
}

/// Dantzig 1963: two plants, three markets; value from memory.
#[test]
fn the_transport_of_two_plants_costs_what_dantzig_says() {
    let distances = [[2.5, 1.7, 1.8], [2.5, 1.8, 1.4]];
    let mut program = Program::default();
    for row in &distances {
        for distance in row {
            program.add_column("shipment", 0.0, f64::INFINITY, 0.09 * distance);
        }
    }
    for (plant, capacity) in [350.0, 600.0].into_iter().enumerate() {
        let terms = (0..3).map(|market| (3 * plant + market, 1.0)).collect();
        program.add_row(RowOrigin::Derived, "capacity", terms, f64::NEG_INFINITY, capacity);
    }
    for (market, demand) in [325.0, 300.0, 275.0].into_iter().enumerate() {
        program.add_row(
            RowOrigin::Derived,
            "demand",
            vec![(market, 1.0), (3 + market, 1.0)],
            demand,
            f64::INFINITY,
        );
    }
    check(optimum(&program).1, 153.675, 1e-9);
}

fn knapsack(weights: &[f64], profits: &[f64], capacity: f64) -> Program {
    let mut program = Program::default();
    for profit in profits {
        let item = program.add_column("item", 0.0, 1.0, -profit);
        program.columns[item].integer = true;
    }
    let terms = weights.iter().copied().enumerate().collect();
    program.add_row(RowOrigin::Derived, "capacity", terms, f64::NEG_INFINITY, capacity);
    program
}

fn taken(point: &[f64]) -> Vec<usize> {
    point.iter().enumerate().filter(|(_, value)| 0.5 < **value).map(|(index, _)| index + 1).collect()
}

/// Two knapsacks, their best values from memory (common practice, no source).
#[test]
fn two_knapsacks_are_packed_to_the_last_unit() {
    let weights = [23.0, 31.0, 29.0, 44.0, 53.0, 38.0, 63.0, 85.0, 89.0, 82.0];
    let profits = [92.0, 57.0, 49.0, 68.0, 60.0, 43.0, 67.0, 84.0, 87.0, 72.0];
    let mut small = knapsack(&weights, &profits, 165.0);
    let (point, objective) = optimum(&small);
    check(objective, -309.0, 1e-9);
    assert_eq!(taken(&point), [1, 2, 3, 4, 6]);
    for column in &mut small.columns {
        column.integer = false;
    }
    check(optimum(&small).1, -309.018_867_9, 1e-9);

    let weights =
        [70.0, 73.0, 77.0, 80.0, 82.0, 87.0, 90.0, 94.0, 98.0, 106.0, 110.0, 113.0, 115.0, 118.0, 120.0];
    let profits = [
        135.0, 139.0, 149.0, 150.0, 156.0, 163.0, 173.0, 184.0, 192.0, 201.0, 210.0, 214.0, 221.0, 229.0,
        240.0,
    ];
    let (point, objective) = optimum(&knapsack(&weights, &profits, 750.0));
    check(objective, -1458.0, 1e-9);
    assert_eq!(taken(&point), [1, 3, 5, 7, 8, 9, 14, 15]);
}

fn problem(text: &str) -> Problem {
    let mut sources = Sources::default();
    let source = sources.add("statement.yaml", text);
    let read = mixbound::statement::read(&sources, source);
    let (statement, findings) = read.unwrap_or_else(|findings| panic!("{}", findings.render(&sources)));
    assert!(!findings.has_errors(), "{}", findings.render(&sources));
    match build(&statement, &sources) {
        Ok((problem, _)) => problem,
        Err(findings) => panic!("{}", findings.render(&sources)),
    }
}

#[track_caller]
fn found(problem: &Problem, settings: &Settings) -> Found {
    match solve(problem, settings) {
        Verdict::Found(found) => found,
        other => panic!("no mix: {other:?}"),
    }
}

/// Amounts of the variables of a nonlinear statement, shifts taken off.
fn variables(problem: &Problem, mix: &[f64], shifts: &[f64]) -> Vec<f64> {
    let amounts = problem.mixture.catalogue.materials.iter().zip(mix);
    amounts.zip(shifts).map(|((_, amount), shift)| amount - shift).collect()
}

macro_rules! nonlinear {
    ($name:literal) => {
        include_str!(concat!("data/nonlinear/", $name, ".yaml"))
    };
}

/// The published optimum of one statement: its text, value, point and shifts of the variables.
type Published<'p> = (&'p str, f64, &'p [f64], &'p [f64]);

/// The sources stand in each statement.
const TAME: &[Published<'_>] = &[
    (nonlinear!("hs21"), -99.96, &[2.0, 0.0], &[0.0, 60.0]),
    (nonlinear!("hs24"), -1.0, &[3.0, 1.732_050_8], &[0.0, 0.0]),
    (nonlinear!("hs35"), 1.0 / 9.0, &[4.0 / 3.0, 7.0 / 9.0, 4.0 / 9.0], &[0.0, 0.0, 0.0]),
    (nonlinear!("hs65"), 0.953_528_856_8, &[3.650_46, 3.650_46, 4.620_42], &[10.0, 10.0, 10.0]),
    (nonlinear!("hs76"), -4.681_818_182, &[0.272_727, 2.090_909, 0.0, 0.545_455], &[0.0, 0.0, 0.0, 0.0]),
    (nonlinear!("bilinear"), -20.0 / 3.0, &[6.0, 2.0 / 3.0], &[0.0, 0.0]),
    (nonlinear!("hs71"), 17.014_017_3, &[1.0, 4.743, 3.8211, 1.3794], &[0.0, 0.0, 0.0, 0.0]),
];

/// Between the corners of its tangents an optimum is approached linearly, and the loop's steps are counted: with three
/// curved limits in four variables this one is met to 1e-5.
const SLOWER: &[Published<'_>] =
    &[(nonlinear!("hs43"), -44.0, &[0.0, 1.0, 2.0, -1.0], &[10.0, 10.0, 10.0, 10.0])];

/// Value to a tolerance relative to its size; point to its root, since a value is flat at its optimum.
#[track_caller]
fn is_published(published: &Published<'_>, tolerance: f64) {
    let (text, expected, point, shifts) = published;
    let problem = problem(text);
    let found = found(&problem, &Settings::local());
    check(found.goal, *expected, tolerance);
    for (got, expected) in variables(&problem, &found.mix, shifts).iter().zip(*point) {
        assert!((got - expected).abs() <= 2.0 * tolerance.sqrt(), "{text}\ngot {got}, expected {expected}");
    }
}

#[test]
fn the_local_loop_finds_the_published_optima_of_tame_nonlinear_problems() {
    for published in TAME {
        is_published(published, 1e-6);
    }
    for published in SLOWER {
        is_published(published, 1e-5);
    }
}

/// The proven bound never claims more than is true: on the right side of the published optimum, and within the gap.
#[test]
fn no_proven_bound_lies_beyond_a_published_optimum() {
    for (text, expected, ..) in TAME.iter().chain(SLOWER) {
        let found = found(&problem(text), &Settings::default());
        let bound = found.certainty.expect("a proof was asked for").bound;
        let size = expected.abs().max(1e-3);
        assert!(bound <= expected + 1e-7 * size, "{text}\n{bound} is claimed, {expected} is possible");
        assert!(expected - bound <= 2e-3 * size, "{text}\n{bound} is far below {expected}");
    }
}

/// Where a local loop may stop at a poorer mix the proof must find the best one: pooling (Haverly 1978) and a concave
/// quadratic (Floudas and Pardalos 1990).
#[test]
fn the_proof_finds_the_best_of_many_local_optima() {
    for (text, expected) in [
        (nonlinear!("haverly-1"), 400.0),
        (nonlinear!("haverly-2"), 600.0),
        (nonlinear!("haverly-3"), 750.0),
        (nonlinear!("concave"), -17.0),
        (nonlinear!("bilinear"), -20.0 / 3.0),
    ] {
        check(found(&problem(text), &Settings::default()).goal, expected, 1e-6);
    }
}

/// The local loop alone claims no more than it knows: never better than the best, never a mix that fails.
#[test]
fn a_local_answer_is_never_better_than_the_global_one() {
    for (text, best, sign) in [(nonlinear!("haverly-1"), 400.0, 1.0), (nonlinear!("concave"), -17.0, -1.0)] {
        let found = found(&problem(text), &Settings::local());
        assert!(sign * found.goal <= sign * best + 1e-5, "{} beats {best}", found.goal);
        assert!(found.audit.passes());
    }
}

/// A choice among so many materials that not every assignment is tried.
#[test]
fn one_of_sixty_additions_is_used_when_one_is_asked_for() {
    let mut text = "mixbound: 1\ncurrency: EUR\nair: 2 %\nmaterials:\n".to_owned();
    text += "  cement: {role: cement, density: 3100 kg/m3, price: 130 /t, amount: 250 .. 450 kg/m3}\n";
    text += "  sand: {role: sand, density: 2650 kg/m3, price: 14 /t}\n";
    text += "  water: {role: water, density: 1000 kg/m3, price: 1 /m3, amount: 140 .. 220 kg/m3}\n";
    let names: Vec<String> = (0..60).map(|number| format!("fume {number}")).collect();
    for name in &names {
        let bounds = "if used: 4 .. 10 % of binder";
        text += &format!("  {name}: {{role: silica fume, density: 2200 kg/m3, price: 400 /t, {bounds}}}\n");
    }
    text += &format!("choices:\n  one: {{of: [{}], at least: 1, at most: 2}}\n", names.join(", "));
    text += "goal: least cost\n";
    for settings in [Settings::local(), Settings::default()] {
        let problem = problem(&text);
        let found = found(&problem, &settings);
        let used = found.mix[3..63].iter().filter(|amount| 1e-6 < **amount).count();
        assert_eq!(used, 1);
    }
}
