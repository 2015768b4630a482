//! How long the parts of a solve take, on the reference problem. Run with `scripts/bench`.
//!
//! Nothing here is a test: figures depend on the machine. The last run of `crack restrained`, on 2 cores under load:
//!
//! | | result |
//! |---|---|
//! | stress over 60 steps with its gradient by 8 inputs | 26 us, median of 100 (bar 200 us) |
//! | age, stress and level at every step, and gradients of the headroom, in `problems/12-mechanistic-cracking.yaml` | 47 us, median of 100 (bar 200 us) |
//! | the same problem solved, best found (`mixbound solve --no-proof`) | 0.93 s CPU (bar 2 s) |

use std::path::Path;

use divan::{Bencher, black_box};
use mixbound::cli::checked;
use mixbound::finding::Sources;
use mixbound::model::{Frame, Wholeness, linearised};
use mixbound::number::Dual;
use mixbound::problem::{Problem, build};
use mixbound::response::law::aci_growth;
use mixbound::response::law::cracking::{FreeStrain, Grid};
use mixbound::response::law::superposition::{CreepShape, Restrainer, stress};
use mixbound::solve::{Outcome, Settings, solve, solve_program};
use mixbound::statement;

const REFERENCE: &str = include_str!("../../problems/00-reference-repair.yaml");
const PATH: &str = "problems/00-reference-repair.yaml";

fn main() {
    divan::main();
}

fn problem() -> Problem {
    let mut sources = Sources::default();
    let built = checked(Path::new(PATH), REFERENCE.to_owned(), &mut sources);
    built.unwrap_or_else(|findings| panic!("{}", findings.render(&sources))).0
}

/// YAML to a statement with places.
#[divan::bench]
fn reading(bencher: Bencher) {
    let mut sources = Sources::default();
    let source = sources.add(PATH, REFERENCE);
    bencher.bench(|| statement::read(black_box(&sources), source).is_ok());
}

/// Statement to a checked problem, without the small programs that look for vanishing denominators.
#[divan::bench]
fn building(bencher: Bencher) {
    let mut sources = Sources::default();
    let source = sources.add(PATH, REFERENCE);
    let (statement, _) = statement::read(&sources, source).expect("the reference problem reads");
    bencher.bench(|| build(black_box(&statement), &sources).is_ok());
}

/// Reading and checking together: what `mixbound check` does.
#[divan::bench]
fn checking(bencher: Bencher) {
    bencher.bench(problem);
}

/// The exact part of one undecided problem as a linear program.
#[divan::bench]
fn exact_part(bencher: Bencher) {
    let problem = problem();
    let frame = Frame::new(&problem);
    let program = frame.exact_part(&frame.undecided(), Wholeness::Relaxed);
    bencher.bench(|| solve_program(black_box(&program)));
}

/// One step of the local loop: tangents written down and solved.
#[divan::bench]
fn one_step(bencher: Bencher) {
    let problem = problem();
    let frame = Frame::new(&problem);
    let assignment = frame.undecided();
    let Outcome::Optimal(point, _) = solve_program(&frame.exact_part(&assignment, Wholeness::Relaxed)) else {
        panic!("the exact part of the reference problem has a solution")
    };
    let mix = frame.raise(&point);
    bencher.bench(|| solve_program(&linearised(&frame, &assignment, black_box(&mix), 0.5, 20.0).program));
}

/// The fast local answer: every assignment of choices, all starts.
#[divan::bench(sample_count = 20)]
fn solving_locally(bencher: Bencher) {
    let problem = problem();
    bencher.bench(|| solve(black_box(&problem), &Settings::local()));
}

/// The answer with its proof.
#[divan::bench(sample_count = 20)]
fn solving_with_proof(bencher: Bencher) {
    let problem = problem();
    bencher.bench(|| solve(black_box(&problem), &Settings::default()));
}

/// The same with the age at cracking step by step, best found: wanted below 2 seconds.
#[divan::bench(sample_count = 5)]
fn mechanistic_cracking(bencher: Bencher) {
    let problem = mechanistic();
    bencher.bench_local(|| solve(black_box(&problem), &Settings::local()));
}

/// Stress under restraint over sixty steps, with the gradient by eight inputs: wanted below 200 microseconds.
#[divan::bench]
fn restrained_stress_with_gradient(bencher: Bencher) {
    let grid = Grid::new(1.0, 90.0, 60, &[]);
    let shape = CreepShape::new(&grid, |age, loading| aci_growth(&(age - loading)));
    let growth = |age: f64, power: f64| f64::exp(0.25 * power * (1.0 - f64::sqrt(28.0 / age)));
    let moduli: Vec<f64> = grid.middles().iter().map(|&age| growth(age, 0.3)).collect();
    let inputs: Vec<Dual> = [900.0, 200.0, 33.0, 4.2, 0.7, 2.35, 0.85, 0.0]
        .into_iter()
        .enumerate()
        .map(|(at, value)| Dual::variable(value, at, 8))
        .collect();
    bencher.bench_local(|| {
        let mut strain = FreeStrain::none(&grid);
        strain.add(&grid, &inputs[0], |age| (age - 1.0) / (20.0 + age - 1.0));
        strain.add(&grid, &inputs[1], |age| 1.0 - f64::exp(-0.2 * f64::sqrt(age)));
        let modulus: Vec<Dual> = moduli.iter().map(|&factor| inputs[2].clone() * factor).collect();
        let creep = vec![inputs[5].clone(); grid.steps()];
        stress(&strain, &Restrainer::degree(inputs[4].clone()), &modulus, &creep, &shape)
    });
}

fn mechanistic() -> Problem {
    let mut sources = Sources::default();
    let text = include_str!("../../problems/12-mechanistic-cracking.yaml").to_owned();
    checked(Path::new("problems/12-mechanistic-cracking.yaml"), text, &mut sources)
        .unwrap_or_else(|findings| panic!("{}", findings.render(&sources)))
        .0
}

/// An age at cracking as a statement asks for it: stress and level at every age, the age, and the gradient of the headroom
/// at each: wanted below 200 microseconds.
#[divan::bench]
fn cracking_age_with_gradient(bencher: Bencher) {
    let problem = mechanistic();
    let rule =
        problem.responses.iter().find_map(mixbound::problem::restrained).expect("it has an age at cracking");
    let factors = [450.0, 120.0, 28.0, 3.9, 0.3];
    bencher.bench_local(|| {
        let history = rule.history(black_box(&factors));
        (rule.outcome(&history), rule.sloped_headrooms(&factors, rule.ages().len() - 1))
    });
}

/// Bounds of the slopes of the headroom over a box, at every age of a limit: once in each part of the search space.
#[divan::bench]
fn headroom_slopes(bencher: Bencher) {
    let problem = mechanistic();
    let response =
        problem.responses.iter().find(|response| response.name == "crack-free age").expect("it is there");
    let rule = mixbound::problem::restrained(response).expect("it is an age at cracking");
    let region = response.region();
    bencher.bench_local(|| rule.headroom_slopes(black_box(&region), 40));
}
