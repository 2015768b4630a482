//! Amounts in steps: whole numbers inside the optimisation, held against enumeration of all counts.

use mixbound::analysis::assignment_of;
use mixbound::listed::{Id, Listed};
use mixbound::material::{Base, Material};
use mixbound::model::{Frame, Wholeness};
use mixbound::problem::{Count, DecisionRange, Problem, Step};
use mixbound::solve::{Found, Outcome, Settings, Verdict, audit, solve, solve_program};

use crate::kept;
use crate::problems::written;

fn problem(text: &str) -> Problem {
    written(text).unwrap_or_else(|told| panic!("{told}")).0
}

fn material(problem: &Problem, name: &str) -> Id<Material> {
    problem.mixture.catalogue.find(name).unwrap_or_else(|| panic!("no {name}"))
}

/// So many steps of each material, 0 to 3.
fn up_to_three(problem: &Problem, steps: &[(&str, Option<Base>, f64)]) -> Problem {
    let counts: Vec<Count> = steps
        .iter()
        .map(|(name, base, size)| Count {
            step: Step { material: material(problem, name), base: *base, size: *size },
            range: DecisionRange::new(0, 3).unwrap(),
        })
        .collect();
    problem.varied(|draft| draft.counts = counts.into())
}

/// The best over all combinations of counts, each solved with its counts fixed.
fn enumerated(problem: &Problem) -> Option<f64> {
    let all = 4_u32.pow(u32::try_from(problem.counts.len()).unwrap());
    let goals = (0..all).filter_map(|case| {
        let fixed = problem.varied(|draft| {
            for (at, count) in draft.counts.iter_mut().enumerate() {
                count.range = DecisionRange::at(case / 4_u32.pow(u32::try_from(at).unwrap()) % 4);
            }
        });
        found(&fixed, &Settings::default()).map(|found| found.goal)
    });
    goals.min_by(f64::total_cmp)
}

fn found(problem: &Problem, settings: &Settings) -> Option<Found> {
    match solve(problem, settings) {
        Verdict::Found(found) => Some(found),
        _ => None,
    }
}

fn cases() -> Vec<(&'static str, Problem)> {
    let by_hand = problem(&kept::text("problems/01-by-hand.yaml"));
    let structural = problem(&kept::text("problems/02-plain-structural.yaml"));
    vec![
        ("cement", up_to_three(&by_hand, &[("cement", None, 110.0)])),
        ("cement and water", up_to_three(&by_hand, &[("cement", None, 110.0), ("water", None, 63.0)])),
        (
            "fly ash and reducer",
            up_to_three(
                &structural,
                &[("fly ash", None, 25.0), ("water reducer", Some(Base::Binder), 0.003)],
            ),
        ),
        ("nothing fits", up_to_three(&by_hand, &[("cement", None, 40.0)])),
    ]
}

#[test]
fn the_best_mix_in_steps_is_that_of_enumeration_and_no_better_one_is_claimed() {
    let mut fitting = 0;
    for (name, problem) in cases() {
        let best = enumerated(&problem);
        let Some(found) = found(&problem, &Settings::default()) else {
            assert_eq!(best, None, "{name}");
            continue;
        };
        fitting += 1;
        let best = best.unwrap_or_else(|| panic!("{name}: enumeration finds none"));
        let certainty = found.certainty.unwrap();
        assert!(certainty.complete, "{name}");
        assert!((found.goal - best).abs() <= 1e-3 * best, "{name}: {} against {best}", found.goal);
        assert!(certainty.bound <= best * (1.0 + 1e-9), "{name}");
        for count in &problem.counts {
            let steps = problem.steps_in(&count.step, &found.mix).unwrap();
            assert!(
                (steps - steps.round()).abs() < 1e-6 && (0.0..=3.0).contains(&steps.round()),
                "{name}: {steps}"
            );
        }
        // The relaxation without steps is cheaper: the steps do bind.
        let free = problem.varied(|draft| draft.counts = Listed::default());
        let free = self::found(&free, &Settings::default()).unwrap();
        assert!(free.goal < found.goal, "{name}: {} without steps", free.goal);
        assert!(!audit(&problem, &free.mix).passes(), "{name}: a mix between steps is let through");
    }
    assert_eq!(fitting, 3);
}

#[test]
fn without_a_proof_amounts_are_whole_steps_all_the_same() {
    for (name, problem) in cases() {
        let best = enumerated(&problem);
        let local = found(&problem, &Settings::local());
        assert_eq!(local.is_some(), best.is_some(), "{name}");
        let (Some(local), Some(best)) = (local, best) else { continue };
        assert!(audit(&problem, &local.mix).passes(), "{name}");
        assert!(
            best * (1.0 - 1e-6) <= local.goal && local.goal <= best * 1.05,
            "{name}: {} against {best}",
            local.goal
        );
    }
}

/// Whole columns of 0 .. 3 as an engine sees them: the exact part of a linear problem holds all there is.
#[test]
fn a_program_with_counts_has_the_optimum_of_enumeration() {
    for (name, problem) in cases().into_iter().take(2) {
        let frame = Frame::new(&problem);
        let program = frame.exact_part(&frame.undecided(), Wholeness::Whole);
        assert!(program.columns.iter().any(|column| column.integer && column.high == 3.0), "{name}");
        let Outcome::Optimal(point, objective) = solve_program(&program) else { panic!("{name}") };
        let mix = frame.raise(&point[..frame.scales.len()]);
        let best = enumerated(&problem).unwrap();
        assert!((objective * frame.goal_scale - best).abs() <= 1e-6 * best, "{name}");
        assert!(audit(&problem, &mix).passes(), "{name}");
        let taken = assignment_of(&problem, &mix);
        let again = frame.exact_part(&taken, Wholeness::Relaxed);
        let Outcome::Optimal(_, same) = solve_program(&again) else { panic!("{name}: decisions as found") };
        assert!((same - objective).abs() <= 1e-9 * objective.abs(), "{name}");
    }
}

#[test]
fn steps_that_no_amount_in_reach_is_a_whole_number_of_are_told_apart() {
    let text = kept::text("problems/01-by-hand.yaml")
        .replace("amount: 180 .. 250 kg/m3", "amount: 183 .. 187 kg/m3");
    let problem = problem(&text);
    let step = |size: f64| Step { material: material(&problem, "water"), base: None, size };
    assert!(problem.is_blocked(&step(50.0)) && !problem.is_blocked(&step(5.0)));
    let coarse = problem.with_steps(&[step(50.0)]);
    assert!(matches!(solve(&coarse, &Settings::default()), Verdict::Nothing(_)));
    let fine = problem.with_steps(&[step(5.0)]);
    let found = found(&fine, &Settings::default()).unwrap();
    assert!((found.mix[step(5.0).material.index()] - 185.0).abs() < 1e-9);
}
