//! What every answer must be: a mix that meets its limits by arithmetic done here, never better than its proven
//! bound, and unmoved by the order of the file or the number of threads.

use mixbound::mixture::{BUILT_IN, Measure};
use mixbound::parallel::with_threads;
use mixbound::problem::{Form, Problem};
use mixbound::solve::{Found, Limits, Settings, Verdict, audit, solve};
use proptest::prelude::*;

use super::cases;
use super::shelf::{Shelf, another, curved, linear, strength};

fn problem(shelf: &Shelf, order: &[u32]) -> Problem {
    crate::problems::problem("generated.yaml", shelf.statement(order)).0
}

/// The mix found, if any.
fn found(problem: &Problem, settings: &Settings) -> Option<Found> {
    match solve(problem, settings) {
        Verdict::Found(found) => Some(found),
        Verdict::Nothing(_) => None,
        Verdict::Unsettled(_) => panic!("unsettled"),
        Verdict::Failed(reason) => panic!("failed: {reason}"),
    }
}

fn locally(shelf: &Shelf) -> Option<Found> {
    found(&problem(shelf, &[]), &Settings::local())
}

fn proven(shelf: &Shelf) -> Option<Found> {
    found(&problem(shelf, &[]), &Settings::proven(Limits::default()))
}

/// Cost, infinite where there is no mix.
fn cost(found: Option<&Found>) -> f64 {
    found.map_or(f64::INFINITY, |found| found.goal)
}

/// `left <= right`, up to rounding.
fn not_above(left: f64, right: f64) -> bool {
    left <= right + 1e-7 * right.abs()
}

/// Checks a mix by the arithmetic of the trade, from the shelf's figures alone.
fn weigh(shelf: &Shelf, mix: &[f64], told: f64) -> Result<(), TestCaseError> {
    let amount = |role: &str| -> f64 {
        shelf.stock.iter().zip(mix).filter(|(stock, _)| stock.role == role).map(|(_, kg)| kg).sum()
    };
    let volume_of = |role: &str| -> f64 {
        let of_role = shelf.stock.iter().zip(mix).filter(|(stock, _)| stock.role == role);
        of_role.map(|(stock, kg)| kg / stock.density).sum()
    };
    let volume: f64 = shelf.stock.iter().zip(mix).map(|(stock, kg)| kg / stock.density).sum();
    prop_assert!((volume + shelf.air - 1.0).abs() < 1e-9, "volumes make {}", volume + shelf.air);
    let paid: f64 = shelf.stock.iter().zip(mix).map(|(stock, kg)| kg * stock.price / 1000.0).sum();
    prop_assert!((paid - told).abs() < 1e-9 * paid, "costs {paid}, told {told}");
    let binder = amount("cement") + amount("fly ash") + amount("slag");
    let ratio = amount("water") / binder;
    let ash = amount("fly ash") / binder;
    let sand = volume_of("sand") / (volume_of("sand") + volume_of("coarse aggregate"));
    let within = |value: f64, most: f64| value <= most * (1.0 + 1e-6);
    prop_assert!(within(ratio, shelf.water_binder), "water-binder ratio {ratio}");
    prop_assert!(within(shelf.binder, binder), "binder {binder}");
    prop_assert!(within(ash, shelf.ash), "ash {ash}");
    prop_assert!(within(sand, shelf.sand), "sand {sand}");
    prop_assert!(within(shelf.water, amount("water")), "water {}", amount("water"));
    if let Some(least) = shelf.strength {
        prop_assert!(within(least, strength(ratio, ash)), "strength {}", strength(ratio, ash));
    }
    prop_assert!(mix.iter().all(|kg| 0.0 <= *kg));
    Ok(())
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn every_mix_meets_its_limits_by_arithmetic_done_elsewhere(shelf in prop_oneof![linear(), curved()]) {
        let problem = problem(&shelf, &[]);
        let found = found(&problem, &Settings::local());
        if shelf.strength.is_none() {
            prop_assert!(found.is_some(), "these shelves have a mix");
        }
        if let Some(found) = found {
            prop_assert!(audit(&problem, &found.mix).passes());
            weigh(&shelf, &found.mix[..shelf.stock.len()], found.goal)?;
        }
    }

    #[test]
    fn the_order_of_materials_and_limits_does_not_change_the_cost(
        shelf in prop_oneof![linear(), curved()],
        order in proptest::collection::vec(any::<u32>(), 7),
    ) {
        let (one, other) = (locally(&shelf), found(&problem(&shelf, &order), &Settings::local()));
        prop_assert_eq!(one.is_some(), other.is_some());
        if let (Some(one), Some(other)) = (one, other) {
            prop_assert!((one.goal - other.goal).abs() < 1e-6 * one.goal, "{} and {}", one.goal, other.goal);
        }
    }

    #[test]
    fn a_tighter_limit_never_lowers_the_cost(shelf in linear(), which in 0..5, by in 0.01..0.15) {
        let mut tight = shelf.clone();
        match which {
            0 => tight.water_binder *= 1.0 - by,
            1 => tight.binder *= 1.0 + by,
            2 => tight.ash *= 1.0 - by,
            3 => tight.sand *= 1.0 - by,
            _ => tight.water *= 1.0 + by,
        }
        let (loose, tight) = (locally(&shelf), locally(&tight));
        prop_assert!(not_above(cost(loose.as_ref()), cost(tight.as_ref())));
    }

    #[test]
    fn another_material_never_raises_the_cost(shelf in linear(), another in another()) {
        let mut wider = shelf.clone();
        wider.stock.push(another);
        let (narrow, wide) = (locally(&shelf), locally(&wider));
        prop_assert!(not_above(cost(wide.as_ref()), cost(narrow.as_ref())));
    }
}

proptest! {
    #![proptest_config(cases(16))]

    #[test]
    fn no_mix_is_better_than_the_proven_bound_of_a_looser_problem(
        shelf in curved(), by in 0.01..0.10, another in another(),
    ) {
        let loose = proven(&shelf);
        let bound = loose.as_ref().and_then(|found| found.certainty).map_or(f64::INFINITY, |certain| certain.bound);
        prop_assert!(not_above(bound, cost(locally(&shelf).as_ref())));
        let stronger = Shelf { strength: shelf.strength.map(|least| least * (1.0 + by)), ..shelf.clone() };
        prop_assert!(not_above(bound, cost(locally(&stronger).as_ref())));
        let mut wider = shelf.clone();
        wider.stock.push(another);
        let wide = proven(&wider);
        let bound = wide.as_ref().and_then(|found| found.certainty).map_or(f64::INFINITY, |certain| certain.bound);
        prop_assert!(not_above(bound, cost(loose.as_ref())));
    }

    #[test]
    fn one_thread_and_four_find_the_same_mix_to_the_last_bit(shelf in curved()) {
        let problem = problem(&shelf, &[]);
        let with = |threads| with_threads(threads, || found(&problem, &Settings::default())).unwrap();
        let (one, four) = (with(1), with(4));
        prop_assert_eq!(one.map(|found| found.mix), four.map(|found| found.mix));
    }
}

#[test]
fn generated_linear_problems_are_linear_and_curved_ones_are_not() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut draw = |strategy: BoxedStrategy<Shelf>| strategy.new_tree(&mut runner).unwrap().current();
    let is_linear = |problem: &Problem| {
        problem.goal.level.is_none() && problem.conditions.iter().all(|at| matches!(at.form, Form::Linear(_)))
    };
    assert!(is_linear(&problem(&draw(linear().boxed()), &[])));
    let curved = problem(&draw(curved().boxed()), &[]);
    assert!(!is_linear(&curved));
    assert!(matches!(&curved.mixture.columns[..], [_, _, _, _, _]));
    let ratio = BUILT_IN.iter().find(|known| known.name == "water-binder ratio").unwrap();
    assert!(matches!(ratio.quantity(&curved.mixture, "EUR").measure, Measure::Ratio(_)));
}
