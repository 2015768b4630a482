//! The nearest mix of a problem that nothing meets: the one at the smallest equal share by which all limits give way.
//!
//! What enters: the problem's trials. What leaves: the share, the mix that needs no more than it, and the share up to which
//! it is proven that none does.

use super::trials::{Shown, Trials};
use crate::problem::{Origin, Problem, TOLERANCE, Wanted};
use crate::solve::{Precision, audit};

/// The mix that meets everything once every plain limit of the author's gives way by an equal share of its value.
#[derive(Clone, Debug)]
pub struct Compromise {
    /// The share.
    pub share: f64,
    /// A share of which it is proven that it is not enough; zero without a proof.
    pub not_enough: f64,
    /// The mix: no limit is missed by more than the share.
    pub mix: Vec<f64>,
}

/// Relaxations looked at before anything is solved, local loops from a mix that is known, and searches after that.
const GLANCES: usize = 8;
const LOOPS: usize = 10;
const SEARCHES: usize = 3;
/// Ends of the local loop that are followed down.
const VALLEYS: usize = 5;
/// The smallest share that is told apart from nothing, and the largest that is tried.
const LEAST_SHARE: f64 = 1e-4;
const MOST_SHARE: f64 = 1.0;
/// Shares nearer than this, relative to each other, are one.
const SAME: f64 = 0.01;

/// Seeks it, from a mix that comes near: by the local loop from many starts, then down in the nearest valleys; by relaxations,
/// which rule small shares out; by searches for mixes elsewhere.
pub fn compromise(trials: &mut Trials<'_>, near: &[f64]) -> Option<Compromise> {
    let problem = trials.problem;
    let mut best = nearest_ends(trials, near);
    let (mut low, mut not_enough) = (LEAST_SHARE, 0.0);
    let mut open = best.as_ref().map_or(MOST_SHARE, |(share, _)| *share);
    for _ in 0..GLANCES {
        if trials.is_over() || open <= (1.0 + SAME) * low {
            break;
        }
        // By equal ratios: a share may be small.
        let share = f64::sqrt(low * open);
        if trials.is_hopeless(&relaxed(problem, share)) {
            (low, not_enough) = (share, share);
        } else {
            open = share;
        }
    }
    // What relaxations do not rule out is often enough; where no share at all is enough the rest is in vain.
    let mut asked = if best.is_some() { f64::sqrt(low * open) } else { open };
    for _ in 0..SEARCHES {
        let high = best.as_ref().map_or(MOST_SHARE, |(share, _)| *share);
        if trials.is_over() || high <= (1.0 + SAME) * low {
            break;
        }
        let most = trials.left() / 3;
        match trials.any_mix(&relaxed(problem, asked), most) {
            Shown::Possible(mix) => {
                // A mix may need less than it was allowed.
                let needs = share_of(problem, &mix).map_or(asked, |needs| needs.min(asked));
                best = Some(by_loops(trials, (needs, mix), low));
            }
            Shown::Impossible => (low, not_enough) = (asked, asked),
            Shown::Open if best.is_none() && asked < MOST_SHARE => {
                asked = MOST_SHARE;
                continue;
            }
            Shown::Open => break,
        }
        let high = best.as_ref().map_or(MOST_SHARE, |(share, _)| *share);
        asked = f64::sqrt(low * high);
    }
    best.map(|(share, mix)| Compromise { share, not_enough: not_enough.min(share), mix })
}

/// From where the local loop ends at the problem itself, which nothing meets, down to the least share in the nearest valleys.
fn nearest_ends(trials: &mut Trials<'_>, near: &[f64]) -> Option<(f64, Vec<f64>)> {
    let problem = trials.problem;
    let mut ends = trials.ends(problem);
    ends.push(near.to_vec());
    let with_share = |mix: Vec<f64>| share_of(problem, &mix).map(|share| (share, mix));
    let mut ends: Vec<(f64, Vec<f64>)> = ends.into_iter().filter_map(with_share).collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    ends.truncate(VALLEYS);
    for (_, mix) in ends.iter().rev() {
        trials.knows(mix);
    }
    let least = ends.into_iter().map(|end| by_loops(trials, end, LEAST_SHARE));
    least.min_by(|a, b| a.0.total_cmp(&b.0))
}

/// Down from a mix that needs a share, by the local loop from it: to the least share in its own valley.
fn by_loops(trials: &mut Trials<'_>, best: (f64, Vec<f64>), low: f64) -> (f64, Vec<f64>) {
    let problem = trials.problem;
    let (mut high, mut mix) = best;
    let mut low = low;
    for _ in 0..LOOPS {
        if trials.is_over() || high <= (1.0 + SAME) * low {
            break;
        }
        let share = f64::sqrt(low * high);
        match trials.from(&relaxed(problem, share), &mix, Precision::ANY) {
            Some(less) => {
                high = share_of(problem, &less).map_or(share, |needs| needs.min(share));
                mix = less;
            }
            None => low = share,
        }
    }
    (high, mix)
}

/// The share of its own value by which each missed limit must give way for a mix; `None` where the mix misses something
/// that no share moves.
fn share_of(problem: &Problem, mix: &[f64]) -> Option<f64> {
    let mut share = 0.0_f64;
    for line in &audit(problem, mix).lines {
        let requirement = &problem.requirements[line.requirement];
        let measured = line.measured?;
        if measured.violation() <= TOLERANCE {
            continue;
        }
        let (Origin::Limit, Wanted::Value(wanted)) = (requirement.origin, &requirement.wanted) else {
            return None;
        };
        let met = requirement.severest_met(measured.got, measured.margin);
        share = share.max(requirement.side.sign() * (wanted - met) / wanted.abs());
    }
    let share = share.max(LEAST_SHARE) * (1.0 + TOLERANCE);
    (share <= MOST_SHARE && audit(&relaxed(problem, share), mix).passes()).then_some(share)
}

/// Every plain limit of the author's looser by a share of its own size.
fn relaxed(problem: &Problem, share: f64) -> Problem {
    problem.varied(|draft| {
        for requirement in &mut draft.requirements {
            if let (Origin::Limit, Wanted::Value(value)) = (requirement.origin, &requirement.wanted) {
                let looser = value - requirement.side.sign() * share * value.abs();
                requirement.wanted = Wanted::Value(looser);
                requirement.margin = requirement.margin.at(looser, &requirement.unit);
            }
        }
    })
}
