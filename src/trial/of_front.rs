//! Which mixes of a front to try first.
//!
//! What enters: the points of a front, each with the problem it answers and its mix. What leaves: the points in the order in
//! which a trial of each lowers the expected premium for uncertainty most, what was tried before it counted: price x
//! quantile x s (sqrt(scatter + h) - sqrt(scatter)), in the mean over all points of the front. Where no limit on a fitted
//! response has a price at any point, the determinant of the information decides.

use super::candidates::fitted_responses;
use super::exchange::{Aim, Part, criterion};
use super::next::{Measure, known_information, premiums, terms};
use crate::problem::Problem;
use crate::solve::Found;

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
    /// The criterion today.
    pub before: f64,
    /// The points in their order.
    pub steps: Vec<Step>,
}

/// Orders the points; nothing without points, or where no response was fitted.
pub fn order_of_front(points: &[(Problem, Found)]) -> Option<FrontOrder> {
    let (problem, _) = points.first()?;
    let fitted = fitted_responses(problem);
    let mut premium = Vec::new();
    let mut determinant = Vec::new();
    for index in &fitted {
        let response = &problem.responses[*index];
        let Some(covariance) = response.region_covariance() else { continue };
        let rows: Vec<Vec<f64>> = points
            .iter()
            .map(|(own, found)| terms(own, *index, response, &found.mix, &covariance.monomials))
            .collect();
        let known = known_information(&covariance.matrix);
        for ((own, found), row) in points.iter().zip(&rows) {
            for (_, price, scatter) in premiums(own, found).into_iter().filter(|(of, ..)| of == index) {
                if 0.0 < price {
                    let price = price / points.len() as f64;
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
    Some(FrontOrder { measure, before: criterion(&parts, &[]), steps })
}
