//! What the uncertainty of fitted coefficients leaves open: one error shared by all batches.
//!
//! What enters: how batches are made and judged. What leaves: for each limit the lowest and highest twentieth of its risk
//! over draws of the coefficients. It averages nothing over them.

use super::batching::{Batch, Batching};
use super::draws::scrambled;
use super::judging::{Judging, Predictors};
use crate::number::deviate::normal_deviate;
use crate::parallel;

/// Draws of the coefficients, and batches in each.
const OUTER: usize = 40;
const INNER: usize = 1024;

/// The share beyond each limit over draws of the coefficients: its lowest and highest twentieth; `None` without any
/// covariance.
pub fn outer(batching: &Batching<'_>, judging: &Judging<'_>, seed: u32) -> Option<Vec<Option<(f64, f64)>>> {
    let responses = &judging.problem.responses;
    let roots: Vec<Option<(Vec<Vec<f64>>, f64)>> = responses
        .iter()
        .map(|response| Some((response.covariance.as_ref()?.root(), response.residual?)))
        .collect();
    if roots.iter().all(Option::is_none) {
        return None;
    }
    let size: usize = roots.iter().flatten().map(|(root, _)| root.len()).sum();
    let draws: Vec<usize> = (0..OUTER).collect();
    let shares: Vec<Vec<f64>> = parallel::in_order(
        &draws,
        |_, draw| {
            let mut uniform = vec![0.0; size];
            scrambled(*draw, seed.wrapping_add(0x5bd1_e995), &mut uniform);
            let mut deviates = uniform.iter().map(|uniform| normal_deviate(*uniform));
            let changes: Vec<Option<Vec<f64>>> = roots
                .iter()
                .map(|root| {
                    let (root, residual) = root.as_ref()?;
                    let own: Vec<f64> = deviates.by_ref().take(root.len()).collect();
                    let row =
                        |row: &Vec<f64>| residual * row.iter().zip(&own).map(|(a, b)| a * b).sum::<f64>();
                    Some(root.iter().map(row).collect())
                })
                .collect();
            mean_beyond(batching, judging, seed, &changes)
        },
        |_| {},
    );
    let ends = (0..judging.limits.len()).map(|limit| {
        let mut list: Vec<f64> = shares.iter().map(|shares| shares[limit]).collect();
        list.sort_by(f64::total_cmp);
        let (low, high) = (list[OUTER / 20], list[OUTER - 1 - OUTER / 20]);
        // What no draw moves is not open.
        (list[0] < list[OUTER - 1]).then_some((low, high))
    });
    Some(ends.collect())
}

fn mean_beyond(
    batching: &Batching<'_>,
    judging: &Judging<'_>,
    seed: u32,
    changes: &[Option<Vec<f64>>],
) -> Vec<f64> {
    let mut point = batching.middle();
    let mut batch: Batch = batching.at(&point);
    let mut at = Predictors::default();
    let mut sums = vec![0.0; judging.limits.len()];
    for number in (0..INNER).take_while(|number| !judging.ends_before(*number)) {
        scrambled(number, seed, &mut point);
        batching.make(&point, &mut batch);
        judging.predict(&batch, changes, &mut at);
        for (sum, limit) in sums.iter_mut().zip(&judging.limits) {
            *sum += judging.distance(limit, &batch, &at).beyond() / INNER as f64;
        }
    }
    sums
}
