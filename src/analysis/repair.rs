//! What would mend a problem that nothing meets if one member gave way and all others stayed.
//!
//! What enters: the problem's trials and a member. What leaves: the least move found, how far it is proven that less does
//! not do, and the mix that it allows.

use super::trials::{Shown, Trials, in_columns_of};
use crate::listed::Id;
use crate::problem::{Level, Member, Problem, Requirement, Wanted, convert};
use crate::solve::{Found, Limits};

/// What moving or dropping one member does.
#[derive(Clone, Debug, PartialEq)]
pub enum Repair {
    /// Moved to this value (in the requirement's unit) everything can be met.
    MoveTo {
        /// The value.
        value: f64,
        /// Whether a smaller move is proven not to do.
        proven: bool,
        /// The value up to which a move is proven not to do, where that is short of the value itself.
        not_to: Option<f64>,
    },
    /// Left out, everything else can be met.
    Drop,
    /// Even left out, the rest cannot be met: proven.
    NoneOfThisAlone,
    /// Not settled within the effort allowed.
    Unsettled,
}

/// Gap at which the least move is proven, and nodes it may take.
const GAP: f64 = 1e-4;
const NODES: usize = 2000;
/// Gap of the mix where a member is left out.
const COARSE: f64 = 1e-2;
/// Relaxations looked at for the move that is not enough, where no proof went through.
const GLANCES: usize = 7;
/// A move is not enough up to nearly its value: nearer than this, as a share of it, is the same.
const SAME: f64 = 1e-3;

/// The least move of one member that repairs everything while all others stay, and the mix that it allows.
pub fn repair(trials: &mut Trials<'_>, member: Member) -> (Repair, Option<Vec<f64>>) {
    if trials.is_over() {
        return (Repair::Unsettled, None);
    }
    let freed = trials.without(&[member]);
    if trials.is_hopeless(&freed) {
        return (Repair::NoneOfThisAlone, None);
    }
    let Member::Requirement(index) = member else { return dropped(trials, &freed) };
    let problem = trials.problem;
    let Some(extreme) = freed.with_extreme(index) else { return dropped(trials, &freed) };
    let mut known = trials.best_near_known(&extreme);
    if known.is_none() && trials.first_end(&freed).is_some() {
        known = trials.best_near_known(&extreme);
    }
    let limits = Limits { gap: GAP, nodes: NODES, ..Limits::default() };
    let found = match trials.solved(&extreme, known.as_deref(), limits) {
        Shown::Possible(found) => found,
        Shown::Impossible => return (Repair::NoneOfThisAlone, None),
        Shown::Open => return dropped(trials, &freed),
    };
    let requirement = &problem.requirements[index];
    let mix = in_columns_of(problem, &found.mix);
    let Some(measured) = problem.measure(requirement, &mix) else { return (Repair::Drop, Some(mix)) };
    // The margin stays: the limit itself must give way by it too.
    let value = requirement.severest_met(measured.got, measured.margin);
    let is_severest = problem.is_severest_at_extreme(index);
    let proven = found.certainty.is_some_and(|certainty| certainty.complete) && is_severest;
    let Wanted::Value(asked) = requirement.wanted else { return (Repair::Drop, Some(mix)) };
    let not_to = (!proven)
        .then(|| {
            let bound = is_severest
                .then(|| bound_of(&extreme, requirement, &found))
                .flatten()
                .map(|bound| requirement.severest_met(bound, measured.margin));
            short_of(trials, index, (asked, value), bound)
        })
        .flatten();
    (Repair::MoveTo { value, proven, not_to }, Some(mix))
}

/// A member without a number to move: the rest is met without it, or not.
fn dropped(trials: &mut Trials<'_>, freed: &Problem) -> (Repair, Option<Vec<f64>>) {
    let most = trials.left();
    match trials.any_mix(freed, most) {
        Shown::Possible(any) => {
            // A good one while there is room for it; any at all is enough to say that leaving it out mends.
            let half = trials.left() / 2;
            let limits = Limits { gap: COARSE, nodes: NODES, programs: Some(half), ..Limits::default() };
            let mix = match trials.solved(freed, Some(&any), limits) {
                Shown::Possible(better) => better.mix,
                _ => any,
            };
            (Repair::Drop, Some(mix))
        }
        Shown::Impossible => (Repair::NoneOfThisAlone, None),
        Shown::Open => (Repair::Unsettled, None),
    }
}

/// The value nearest to the move at which a relaxation, or a bound, still proves that it is not enough.
fn short_of(
    trials: &mut Trials<'_>,
    index: Id<Requirement>,
    (asked, value): (f64, f64),
    bound: Option<f64>,
) -> Option<f64> {
    // As shares of the move, 0 at what is asked and 1 at the value.
    let share_of = |at: f64| (at - asked) / (value - asked);
    let mut short = bound.map(share_of).filter(|share| (0.0..=1.0).contains(share)).unwrap_or(0.0);
    let mut open = 1.0;
    for _ in 0..GLANCES {
        if open - short <= SAME || trials.is_over() {
            break;
        }
        let share = 0.5 * (short + open);
        if trials.is_hopeless(&trials.problem.with_wanted(index, asked + share * (value - asked))) {
            short = share;
        } else {
            open = share;
        }
    }
    (0.0 < short).then_some(asked + short * (value - asked))
}

/// The bound on an extreme, in the requirement's unit.
fn bound_of(extreme: &Problem, requirement: &Requirement, found: &Found) -> Option<f64> {
    let bound = found.certainty.map(|certainty| certainty.bound).filter(|bound| bound.is_finite())?;
    Some(match &extreme.goal.level {
        Some(Level::Response(response)) => {
            let response = &extreme.responses[*response];
            convert(response.natural(bound), &response.unit, &requirement.unit)
        }
        Some(Level::Ratio(_)) | None => requirement.unit.from_base(bound),
    })
}
