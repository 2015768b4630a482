//! What judges a fit beyond its own residuals: left-out mixes, replicates, outliers, blocks.
//!
//! What enters: a fit and its trials. What leaves: figures and lists, nothing is dropped. Folds keep the batches of one
//! mix together, since another age or a second batch of a known mix is easy to predict.

use super::batch::Trials;
use super::fitting::{Fitted, coded, fitted_on};
use super::folds::folds;
use super::regression::regression;
use super::results::Row;
use super::term::{columns, up_to_order};
use crate::number::distribution::{fisher_tail, student_quantile, student_tail};

/// Share of a factor's variance that blocks explain from which the two cannot be told apart.
const CONFOUNDED: f64 = 0.95;
/// The same, what chance explains taken off, from which much of it may be that of the blocks.
const MIXED: f64 = 0.5;
/// Probability, shared out over all results, below which a residual is an outlier.
const UNLIKELY: f64 = 0.05;

/// One result as the other mixes predict it.
#[derive(Clone, Copy, Debug)]
pub struct Crossed {
    /// The row.
    pub row: usize,
    /// Predicted, on the link's scale.
    pub predictor: f64,
    /// Predicted, in the response's unit.
    pub predicted: f64,
    /// Standard deviation of a new result there, on the link's scale.
    pub deviation: f64,
    /// Degrees of freedom.
    pub freedom: f64,
}

/// Every result predicted from the mixes of other folds, the form chosen anew each time; nothing where a fold leaves too
/// few trials.
pub fn crossed(fit: &Fitted, seed: u64) -> Option<Vec<Crossed>> {
    let mixes: Vec<usize> = fit.rows.iter().map(|row| row.mix).collect();
    let folds = folds(&mixes, seed);
    if folds.len() < 3 {
        return None;
    }
    let mut list = Vec::new();
    for fold in &folds {
        let kept: Vec<Row> =
            (0..fit.rows.len()).filter(|row| !fold.contains(row)).map(|row| fit.rows[row].clone()).collect();
        let inner = fitted_on(&kept, &fit.asked, fit.form.link)?;
        for row in fold {
            let predicted = inner.predict(&fit.rows[*row].factors);
            list.push(Crossed {
                row: *row,
                predictor: predicted.predictor,
                predicted: inner.link.response(predicted.predictor),
                deviation: inner.fit.deviation * (predicted.scatter + predicted.leverage).sqrt(),
                freedom: inner.fit.freedom,
            });
        }
    }
    list.sort_by_key(|crossed| crossed.row);
    Some(list)
}

/// Root mean square error of results in the response's unit.
pub fn crossed_error(fit: &Fitted, crossed: &[Crossed]) -> f64 {
    let sum: f64 = crossed.iter().map(|one| (fit.rows[one.row].measured - one.predicted).powi(2)).sum();
    (sum / crossed.len() as f64).sqrt()
}

/// Fewest results of left-out mixes in a third of the predictions for a share of them to say something.
const IN_A_THIRD: usize = 20;

/// Shares of the results of left-out mixes that lie above their one-sided 95 % bound, in each third of the predictions from low
/// to high; nothing for fewer than sixty results.
pub fn coverage(fit: &Fitted, mut crossed: Vec<Crossed>) -> Option<[f64; 3]> {
    crossed.sort_by(|a, b| a.predicted.total_cmp(&b.predicted));
    let third = crossed.len() / 3;
    let share = |part: &[Crossed]| {
        let held = part.iter().filter(|one| {
            let bound = one.predictor - student_quantile(0.95, one.freedom) * one.deviation;
            bound <= fit.form.link.predictor(fit.rows[one.row].measured)
        });
        held.count() as f64 / part.len() as f64
    };
    (IN_A_THIRD <= third)
        .then(|| [share(&crossed[..third]), share(&crossed[third..2 * third]), share(&crossed[2 * third..])])
}

/// What repeated batches say of the form.
#[derive(Clone, Copy, Debug)]
pub struct LackOfFit {
    /// Deviation between batches of one mix and age, on the link's scale.
    pub deviation: f64,
    /// Its degrees of freedom.
    pub freedom: f64,
    /// Mean square of lack of fit over that of replicates.
    pub ratio: f64,
    /// Degrees of freedom of the lack of fit.
    pub above: f64,
    /// Probability of so large a ratio if the form is right.
    pub probability: f64,
}

/// Lack of fit from batches of the same mix and age; nothing without replicates.
pub fn lack_of_fit(fit: &Fitted) -> Option<LackOfFit> {
    let rows = &fit.rows;
    let same = |a: &Row, b: &Row| a.mix == b.mix && a.age == b.age;
    let (mut squares, mut freedom) = (0.0, 0.0);
    for (at, row) in rows.iter().enumerate() {
        if rows[..at].iter().any(|other| same(other, row)) {
            continue;
        }
        let group: Vec<f64> = (0..rows.len())
            .filter(|other| same(&rows[*other], row))
            .map(|other| fit.form.fit.residuals[other] / scale(fit, other))
            .collect();
        let mean = group.iter().sum::<f64>() / group.len() as f64;
        squares += group.iter().map(|value| (value - mean).powi(2)).sum::<f64>();
        freedom += group.len() as f64 - 1.0;
    }
    let above = fit.form.fit.freedom - freedom;
    if freedom < 1.0 || squares <= 0.0 {
        return None;
    }
    let deviation = (squares / freedom).sqrt();
    if above < 1.0 {
        return Some(LackOfFit { deviation, freedom, ratio: f64::NAN, above: 0.0, probability: f64::NAN });
    }
    let ratio = ((fit.form.fit.rest - squares).max(0.0) / above) / (squares / freedom);
    Some(LackOfFit { deviation, freedom, ratio, above, probability: fisher_tail(ratio, above, freedom) })
}

fn scale(fit: &Fitted, row: usize) -> f64 {
    fit.form.predict(&fit.rows[row].factors).scatter.sqrt()
}

/// Rows whose residual is larger than chance makes one of so many.
pub fn outliers(fit: &Fitted) -> Vec<usize> {
    let regression = &fit.form.fit;
    (0..fit.rows.len())
        .filter(|row| {
            let tail = student_tail(regression.studentised[*row], (regression.freedom - 1.0).max(1.0));
            1.0 < regression.freedom && tail * (fit.rows.len() as f64) < UNLIKELY
        })
        .collect()
}

/// Factors that blocks explain, in words.
pub fn confounded_with_blocks(fit: &Fitted, trials: &Trials) -> Vec<String> {
    let mut blocks: Vec<&str> =
        fit.rows.iter().filter_map(|row| trials.batches[row.batch].block.as_deref()).collect();
    if blocks.len() < fit.rows.len() {
        return Vec::new();
    }
    blocks.sort_unstable();
    blocks.dedup();
    if blocks.len() < 2 || fit.rows.len() <= blocks.len() {
        return Vec::new();
    }
    let indicator = |block: &str| -> Vec<f64> {
        let is = |row: &Row| trials.batches[row.batch].block.as_deref() == Some(block);
        fit.rows.iter().map(|row| if is(row) { 1.0 } else { 0.0 }).collect()
    };
    let table: Vec<Vec<f64>> = blocks.iter().map(|block| indicator(block)).collect();
    let first = columns(&up_to_order(fit.asked.factors.len(), 1), &coded(&fit.rows, &fit.form.coding));
    let mut told = Vec::new();
    for (at, factor) in fit.asked.factors.iter().enumerate() {
        let explained = regression(&table, &first[at + 1], &vec![1.0; fit.rows.len()])
            .map_or(0.0, |found| found.explained);
        let (rows, groups) = (fit.rows.len() as f64, blocks.len() as f64);
        let beyond_chance = 1.0 - (1.0 - explained) * (rows - 1.0) / (rows - groups);
        if explained < CONFOUNDED && MIXED <= beyond_chance {
            told.push(format!(
                "`{}` changes much with the block ({:.0} % of its variance): part of its effect may be that of the blocks",
                factor.name,
                100.0 * explained
            ));
        }
        if CONFOUNDED <= explained {
            told.push(format!(
                "`{}` changes with the block ({:.0} % of its variance): its effect and that of the blocks cannot be told apart",
                factor.name,
                100.0 * explained
            ));
        }
    }
    told
}
