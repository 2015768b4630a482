//! What each limit costs: goal per unit of the author's, with the found decisions kept.
//!
//! The multipliers of the final tangent program, without trust region and elastic columns, give a price; two
//! one-sided re-solves of that program with the limit moved must agree before it is printed as one number.

use crate::listed::Id;
use crate::model::{Assignment, Frame, Program, linearised};
use crate::parallel::{self, Stop};
use crate::problem::{Origin, Problem, Requirement, Wanted};
use crate::quantity::Dimension;
use crate::solve::{Found, Outcome, decided_at, multipliers_at, solve_program};

/// The price of one binding requirement, in goal units (base) per unit of the requirement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Price {
    /// One number for both directions: what the goal gains when the limit is loosened by one unit, and loses when
    /// it is tightened by one.
    Single(f64),
    /// What tightening costs and what loosening gains differ.
    Between {
        /// Goal lost per unit tightened; absent if it cannot be tightened at all.
        tightening: Option<f64>,
        /// Goal gained per unit loosened.
        loosening: f64,
    },
    /// The end of a region of validity has no price: it says where to make the next trial.
    Trial,
    /// Compared with another quantity of the mix: there is no number to move.
    Comparison,
    /// No multipliers stood up to the check.
    Unreliable,
}

/// Reach of the final program: wide against the moves of limits, narrow against what curves.
pub const NEAR: f64 = 1e-3;
/// Relative move of a limit in the one-sided re-solves.
const MOVE: f64 = 1e-5;
/// Relative difference up to which prices count as one.
const AGREE: f64 = 1e-3;

/// Prices of all binding requirements of a found mix, by requirement index; those that are not known when work has to
/// end are left out.
pub fn shadow_prices(problem: &Problem, found: &Found, stop: Stop) -> Vec<(Id<Requirement>, Price)> {
    let binding: Vec<Id<Requirement>> = found
        .audit
        .lines
        .iter()
        .filter(|line| line.measured.is_some_and(|measured| measured.is_binding()))
        .map(|line| line.requirement)
        .collect();
    let assignment = assignment_of(problem, &found.mix);
    let priced = |_, requirement: &Id<Requirement>| {
        let at = At { problem, assignment: &assignment, mix: &found.mix, stop };
        let price = if stop.is_due() { Price::Unreliable } else { price(&at, *requirement) };
        (!stop.is_due()).then_some((*requirement, price))
    };
    parallel::in_order(&binding, priced, |_| {}).into_iter().flatten().collect()
}

/// The decisions a mix has taken.
pub fn assignment_of(problem: &Problem, mix: &[f64]) -> Assignment {
    decided_at(&Frame::new(problem), mix)
}

/// The tangent program at a mix with tangents that must hold, each column within `reach` (in program units) of the mix.
///
/// Where the best mix lies on a curve, between the corners of its tangents, a program without a reach has its optimum
/// in some far corner: the goal there is the same, but not what a moved limit does.
pub fn final_program(
    problem: &Problem,
    assignment: &Assignment,
    mix: &[f64],
    reach: f64,
    stop: Stop,
) -> Program {
    let frame = Frame::new(problem).until(stop);
    let mut linearisation = linearised(&frame, assignment, mix, reach, 0.0);
    for column in &linearisation.elastic {
        linearisation.program.columns[*column].high = 0.0;
    }
    linearisation.program
}

/// Where prices are asked for.
struct At<'a> {
    problem: &'a Problem,
    assignment: &'a Assignment,
    mix: &'a [f64],
    stop: Stop,
}

fn price(at: &At<'_>, index: Id<Requirement>) -> Price {
    let problem = at.problem;
    let requirement = &problem.requirements[index];
    let Wanted::Value(wanted) = requirement.wanted else { return Price::Comparison };
    if matches!(requirement.origin, Origin::Region { .. } | Origin::Leverage(_)) {
        return Price::Trial;
    }
    // What cannot be met nearby may be met further off.
    match price_within(at, index, wanted, NEAR) {
        Price::Unreliable | Price::Between { tightening: None, .. } => {
            price_within(at, index, wanted, f64::INFINITY)
        }
        price => price,
    }
}

fn price_within(at: &At<'_>, index: Id<Requirement>, wanted: f64, reach: f64) -> Price {
    let At { problem, assignment, mix, stop } = *at;
    let requirement = &problem.requirements[index];
    let program = final_program(problem, assignment, mix, reach, stop);
    let Outcome::Optimal(point, objective) = solve_program(&program) else { return Price::Unreliable };
    let goal_scale = Frame::new(problem).goal_scale;
    let measured = problem.measure(requirement, mix).map_or(wanted.abs(), |measured| measured.scale);
    let step = MOVE * if wanted == 0.0 { typical(requirement) } else { measured };
    // Nearby, an addition at its cap may come to count the other way; the choices of materials are kept.
    let assignments =
        if reach == NEAR { counting_either_way(problem, assignment) } else { vec![assignment.clone()] };
    let moved = |by: f64| {
        let changed = problem.with_wanted(index, wanted + by);
        let scale = Frame::new(&changed).goal_scale;
        let goals = assignments.iter().filter_map(|assignment| {
            match solve_program(&final_program(&changed, assignment, mix, reach, stop)) {
                Outcome::Optimal(_, moved) => Some((moved * scale - objective * goal_scale) / step),
                _ => None,
            }
        });
        goals.min_by(f64::total_cmp)
    };
    // Tighter is upwards for "at least", downwards for "at most".
    let sign = requirement.side.sign();
    let tightening = moved(sign * step);
    let Some(loosening) = moved(-sign * step).map(|gain| -gain) else { return Price::Unreliable };
    let from_multipliers = slope_by_multipliers(at, &program, &point, (index, wanted + sign * step), reach);
    let confirmed = |price: f64| from_multipliers.is_none_or(|slope| agree(slope, price));
    match tightening {
        Some(tightening) if agree(tightening, loosening) && confirmed(loosening) => {
            Price::Single(0.5 * (tightening + loosening))
        }
        _ => Price::Between { tightening, loosening },
    }
}

/// An assignment, and those in which one counted addition counts the other way.
fn counting_either_way(problem: &Problem, assignment: &Assignment) -> Vec<Assignment> {
    let counted = problem.switches.len()..assignment.len() - problem.counts.len();
    let others = counted.map(|at| {
        let mut other = assignment.clone();
        other[at] = other[at].turned();
        other
    });
    [assignment.clone()].into_iter().chain(others).collect()
}

/// d goal / d limit from the multipliers: sum of y times how far the limit's rows move.
fn slope_by_multipliers(
    at: &At<'_>,
    program: &Program,
    point: &[f64],
    (index, to): (Id<Requirement>, f64),
    reach: f64,
) -> Option<f64> {
    let At { problem, assignment, mix, stop } = *at;
    let Wanted::Value(wanted) = problem.requirements[index].wanted else { return None };
    let (y, reduced) = multipliers_at(program, point)?;
    let changed = problem.with_wanted(index, to);
    let moved = final_program(&changed, assignment, mix, reach, stop);
    if moved.rows.len() != program.rows.len()
        || Frame::new(&changed).goal_scale != Frame::new(problem).goal_scale
    {
        return None;
    }
    let mut total = 0.0;
    for ((before, after), y) in program.rows.iter().zip(&moved.rows).zip(&y) {
        let value = |row: &crate::model::Row| {
            row.terms.iter().map(|(column, factor)| factor * point[*column]).sum::<f64>()
        };
        let side = |row: &crate::model::Row| if 0.0 < *y { row.low } else { row.high };
        if *y != 0.0 && side(before).is_finite() && side(after).is_finite() {
            total += y * ((side(after) - value(after)) - (side(before) - value(before)));
        }
    }
    for ((before, after), r) in program.columns.iter().zip(&moved.columns).zip(&reduced) {
        let side = |column: &crate::model::ProgramColumn| if 0.0 < *r { column.low } else { column.high };
        if *r != 0.0 && side(before).is_finite() && side(after).is_finite() {
            total += r * (side(after) - side(before));
        }
    }
    Some(total * Frame::new(problem).goal_scale / (to - wanted).abs())
}

/// What a limit of zero is measured by, in its own unit: one per cent, or a hundredth.
fn typical(requirement: &Requirement) -> f64 {
    let unit = &requirement.unit;
    if unit.dimension == Dimension::NONE && unit.factor == 0.01 { 1.0 } else { 0.01 }
}

fn agree(a: f64, b: f64) -> bool {
    (a - b).abs() <= AGREE * a.abs().max(b.abs()) + 1e-9
}
