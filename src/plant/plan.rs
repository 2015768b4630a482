//! The plan of a plant: which materials to keep and every mix's proportions, at least total cost of a year.
//!
//! What enters: a plant. What leaves: a [`Plan`] beside each mix alone, with what one more place of each kind would save, or
//! why there is none. Limited stock is priced: for any prices not below zero, the mixes' bounds at these prices less prices
//! times stock are a bound; the mixes of the plan stay within shares of the stock and are paid without them.

use super::oracle::{Answer, Oracle, Set};
use super::planned::{NoPlan, Plan, PlannedMix, Saving, StockUse};
use super::shared::SharedPlant;
use super::silos::{Search, Until};
use super::stock::{SHARE_OF_GAP, dear, fits, usage, within_stock};
use crate::parallel::Stop;

/// What a plan may take.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// Gap relative to the total.
    pub gap: f64,
    /// Gap relative to the premium over the mixes alone.
    pub of_premium: f64,
    /// Most sets looked at in one search.
    pub nodes: usize,
    /// When work has to end.
    pub stop: Stop,
}

impl Default for Asked {
    fn default() -> Self {
        Self { gap: 1e-3, of_premium: 0.1, nodes: 5000, stop: Stop::NEVER }
    }
}

/// Halvings of a price on stock.
const HALVINGS: usize = 14;

/// A plan settled for some numbers of places.
struct Settled {
    lower: f64,
    upper: f64,
    set: Set,
    answers: Vec<Answer>,
    prices: Vec<f64>,
    nodes: usize,
    solves: usize,
}

/// Plans a plant.
///
/// # Errors
/// Why there is no plan.
pub fn plan(plant: &SharedPlant, asked: &Asked) -> Result<Plan, NoPlan> {
    let gap = SHARE_OF_GAP * asked.gap;
    let everything = everything(plant);
    let all: Vec<usize> = (0..plant.mixes.len()).collect();
    let none = vec![0.0; plant.stock.len()];
    let mut free = Oracle::new(plant, &none, gap);
    free.ask(&all.iter().map(|mix| (*mix, everything)).collect::<Vec<_>>());
    let alone: Vec<Answer> = all.iter().map(|mix| free.answer(*mix, everything)).collect();
    if let Some(mix) = alone.iter().position(|answer| answer.upper == f64::INFINITY) {
        return Err(NoPlan::Alone(mix));
    }
    let year = |cost: fn(&Answer) -> f64| -> f64 {
        alone.iter().zip(&plant.mixes).map(|(answer, mix)| mix.volume * cost(answer)).sum()
    };
    let total = (year(|answer| answer.lower), year(|answer| answer.upper));
    let numbers: Vec<usize> = plant.places.iter().map(|places| places.number).collect();
    let until = Until {
        gap: asked.gap,
        of_premium: asked.of_premium,
        alone: total.0,
        nodes: asked.nodes,
        stop: asked.stop,
    };
    let Some(best) = settle(plant, &mut free, &numbers, (&until, gap))? else {
        return Err(if asked.stop.is_due() { NoPlan::Unfinished } else { why_not(plant, &mut free, &until) });
    };
    let mut savings = Vec::new();
    for (at, places) in plant.places.iter().enumerate() {
        if places.of.len() <= places.number {
            continue;
        }
        let mut more = numbers.clone();
        more[at] += 1;
        let Ok(Some(with)) = settle(plant, &mut free, &more, (&until, gap)) else { continue };
        savings.push(Saving {
            places: at,
            low: best.lower - with.upper,
            high: best.upper - with.lower,
            added: with.set & !best.set,
        });
    }
    let stock = plant.stock.iter().zip(&best.prices).map(|((material, stock), price)| StockUse {
        material: *material,
        used: usage(plant, &best.answers, *material),
        stock: *stock,
        price: *price,
    });
    let stock = stock.collect();
    let mixes = best.answers.iter().zip(&alone).map(|(answer, alone)| PlannedMix {
        alone: (alone.lower, alone.upper),
        cost: answer.upper,
        mix: answer.mix.clone(),
    });
    Ok(Plan {
        lower: best.lower.min(best.upper),
        upper: best.upper,
        alone: total,
        kept: best.answers.iter().fold(0, |all: Set, answer| all | answer.used),
        mixes: mixes.collect(),
        savings,
        stock,
        nodes: best.nodes,
        solves: free.solves + best.solves,
    })
}

fn everything(plant: &SharedPlant) -> Set {
    (0..plant.materials.len()).fold(0, |set: Set, at| set | 1 << at)
}

/// The best plan for some numbers of places; `None` where there is none even with stock to spare.
///
/// With limited stock each price is a bound and a plan of its own: the highest bound and the cheapest plan within the stock
/// are kept, and the price moves between using too much and too little.
fn settle<'p>(
    plant: &'p SharedPlant,
    free: &mut Oracle<'p>,
    numbers: &[usize],
    (until, gap): (&Until, f64),
) -> Result<Option<Settled>, NoPlan> {
    let all: Vec<usize> = (0..plant.mixes.len()).collect();
    let kept = Search::new(plant, free, numbers.to_vec(), all.clone(), 0.0).run(until, None);
    if kept.upper == f64::INFINITY {
        return Ok(None);
    }
    let answers: Vec<Answer> = all.iter().map(|mix| free.answer(*mix, kept.set)).collect();
    let mut prices = vec![0.0; plant.stock.len()];
    let mut best = Settled {
        lower: kept.lower,
        upper: kept.upper,
        set: kept.set,
        answers,
        prices: prices.clone(),
        nodes: kept.nodes,
        solves: 0,
    };
    if fits(plant, &best.answers) {
        return Ok(Some(best));
    }
    best.upper = f64::INFINITY;
    let until = Until { of_premium: f64::INFINITY, ..*until };
    for _ in 0..2 {
        for at in 0..plant.stock.len() {
            let (material, stock) = plant.stock[at];
            let (mut low, mut high) = (0.0, dear(plant)[at]);
            for halving in 0..HALVINGS {
                // The dearest price first: if even that does not spare the stock, nothing will.
                prices[at] = if halving == 0 { high } else { 0.5 * (low + high) };
                let mut oracle = Oracle::new(plant, &prices, gap);
                let rebate = plant.stock.iter().zip(&prices).map(|((_, stock), price)| stock * price).sum();
                let kept =
                    Search::new(plant, &mut oracle, numbers.to_vec(), all.clone(), rebate).run(&until, None);
                let answers: Vec<Answer> = all.iter().map(|mix| oracle.answer(*mix, kept.set)).collect();
                let used = usage(plant, &answers, material);
                best.nodes += kept.nodes;
                best.solves += oracle.solves;
                if best.lower < kept.lower {
                    (best.lower, best.prices) = (kept.lower, prices.clone());
                }
                if let Some((answers, upper)) = within_stock(plant, &oracle, kept.set, (answers, &prices))
                    && upper < best.upper
                {
                    (best.upper, best.set, best.answers) = (upper, kept.set, answers);
                }
                if halving == 0 && stock < used {
                    break;
                }
                if stock < used {
                    low = prices[at];
                } else {
                    high = prices[at];
                }
                if until.is_reached(best.lower, best.upper) || until.stop.is_due() {
                    return Ok(Some(best));
                }
            }
            prices[at] = high;
        }
        if plant.stock.len() == 1 {
            break;
        }
    }
    if best.upper == f64::INFINITY {
        return Err(NoPlan::Stock(plant.stock.first().map_or(0, |(material, _)| *material)));
    }
    Ok(Some(best))
}

/// Which mix needs more places than there are, or that only all together do not fit.
fn why_not<'p>(plant: &'p SharedPlant, oracle: &mut Oracle<'p>, until: &Until) -> NoPlan {
    let numbers: Vec<usize> = plant.places.iter().map(|places| places.number).collect();
    let fits = |oracle: &mut Oracle<'p>, mix: usize, numbers: Vec<usize>| {
        let any = Until { gap: f64::INFINITY, of_premium: f64::INFINITY, alone: f64::NEG_INFINITY, ..*until };
        Search::new(plant, oracle, numbers, vec![mix], 0.0).run(&any, None).upper.is_finite()
    };
    for mix in 0..plant.mixes.len() {
        if fits(oracle, mix, numbers.clone()) {
            continue;
        }
        for (at, places) in plant.places.iter().enumerate() {
            for needed in places.number + 1..=places.of.len() {
                let mut more = numbers.clone();
                more[at] = needed;
                if fits(oracle, mix, more) {
                    return NoPlan::Places { mix, places: at, needed };
                }
            }
        }
        let most = plant
            .places
            .iter()
            .enumerate()
            .max_by_key(|(_, places)| places.of.len() - places.number.min(places.of.len()));
        let (at, places) = most.map_or((0, 0), |(at, places)| (at, places.of.len()));
        return NoPlan::Places { mix, places: at, needed: places };
    }
    NoPlan::Together
}
