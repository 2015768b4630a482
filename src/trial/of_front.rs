//! Which mixes of a front to try first.
//!
//! What enters: the points of a front, each with the problem it answers, its mix and which goal was made best there. What leaves: the points in the order in
//! which a trial of each lowers the expected premium for uncertainty most, what was tried before it counted: price x
//! quantile x s (sqrt(scatter + h) - sqrt(scatter)), in the mean over the points at which one goal was made best: prices in
//! other goals have other units. That goal is the one of most points. Where no limit on a fitted response has a price there,
//! the determinant of the information decides.

use super::candidates::fitted_responses;
use super::exchange::{Aim, Part, criterion};
use super::next::{Measure, known_information, premiums, terms};
use crate::problem::Problem;
use crate::solve::Found;

/// A point of a front.
#[derive(Debug)]
pub struct FrontMix {
    /// The problem it answers.
    pub problem: Problem,
    /// Its mix.
    pub found: Found,
    /// The goal that was made best there, an index among those of the front.
    pub best: usize,
}

/// One step of the order.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    /// The point, an index into those that were given.
    pub point: usize,
    /// The criterion once it and all before it were tried.
    pub after: f64,
}

/// The order in which to try a front.
#[derive(Clone, Debug)]
pub struct FrontOrder {
    /// What the criterion measures.
    pub measure: Measure,
    /// The goal whose prices count.
    pub goal: usize,
    /// The criterion today.
    pub before: f64,
    /// The points in their order.
    pub steps: Vec<Step>,
}

/// Orders the points; nothing without points, or where no response was fitted.
pub fn order_of_front(points: &[FrontMix]) -> Option<FrontOrder> {
    let problem = &points.first()?.problem;
    let with = |goal: usize| points.iter().filter(|point| point.best == goal).count();
    // The first goal where two have as many points.
    let goal = points.iter().map(|point| point.best).max_by_key(|goal| (with(*goal), usize::MAX - goal))?;
    let fitted = fitted_responses(problem);
    let mut premium = Vec::new();
    let mut determinant = Vec::new();
    for index in &fitted {
        let response = &problem.responses[*index];
        let Some(covariance) = response.region_covariance() else { continue };
        let rows: Vec<Vec<f64>> = points
            .iter()
            .map(|point| terms(&point.problem, *index, response, &point.found.mix, &covariance.monomials))
            .collect();
        let known = known_information(&covariance.matrix);
        for (point, row) in points.iter().zip(&rows).filter(|(point, _)| point.best == goal) {
            let priced = premiums(&point.problem, &point.found);
            for (_, price, scatter) in priced.into_iter().filter(|(of, ..)| of == index) {
                if 0.0 < price {
                    let price = price / with(goal) as f64;
                    let aim = Aim::Premium { rows: vec![row.clone()], price, scatter };
                    premium.push(Part { rows: rows.clone(), known: known.clone(), aim });
                }
            }
        }
        determinant.push(Part { rows, known, aim: Aim::Determinant });
    }
    let (parts, measure) =
        if premium.is_empty() { (determinant, Measure::Determinant) } else { (premium, Measure::Premium) };
    if parts.is_empty() {
        return None;
    }
    let mut chosen: Vec<usize> = Vec::new();
    let mut steps = Vec::new();
    while chosen.len() < points.len() {
        let after = |point: usize| {
            let tried: Vec<usize> = chosen.iter().copied().chain([point]).collect();
            Step { point, after: criterion(&parts, &tried) }
        };
        let rest = (0..points.len()).filter(|point| !chosen.contains(point));
        let best = rest.map(after).min_by(|a, b| a.after.total_cmp(&b.after))?;
        chosen.push(best.point);
        steps.push(best);
    }
    Some(FrontOrder { measure, goal, before: criterion(&parts, &[]), steps })
}
