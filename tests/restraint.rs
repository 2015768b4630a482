//! Restrained concrete, step by step: closed forms, invented mixes, gradients, bounds, refinement and time.

use mixbound::number::{Dual, Interval, Number};
use mixbound::response::law::Law;
use mixbound::response::law::cracking::{Cracking, FreeStrain, Grid, age_at_cracking, ages_at_cracking};
use mixbound::response::law::ring::RingCoefficients;
use mixbound::response::law::superposition::{CreepShape, Restrainer, stress};
use mixbound::response::law::{aci_growth, bounds_of_all};

/// Inputs in order: drying and autogenous strain, modulus, tensile strength, restraint, ultimate creep,
/// share, fibre gain.
const UNMITIGATED: [f64; 8] = [900.0, 200.0, 33.0, 4.2, 0.7, 2.35, 0.85, 0.0];

fn with(drying: f64, autogenous: f64, modulus: f64, tension: f64) -> [f64; 8] {
    let mut case = UNMITIGATED;
    case[..4].copy_from_slice(&[drying, autogenous, modulus, tension]);
    case
}

fn growth(age: f64, power: f64) -> f64 {
    f64::exp(0.25 * power * (1.0 - f64::sqrt(28.0 / age)))
}

struct Case {
    grid: Grid,
    shape: CreepShape,
    moduli: Vec<f64>,
    strengths: Vec<f64>,
}

impl Case {
    fn on(grid: Grid) -> Self {
        let shape = CreepShape::new(&grid, |age, loading| aci_growth(&(age - loading)));
        let moduli = grid.middles().iter().map(|&age| growth(age, 0.3)).collect();
        let strengths = grid.ages().iter().map(|&age| growth(age, 1.0)).collect();
        Self { grid, shape, moduli, strengths }
    }

    /// Stress and failure level at each age.
    fn evaluate<N: Number>(&self, inputs: &[N]) -> (Vec<N>, Vec<N>) {
        let mut strain = FreeStrain::none(&self.grid);
        strain.add(&self.grid, &inputs[0], |age| (age - 1.0) / (20.0 + age - 1.0));
        strain.add(&self.grid, &inputs[1], |age| 1.0 - f64::exp(-0.2 * f64::sqrt(age)));
        let modulus: Vec<N> = self.moduli.iter().map(|&factor| inputs[2].clone() * factor).collect();
        let creep = vec![inputs[5].clone(); self.grid.steps()];
        let stresses = stress(&strain, &Restrainer::degree(inputs[4].clone()), &modulus, &creep, &self.shape);
        let level = inputs[3].clone() * inputs[6].clone() * (inputs[7].clone() + 1.0);
        (stresses, self.strengths.iter().map(|&factor| level.clone() * factor).collect())
    }

    fn cracking(&self, inputs: &[f64]) -> Cracking {
        let (stresses, level) = self.evaluate(inputs);
        age_at_cracking(&self.grid, &stresses, &level)
    }
}

fn usual() -> Case {
    Case::on(Grid::new(1.0, 90.0, 60, &[]))
}

/// Highest share of the failure level that the stress reaches.
fn utilisation(case: &Case, inputs: &[f64]) -> f64 {
    let (stresses, level) = case.evaluate(inputs);
    stresses.iter().zip(&level).map(|(stress, level)| stress / level).fold(0.0, f64::max)
}

#[test]
fn the_invented_mixes_crack_in_the_expected_order() {
    // invented mixes; the numbers were recomputed by an independent program of the same equations
    let case = usual();
    let unmitigated = UNMITIGATED;
    let cured = with(700.0, 60.0, 32.0, 4.3);
    let lightweight = with(560.0, 0.0, 28.0, 4.2);
    let reducer = with(480.0, 0.0, 28.0, 4.2);
    let Cracking::At(first) = case.cracking(&unmitigated) else { panic!("unmitigated cracks") };
    let Cracking::At(second) = case.cracking(&cured) else { panic!("internally cured cracks") };
    assert!((first - 4.48).abs() < 0.02 && (second - 10.18).abs() < 0.02, "{first} {second}");
    // the last two stay below the level: their stress peaks near 52 d at 0.89 and 0.77 of it
    assert_eq!(case.cracking(&lightweight), Cracking::NoneBy(90.0));
    assert_eq!(case.cracking(&reducer), Cracking::NoneBy(90.0));
    let highest = [unmitigated, cured, lightweight, reducer].map(|mix| utilisation(&case, &mix));
    for (got, expected) in highest.iter().zip([1.99, 1.33, 0.894, 0.766]) {
        assert!((got - expected).abs() < 0.005, "{got} {expected}");
    }
}

#[test]
fn with_less_creep_the_lightweight_mix_cracks_before_the_one_with_reducer() {
    let less = |drying: f64| {
        let mut mix = with(drying, 0.0, 28.0, 4.2);
        mix[5] = 1.7;
        usual().cracking(&mix)
    };
    let (Cracking::At(lightweight), Cracking::NoneBy(_)) = (less(560.0), less(480.0)) else {
        panic!("order")
    };
    assert!(14.0 < lightweight && lightweight < 45.0, "{lightweight}");
}

#[test]
fn halving_the_steps_moves_the_age_by_less_than_one_percent() {
    let coarse = usual();
    let fine = Case::on(coarse.grid.halved());
    for mix in [UNMITIGATED, with(700.0, 60.0, 32.0, 4.3), with(640.0, 0.0, 28.0, 4.2)] {
        let (Cracking::At(one), Cracking::At(two)) = (coarse.cracking(&mix), fine.cracking(&mix)) else {
            panic!("both crack")
        };
        assert!((one / two - 1.0).abs() < 0.01, "{one} {two}");
    }
}

#[test]
fn without_creep_and_growth_the_closed_form_comes_out() {
    // identity: x = f_t / (restraint modulus relaxation strain), t = N x / (1 - x)
    let cracks = |strain: f64| {
        let grid = Grid::new(1e-3, 60.0, 400, &[]);
        let shape = CreepShape::new(&grid, |_, _| 0.0);
        let mut free = FreeStrain::none(&grid);
        free.add(&grid, &strain, |age| age / (20.0 + age));
        let (moduli, creep) = (vec![30.0 * 0.5; grid.steps()], vec![0.0; grid.steps()]);
        let stresses = stress(&free, &Restrainer::degree(0.75), &moduli, &creep, &shape);
        age_at_cracking(&grid, &stresses, &vec![3.0; grid.ages().len()])
    };
    let Cracking::At(age) = cracks(600.0) else { panic!("cracks") };
    assert!((age - 16.0).abs() < 0.02, "{age}");
    assert_eq!(cracks(266.0), Cracking::NoneBy(60.0), "x >= 1 is no number");
}

#[test]
fn a_constant_strain_relaxes_to_what_the_final_creep_allows() {
    // identity: without ageing, stress tends to modulus times strain over one plus the final creep
    // coefficient
    let grid = Grid::new(28.0, 20_000.0, 200, &[28.01]);
    let shape = CreepShape::new(&grid, |age, loading| aci_growth(&(age - loading)));
    let mut free = FreeStrain::none(&grid);
    free.add(&grid, &100.0, |age| f64::min(1.0, (age - 28.0) / 0.01));
    let (moduli, creep) = (vec![30.0; grid.steps()], vec![1.5; grid.steps()]);
    let stresses = stress(&free, &Restrainer::degree(1.0), &moduli, &creep, &shape);
    let relaxed = stresses[grid.steps()] / 3.0;
    let expected = 1.0 / (1.0 + 1.5 * aci_growth(&20_000.0));
    assert!((relaxed / expected - 1.0).abs() < 0.01, "{relaxed} {expected}");
}

#[test]
fn expansion_before_drying_keeps_concrete_in_compression_first() {
    let grid = Grid::new(1.0, 90.0, 60, &[7.0]);
    assert!(grid.ages().contains(&7.0));
    let case = Case::on(grid);
    let mut free = FreeStrain::none(&case.grid);
    free.add(&case.grid, &-200.0, |age| 1.0 - f64::exp(1.0 - age));
    free.add(&case.grid, &600.0, |age| f64::max(0.0, age - 7.0) / (20.0 + f64::max(0.0, age - 7.0)));
    let moduli: Vec<f64> = case.moduli.iter().map(|factor| 30.0 * factor).collect();
    let stresses =
        stress(&free, &Restrainer::degree(0.7), &moduli, &vec![2.35; case.grid.steps()], &case.shape);
    assert!(stresses[1] < 0.0 && stresses[case.grid.steps()] > 0.0);
}

#[test]
fn scatter_gives_an_earlier_and_a_later_age() {
    let case = usual();
    let (stresses, level) = case.evaluate(&UNMITIGATED);
    let [Cracking::At(early), Cracking::At(late)] = ages_at_cracking(&case.grid, &stresses, &level, 0.12)
    else {
        panic!("both crack")
    };
    let Cracking::At(age) = age_at_cracking(&case.grid, &stresses, &level) else { panic!("cracks") };
    assert!(early < age && age < late);
}

#[test]
fn gradients_match_central_differences() {
    let case = usual();
    let count = UNMITIGATED.len();
    let duals: Vec<Dual> =
        UNMITIGATED.iter().enumerate().map(|(at, &value)| Dual::variable(value, at, count)).collect();
    let (stresses, _) = case.evaluate(&duals);
    for at in 0..count {
        let step = 1e-6 * UNMITIGATED[at].max(1.0);
        let moved = |by: f64| {
            let mut inputs = UNMITIGATED;
            inputs[at] += by;
            case.evaluate(&inputs).0
        };
        let (down, up) = (moved(-step), moved(step));
        for age in [1, 20, 60] {
            let difference = (up[age] - down[age]) / (2.0 * step);
            let slope = stresses[age].slope(at);
            assert!((slope - difference).abs() < 1e-6 * difference.abs().max(1e-3), "{at} {age}");
        }
    }
}

#[test]
fn bounds_contain_corners_and_shrink_with_the_box() {
    let case = usual();
    let excess = |half: f64| {
        let sides: Vec<Interval> = UNMITIGATED
            .iter()
            .map(|value| Interval::new(value * (1.0 - half), value * (1.0 + half)))
            .collect();
        let bounds =
            bounds_of_all(&sides, |inputs| case.evaluate(inputs).0, |inputs| case.evaluate(inputs).0);
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        let last = case.grid.steps();
        for corner in 0..64_u32 {
            let inputs: Vec<f64> = sides
                .iter()
                .enumerate()
                .map(|(at, side)| if corner >> at & 1 == 0 { side.low() } else { side.high() })
                .collect();
            let stresses = case.evaluate(&inputs).0;
            for (bound, value) in bounds.iter().zip(&stresses) {
                assert!(bound.contains(*value), "{bound:?} {value}");
            }
            low = low.min(stresses[last]);
            high = high.max(stresses[last]);
        }
        bounds[last].width() / (high - low)
    };
    let (wide, narrow) = (excess(0.05), excess(1e-3));
    assert!(narrow < 1.01 && wide < 3.0, "{wide} {narrow}");
}

/// A sudden strain of 100 microstrain that stays, and creep that comes at once with coefficient `phi`: the closed form of
/// an effective modulus. Stress in MPa.
fn sudden(restrainer: &Restrainer<f64>, modulus: f64, phi: f64) -> f64 {
    let grid = Grid::new(28.0, 29.0, 1, &[]);
    let shape = CreepShape::new(&grid, |_, _| 1.0);
    let mut free = FreeStrain::none(&grid);
    free.add(&grid, &100.0, |age| age - 28.0);
    stress(&free, restrainer, &[modulus], &[phi], &shape)[1]
}

/// identity: eps / [(1 + phi)/E + (1 - psi)/(psi E)] for a base that does not creep, psi E eps / (1 + phi) for a constant
/// degree.
#[test]
fn a_base_that_does_not_creep_brings_more_stress_than_a_constant_degree() {
    let stiffness = 0.7 / 0.3 * 30.0;
    assert!((sudden(&Restrainer::base(stiffness), 30.0, 1.5) - 1.0244).abs() < 1e-4);
    assert!((sudden(&Restrainer::degree(0.7), 30.0, 1.5) - 0.8400).abs() < 1e-9);
    for restrainer in [Restrainer::base(stiffness), Restrainer::degree(0.7)] {
        assert!((sudden(&restrainer, 30.0, 0.0) - 2.1).abs() < 1e-9, "without creep both agree");
    }
}

/// identity: `p = eps / [C1 / E_s + C4 (1 + phi) / E_c]`.
#[test]
fn a_ring_whose_steel_does_not_creep() {
    let ring = RingCoefficients::new([152.0, 165.0, 203.0]);
    for (hoop, expected) in [(1.0, 0.20731), (ring.inner_face, 1.0145), (ring.mean, 0.9002)] {
        let got = sudden(&Restrainer::ring(&ring, hoop), 30.0, 1.5);
        assert!((got - expected).abs() < 1e-4, "{got} {expected}");
    }
}

/// identity: without creep and at a constant modulus every step adds to the elastic ring, whatever the course of the strain;
/// with a growing modulus it must not (0.4212 against 0.4373 MPa).
#[test]
fn without_creep_the_steps_are_the_elastic_ring() {
    for radii in [[152.0, 165.0, 203.0], [139.7, 152.4, 228.6], [149.0, 162.0, 238.0], [149.0, 162.0, 219.0]]
    {
        let ring = RingCoefficients::new(radii);
        let grid = Grid::new(1.0, 28.0, 60, &[]);
        let shape = CreepShape::new(&grid, |age, loading| aci_growth(&(age - loading)));
        let mut free = FreeStrain::none(&grid);
        free.add(&grid, &100.0, |age| (age - 1.0) / 27.0);
        let none = vec![0.0; grid.steps()];
        let at = |hoop: f64, moduli: &[f64]| {
            let restrainer = Restrainer::ring(&ring, hoop);
            *stress(&free, &restrainer, moduli, &none, &shape).last().expect("there are steps")
        };
        let constant = vec![30.0; grid.steps()];
        let [a, b, c] = radii;
        let law = Law::RingStress.value(&[100.0, 30.0, a, b, c, 200.0, 0.3, 0.18]);
        let got = at(ring.inner_face, &constant);
        assert!((got / law - 1.0).abs() < 1e-9, "{radii:?} {got} {law}");
        let mean = at(ring.mean, &constant);
        assert!((mean / got - ring.mean / ring.inner_face).abs() < 1e-9);
        if radii[0] == 152.0 {
            let moduli: Vec<f64> = grid.middles().iter().map(|age| 30.0 * growth(*age, 0.3)).collect();
            assert!((at(1.0, &constant) - 0.4373).abs() < 1e-4);
            assert!((at(1.0, &moduli) - 0.4212).abs() < 2e-4, "{}", at(1.0, &moduli));
        }
    }
}

/// identity: superposed stress on an elastic base that is a degree of 0.7 before creep, E 30 GPa, phi 2.35 t^0.6/(10 + t^0.6), strain 400 t/(h + t); it may
/// leave the estimates by effective and by age-adjusted modulus, and does.
#[test]
fn superposed_stress_beside_the_two_estimates() {
    for (half, age, expected, effective, adjusted) in
        [(100.0, 7.0, 0.429, 0.392, 0.416), (5.0, 90.0, 3.989, 4.011, 4.453)]
    {
        let grid = Grid::new(1e-3, age, 400, &[]);
        let shape = CreepShape::new(&grid, |age, loading| aci_growth(&(age - loading)));
        let mut free = FreeStrain::none(&grid);
        free.add(&grid, &400.0, |age| age / (half + age));
        let moduli = vec![30.0; grid.steps()];
        let base = Restrainer::base(70.0);
        let stresses = stress(&free, &base, &moduli, &vec![2.35; grid.steps()], &shape);
        let got = stresses[grid.steps()];
        assert!((got - expected).abs() < 2e-3, "{got} {expected}");
        let elastic = 0.7 * 30.0 * 0.4 * age / (half + age);
        let phi = 2.35 * aci_growth(&age);
        let estimate = |chi: f64| elastic / (1.0 + chi * 0.7 * phi);
        assert!((estimate(1.0) - effective).abs() < 1e-3 && (estimate(0.8) - adjusted).abs() < 1e-3);
    }
}
