//! Every relaxation holds at every true mix in its box, and no published optimum is undercut or missed.

use mixbound::analysis::assignment_of;
use mixbound::model::{Frame, Kind, Lifting, Node, ProductRows, fbbt, relaxation};
use mixbound::number::Interval;
use mixbound::problem::{DecisionRange, Origin, Problem};
use mixbound::solve::{
    Limits, Outcome, Settings, audit, certified_bound, certified_infeasible, solve_program,
};

use super::{Scatter, found, shipped};
use crate::kept;
use crate::problems::problem;

/// The point of a relaxation at a mix, decisions of the assignment left out.
fn lifted(
    problem: &Problem,
    lifting: &Lifting,
    frame: &Frame<'_>,
    mix: &[f64],
    assignment: &[DecisionRange],
) -> Option<Vec<f64>> {
    let decided = assignment_of(problem, mix);
    let mut point: Vec<f64> = mix.iter().zip(&frame.scales).map(|(value, scale)| value / scale).collect();
    let open = decided.iter().zip(assignment).filter(|(_, range)| range.fixed().is_none());
    point.extend(open.map(|(decision, _)| f64::from(decision.low())));
    let mut z = Vec::new();
    for factor in &lifting.factors {
        let value = match &factor.kind {
            Kind::Linear(affine) => affine.at(mix),
            Kind::Ratio { numerator, denominator } => {
                let denominator: f64 = z[*denominator] * lifting.factors[*denominator].scale;
                numerator.at(mix) / denominator
            }
            Kind::Response(response) => problem.predict(*response, mix)?.value,
        };
        z.push(value / factor.scale);
    }
    point.extend(&z);
    point.extend(lifting.products_at(&z));
    for response in &lifting.opaque {
        point.push(problem.predict(*response, mix)?.predictor);
    }
    Some(point)
}

/// A surface with a covariance, a margin by its deviations and a limit of its leverage.
fn with_covariance() -> Problem {
    let text = kept::text("problems/01-by-hand.yaml")
        .replace(
            "terms: {constant: -12.5, c/w: 25}",
            "terms: {constant: -12.5, c/w: 25, c/w * c/w: -0.4}\n    residual: 2 MPa\n    covariance: [[0.9, -0.5, 0.05], \
             [-0.5, 0.4, -0.06], [0.05, -0.06, 0.012]]\n    leverage: 0.9",
        )
        .replace("margin: 6 MPa", "margin: 95 % confidence");
    problem("by-hand.yaml", text).0
}

/// Mixes that meet a problem: the best for its own goal, and for as many others as there are limits.
fn mixes(problem: &Problem) -> Vec<Vec<f64>> {
    let mut mixes: Vec<Vec<f64>> =
        found(problem, &Settings::local()).map(|found| found.mix).into_iter().collect();
    let columns = problem.mixture.columns.len();
    for index in problem.requirements.ids() {
        if problem.requirements[index].origin != Origin::Limit || problem.goal.level.is_some() {
            continue;
        }
        let Some(extreme) = problem.with_extreme(index) else { continue };
        if let Some(found) = found(&extreme, &Settings { starts: 1, ..Settings::local() }) {
            mixes.push(found.mix[..columns].to_vec());
        }
    }
    mixes
}

#[test]
fn every_row_of_a_relaxation_holds_at_every_mix_in_its_box() {
    let mut scatter = Scatter(3);
    let mut checked = 0;
    let covariance = ("a covariance".to_owned(), with_covariance());
    for (name, problem) in shipped().into_iter().chain([covariance]) {
        let frame = Frame::new(&problem);
        let lifting = Lifting::new(&frame);
        let first = frame.scales.len();
        for mix in mixes(&problem) {
            let decided = assignment_of(&problem, &mix);
            for case in 0..12 {
                let share = if case % 3 == 0 { 0.0 } else { 0.5 };
                let assignment: Vec<DecisionRange> = decided
                    .iter()
                    .map(|decision| if scatter.chance(share) { *decision } else { DecisionRange::OPEN })
                    .collect();
                let Some(point) = lifted(&problem, &lifting, &frame, &mix, &assignment) else { continue };
                let open = assignment.iter().filter(|decision| decision.fixed().is_none()).count();
                let z = &point[first + open..];
                let width = 10_f64.powf(scatter.between(-4.0, 0.0));
                let factors: Vec<Interval> = lifting
                    .boxes
                    .iter()
                    .zip(z)
                    .map(|(widest, z)| {
                        let reach = width * widest.width().min(1.0);
                        let (down, up) = (scatter.unit(), scatter.unit());
                        assert!(
                            widest.low() - 1e-6 <= *z && *z <= widest.high() + 1e-6,
                            "{name}: outside the widest box"
                        );
                        Interval::new(
                            (z - down * reach).max(widest.low()).min(*z),
                            (z + up * reach).min(widest.high()).max(*z),
                        )
                    })
                    .collect();
                let node = Node {
                    assignment,
                    amounts: problem.reach.columns.clone(),
                    factors,
                    rows: ProductRows::Every,
                    start: None,
                };
                let mut program = relaxation(&frame, &lifting, &node).program;
                let wrong = program.violation(&point);
                assert!(
                    wrong <= 2e-6,
                    "{name}: a true mix violates a relaxation by {wrong}\n{}",
                    program.text()
                );
                assert!(fbbt(&mut program, 4), "{name}: tightening says that no mix is there");
                let wrong = program.violation(&point);
                assert!(wrong <= 2e-6, "{name}: tightening cuts a true mix off by {wrong}");
                let bound = match solve_program(&program) {
                    Outcome::Optimal(at, _) => certified_bound(&program, &at),
                    _ => f64::NEG_INFINITY,
                };
                let goal = frame.goal_at(&mix);
                assert!(
                    bound <= goal + 1e-6 * goal.abs().max(1e-3),
                    "{name}: {bound} is claimed, {goal} is there"
                );
                assert!(!certified_infeasible(&program) || 0.0 < audit(&problem, &mix).worst, "{name}");
                checked += 1;
            }
        }
    }
    assert!(300 < checked, "{checked}");
}

/// The published optima of references in `cross_check`, as proven answers: whatever a proof may look at, it is never
/// called complete at a poorer mix (100 of Haverly's first problem, -5 of the bilinear one), and given enough it is
/// complete within the gap.
#[test]
fn a_poorer_local_optimum_is_never_called_proven() {
    for (name, best, sign) in [
        ("haverly-1", 400.0, 1.0),
        ("haverly-2", 600.0, 1.0),
        ("haverly-3", 750.0, 1.0),
        ("concave", -17.0, -1.0),
        ("bilinear", -20.0 / 3.0, -1.0),
        ("hs21", -99.96, -1.0),
        ("hs24", -1.0, -1.0),
        ("hs35", 1.0 / 9.0, -1.0),
        ("hs65", 0.953_528_856_8, -1.0),
        ("hs76", -4.681_818_182, -1.0),
    ] {
        let path = format!("tests/data/nonlinear/{name}.yaml");
        let problem = problem(&path, kept::text(&path)).0;
        let size = f64::abs(best).max(1e-3);
        for nodes in [1, 2, 5, 12, 30, 20_000] {
            let limits = Limits { gap: 1e-4, nodes, ..Limits::default() };
            let found = found(&problem, &Settings::proven(limits)).expect("there are mixes");
            let certainty = found.certainty.expect("a proof was asked for");
            // No mix is better than the best, no bound worse.
            assert!(sign * (found.goal - best) <= 1e-6 * size, "{name}: {} beats {best}", found.goal);
            assert!(
                -1e-7 * size <= sign * (certainty.bound - best),
                "{name}: {} is claimed",
                certainty.bound
            );
            if certainty.complete {
                assert!((found.goal - best).abs() <= 1e-4 * size, "{name}: {} is called proven", found.goal);
                assert!(
                    (found.goal - certainty.bound).abs() <= 1.001e-4 * size,
                    "{name}: {}",
                    certainty.bound
                );
            } else {
                assert!(nodes < 20_000, "{name}: not proven with all nodes");
            }
        }
    }
}
