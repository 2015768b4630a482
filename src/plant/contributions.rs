//! What contributes to the variation of each limit's figure, cause by cause.
//!
//! What enters: how batches are made and judged. What leaves: variances with one cause at work alone, and what of a
//! response's scatter its residual holds already. It sums nothing over batches.

use super::batching::{Batching, Cause};
use super::judging::{Distance, Judging, Predictors};
use crate::listed::Id;
use crate::parallel;
use crate::problem::{Held, Production};
use crate::response::Response;

/// What contributes to the variation of a limit's figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Contributor {
    /// Something that is weighed or varies.
    Cause(Cause),
    /// The scatter of the response.
    Scatter,
}

/// Shares of the variance that are no more than rounding.
const NOTHING: f64 = 1e-9;
/// Points along one dimension for the share of one cause.
const LADDER: usize = 64;

/// Variances with one cause at work alone.
pub struct Ladder {
    by_response: Vec<f64>,
    by_limit: Vec<f64>,
}

/// The ladder of every cause.
pub fn ladders(batching: &Batching<'_>, judging: &Judging<'_>) -> Vec<Ladder> {
    parallel::in_order(
        &(0..batching.causes.len()).collect::<Vec<_>>(),
        |_, dimension| {
            let mut point = batching.middle();
            let mut batch = batching.at(&point);
            let mut at = Predictors::default();
            let mut predictors = vec![Vec::with_capacity(LADDER); judging.problem.responses.len()];
            let mut insides = vec![Vec::with_capacity(LADDER); judging.limits.len()];
            for step in (0..LADDER).take_while(|step| !judging.ends_before(*step)) {
                point[*dimension] = (step as f64 + 0.5) / LADDER as f64;
                batching.make(&point, &mut batch);
                judging.predict(&batch, &[], &mut at);
                for (list, value) in predictors.iter_mut().zip(&at.predictor) {
                    list.push(*value);
                }
                for (list, limit) in insides.iter_mut().zip(&judging.limits) {
                    list.push(judging.distance(limit, &batch, &at).inside);
                }
            }
            Ladder {
                by_response: predictors.iter().map(|values| variance(values)).collect(),
                by_limit: insides.iter().map(|values| variance(values)).collect(),
            }
        },
        |_| {},
    )
}

fn variance(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let variance = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / values.len() as f64;
    if variance.is_finite() { variance } else { 0.0 }
}

/// Takes out of the scatter what it is said to hold; returns responses for which that is more than all of it.
pub fn without_held(
    judging: &mut Judging<'_>,
    batching: &Batching<'_>,
    ladders: &[Ladder],
    production: &Production,
) -> Vec<Id<Response>> {
    let mut overfull = Vec::new();
    for (response, scatter) in judging.scatter.iter_mut().enumerate() {
        let held: f64 = batching
            .causes
            .iter()
            .zip(ladders)
            .filter(|(cause, _)| production.held.contains(&kind(**cause)))
            .map(|(_, ladder)| ladder.by_response[response])
            .sum();
        if *scatter * *scatter < held && 0.0 < *scatter {
            overfull.push(Id::at(response));
        }
        *scatter = (*scatter * *scatter - held).max(0.0).sqrt();
    }
    overfull
}

fn kind(cause: Cause) -> Held {
    match cause {
        Cause::Weighing(_) => Held::Weighing,
        Cause::Moisture(_) => Held::Moisture,
        Cause::Density(_) | Cause::Air | Cause::Materials(_) => Held::Materials,
    }
}

/// Shares of the variance of one limit, largest first.
pub fn contributors(
    batching: &Batching<'_>,
    ladders: &[Ladder],
    limit: usize,
    designed: &Distance,
) -> Vec<(Contributor, f64)> {
    let mut list: Vec<(Contributor, f64)> = batching
        .causes
        .iter()
        .zip(ladders)
        .map(|(cause, ladder)| (Contributor::Cause(*cause), ladder.by_limit[limit]))
        .chain([(Contributor::Scatter, designed.deviation * designed.deviation)])
        .collect();
    let total: f64 = list.iter().map(|(_, variance)| variance).sum();
    for (_, variance) in &mut list {
        *variance = if 0.0 < total { *variance / total } else { 0.0 };
    }
    list.retain(|(_, share)| NOTHING < *share);
    list.sort_by(|a, b| b.1.total_cmp(&a.1));
    list
}
