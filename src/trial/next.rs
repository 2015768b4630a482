//! The next trials: those that lower the premium for uncertainty most.
//!
//! What enters: a problem with fitted responses, its best mix with the prices of limits, how many batches. What leaves: a
//! [`Plan`], its order by lot, with a reference batch each day. The criterion is the mean, over mixes within 2 % of the
//! best cost, of price x quantile x s (sqrt(scatter + h) - sqrt(scatter)), summed over the fitted limits that bind; where
//! none has a price, the determinant. The information there is comes from the covariances of the fits. Terms that the
//! trials could not tell apart are given a prior of one deviation, after `DuMouchel` and Jones (1994).

use super::candidates::{candidates, fitted_responses};
use super::exchange::{Aim, Part, criterion, exchange, information};
use super::lot::{Lot, shuffle};
use crate::analysis::{Price, assignment_of, shadow_prices};
use crate::listed::Id;
use crate::model::{Assignment, Frame};
use crate::problem::{Origin, Problem, Subject};
use crate::response::{Response, Rule};
use crate::solve::Found;

/// Share of cost within which a mix matters.
const NEAR_BEST: f64 = 0.02;
/// Random plans that the chosen one is compared with.
const RANDOM: u64 = 40;
/// Random starts of the exchange.
const LOTS: u64 = 2;

/// What is asked of a plan.
#[derive(Clone, Copy, Debug)]
pub struct PlanAsked {
    /// Batches.
    pub batches: usize,
    /// Batches a day, the reference among them.
    pub a_day: usize,
    /// Share of its width by which each region may be left.
    pub step: f64,
    /// Seed of the order.
    pub seed: u64,
}

/// One batch of a plan.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The mix, an index into [`Plan::mixes`].
    pub mix: usize,
    /// Day, from one.
    pub day: usize,
}

/// A plan.
#[derive(Clone, Debug)]
pub struct Plan {
    /// Distinct mixes; the first is the reference, the best mix of today.
    pub mixes: Vec<Vec<f64>>,
    /// Batches in their order.
    pub order: Vec<Planned>,
    /// Whether the criterion is a premium, in the goal's unit; else the logarithm of a determinant.
    pub is_premium: Measure,
    /// The criterion today.
    pub before: f64,
    /// With this plan.
    pub after: f64,
    /// With random plans of the same size, in the mean.
    pub random: f64,
    /// With a plan of corners and centres of the same size.
    pub classical: f64,
    /// How many candidates there were.
    pub candidates: usize,
}

/// What the criterion measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Expected premium for uncertainty.
    Premium,
    /// Minus the logarithm of the determinant of the information.
    Determinant,
}

/// Plans; nothing if no response of the problem was fitted, or no candidate exists.
pub fn plan(problem: &Problem, found: &Found, asked: PlanAsked) -> Option<Plan> {
    let fitted = fitted_responses(problem);
    if fitted.is_empty() {
        return None;
    }
    let frame = Frame::new(problem);
    let mut assignments = vec![assignment_of(problem, &found.mix)];
    assignments.extend(crate::solve::neighbours(&frame, &assignments[0]).into_iter().take(7));
    let assignments: Vec<Assignment> = assignments;
    let mixes = candidates(problem, &found.mix, asked.step, &assignments);
    let parts = parts(problem, found, &fitted, &mixes);
    let is_premium = if parts.iter().any(|part| matches!(part.aim, Aim::Premium { .. })) {
        Measure::Premium
    } else {
        Measure::Determinant
    };
    let days = asked.batches.div_ceil(asked.a_day.max(1));
    let references = days.min(asked.batches);
    let chosen_count = asked.batches - references;
    let with_references = |list: &[usize]| -> Vec<usize> {
        std::iter::repeat_n(0, references).chain(list.iter().copied()).collect()
    };
    let known: Vec<Part> = parts.iter().map(|part| with_repeats(part, references)).collect();
    // The reference stands in every day already; any other mix once, as long as there are enough of them.
    let others: Vec<Part> = known
        .iter()
        .map(|part| Part { rows: part.rows.iter().skip(1).cloned().collect(), ..part.clone() })
        .collect();
    if mixes.len() < 2 {
        return None;
    }
    let most = chosen_count.div_ceil(mixes.len() - 1);
    let chosen: Vec<usize> =
        exchange(&others, chosen_count, most.max(1), LOTS).into_iter().map(|at| at + 1).collect();
    let all = with_references(&chosen);
    let mut lot = Lot::new(asked.seed);
    let random = (0..RANDOM)
        .map(|_| {
            let list: Vec<usize> = (0..chosen_count).map(|_| lot.below(mixes.len())).collect();
            criterion(&parts, &with_references(&list))
        })
        .sum::<f64>()
        / RANDOM as f64;
    // Corners first, as they were found: single factors, then all factors together.
    let classical: Vec<usize> = (0..chosen_count).map(|at| 1 + at % (mixes.len() - 1).max(1)).collect();
    let classical =
        criterion(&parts, &with_references(&classical.iter().map(|at| at % mixes.len()).collect::<Vec<_>>()));
    let mut distinct: Vec<usize> = vec![0];
    for candidate in &chosen {
        if !distinct.contains(candidate) {
            distinct.push(*candidate);
        }
    }
    let place = |candidate: usize| distinct.iter().position(|known| *known == candidate).unwrap_or(0);
    let mut rest = chosen.clone();
    shuffle(&mut rest, asked.seed);
    let mut rest = rest.into_iter();
    let mut order = Vec::new();
    for day in 1..=days {
        let size = asked.a_day.min(asked.batches - order.len());
        let mut of_day: Vec<usize> = rest.by_ref().take(size.saturating_sub(1)).collect();
        of_day.push(0);
        shuffle(&mut of_day, asked.seed.wrapping_add(day as u64));
        order.extend(of_day.into_iter().map(|candidate| Planned { mix: place(candidate), day }));
    }
    Some(Plan {
        mixes: distinct.iter().map(|candidate| mixes[*candidate].clone()).collect(),
        order,
        is_premium,
        before: criterion(&parts, &[]),
        after: criterion(&parts, &all),
        random,
        classical,
        candidates: mixes.len(),
    })
}

fn with_repeats(part: &Part, references: usize) -> Part {
    let mut known = part.known.clone();
    let row = &part.rows[0];
    for (line, a) in known.iter_mut().zip(row) {
        for (value, b) in line.iter_mut().zip(row) {
            *value += references as f64 * a * b;
        }
    }
    Part { known, ..part.clone() }
}

/// One part for each fitted response: those with a price by their premium, or all by the determinant.
fn parts(problem: &Problem, found: &Found, fitted: &[Id<Response>], mixes: &[Vec<f64>]) -> Vec<Part> {
    let near = near_best(problem, found, mixes);
    let prices = premiums(problem, found);
    let mut parts = Vec::new();
    for index in fitted {
        let response = &problem.responses[*index];
        let Some(covariance) = response.region_covariance() else { continue };
        let rows = |list: &[Vec<f64>]| -> Vec<Vec<f64>> {
            list.iter().map(|mix| terms(problem, *index, response, mix, &covariance.monomials)).collect()
        };
        let known = known_information(&covariance.matrix);
        let price = prices.iter().filter(|(of, ..)| of == index).map(|(_, price, _)| price).sum::<f64>();
        let scatter = prices.iter().find(|(of, ..)| of == index).map_or(1.0, |(.., scatter)| *scatter);
        let aim =
            if 0.0 < price { Aim::Premium { rows: rows(&near), price, scatter } } else { Aim::Determinant };
        parts.push(Part { rows: rows(mixes), known, aim });
    }
    if parts.iter().any(|part| matches!(part.aim, Aim::Premium { .. })) {
        parts.retain(|part| matches!(part.aim, Aim::Premium { .. }));
    }
    parts
}

/// The information behind a covariance; terms that no trial could tell are given a prior of one deviation.
pub fn known_information(covariance: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let mut known = information(covariance);
    for (at, line) in known.iter_mut().enumerate() {
        if covariance[at][at] == 0.0 {
            line[at] += 1.0;
        }
    }
    known
}

/// Response, price of one residual deviation times the quantile, scatter: for each fitted limit that binds.
pub fn premiums(problem: &Problem, found: &Found) -> Vec<(Id<Response>, f64, f64)> {
    let mut list = Vec::new();
    for (at, price) in shadow_prices(problem, found, crate::parallel::Stop::NEVER) {
        let requirement = &problem.requirements[at];
        let (&Subject::Response(index), Origin::Limit) = (&requirement.subject, requirement.origin) else {
            continue;
        };
        let response = &problem.responses[index];
        let doubt = requirement.margin.doubt;
        let per_unit = match price {
            Price::Single(price) => price.abs(),
            Price::Between { loosening, .. } => loosening.abs(),
            _ => 0.0,
        };
        let Some(prediction) = problem.predict(index, &found.mix) else { continue };
        let slope =
            response.slope(prediction.predictor).abs() * response.unit.factor / requirement.unit.factor;
        let deviation = response.residual.unwrap_or(0.0) * slope;
        let quantile = if doubt.is_none() { 1.0 } else { doubt.deviations };
        list.push((index, per_unit * quantile * deviation, doubt.scatter));
    }
    list
}

/// Mixes on the way from the best one to each candidate that cost at most 2 % more, the best one first.
fn near_best(problem: &Problem, found: &Found, mixes: &[Vec<f64>]) -> Vec<Vec<f64>> {
    const MOST: usize = 60;
    let goal = problem.goal.to_minimise();
    let best = goal.at(&found.mix);
    let most = best + NEAR_BEST * best.abs();
    let mut list = vec![found.mix.clone()];
    for mix in mixes.iter().skip(1).take(MOST) {
        let rise = goal.at(mix) - best;
        let share = if rise <= 0.0 { 0.25 } else { ((most - best) / rise).min(1.0) };
        list.push(found.mix.iter().zip(mix).map(|(a, b)| a + share * (b - a)).collect());
    }
    list
}

/// Values of a response's terms at a mix.
pub fn terms(
    problem: &Problem,
    index: Id<Response>,
    response: &Response,
    mix: &[f64],
    monomials: &[Vec<usize>],
) -> Vec<f64> {
    let (Rule::Surface(surface), Some(prediction)) = (&response.rule, problem.predict(index, mix)) else {
        return vec![0.0; monomials.len()];
    };
    let coded: Vec<f64> = prediction
        .factors
        .iter()
        .zip(&surface.coding)
        .map(|(factor, (centre, half))| (factor - centre) / half)
        .collect();
    monomials.iter().map(|monomial| monomial.iter().map(|factor| coded[*factor]).product()).collect()
}
