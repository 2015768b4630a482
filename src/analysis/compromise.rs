//! The nearest mix of a problem that nothing meets: the one at the smallest equal share by which all limits give way.
//!
//! What enters: the problem's trials. What leaves: the share, the mix that needs no more than it, and the share up to which
//! it is proven that none does.

use super::trials::{Shown, Trials};
use crate::problem::{Origin, Problem, TOLERANCE, Wanted};
use crate::solve::audit;

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

/// Relaxations looked at before anything is solved, and solves after that.
const GLANCES: usize = 8;
const SOLVES: usize = 9;
/// The smallest share that is told apart from nothing, and the largest that is tried.
const LEAST_SHARE: f64 = 1e-4;
const MOST_SHARE: f64 = 1.0;
/// Shares nearer than this, relative to each other, are one.
const SAME: f64 = 0.01;

/// Seeks it, from a mix that comes near: by relaxations first, which rule small shares out, then by solves.
pub fn compromise(trials: &mut Trials<'_>, near: &[f64]) -> Option<Compromise> {
    let problem = trials.problem;
    let mut best = share_of(problem, near).map(|share| (share, near.to_vec()));
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
    for turn in 0..SOLVES {
        let high = best.as_ref().map_or(MOST_SHARE, |(share, _)| *share);
        if trials.is_over() || high <= (1.0 + SAME) * low {
            break;
        }
        let share = match turn {
            // What relaxations do not rule out is often enough.
            0 => open.min(high),
            // Where no share at all is enough the rest is in vain.
            _ if best.is_none() && turn == 1 => MOST_SHARE,
            _ if best.is_none() => break,
            _ => f64::sqrt(low * high),
        };
        let most = trials.left() / 3;
        match trials.any_mix(&relaxed(problem, share), most) {
            Shown::Possible(found) => {
                // A mix may need less than it was allowed.
                let needs = share_of(problem, &found.mix).map_or(share, |needs| needs.min(share));
                best = Some((needs, found.mix));
            }
            Shown::Impossible => (low, not_enough) = (share, share),
            Shown::Open => low = share,
        }
    }
    best.map(|(share, mix)| Compromise { share, not_enough: not_enough.min(share), mix })
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
