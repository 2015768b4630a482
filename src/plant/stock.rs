//! Limited stock: prices at which the mixes just use it, and mixes that stay within it.
//!
//! What enters: a plant, and what it keeps. What leaves: prices per kg, or mixes whose use is no more than the stock. It does
//! not choose what is kept.

use super::oracle::{Answer, Oracle, Set};
use super::shared::SharedPlant;
use super::silos::members;
use crate::number::Interval;

/// Share of dear prices by which prices are moved to find the mixes beside those at them.
const NUDGE: f64 = 3e-4;
/// Gap of mixes that are shared out.
const GAP: f64 = 1e-5;
/// Share of a stock that is rounding.
const SLIVER: f64 = 1e-7;
/// Gap of one mix's proof, as a share of the gap of the total.
pub const SHARE_OF_GAP: f64 = 0.1;

/// Use of a material in a year, kg.
pub fn usage(plant: &SharedPlant, answers: &[Answer], material: usize) -> f64 {
    answers
        .iter()
        .zip(&plant.mixes)
        .map(|(answer, mix)| {
            mix.columns[material]
                .map_or(0.0, |column| mix.volume * answer.mix.get(column).copied().unwrap_or(0.0))
        })
        .sum()
}

/// Whether mixes use no more than the stock.
pub fn fits(plant: &SharedPlant, answers: &[Answer]) -> bool {
    plant.stock.iter().all(|(material, stock)| usage(plant, answers, *material) <= stock * (1.0 + SLIVER))
}

/// Mixes within the stock at their own prices, and what their year costs: each may use its share, found between mixes that
/// spare the stock and mixes that use too much of it. `None` where what is kept cannot do with it.
pub fn within_stock(
    plant: &SharedPlant,
    oracle: &Oracle<'_>,
    set: Set,
    (at_prices, prices): (Vec<Answer>, &[f64]),
) -> Option<(Vec<Answer>, f64)> {
    if at_prices.iter().any(|answer| !answer.upper.is_finite()) {
        return None;
    }
    // Those at the prices are one end; the other is a little dearer or cheaper, or as sparing as can be.
    let nudged = |by: f64| -> Option<Vec<Answer>> {
        let prices: Vec<f64> = prices
            .iter()
            .zip(dear(plant))
            .map(|(price, dear)| (price + by * dear * NUDGE).max(0.0))
            .collect();
        answered(plant, &prices, set)
    };
    let (low, high) = if fits(plant, &at_prices) {
        let high = nudged(-1.0)?;
        (at_prices, high)
    } else {
        let dearer = nudged(1.0).filter(|answers| fits(plant, answers));
        (dearer.or_else(|| answered(plant, &dear(plant), set))?, at_prices)
    };
    if !fits(plant, &low) {
        return None;
    }
    let amount = |answers: &[Answer], mix: usize, material: usize| -> f64 {
        plant.mixes[mix].columns[material].map_or(0.0, |column| answers[mix].mix[column])
    };
    // The largest share of the way from the one to the other that every stock allows.
    let share = plant
        .stock
        .iter()
        .map(|(material, stock)| {
            let (from, to) = (usage(plant, &low, *material), usage(plant, &high, *material));
            if to <= *stock { 1.0 } else { Interval::new(0.0, 1.0).nearest((stock - from) / (to - from)) }
        })
        .fold(1.0, f64::min);
    let shared: Vec<Answer> = (0..plant.mixes.len())
        .map(|mix| {
            let caps: Vec<(usize, f64)> = plant
                .stock
                .iter()
                .map(|(material, _)| {
                    let (from, to) = (amount(&low, mix, *material), amount(&high, mix, *material));
                    (*material, from + share * (to - from) + SLIVER * from)
                })
                .collect();
            oracle.capped(mix, set, &caps)
        })
        .collect();
    let low = recosted(plant, low);
    let (shared_cost, low_cost) = (year(plant, &shared), year(plant, &low));
    Some(if fits(plant, &shared) && shared_cost <= low_cost {
        (shared, shared_cost)
    } else {
        (low, low_cost)
    })
}

/// What mixes cost in a year, with what their materials cost to keep.
fn year(plant: &SharedPlant, answers: &[Answer]) -> f64 {
    let used = answers.iter().fold(0, |all: Set, answer| all | answer.used);
    let keeping: f64 = members(used).map(|material| plant.keeping[material]).sum();
    answers.iter().zip(&plant.mixes).map(|(answer, mix)| mix.volume * answer.upper).sum::<f64>() + keeping
}

/// The mixes under a set at some prices on stock; `None` where one has none.
fn answered(plant: &SharedPlant, prices: &[f64], set: Set) -> Option<Vec<Answer>> {
    let mut oracle = Oracle::new(plant, prices, GAP);
    let answers: Vec<Answer> = (0..plant.mixes.len()).map(|mix| oracle.answer(mix, set)).collect();
    answers.iter().all(|answer| answer.upper.is_finite()).then_some(answers)
}

/// The same mixes at their own prices.
fn recosted(plant: &SharedPlant, answers: Vec<Answer>) -> Vec<Answer> {
    let own = |(answer, mix): (Answer, &super::shared::PlantMix)| Answer {
        upper: mix.problem.goal.objective.at(&answer.mix),
        ..answer
    };
    answers.into_iter().zip(&plant.mixes).map(own).collect()
}

/// A price on stock that makes it as dear as so many times its own price.
const DEAR: f64 = 30.0;

/// Prices that make all limited stock dear.
pub fn dear(plant: &SharedPlant) -> Vec<f64> {
    plant.stock.iter().map(|(material, _)| DEAR * usual_price(plant, *material)).collect()
}

fn usual_price(plant: &SharedPlant, material: usize) -> f64 {
    plant
        .mixes
        .iter()
        .filter_map(|mix| {
            mix.columns[material].map(|column| mix.problem.mixture.catalogue.materials[column].price)
        })
        .fold(0.0, f64::max)
        .max(1e-3)
}
