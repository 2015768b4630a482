//! What the mixes of a plant cost in a year under a set of materials: a bound, and mixes within the stock.
//!
//! What enters: a plant, sets of its materials. What leaves: for each set a proven lower bound, and for sets that the places
//! hold the cheapest mixes found that stay within the stock. It does not choose the sets.
//!
//! Limited stock is priced. For any prices not below zero the bounds of the mixes at these prices, less prices times stock,
//! are a bound for the set. Prices are sought set by set, so that no gap is left between sets: each mix met is a plane above
//! that bound as a function of the prices, and the next prices are where all planes together are highest (Kelley, Journal of
//! the Society for Industrial and Applied Mathematics 8 (1960) 703). The same mixes, mixed in shares that use no more than
//! the stock at least cost, say how much of it each mix may use; under these caps each is solved once more.

use std::collections::BTreeMap;

use super::oracle::{Answer, Oracle, Question, Set, members};
use super::shared::SharedPlant;
use crate::model::{Program, RowOrigin};
use crate::parallel;
use crate::solve::{Outcome, solve_program};

/// Gap of one mix's proof, as a share of the gap of the total.
pub const SHARE_OF_GAP: f64 = 0.1;
/// Share of a stock that is rounding.
const SLIVER: f64 = 1e-7;
/// Amounts below this are a rounding of a share, kg per m3.
const LEAST: f64 = 1e-6;
/// Rounds of prices for one set.
const ROUNDS: usize = 24;
/// Share of a bound that better prices must promise.
const PROMISE: f64 = 1e-5;
/// A price on stock that makes it as dear as so many times its own price.
const DEAR: f64 = 30.0;

/// Whether the stock plays a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stock {
    /// As the plant has it.
    Limited,
    /// As much as anybody wants.
    Unlimited,
}

/// A mix that was met.
#[derive(Clone, Debug, PartialEq)]
struct Point {
    used: Set,
    /// What it costs at its own prices, currency per m3.
    cost: f64,
    /// What it uses of each limited material, kg per m3.
    uses: Vec<f64>,
}

/// Mixes within the stock.
#[derive(Clone, Debug)]
pub struct Within {
    /// The answers at their own prices.
    pub answers: Vec<Answer>,
    /// What they cost in a year, without keeping.
    pub cost: f64,
}

/// Costs of sets, everything found kept.
pub struct Pricing<'p> {
    plant: &'p SharedPlant,
    gap: f64,
    stock: Vec<(usize, f64)>,
    /// Oracles by their prices; the first is free of them.
    oracles: Vec<(Vec<f64>, Oracle<'p>)>,
    /// Mixes met, mix by mix.
    points: Vec<Vec<Point>>,
    /// The highest bound of each set, the place of its prices, and whether better ones were sought to the end.
    bounds: BTreeMap<Set, (f64, usize, Sought)>,
    within: BTreeMap<Set, Option<Within>>,
}

/// How far better prices were sought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sought {
    /// Until the bound was high enough for what was asked.
    Enough,
    /// Until none promised more.
    ToTheEnd,
}

impl<'p> Pricing<'p> {
    /// With nothing known yet; `gap` is that of one mix's proof.
    pub fn new(plant: &'p SharedPlant, gap: f64, stock: Stock) -> Self {
        let stock = if stock == Stock::Limited { plant.stock.clone() } else { Vec::new() };
        let none = vec![0.0; stock.len()];
        let first = Oracle::new(plant, &stock, &none, gap);
        Self {
            plant,
            gap,
            oracles: vec![(none, first)],
            points: vec![Vec::new(); plant.mixes.len()],
            bounds: BTreeMap::new(),
            within: BTreeMap::new(),
            stock,
        }
    }

    /// Whether stock is limited, so that it has prices.
    pub fn is_priced(&self) -> bool {
        !self.stock.is_empty()
    }

    /// Mixes solved so far.
    pub fn solves(&self) -> usize {
        self.oracles.iter().map(|(_, oracle)| oracle.solves).sum()
    }

    /// A mix under a set, stock unlimited.
    pub fn answer(&mut self, mix: usize, set: Set) -> Answer {
        self.oracles[0].1.answer(mix, set)
    }

    /// Answers several sets at once, where nothing has to be priced.
    pub fn ask(&mut self, mixes: &[usize], sets: &[Set]) {
        if self.stock.is_empty() {
            let questions: Vec<Question> =
                sets.iter().flat_map(|set| mixes.iter().map(move |mix| (*mix, *set))).collect();
            self.oracles[0].1.ask(&questions);
        }
    }

    /// No mixes within a set cost less in a year than this; prices are sought until it reaches `enough`.
    pub fn bound(&mut self, mixes: &[usize], set: Set, enough: f64) -> f64 {
        if self.stock.is_empty() {
            return self.at(0, mixes, set);
        }
        let mut best = match self.bounds.get(&set) {
            Some((bound, _, sought)) if *sought == Sought::ToTheEnd || enough <= *bound => return *bound,
            Some((bound, place, _)) => (*bound, *place),
            None => (f64::NEG_INFINITY, 0),
        };
        let mut sought = Sought::ToTheEnd;
        for _ in 0..ROUNDS {
            let Some((prices, promised)) = self.best_prices(mixes, set) else {
                // Not every mix has been met in this set yet: without prices first.
                let bound = self.at(0, mixes, set);
                best = if best.0 < bound { (bound, 0) } else { best };
                if bound.is_infinite() || mixes.iter().any(|mix| self.points_in(*mix, set).next().is_none()) {
                    break;
                }
                continue;
            };
            if best.0.is_finite() && promised - best.0 <= PROMISE * best.0.abs() {
                break;
            }
            let place = self.place_of(prices);
            let bound = self.at(place, mixes, set);
            if best.0 < bound {
                best = (bound, place);
            }
            if enough <= best.0 {
                sought = Sought::Enough;
                break;
            }
        }
        self.bounds.insert(set, (best.0, best.1, sought));
        best.0
    }

    /// A bound of a set at the prices of another one: nothing is sought.
    pub fn glimpse(&mut self, mixes: &[usize], set: Set, like: Set) -> f64 {
        let place = self.bounds.get(&like).map_or(0, |(_, place, _)| *place);
        self.at(place, mixes, set)
    }

    /// The prices of a set's bound, per kg of each limited material.
    pub fn prices(&self, set: Set) -> Vec<f64> {
        let place = self.bounds.get(&set).map_or(0, |(_, place, _)| *place);
        self.oracles[place].0.clone()
    }

    /// The bound of a set at some prices; the mixes met on the way are kept.
    fn at(&mut self, place: usize, mixes: &[usize], set: Set) -> f64 {
        let (prices, oracle) = &mut self.oracles[place];
        oracle.ask(&mixes.iter().map(|mix| (*mix, set)).collect::<Vec<_>>());
        let rebate: f64 = self.stock.iter().zip(prices.iter()).map(|((_, stock), price)| stock * price).sum();
        let mut bound = -rebate;
        for mix in mixes {
            let answer = oracle.answer(*mix, set);
            let described = &self.plant.mixes[*mix];
            bound += described.volume * answer.lower;
            if self.stock.is_empty() || !answer.upper.is_finite() {
                continue;
            }
            let uses = self.stock.iter().map(|(material, _)| use_of(self.plant, *mix, &answer, *material));
            let cost = described.problem.goal.objective.at(&answer.mix);
            let point = Point { used: answer.used, cost, uses: uses.collect() };
            if !self.points[*mix].contains(&point) {
                self.points[*mix].push(point);
            }
        }
        bound
    }

    fn place_of(&mut self, prices: Vec<f64>) -> usize {
        if let Some(place) = self.oracles.iter().position(|(known, _)| *known == prices) {
            return place;
        }
        let oracle = Oracle::new(self.plant, &self.stock, &prices, self.gap);
        self.oracles.push((prices, oracle));
        self.oracles.len() - 1
    }

    fn points_in(&self, mix: usize, set: Set) -> impl Iterator<Item = &Point> {
        self.points[mix].iter().filter(move |point| point.used & !set == 0)
    }

    /// Prices at which the planes of all mixes met in a set are highest, and how high; `None` where a mix has none.
    fn best_prices(&self, mixes: &[usize], set: Set) -> Option<(Vec<f64>, f64)> {
        // In units of the dearest price, and of the largest cost of a year.
        let dear = dear(self.plant, &self.stock);
        let scale = self.scale(mixes, set)?;
        let mut program = Program::default();
        for ((_, stock), dear) in self.stock.iter().zip(&dear) {
            program.add_column("price", 0.0, 1.0, stock * dear / scale);
        }
        for mix in mixes {
            let volume = self.plant.mixes[*mix].volume;
            let most: f64 = self
                .points_in(*mix, set)
                .map(|point| point.cost + point.uses.iter().zip(&dear).map(|(a, b)| a * b).sum::<f64>())
                .fold(0.0, f64::max);
            let level = program.add_column("cost", -1.0, 1.0 + volume * most / scale, -1.0);
            for point in self.points_in(*mix, set) {
                let priced = point.uses.iter().zip(&dear).map(|(uses, dear)| volume * uses * dear / scale);
                let terms: Vec<(usize, f64)> =
                    priced.enumerate().filter(|(_, factor)| *factor != 0.0).collect();
                let terms = terms.into_iter().chain([(level, -1.0)]).collect();
                let low = -volume * point.cost / scale;
                program.add_row(RowOrigin::Derived, "plane", terms, low, f64::INFINITY);
            }
        }
        let Outcome::Optimal(point, objective) = solve_program(&program) else { return None };
        let prices = dear.iter().zip(&point).map(|(dear, value)| dear * value).collect();
        Some((prices, -objective * scale))
    }

    /// The largest cost of a year among mixes met; `None` where some mix has none in a set.
    fn scale(&self, mixes: &[usize], set: Set) -> Option<f64> {
        let mut scale = 0.0;
        for mix in mixes {
            let dearest = self.points_in(*mix, set).map(|point| point.cost).reduce(f64::max)?;
            scale += self.plant.mixes[*mix].volume * dearest;
        }
        Some(scale.max(1e-9))
    }

    /// Mixes within a set and the stock, and what they cost in a year; `None` where the stock does not suffice.
    pub fn within(&mut self, mixes: &[usize], set: Set) -> Option<Within> {
        if self.stock.is_empty() {
            self.ask(mixes, &[set]);
            let answers: Vec<Answer> = mixes.iter().map(|mix| self.answer(*mix, set)).collect();
            let cost = self.year(mixes, &answers);
            return cost.is_finite().then_some(Within { answers, cost });
        }
        if let Some(known) = self.within.get(&set) {
            return known.clone();
        }
        self.bound(mixes, set, f64::INFINITY);
        let found = self.shared_out(mixes, set);
        self.within.insert(set, found.clone());
        found
    }

    /// Each mix solved under what its share of the stock allows.
    fn shared_out(&mut self, mixes: &[usize], set: Set) -> Option<Within> {
        let caps = self.shares(mixes, set)?;
        let cases: Vec<(usize, Vec<(usize, f64)>)> = mixes.iter().copied().zip(caps).collect();
        let oracle = &self.oracles[0].1;
        let answers = parallel::in_order(&cases, |_, (mix, caps)| oracle.capped(*mix, set, caps), |_| {});
        let fits = self.stock.iter().all(|(material, stock)| {
            let used: f64 = mixes
                .iter()
                .zip(&answers)
                .map(|(mix, answer)| {
                    self.plant.mixes[*mix].volume * use_of(self.plant, *mix, answer, *material)
                })
                .sum();
            used <= stock * (1.0 + 3.0 * SLIVER) + 3.0 * SLIVER
        });
        let cost = self.year(mixes, &answers);
        (fits && cost.is_finite()).then_some(Within { answers, cost })
    }

    /// What the mixes use at the bound of a set, and within the stock.
    pub fn used(&mut self, mixes: &[usize], set: Set) -> Set {
        let place = self.bounds.get(&set).map_or(0, |(_, place, _)| *place);
        let oracle = &mut self.oracles[place].1;
        let at_bound = mixes.iter().fold(0, |all: Set, mix| all | oracle.answer(*mix, set).used);
        let within = self
            .within(mixes, set)
            .map_or(0, |within| within.answers.iter().fold(0, |all: Set, answer| all | answer.used));
        at_bound | within
    }

    /// How much of each limited material each mix may use, kg per m3: the cheapest blend of mixes met that keeps within
    /// the stock.
    fn shares(&self, mixes: &[usize], set: Set) -> Option<Vec<Vec<(usize, f64)>>> {
        let scale = self.scale(mixes, set)?;
        let mut program = Program::default();
        let mut columns: Vec<Vec<usize>> = Vec::new();
        for mix in mixes {
            let volume = self.plant.mixes[*mix].volume;
            let own: Vec<usize> = self
                .points_in(*mix, set)
                .map(|point| program.add_column("share", 0.0, 1.0, volume * point.cost / scale))
                .collect();
            let terms = own.iter().map(|column| (*column, 1.0)).collect();
            program.add_row(RowOrigin::Derived, "whole", terms, 1.0, 1.0);
            columns.push(own);
        }
        for (at, (_, stock)) in self.stock.iter().enumerate() {
            let of_mix = mixes.iter().zip(&columns).flat_map(|(mix, own)| {
                let volume = self.plant.mixes[*mix].volume;
                let points = self.points_in(*mix, set);
                own.iter().zip(points).map(move |(column, point)| (*column, volume * point.uses[at]))
            });
            let terms: Vec<(usize, f64)> = of_mix.filter(|(_, uses)| *uses != 0.0).collect();
            program.add_row(RowOrigin::Derived, "stock", terms, f64::NEG_INFINITY, *stock);
        }
        let Outcome::Optimal(point, _) = solve_program(&program) else { return None };
        let caps = mixes.iter().zip(&columns).map(|(mix, own)| {
            let cap = |at: usize| -> f64 {
                own.iter()
                    .zip(self.points_in(*mix, set))
                    .map(|(column, met)| point[*column] * met.uses[at])
                    .sum()
            };
            let of_each =
                self.stock.iter().enumerate().filter(|(_, (material, _))| set & (1 << material) != 0);
            let capped = |at: usize| Some(cap(at) * (1.0 + SLIVER)).filter(|cap| LEAST < *cap).unwrap_or(0.0);
            of_each.map(|(at, (material, _))| (*material, capped(at))).collect()
        });
        Some(caps.collect())
    }

    fn year(&self, mixes: &[usize], answers: &[Answer]) -> f64 {
        mixes.iter().zip(answers).map(|(mix, answer)| self.plant.mixes[*mix].volume * answer.upper).sum()
    }

    /// What it costs in a year to keep a set.
    pub fn keeping(&self, set: Set) -> f64 {
        members(set).map(|material| self.plant.keeping[material]).sum()
    }
}

fn use_of(plant: &SharedPlant, mix: usize, answer: &Answer, material: usize) -> f64 {
    plant.mixes[mix].columns[material]
        .map_or(0.0, |column| answer.mix.get(column.index()).copied().unwrap_or(0.0))
}

/// Use of a material in a year, kg.
pub fn usage(plant: &SharedPlant, answers: &[Answer], material: usize) -> f64 {
    let mixes = answers.iter().zip(&plant.mixes).enumerate();
    mixes.map(|(at, (answer, mix))| mix.volume * use_of(plant, at, answer, material)).sum()
}

/// Prices that make all limited stock dear.
fn dear(plant: &SharedPlant, stock: &[(usize, f64)]) -> Vec<f64> {
    let usual = |material: usize| {
        let of_mix = |mix: &super::shared::PlantMix| {
            mix.columns[material].map(|column| mix.problem.mixture.catalogue.materials[column].price)
        };
        plant.mixes.iter().filter_map(of_mix).fold(0.0, f64::max).max(1e-3)
    };
    stock.iter().map(|(material, _)| DEAR * usual(*material)).collect()
}
