//! Mixes that could be tried next.
//!
//! What enters: a problem with fitted responses, and its best mix. What leaves: mixes inside material bounds, choices, volume
//! and exact limits; fitted limits are loosened by two deviations of a prediction, regions by a stated step, so that the
//! region can grow. They are extreme in the factors, for each assignment of decisions; between two of them; and between
//! each and the best mix.

use crate::listed::Id;
use crate::model::{Assignment, Frame, Program, Wholeness};
use crate::number::Interval;
use crate::problem::{Member, Origin, Problem, Subject, Wanted};
use crate::response::{Response, Source};
use crate::solve::{Outcome, solve_program};

/// Most candidates.
const MOST: usize = 2000;
/// Most directions for each assignment.
const DIRECTIONS: usize = 120;
/// Rounds in which a direction of ratios settles at a corner.
const ROUNDS: usize = 5;
/// Deviations by which fitted limits are loosened.
const LOOSENED: f64 = 2.0;
/// Relative difference of all amounts below which two mixes are one.
const SAME: f64 = 1e-4;

/// The responses that were fitted.
pub fn fitted_responses(problem: &Problem) -> Vec<Id<Response>> {
    problem
        .responses
        .ids()
        .filter(|index| {
            let response = &problem.responses[*index];
            response.residual.is_some() && response.region_covariance().is_some()
        })
        .collect()
}

/// The problem with fitted limits and leverages left out, and regions a step wider.
pub fn loosened(problem: &Problem, step: f64) -> Problem {
    let fitted = fitted_responses(problem);
    let is_fitted = |subject: &Subject| matches!(subject, Subject::Response(index) if fitted.contains(index));
    let left_out: Vec<Member> = problem
        .requirements.named()
        .filter(|(_, requirement)| {
            matches!(requirement.origin, Origin::Leverage(_))
                || requirement.origin == Origin::Limit
                    && (is_fitted(&requirement.subject)
                        || matches!(requirement.wanted, Wanted::Response(_, index) if fitted.contains(&index)))
        })
        .map(|(index, _)| Member::Requirement(index))
        .collect();
    let wider = problem.varied(|draft| {
        for requirement in &mut draft.requirements {
            let Origin::Region { response, factor } = requirement.origin else { continue };
            if !fitted.contains(&response) {
                continue;
            }
            let region = problem.responses[response].factors[factor].region;
            let width = step * region.width();
            let low = if 0.0 < region.low() {
                (region.low() - width).max(0.5 * region.low())
            } else {
                region.low() - width
            };
            let ends = Interval::new(low, region.high() + width);
            requirement.wanted = Wanted::Value(match requirement.side {
                crate::standard::Side::AtLeast => ends.low(),
                crate::standard::Side::AtMost => ends.high(),
            });
            draft.responses[response].factors[factor].region = ends;
        }
    });
    wider.without(&left_out)
}

/// Whether a mix meets the fitted limits, loosened by two deviations.
fn nearly_meets(problem: &Problem, mix: &[f64]) -> bool {
    let fitted = fitted_responses(problem);
    problem.requirements.iter().filter(|requirement| requirement.origin == Origin::Limit).all(|requirement| {
        let (Subject::Response(index), Wanted::Value(_)) = (&requirement.subject, &requirement.wanted) else {
            return true;
        };
        if !fitted.contains(index) {
            return true;
        }
        let (Some(measured), Some(prediction)) =
            (problem.measure(requirement, mix), problem.predict(*index, mix))
        else {
            return false;
        };
        let response = &problem.responses[*index];
        let slope = response.slope(prediction.predictor).abs();
        let deviation =
            prediction.deviation.unwrap_or(0.0) * slope * response.unit.factor / requirement.unit.factor;
        -LOOSENED * deviation <= measured.slack + measured.margin
    })
}

/// The candidates; the best mix is the first.
pub fn candidates(problem: &Problem, best: &[f64], step: f64, assignments: &[Assignment]) -> Vec<Vec<f64>> {
    let loose = loosened(problem, step);
    let frame = Frame::new(&loose);
    let mut list: Vec<Vec<f64>> = vec![best.to_vec()];
    for assignment in assignments {
        let program = frame.exact_part(assignment, Wholeness::Relaxed);
        let mut corners: Vec<Vec<f64>> = Vec::new();
        for direction in directions(&loose) {
            if let Some(corner) = extreme(&frame, &program, &direction)
                && nearly_meets(problem, &corner)
            {
                push(&mut corners, corner);
            }
        }
        let near: Vec<Vec<f64>> = corners.iter().map(|corner| between(corner, best, 0.5)).collect();
        let mut middles = Vec::new();
        for (at, one) in corners.iter().enumerate() {
            for other in &corners[..at] {
                if corners.len() + near.len() + middles.len() < MOST / assignments.len().max(1) {
                    push(&mut middles, between(one, other, 0.5));
                }
            }
        }
        for mix in corners.into_iter().chain(near).chain(middles) {
            if list.len() < MOST && nearly_meets(problem, &mix) {
                push(&mut list, mix);
            }
        }
    }
    list
}

fn push(list: &mut Vec<Vec<f64>>, mix: Vec<f64>) {
    let same = |other: &Vec<f64>| {
        other.iter().zip(&mix).all(|(a, b)| (a - b).abs() <= SAME * a.abs().max(b.abs()).max(1.0))
    };
    if !list.iter().any(same) {
        list.push(mix);
    }
}

fn between(one: &[f64], other: &[f64], share: f64) -> Vec<f64> {
    one.iter().zip(other).map(|(a, b)| a + share * (b - a)).collect()
}

/// Weights of the factors of all fitted responses: each factor up and down, then pairs, then all corners while few.
fn directions(problem: &Problem) -> Vec<Vec<(Id<Response>, usize, f64)>> {
    let mut factors: Vec<(Id<Response>, usize)> = Vec::new();
    for response in fitted_responses(problem) {
        for (at, factor) in problem.responses[response].factors.iter().enumerate() {
            let same = |known: &(Id<Response>, usize)| {
                let other = &problem.responses[known.0].factors[known.1];
                match (&other.source, &factor.source) {
                    (Source::Quantity(a), Source::Quantity(b)) => a.measure == b.measure,
                    (Source::Response(a), Source::Response(b)) => a == b,
                    _ => false,
                }
            };
            if matches!(factor.source, Source::Quantity(_)) && !factors.iter().any(same) {
                factors.push((response, at));
            }
        }
    }
    let mut list = Vec::new();
    let signs = [1.0, -1.0];
    for (response, factor) in &factors {
        list.extend(signs.map(|sign| vec![(*response, *factor, sign)]));
    }
    if factors.len() <= 6 {
        for corner in 0..1_usize << factors.len() {
            let sign = |at: usize| if corner >> at & 1 == 1 { 1.0 } else { -1.0 };
            list.push(factors.iter().enumerate().map(|(at, (r, f))| (*r, *f, sign(at))).collect());
        }
    }
    for (at, one) in factors.iter().enumerate() {
        for other in &factors[..at] {
            for (a, b) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
                list.push(vec![(one.0, one.1, a), (other.0, other.1, b)]);
            }
        }
    }
    list.truncate(DIRECTIONS);
    list
}

/// The mix that goes farthest in a direction of factors: ratios by linear programs whose goal follows them.
fn extreme(
    frame: &Frame<'_>,
    program: &Program,
    direction: &[(Id<Response>, usize, f64)],
) -> Option<Vec<f64>> {
    let problem = frame.problem;
    let mut mix = match solve_program(program) {
        Outcome::Optimal(point, _) => frame.raise(&point),
        _ => return None,
    };
    let mut last = f64::NEG_INFINITY;
    for _ in 0..ROUNDS {
        let mut slope = vec![0.0; mix.len()];
        let mut value = 0.0;
        for (response, factor, weight) in direction {
            let described = &problem.responses[*response].factors[*factor];
            let Source::Quantity(quantity) = &described.source else { continue };
            let size = weight / (described.unit.factor * described.region.width());
            value += size * quantity.measure.at(&mix)?;
            quantity.measure.add_gradient(&mix, size, &mut slope);
        }
        if value <= last + 1e-9 {
            break;
        }
        last = value;
        let mut turned = program.clone();
        for (index, column) in turned.columns.iter_mut().enumerate() {
            column.cost = slope.get(index).map_or(0.0, |slope| -slope * frame.scales[index]);
        }
        match solve_program(&turned) {
            Outcome::Optimal(point, _) => mix = frame.raise(&point),
            _ => break,
        }
    }
    problem.mixture.settle(&mut mix);
    Some(mix)
}
