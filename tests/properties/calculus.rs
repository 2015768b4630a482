//! The pieces between a statement and a program: down and up undo each other, cross-multiplied ratios agree with
//! measured ones, gradients with differences, bounds with samples.

use std::sync::OnceLock;

use mixbound::mixture::{Affine, Measure, Ratio};
use mixbound::model::{Frame, Row, RowOrigin, Wholeness};
use mixbound::number::Interval;
use mixbound::problem::{Form, Origin, Problem, restrained};
use mixbound::solve::{Settings, Verdict, solve};
use proptest::prelude::*;

use super::{cases, kept_problems};

/// Every kept problem with a mix that meets it, or comes near where none does.
fn solved() -> &'static [(String, Problem, Vec<f64>)] {
    static SOLVED: OnceLock<Vec<(String, Problem, Vec<f64>)>> = OnceLock::new();
    SOLVED.get_or_init(|| {
        let mix = |problem: &Problem| match solve(problem, &Settings::local()) {
            Verdict::Found(found) => found.mix,
            Verdict::Nothing(nothing) | Verdict::Unsettled(nothing) => nothing.mix,
            Verdict::Failed(reason) => panic!("{reason}"),
        };
        kept_problems()
            .into_iter()
            .map(|(name, problem)| {
                let mix = mix(&problem);
                (name, problem, mix)
            })
            .collect()
    })
}

/// A mix of the problem moved off its place by up to a tenth of itself, in every column that is used.
fn near(mix: &[f64], moves: &[f64]) -> Vec<f64> {
    mix.iter().zip(moves.iter().cycle()).map(|(value, by)| value * (1.0 + 0.1 * by)).collect()
}

/// The mix with all its materials in proportion, so that it fills one cubic metre.
fn filled(problem: &Problem, mut mix: Vec<f64>) -> Vec<f64> {
    let air = problem.mixture.air_volume().at(&mix);
    let solid = 1.0 + problem.reach.balance.at(&mix) - air;
    for value in &mut mix[..problem.mixture.materials()] {
        *value *= (1.0 - air) / solid;
    }
    problem.mixture.settle(&mut mix);
    mix
}

/// By how much a row of the form `at least` is met.
fn at_least(row: &Row, point: &[f64]) -> f64 {
    row.terms.iter().map(|(column, factor)| factor * point[*column]).sum::<f64>() - row.low
}

fn moves() -> impl Strategy<Value = Vec<f64>> {
    proptest::collection::vec(-1.0..1.0, 23)
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn raising_undoes_lowering(at in 0.0..1.0, moves in moves()) {
        for (name, problem, _) in solved() {
            let frame = Frame::new(problem);
            let mut mix: Vec<f64> = problem
                .reach
                .columns
                .iter()
                .zip(moves.iter().cycle())
                .map(|((low, high), by)| low + (high - low) * (0.5 + 0.5 * at * by))
                .collect();
            problem.mixture.settle(&mut mix);
            problem.settle_level(&mut mix);
            let lowered: Vec<f64> = mix.iter().zip(&frame.scales).map(|(value, scale)| value / scale).collect();
            for ((up, was), (low, high)) in frame.raise(&lowered).iter().zip(&mix).zip(&problem.reach.columns) {
                prop_assert!((up - was).abs() <= 1e-9 * (high - low).abs().max(was.abs()), "{name}: {up} from {was}");
            }
        }
    }

    #[test]
    fn a_lowered_goal_and_lowered_limits_say_what_the_problem_says(moves in moves()) {
        for (name, problem, mix) in solved() {
            let frame = Frame::new(problem);
            let mix = near(mix, &moves);
            let program = frame.exact_part(&frame.undecided(), Wholeness::Relaxed);
            let mut lowered: Vec<f64> = mix.iter().zip(&frame.scales).map(|(value, scale)| value / scale).collect();
            lowered.resize(program.columns.len(), 0.0);
            let goal = problem.goal.to_minimise().at(&mix);
            let size = problem.goal.to_minimise().size_at(&mix);
            prop_assert!((program.objective(&lowered) * frame.goal_scale - goal).abs() <= 1e-12 * size, "{name}");
            let author = frame.without_regions();
            for condition in &problem.conditions {
                let Form::Linear(affine) = &condition.form else { continue };
                let Some(at) = condition.origin.requirement() else { continue };
                let requirement = &problem.requirements[at];
                let value = affine.at(&mix);
                if matches!(requirement.origin, Origin::Region { .. }) || value.abs() <= 1e-9 * affine.size_at(&mix) {
                    continue;
                }
                let rows = author.rows.iter().filter(|row| row.origin == RowOrigin::Requirement(at));
                // Rows are divided by a positive number; the sign is the author's.
                let told = rows.map(|row| at_least(row, &lowered)).any(|room| (room > 0.0) == (value > 0.0));
                prop_assert!(told, "{name}: row `{}` disagrees with its limit ({value})", requirement.name);
            }
        }
    }

    #[test]
    fn limits_left_out_of_a_program_follow_from_those_left_in(moves in moves()) {
        for (name, problem, mix) in solved() {
            let frame = Frame::new(problem);
            let mix = filled(problem, near(mix, &moves));
            let program = frame.exact_part(&frame.undecided(), Wholeness::Relaxed);
            let lowered: Vec<f64> = mix.iter().zip(&frame.scales).map(|(value, scale)| value / scale).collect();
            let limits: Vec<&str> = problem.requirements.iter().map(|at| at.name.as_str()).collect();
            let rows = program.rows.iter().filter(|row| limits.contains(&&*row.label));
            let stated = rows.map(|row| at_least(row, &lowered)).fold(0.0, f64::min);
            let boxed = program.columns.iter().zip(&lowered);
            let inside = boxed.map(|(column, value)| (value - column.low).min(column.high - value)).fold(0.0, f64::min);
            let worst = problem
                .conditions
                .iter()
                .filter_map(|condition| match &condition.form {
                    Form::Linear(affine) => Some(affine.at(&mix) / affine.size_at(&mix).max(1e-9)),
                    Form::Curved(_) => None,
                })
                .fold(0.0, f64::min);
            if worst < -1e-7 {
                prop_assert!(stated < 0.0 || inside < 0.0, "{name}: the program allows what a limit forbids ({worst})");
            } else if 0.0 <= worst {
                prop_assert!(-1e-9 <= stated, "{name}: the program forbids what all limits allow ({stated})");
            }
        }
    }

    #[test]
    fn a_bound_on_a_ratio_is_its_cross_multiplied_row(
        above in proptest::collection::vec(-2.0..2.0, 6),
        below in proptest::collection::vec(0.01..2.0, 6),
        mix in proptest::collection::vec(0.1..500.0, 6),
        bound in -3.0..3.0,
    ) {
        let affine = |factors: &[f64]| {
            factors.iter().enumerate().fold(Affine::default(), |sum, (at, by)| sum.plus(*by, &Affine::column(at)))
        };
        let ratio = Ratio { numerator: affine(&above), denominator: affine(&below) };
        let denominator = ratio.denominator.at(&mix);
        let measure = Measure::Ratio(ratio);
        let value = measure.at(&mix).unwrap();
        let row = measure.minus_bound(bound).at(&mix);
        prop_assert!((row - denominator * (value - bound)).abs() <= 1e-12 * measure.minus_bound(bound).size_at(&mix));
    }

    #[test]
    fn gradients_of_responses_and_conditions_agree_with_differences(moves in moves()) {
        for (name, problem, mix) in solved() {
            let mix = near(mix, &moves);
            for (index, response) in problem.responses.named() {
                let what = format!("{name}: {}", response.name);
                agree(&what, &mix, |mix| problem.predictor_gradient(index, mix))?;
            }
            for condition in &problem.conditions {
                let Form::Curved(curved) = &condition.form else { continue };
                let what = format!("{name}: {curved:?}");
                agree(&what, &mix, |mix| problem.curved(curved, mix))?;
            }
        }
    }

    #[test]
    fn bounds_of_responses_contain_samples_and_shrink_with_the_box(
        corner in proptest::collection::vec(0.0..1.0, 12),
        size in proptest::collection::vec(0.0..1.0, 12),
        inside in proptest::collection::vec(proptest::collection::vec(0.0..1.0, 12), 8),
    ) {
        for (name, problem, _) in solved() {
            for response in &problem.responses {
                let part = |shrink: f64| -> Vec<Interval> {
                    let sides = response.region().into_iter().zip(corner.iter().zip(&size));
                    sides
                        .map(|(side, (corner, size))| {
                            let low = side.low() + corner * (side.high() - side.low());
                            Interval::new(low, low + shrink * size * (side.high() - low))
                        })
                        .collect()
                };
                let whole = response.bounds(&part(1.0));
                for sample in &inside {
                    let point: Vec<f64> = part(1.0)
                        .iter()
                        .zip(sample)
                        .map(|(side, at): (&Interval, &f64)| f64::min(side.low() + at * (side.high() - side.low()), side.high()))
                        .collect();
                    let value = response.predictor(&point).0;
                    prop_assert!(whole.contains(value), "{name}: {} gives {value} outside {whole:?}", response.name);
                }
                let small = response.bounds(&part(1e-4));
                let width = |bounds: Interval| bounds.high() - bounds.low();
                // A thousandth, not a ten-thousandth: the large box may be one where slopes cancel. Beside it rounding: that of
                // an age at cracking is summed over its steps, 2.4e-12 was met over a point.
                let rounding = if restrained(response).is_some() { 1e-11 } else { 1e-12 };
                prop_assert!(
                    width(small) <= 1e-3 * width(whole) + rounding * small.high().abs().max(1.0),
                    "{name}: {} over a small box is {small:?}, over the whole {whole:?}", response.name
                );
            }
        }
    }
}

/// Compares a gradient with central differences, column by column. Where a law changes its branch within the step, a
/// shorter one must agree.
fn agree(what: &str, mix: &[f64], function: impl Fn(&[f64]) -> (f64, Vec<f64>)) -> Result<(), TestCaseError> {
    let (value, gradient) = function(mix);
    prop_assume!(value.is_finite());
    for column in 0..mix.len() {
        let size = gradient[column].abs().max(1e-6 * value.abs().max(1.0));
        let difference = |share: f64| {
            let step = share * mix[column].abs().max(1.0);
            let moved = |by: f64| {
                let mut mix = mix.to_vec();
                mix[column] += by;
                function(&mix).0
            };
            let difference = (moved(step) - moved(-step)) / (2.0 * step);
            let room = 2e-4 * size + 1e-9 * value.abs() / step;
            ((difference - gradient[column]).abs() <= room, difference)
        };
        let (first, last) = (difference(1e-4), difference(3e-6));
        prop_assert!(
            first.0 || last.0,
            "{what}: column {column} has slope {}, differences give {} and {}",
            gradient[column],
            first.1,
            last.1
        );
    }
    Ok(())
}
