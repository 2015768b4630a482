//! The generator of fronts against published two-goal problems. Each problem is solved here by its own definition, so
//! that only the generator is under test.
//!
//! Sources: T. T. Binh and U. Korn, MOBES: a multiobjective evolution strategy for constrained optimization problems,
//! 1997 (BNH); E. Zitzler, K. Deb and L. Thiele, Comparison of multiobjective evolutionary algorithms, Evolutionary
//! Computation 8 (2000) 173-195 (ZDT1, ZDT2, ZDT3). Hypervolumes: identity, by integration of the stated fronts.

use mixbound::number::Interval;
use mixbound::parallel::with_threads;
use mixbound::study::{EpsilonConstraint, Failures, Generated, Question, Solved, dominates, front};

type Front = Generated<()>;

fn seek(points: usize, solve: &(dyn Fn(&Question) -> Option<[f64; 2]> + Sync)) -> Front {
    let wanted =
        EpsilonConstraint { goals: 2, points, resolution: 1e-4, tolerance: 1e-9, scatter: Vec::new() };
    let solver =
        |question: &Question, _: Option<&()>| Some(Solved { values: solve(question)?.to_vec(), what: () });
    front(&wanted, &solver, &|| true)
}

fn values(front: &Front) -> Vec<[f64; 2]> {
    front.points.iter().map(|point| [point.solved.values[0], point.solved.values[1]]).collect()
}

/// The area that points dominate below a corner, for points by rising first goal.
fn hypervolume(points: &[[f64; 2]], corner: [f64; 2]) -> f64 {
    let mut area = 0.0;
    for (at, point) in points.iter().enumerate() {
        let next = points.get(at + 1).map_or(corner[0], |next| next[0]);
        area += (next - point[0]) * (corner[1] - point[1]);
    }
    area
}

/// The last number at which something still holds and the first at which it does not.
fn bisect(mut low: f64, mut high: f64, holds: impl Fn(f64) -> bool) -> (f64, f64) {
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if holds(middle) { low = middle } else { high = middle }
    }
    (low, high)
}

/// BNH by its multiplier: both goals are convex, and its second constraint never binds at their trade-offs.
fn bnh(question: &Question) -> Option<[f64; 2]> {
    let at = |weight: f64| {
        let free = 5.0 * weight / (4.0 + weight);
        let (x, y) = (Interval::new(0.0, 5.0).nearest(free), Interval::new(0.0, 3.0).nearest(free));
        [4.0 * (x * x + y * y), (x - 5.0).powi(2) + (y - 5.0).powi(2)]
    };
    let (low, high) = (0.0, 1e9);
    let level = question.levels[1 - question.least];
    match (question.least, level) {
        (0, None) => Some(at(low)),
        (_, None) => Some(at(high)),
        (0, Some(level)) => {
            (at(high)[1] <= level).then(|| at(bisect(low, high, |weight| level < at(weight)[1]).1))
        }
        (_, Some(level)) => {
            (at(low)[0] <= level).then(|| at(bisect(low, high, |weight| at(weight)[0] <= level).0))
        }
    }
}

#[test]
fn binh_and_korn_front_has_its_ends_points_and_hypervolume() {
    let front = seek(80, &bnh);
    let points = values(&front);
    assert!(front.conflict && points.len() == 80, "{}", points.len());
    let (first, last) = (points[0], points[79]);
    assert!((first[0] - 0.0).abs() < 1e-3 && (first[1] - 50.0).abs() < 1e-3, "{first:?}");
    assert!((last[0] - 136.0).abs() < 1e-3 && (last[1] - 4.0).abs() < 1e-3, "{last:?}");
    for [f1, f2] in &points {
        let expected = if *f1 <= 72.0 {
            2.0 * ((f1 / 8.0).sqrt() - 5.0).powi(2)
        } else {
            4.0 + (5.0 - (f1 / 4.0 - 9.0).sqrt()).powi(2)
        };
        assert!((f2 - expected).abs() < 1e-3, "{f1} {f2} {expected}");
    }
    let (exact, found) = (15856.0 / 3.0, hypervolume(&points, [140.0, 50.0]));
    assert!(found < exact && 0.985 * exact < found, "{found} of {exact}");
}

#[test]
fn binh_and_korn_least_second_goal_within_a_level_of_the_first() {
    for (level, expected) in [(20.0, 23.377_22), (60.0, 10.227_74)] {
        let question = Question { least: 1, levels: vec![Some(level), None] };
        assert!((bnh(&question).unwrap()[1] - expected).abs() < 1e-4);
    }
}

/// The fronts of the ZDT problems lie at g = 1; larger g are tried as well, since the solver must not know that.
fn zdt(question: &Question, shape: fn(f64, f64) -> f64) -> Option<[f64; 2]> {
    const STEPS: u32 = 20_000;
    let mut best: Option<[f64; 2]> = None;
    for g in [1.0, 1.5, 4.0] {
        for step in 0..=STEPS {
            let x = f64::from(step) / f64::from(STEPS);
            let goals = [x, g * shape(x, g)];
            let held = goals
                .iter()
                .zip(&question.levels)
                .all(|(goal, level)| level.is_none_or(|level| *goal <= level));
            let better = best.is_none_or(|best| goals[question.least] < best[question.least]);
            if held && better {
                best = Some(goals);
            }
        }
    }
    best
}

#[test]
fn the_concave_front_of_zdt2_is_filled_and_not_only_its_ends() {
    let front = seek(40, &|question| zdt(question, |x, g| 1.0 - (x / g).powi(2)));
    let points = values(&front);
    assert_eq!(points.len(), 40);
    assert!(points.iter().all(|[f1, f2]| (f2 - (1.0 - f1 * f1)).abs() < 1e-9));
    let widest = points
        .windows(2)
        .map(|pair| (pair[1][0] - pair[0][0]).hypot(pair[1][1] - pair[0][1]))
        .fold(0.0, f64::max);
    assert!(widest < 0.08, "{widest}");
    let (exact, found) = (0.543_333_3, hypervolume(&points, [1.1, 1.1]));
    assert!(found < exact && exact - 0.02 < found, "{found} of {exact}");
}

#[test]
fn the_convex_front_of_zdt1_reaches_its_hypervolume() {
    let front = seek(40, &|question| zdt(question, |x, g| 1.0 - (x / g).sqrt()));
    let found = hypervolume(&values(&front), [1.1, 1.1]);
    assert!(found < 0.876_666_7 && 0.86 < found, "{found}");
}

#[test]
fn every_piece_of_the_broken_front_of_zdt3_is_found_and_nothing_between() {
    const PIECES: [(f64, f64); 5] = [
        (0.0, 0.083_001_534_9),
        (0.182_228_780, 0.257_762_363_4),
        (0.409_313_674_8, 0.453_882_104_1),
        (0.618_396_794_4, 0.652_511_703_8),
        (0.823_331_798_3, 0.851_832_865_4),
    ];
    let shape = |x: f64, g: f64| 1.0 - (x / g).sqrt() - x / g * (10.0 * std::f64::consts::PI * x).sin();
    let points = values(&seek(40, &|question| zdt(question, shape)));
    let grid = 1e-4;
    for (low, high) in PIECES {
        let inside = points.iter().filter(|[f1, _]| low - grid <= *f1 && *f1 <= high + grid).count();
        assert!(1 < inside, "{low} .. {high}: {inside}");
    }
    for [f1, _] in &points {
        assert!(PIECES.iter().any(|(low, high)| low - grid <= *f1 && *f1 <= high + grid), "{f1}");
    }
}

#[test]
fn no_point_dominates_another_and_threads_do_not_matter() {
    let shape = |x: f64, g: f64| 1.0 - (x / g).sqrt() - x / g * (10.0 * std::f64::consts::PI * x).sin();
    let run = |threads| with_threads(threads, || seek(15, &|question| zdt(question, shape))).unwrap();
    let front = run(1);
    for a in &front.points {
        assert!(front.points.iter().all(|b| !dominates(&b.solved.values, &a.solved.values)));
    }
    assert_eq!(front, run(3));
}

#[test]
fn goals_that_do_not_conflict_give_one_point() {
    let front = seek(10, &|question| {
        let held = question.levels.iter().all(|level| level.is_none_or(|level| 1.0 <= level));
        held.then_some([1.0, 1.0])
    });
    assert!(!front.conflict);
    assert_eq!(values(&front), [[1.0, 1.0]]);
}

#[test]
fn a_problem_without_solutions_has_an_empty_front() {
    let front = seek(10, &|_| None);
    assert!(front.points.is_empty() && !front.conflict && front.unmet == 2);
}

/// Three goals on the plane f1 + f2 + f3 = 1, all from 0 to 1: identity.
#[test]
fn three_goals_are_spread_over_a_plane() {
    let plane = |question: &Question, _: Option<&()>| {
        let most = |goal: usize| question.levels[goal].unwrap_or(1.0).min(1.0);
        // The goal made least is as small as the others allow; of these the earlier one takes what it can.
        let others: Vec<usize> = (0..3).filter(|goal| *goal != question.least).collect();
        let (a, b) = (most(others[0]), most(others[1]));
        let least = (1.0 - a - b).max(0.0);
        if most(question.least) < least {
            return None;
        }
        let mut values = vec![least; 3];
        values[others[0]] = a.min(1.0 - least);
        values[others[1]] = 1.0 - least - values[others[0]];
        Some(Solved { values, what: () })
    };
    let wanted =
        EpsilonConstraint { goals: 3, points: 30, resolution: 1e-3, tolerance: 1e-9, scatter: Vec::new() };
    let front: Front = front(&wanted, &plane, &|| true);
    assert!(front.conflict && 28 <= front.points.len(), "{}", front.points.len());
    for point in &front.points {
        assert!((point.solved.values.iter().sum::<f64>() - 1.0).abs() < 1e-5);
        assert!(front.points.iter().all(|other| !dominates(&other.solved.values, &point.solved.values)));
    }
    for corner in 0..3 {
        assert!(front.points.iter().any(|point| 0.99 < point.solved.values[corner]), "{corner}");
    }
    let middle =
        front.points.iter().filter(|point| point.solved.values.iter().all(|value| 0.15 < *value)).count();
    assert!(3 <= middle, "{middle}");
}

/// The best of the second goal leaves the first one free over a plateau: an answer is somewhere on it.
#[test]
fn an_end_on_a_plateau_is_the_one_that_is_best_in_the_other_goal() {
    let plateau = |question: &Question| {
        let level = question.levels[1 - question.least];
        Some(match (question.least, level) {
            (0, level) => {
                let second = level.unwrap_or(2.0).min(2.0);
                [6.0 * (2.0 - second), second]
            }
            (_, None) => [10.0, 1.0],
            (_, Some(first)) => [first.min(6.0), 2.0 - first.min(6.0) / 6.0],
        })
    };
    let wanted =
        EpsilonConstraint { goals: 2, points: 12, resolution: 5e-3, tolerance: 1e-3, scatter: Vec::new() };
    let solver =
        |question: &Question, _: Option<&()>| Some(Solved { values: plateau(question)?.to_vec(), what: () });
    let front: Front = front(&wanted, &solver, &|| true);
    let points = values(&front);
    assert!(points.len() == 12 && points.iter().all(|point| point[0] <= 6.0), "{points:?}");
    let last = points[points.len() - 1];
    assert!((last[1] - 1.0).abs() <= 1e-3, "{last:?}");
}

#[test]
fn a_question_that_falls_ends_the_front_with_the_points_known_by_then_and_no_claim() {
    let wanted =
        EpsilonConstraint { goals: 2, points: 20, resolution: 1e-4, tolerance: 1e-9, scatter: Vec::new() };
    let failures = Failures::default();
    let fallen = |question: &Question| {
        assert!(question.levels[1].is_none_or(|level| level < 30.0), "between the ends");
        Some(Solved { values: bnh(question)?.to_vec(), what: () })
    };
    let front = front(&wanted, &|question, _| failures.catch(|| fallen(question)), &|| failures.is_empty());
    assert!(front.stopped, "nothing is said of what lies beyond");
    assert!(2 <= front.points.len() && front.points.len() < 20, "{}", front.points.len());
    assert_eq!(front.unmet, 0, "no question is told to have no answer");
    let told = failures.told();
    assert!(!told.is_empty() && told.iter().all(|message| message == "between the ends"), "{told:?}");
    // Where not even an end is known, nothing is claimed either.
    let failures = Failures::default();
    let none = |_: &Question| -> Option<Solved<()>> { panic!("at once") };
    let front = mixbound::study::front(&wanted, &|question, _| failures.catch(|| none(question)), &|| {
        failures.is_empty()
    });
    assert!(front.stopped && front.points.is_empty() && front.unmet == 0);
    assert_eq!(failures.told(), ["at once", "at once"]);
}
