//! How often the concrete as really weighed misses its limits.
//!
//! What enters: a problem with its production, a mix, and what the simulation may take. What leaves: for every limit the
//! share of results beyond it, beyond it and the allowed deviation, the probability that results judged together fail
//! conformity, what contributes, and the margin that would bring the risk to a target. It neither seeks mixes nor prints.
//!
//! Shares come from scrambled low-discrepancy points, with the scatter integrated exactly in each; their intervals from
//! the spread between independent scrambles (Student). Conformity comes from plain independent draws, and so does the
//! upper end where no batch missed: zero misses is not zero risk. The uncertainty of fitted coefficients is one error
//! shared by all batches: an outer loop, told as an interval and never averaged in.

use super::batching::Batching;
use super::coefficients::outer;
use super::conformity::{self, Conformity, counted};
use super::contributions::{Contributor, contributors, ladders, without_held};
use super::draws::{plain, scrambled};
use super::judging::{Distance, Judged, Judging, Predictors, probability};
use super::share::Share;
use crate::listed::Id;
use crate::number::deviate::normal_deviate;
use crate::number::distribution::student_quantile;
use crate::parallel::{self, Stop};
use crate::problem::{Problem, Production, Requirement, Subject, Wanted, convert, restrained};
use crate::response::Response;

/// What a simulation may take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sampling {
    /// Batches in all.
    pub batches: usize,
    /// Number of the first scramble: another one is a fresh sample.
    pub seed: u32,
    /// The risk that a margin is sought for, where a limit asks for none of its own.
    pub target: f64,
    /// Share of the target that margins aim at.
    pub tightened: f64,
    /// When to give up.
    pub stop: Stop,
}

impl Default for Sampling {
    fn default() -> Self {
        Self { batches: 100_000, seed: 1, target: 0.05, tightened: 1.0, stop: Stop::NEVER }
    }
}

/// The risk of one limit.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitRisk {
    /// The requirement's index.
    pub requirement: Id<Requirement>,
    /// Deviation that a single result may show, in the limit's unit; zero without a rule.
    pub allowed: f64,
    /// What the mix as designed gives, in the limit's unit.
    pub designed: f64,
    /// Share of results beyond the limit.
    pub beyond: Share,
    /// Share of results beyond the limit and the allowed deviation.
    pub beyond_allowed: Share,
    /// Upper end at 95 % where no plain batch missed and no share could be integrated.
    pub unseen_below: Option<f64>,
    /// Results judged together.
    pub conformity: Conformity,
    /// The share beyond over what the coefficients leave open, from its lowest to its highest twentieth.
    pub uncertainty: Option<(f64, f64)>,
    /// What would have to be added to the margin, in the limit's unit, to bring the risk to the target; negative where
    /// there is room; not a number for an age at cracking.
    pub margin: f64,
    /// The same on the scale where the response scatters.
    pub margin_inside: f64,
    /// Shares of the variance, largest first.
    pub contributors: Vec<(Contributor, f64)>,
    /// Results of plain draws, in the limit's unit.
    pub results: Vec<f64>,
}

/// The risk of a mix.
#[derive(Clone, Debug, PartialEq)]
pub struct Risk {
    /// Limits in file order.
    pub limits: Vec<LimitRisk>,
    /// Batches simulated.
    pub batches: usize,
    /// Volume really made for one m3 ordered: mean and standard deviation.
    pub volume: (f64, f64),
    /// Whether every tolerance of weighing is zero.
    pub weighed_exactly: bool,
    /// Responses whose residual is smaller than what it is said to hold.
    pub overfull: Vec<Id<Response>>,
    /// Responses without a residual: they count as if they did not scatter.
    pub without_residual: Vec<Id<Response>>,
}

/// Independent scrambles.
const SCRAMBLES: u32 = 16;
/// Plain draws.
const PLAIN: usize = 20_000;
/// Points of each scramble that margins are sought with.
const KEPT: usize = 1024;
/// Confidence of intervals.
const CONFIDENCE: f64 = 0.95;
/// Seed of the plain draws.
const PLAIN_SEED: u64 = 0x6d69_7862_6f75_6e64;

struct Tally {
    beyond: Vec<f64>,
    allowed: Vec<f64>,
    kept: Vec<Vec<Distance>>,
    volume: (f64, f64),
}

/// Simulates a mix; nothing is left out that the production names. `None` if work had to end before all batches were
/// made.
pub fn risk(problem: &Problem, production: &Production, mix: &[f64], sampling: &Sampling) -> Option<Risk> {
    let batching = Batching::new(problem, production, mix);
    let mut judging = Judging::new(problem, production.rules).until(sampling.stop);
    let ladders = ladders(&batching, &judging);
    let overfull = without_held(&mut judging, &batching, &ladders, production);
    let numbers: Vec<u32> =
        (0..SCRAMBLES).map(|number| sampling.seed.wrapping_mul(1009).wrapping_add(number)).collect();
    let each = sampling.batches.div_ceil(numbers.len()).max(1);
    let tallies =
        parallel::in_order(&numbers, |_, scramble| tally(&batching, &judging, *scramble, each), |_| {});
    let independent = independent(&batching, &judging);
    let designed = as_designed(&batching, &judging, mix);
    let outer = outer(&batching, &judging, sampling.seed);
    if sampling.stop.is_due() {
        return None;
    }
    let limits = judging
        .limits
        .iter()
        .enumerate()
        .map(|(at, limit)| {
            let kept: Vec<Distance> =
                tallies.iter().flat_map(|tally| tally.kept[at].iter().copied()).collect();
            let asked = problem.requirements[limit.requirement].margin.risk.unwrap_or(sampling.target);
            let margin_inside = margin(&kept, sampling.tightened * asked);
            let beyond = share(&tallies.iter().map(|tally| tally.beyond[at]).collect::<Vec<_>>());
            let (results, missed) = &independent[at];
            let count = results.len();
            let seen = missed.iter().filter(|missed| missed.0).count();
            let unseen = beyond.high <= 0.0 && seen == 0;
            // What only plain draws met has their share.
            let beyond = if beyond.high <= 0.0 && 0 < seen { counted(seen, count) } else { beyond };
            LimitRisk {
                requirement: limit.requirement,
                allowed: limit.allowed,
                designed: designed[at].got,
                beyond,
                beyond_allowed: share(&tallies.iter().map(|tally| tally.allowed[at]).collect::<Vec<_>>()),
                unseen_below: unseen.then(|| 1.0 - (1.0 - CONFIDENCE).powf(1.0 / count as f64)),
                conformity: conformity::judged(
                    limit,
                    production,
                    results,
                    missed,
                    megapascals(problem, limit),
                ),
                uncertainty: outer.as_ref().and_then(|outer| outer[at]),
                margin: natural_margin(problem, limit, margin_inside),
                margin_inside,
                contributors: contributors(&batching, &ladders, at, &designed[at]),
                results: results.clone(),
            }
        })
        .collect();
    let total = (each * numbers.len()) as f64;
    let sum: f64 = tallies.iter().map(|tally| tally.volume.0).sum();
    let squares: f64 = tallies.iter().map(|tally| tally.volume.1).sum();
    let mean = sum / total;
    let without_residual =
        problem.responses.ids().filter(|index| problem.responses[*index].residual.is_none());
    Some(Risk {
        limits,
        batches: each * numbers.len(),
        volume: (mean, (squares / total - mean * mean).max(0.0).sqrt()),
        weighed_exactly: batching.is_exact(),
        overfull,
        without_residual: without_residual.collect(),
    })
}

/// One scramble: mean probabilities, and distances to seek margins with.
fn tally(batching: &Batching<'_>, judging: &Judging<'_>, scramble: u32, points: usize) -> Tally {
    let limits = judging.limits.len();
    let mut tally = Tally {
        beyond: vec![0.0; limits],
        allowed: vec![0.0; limits],
        kept: vec![Vec::with_capacity(KEPT.min(points)); limits],
        volume: (0.0, 0.0),
    };
    let mut point = batching.middle();
    let mut batch = batching.at(&point);
    let mut at = Predictors::default();
    for number in (0..points).take_while(|number| !judging.ends_before(*number)) {
        scrambled(number, scramble, &mut point);
        batching.make(&point, &mut batch);
        judging.predict(&batch, &[], &mut at);
        tally.volume.0 += batch.volume;
        tally.volume.1 += batch.volume * batch.volume;
        for (index, limit) in judging.limits.iter().enumerate() {
            let distance = judging.distance(limit, &batch, &at);
            tally.beyond[index] += distance.beyond();
            tally.allowed[index] +=
                if limit.allowed == 0.0 { distance.beyond() } else { distance.beyond_allowed() };
            if number < KEPT {
                tally.kept[index].push(distance);
            }
        }
    }
    for sum in tally.beyond.iter_mut().chain(&mut tally.allowed) {
        *sum /= points as f64;
    }
    tally
}

/// Mean of independent estimates with its interval, by Student's distribution.
fn share(estimates: &[f64]) -> Share {
    let count = estimates.len() as f64;
    let mean = estimates.iter().sum::<f64>() / count;
    let variance = estimates.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (count - 1.0).max(1.0);
    let half = student_quantile(0.5 + 0.5 * CONFIDENCE, (count - 1.0).max(1.0)) * (variance / count).sqrt();
    Share { estimate: mean, low: (mean - half).max(0.0), high: (mean + half).min(1.0) }
}

/// What plain draws give for one limit: results in its unit, and for each whether it lies beyond the limit, and beyond the
/// limit and the allowed deviation.
type Drawn = (Vec<f64>, Vec<(bool, bool)>);

fn independent(batching: &Batching<'_>, judging: &Judging<'_>) -> Vec<Drawn> {
    const BLOCK: usize = 1250;
    let blocks: Vec<usize> = (0..PLAIN / BLOCK).collect();
    let causes = batching.causes.len();
    let responses = judging.problem.responses.len();
    let parts = parallel::in_order(
        &blocks,
        |_, block| {
            let mut drawn: Vec<Drawn> = vec![Drawn::default(); judging.limits.len()];
            let mut point = vec![0.0; causes + responses];
            let mut batch = batching.at(&batching.middle());
            let mut at = Predictors::default();
            let numbers = block * BLOCK..(block + 1) * BLOCK;
            for number in numbers.take_while(|number| !judging.ends_before(*number)) {
                plain(number, PLAIN_SEED, &mut point);
                batching.make(&point, &mut batch);
                judging.predict(&batch, &[], &mut at);
                for (limit, drawn) in judging.limits.iter().zip(&mut drawn) {
                    let distance = judging.distance(limit, &batch, &at);
                    let response = judging.response_of(limit);
                    let deviate = response.map_or(0.0, |index| normal_deviate(point[causes + index.index()]));
                    let lies = |inside: f64| {
                        probability(
                            inside + judging.towards(limit) * distance.deviation * deviate,
                            0.0,
                            distance.got,
                        ) == 1.0
                    };
                    drawn.0.push(judging.result(limit, &distance, &at, deviate));
                    drawn.1.push((lies(distance.inside), lies(distance.inside_allowed)));
                }
            }
            drawn
        },
        |_| {},
    );
    let mut all: Vec<Drawn> = vec![Drawn::default(); judging.limits.len()];
    for part in parts {
        for (all, part) in all.iter_mut().zip(part) {
            all.0.extend(part.0);
            all.1.extend(part.1);
        }
    }
    all
}

/// How far the mix as designed is inside each limit.
fn as_designed(batching: &Batching<'_>, judging: &Judging<'_>, mix: &[f64]) -> Vec<Distance> {
    let mut batch = batching.at(&batching.middle());
    batch.mix.copy_from_slice(mix);
    batch.shifts.fill(0.0);
    let mut at = Predictors::default();
    judging.predict(&batch, &[], &mut at);
    judging.limits.iter().map(|limit| judging.distance(limit, &batch, &at)).collect()
}

/// How much further inside all batches would have to lie for the risk to be the target.
fn margin(kept: &[Distance], target: f64) -> f64 {
    const HALVINGS: usize = 60;
    let risk = |shift: f64| {
        let sum: f64 = kept
            .iter()
            .map(|distance| probability(distance.inside + shift, distance.deviation, distance.got))
            .sum();
        sum / kept.len() as f64
    };
    let reach = kept
        .iter()
        .map(|distance| distance.inside.abs() + 12.0 * distance.deviation)
        .filter(|reach| reach.is_finite())
        .fold(0.0, f64::max);
    let (mut low, mut high) = (-reach, reach);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if target < risk(middle) { low = middle } else { high = middle }
    }
    high
}

/// A shift on the predictor's scale as a margin in the limit's unit.
fn natural_margin(problem: &Problem, limit: &Judged, inside: f64) -> f64 {
    let requirement = &problem.requirements[limit.requirement];
    let (Subject::Response(index), Wanted::Value(wanted)) = (&requirement.subject, &requirement.wanted)
    else {
        return inside;
    };
    let response = &problem.responses[*index];
    if restrained(response).is_some() {
        // Stresses are judged there, and no age is worth so much stress for every mix.
        return f64::NAN;
    }
    let sign = requirement.side.sign();
    let limit_there = response.on_link(convert(*wanted, &requirement.unit, &response.unit));
    let moved = convert(response.natural(limit_there + sign * inside), &response.unit, &requirement.unit);
    if moved.is_finite() { sign * (moved - wanted) } else { inside }
}

/// MPa in one of the limit's units.
fn megapascals(problem: &Problem, limit: &Judged) -> f64 {
    problem.requirements[limit.requirement].unit.factor / 1e6
}
