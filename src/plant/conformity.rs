//! Whether results judged together conform.
//!
//! What enters: plain independent results of one limit. What leaves: the share of groups that fail, with its interval. It
//! does not know how results come about.
//!
//! Sources, values from memory: EN 206, initial production: mean of three at least `f_ck` + 4 MPa, each at least `f_ck` - 4
//! MPa; continuous production, from 15 results: mean at least `f_ck` + 1.48 s. ACI 318: every average of three in a row at
//! least f'c, no result short by more than 500 psi, or 10 % above 5000 psi. Elsewhere a group fails where any
//! result lies beyond the limit and the allowed deviation.

use super::judging::Judged;
use super::share::Share;
use crate::number::distribution::normal_quantile;
use crate::problem::{BatchingRules, Production};

/// Which criteria a group is judged by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Criteria {
    /// EN 206, initial production.
    Initial,
    /// EN 206, continuous production.
    Continuous,
    /// ACI 318.
    Averages,
    /// Every single result.
    Each,
}

/// The failures of groups.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conformity {
    /// By which criteria.
    pub criteria: Criteria,
    /// Results in a group.
    pub results: usize,
    /// Share of groups that fail.
    pub fails: Share,
}

/// Results from which EN 206 speaks of continuous production.
const CONTINUOUS: usize = 15;
/// MPa over `f_ck` that the mean of an initial group must reach.
const INITIAL_MEAN: f64 = 4.0;
/// Multiple of the deviation in continuous production.
const CONTINUOUS_FACTOR: f64 = 1.48;
/// Results in a running average of ACI 318.
const AVERAGED: usize = 3;

/// Judges groups of plain results of a limit.
pub fn judged(
    limit: &Judged,
    production: &Production,
    results: &[f64],
    missed: &[(bool, bool)],
    megapascals: f64,
) -> Conformity {
    let size = production.results.max(1);
    let criteria = match (limit.strength, production.rules) {
        (Some(_), BatchingRules::En206) if CONTINUOUS <= size => Criteria::Continuous,
        (Some(_), BatchingRules::En206) if INITIAL_RESULTS <= size => Criteria::Initial,
        (Some(_), BatchingRules::AstmC94) => Criteria::Averages,
        _ => Criteria::Each,
    };
    let asked = limit.strength.unwrap_or(0.0);
    let groups = results.len() / size;
    let fails = (0..groups).filter(|group| {
        let range = group * size..(group + 1) * size;
        if missed[range.clone()].iter().any(|(_, allowed)| *allowed) {
            return true;
        }
        let strengths: Vec<f64> = results[range].iter().map(|result| result * megapascals).collect();
        match criteria {
            Criteria::Each => false,
            Criteria::Initial => mean(&strengths) < asked + INITIAL_MEAN,
            Criteria::Continuous => mean(&strengths) < asked + CONTINUOUS_FACTOR * deviation(&strengths),
            Criteria::Averages => strengths.windows(AVERAGED).any(|window| mean(window) < asked),
        }
    });
    Conformity { criteria, results: size, fails: counted(fails.count(), groups) }
}

/// Fewest results that the criteria of initial production speak of.
const INITIAL_RESULTS: usize = 3;

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn deviation(values: &[f64]) -> f64 {
    let mean = mean(values);
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    (squares / (values.len() as f64 - 1.0).max(1.0)).sqrt()
}

/// A share counted in independent groups, its interval at 95 % after Wilson, Journal of the American Statistical
/// Association 22 (1927) 209.
pub fn counted(hits: usize, of: usize) -> Share {
    let (hits, of) = (hits as f64, of.max(1) as f64);
    let z = normal_quantile(0.975);
    let estimate = hits / of;
    let middle = (estimate + z * z / (2.0 * of)) / (1.0 + z * z / of);
    let half = z / (1.0 + z * z / of) * (estimate * (1.0 - estimate) / of + z * z / (4.0 * of * of)).sqrt();
    Share { estimate, low: (middle - half).max(0.0), high: (middle + half).min(1.0) }
}
