//! How long the usual work takes: a statement solved, one age at cracking with its gradient.

use divan::{Bencher, black_box};
use mixbound::finding::Sources;
use mixbound::problem::{Problem, build};
use mixbound::response::law::aci_growth;
use mixbound::response::law::cracking::{CreepShape, FreeStrain, Grid, stress};
use mixbound::response::number::Dual;
use mixbound::solve::{Settings, solve};
use mixbound::statement;

fn main() {
    divan::main();
}

fn problem(name: &str, text: &str) -> Problem {
    let mut sources = Sources::default();
    let source = sources.add(name, text);
    let (statement, _) = statement::read(&sources, source).expect("the problems of this project can be read");
    build(&statement, &sources).expect("the problems of this project can be solved").0
}

/// The reference problem from its checked form to an audited mix.
#[divan::bench(sample_count = 10)]
fn reference_problem(bencher: Bencher) {
    let problem =
        problem("00-reference-repair.yaml", include_str!("../../problems/00-reference-repair.yaml"));
    bencher.bench_local(|| solve(black_box(&problem), &Settings::default()));
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
        stress(&strain, &inputs[4], &modulus, &creep, &shape)
    });
}
