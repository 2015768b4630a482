//! The plan of a plant: which materials to keep and every mix's proportions, at least total cost of a year.
//!
//! What enters: a plant. What leaves: a [`Plan`] beside each mix alone, with what one more place of each kind would save, or
//! why there is none. Where stock is limited, the mixes of the plan stay within it and are paid at their own
//! prices.

use super::oracle::{Answer, Set};
use super::planned::{NoPlan, Plan, PlannedMix, Saving, StockUse};
use super::pricing::{Pricing, SHARE_OF_GAP, Stock, usage};
use super::shared::SharedPlant;
use super::silos::{Search, Until};
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

/// A plan settled for some numbers of places.
struct Settled {
    lower: f64,
    upper: f64,
    set: Set,
    answers: Vec<Answer>,
    prices: Vec<f64>,
    nodes: usize,
    proven: bool,
}

/// Plans a plant.
///
/// # Errors
/// Why there is no plan.
pub fn plan(plant: &SharedPlant, asked: &Asked) -> Result<Plan, NoPlan> {
    let gap = SHARE_OF_GAP * asked.gap;
    let everything = everything(plant);
    let all: Vec<usize> = (0..plant.mixes.len()).collect();
    let mut free = Pricing::new(plant, gap, Stock::Unlimited);
    free.ask(&all, &[everything]);
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
    // Without limited stock there is nothing to price: what is known of the mixes alone serves the plan.
    let mut limited = (!plant.stock.is_empty()).then(|| Pricing::new(plant, gap, Stock::Limited));
    let Some(best) = settle(plant, limited.as_mut().unwrap_or(&mut free), &numbers, &until)? else {
        return Err(if asked.stop.is_due() { NoPlan::Unfinished } else { why_not(plant, &mut free, &until) });
    };
    let mut savings = Vec::new();
    for (at, places) in plant.places.iter().enumerate() {
        if places.of.len() <= places.number {
            continue;
        }
        let mut more = numbers.clone();
        more[at] += 1;
        let Ok(Some(with)) = settle(plant, limited.as_mut().unwrap_or(&mut free), &more, &until) else {
            continue;
        };
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
        proven: best.proven,
        nodes: best.nodes,
        solves: free.solves() + limited.map_or(0, |limited| limited.solves()),
    })
}

fn everything(plant: &SharedPlant) -> Set {
    (0..plant.materials.len()).fold(0, |set: Set, at| set | 1 << at)
}

/// The best plan for some numbers of places; `None` where there is none even with stock to spare.
fn settle<'p>(
    plant: &'p SharedPlant,
    pricing: &mut Pricing<'p>,
    numbers: &[usize],
    until: &Until,
) -> Result<Option<Settled>, NoPlan> {
    let all: Vec<usize> = (0..plant.mixes.len()).collect();
    let kept = Search::new(plant, pricing, numbers.to_vec(), all).run(until);
    let Some((set, within)) = kept.plan else {
        // With stock to spare there may be a plan: then the stock is what stands in the way.
        return if kept.lower == f64::INFINITY || plant.stock.is_empty() || until.stop.is_due() {
            Ok(None)
        } else {
            Err(NoPlan::Stock(short_of(plant, numbers, until)))
        };
    };
    Ok(Some(Settled {
        lower: kept.lower,
        upper: kept.upper,
        set,
        answers: within.answers,
        prices: pricing.prices(set),
        nodes: kept.nodes,
        proven: kept.proven,
    }))
}

/// The limited material without whose limit there is a plan; the first one where it takes more than that.
fn short_of(plant: &SharedPlant, numbers: &[usize], until: &Until) -> usize {
    let any = Until { gap: f64::INFINITY, of_premium: f64::INFINITY, ..*until };
    let all: Vec<usize> = (0..plant.mixes.len()).collect();
    let spares = |at: &usize| {
        let mut spared = plant.clone();
        spared.stock.remove(*at);
        let mut pricing = Pricing::new(&spared, SHARE_OF_GAP, Stock::Limited);
        Search::new(&spared, &mut pricing, numbers.to_vec(), all.clone()).run(&any).plan.is_some()
    };
    let at = (0..plant.stock.len()).find(spares).unwrap_or(0);
    plant.stock.get(at).map_or(0, |(material, _)| *material)
}

/// Which mix needs more places than there are, or that only all together do not fit.
fn why_not<'p>(plant: &'p SharedPlant, free: &mut Pricing<'p>, until: &Until) -> NoPlan {
    let numbers: Vec<usize> = plant.places.iter().map(|places| places.number).collect();
    let fits = |free: &mut Pricing<'p>, mix: usize, numbers: Vec<usize>| {
        let any = Until { gap: f64::INFINITY, of_premium: f64::INFINITY, alone: f64::NEG_INFINITY, ..*until };
        Search::new(plant, free, numbers, vec![mix]).run(&any).upper.is_finite()
    };
    for mix in 0..plant.mixes.len() {
        if fits(free, mix, numbers.clone()) {
            continue;
        }
        for (at, places) in plant.places.iter().enumerate() {
            for needed in places.number + 1..=places.of.len() {
                let mut more = numbers.clone();
                more[at] = needed;
                if fits(free, mix, more) {
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
