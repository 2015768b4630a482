//! When nothing fits: an irreducible set of members that cannot hold together, and what would mend it.
//!
//! What can be left out first stays out of the list, so that it names limits rather than ends of regions: all that is idle at
//! the mixes met so far is tried at once, then regions, bounds of materials and choices, then each limit by itself. Cheap
//! tests come first: bounds and one relaxation, then the local loop from a known mix, then a search. What was not settled
//! within the budget is told as such.

use super::compromise::{Compromise, compromise};
use super::repair::{Repair, repair};
use super::trials::{Shown, Trials};
use crate::parallel::Stop;
use crate::problem::{Member, Origin, Problem};
use crate::solve::used;

/// One member of a conflict.
#[derive(Clone, Debug)]
pub struct ConflictMember {
    /// The member.
    pub member: Member,
    /// Whether it was shown that the others can hold without it; otherwise the search left it unsettled.
    pub settled: bool,
    /// What would mend everything while all others stay.
    pub repair: Repair,
    /// The mix that this repair allows, in the problem's columns.
    pub mix: Option<Vec<f64>>,
}

/// Why nothing fits.
#[derive(Clone, Debug)]
pub struct Conflict {
    /// Members, in the order limits, choices, bounds of materials, regions; none can be left out.
    pub members: Vec<ConflictMember>,
    /// Bounds of materials, choices and regions of which it is not settled whether they belong here too.
    pub unsettled: Vec<Member>,
    /// The mix at the smallest equal share by which all limits give way.
    pub compromise: Option<Compromise>,
    /// Programs solved.
    pub programs: usize,
}

/// Programs that an explanation may take: so many times those of the proof, and at least so many; about 2 s of CPU on the
/// densest statements of `scripts/bench-proof`.
const TIMES_THE_PROOF: usize = 5;
const LEAST: usize = 3000;
/// Parts of what is left that go into the nearest mix, into all but limits, into limits, into their repairs, and into what
/// was not settled of all but limits.
const FOR_THE_NEAREST: f64 = 0.3;
const FOR_OTHERS: f64 = 0.25;
const FOR_LIMITS: f64 = 0.45;
const FOR_THEIR_REPAIRS: f64 = 0.6;
const FOR_OTHERS_AGAIN: f64 = 0.7;
/// Share of the budget that one search for a mix may take.
const ONE_OF: usize = 24;

/// What is being done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// The nearest mix is sought.
    Nearest,
    /// The members of the conflict are sought, so many being in question.
    Members(usize),
    /// The repair of this member is sought, of so many.
    Repair(usize, usize),
}

/// Finds the conflict of a problem that was proven infeasible by so many programs; `near` is a mix that comes near.
pub fn conflict(
    problem: &Problem,
    (near, proof): (&[f64], usize),
    stop: Stop,
    told: &(dyn Fn(Stage) + Sync),
) -> Conflict {
    let budget = LEAST.max(TIMES_THE_PROOF * proof);
    let mut trials = Trials::new(problem, budget, stop);
    // The rest is as hard as the whole, or easier; and there are many of it.
    let most = (2 * proof).min(budget / ONE_OF).max(LEAST / ONE_OF);
    let mut dropped: Vec<Member> = Vec::new();
    told(Stage::Nearest);
    let compromise = trials.within(FOR_THE_NEAREST, |trials| compromise(trials, near));
    let (limits, others): (Vec<_>, Vec<_>) =
        problem.members().into_iter().partition(|member| is_limit(problem, *member));
    told(Stage::Members(others.len()));
    let groups = grouped(&trials, others);
    let others = trials.within(FOR_OTHERS, |trials| filtered(trials, groups, &mut dropped, most));
    told(Stage::Members(limits.len()));
    let limits = grouped(&trials, limits);
    let mut limits = trials.within(FOR_LIMITS, |trials| filtered(trials, limits, &mut dropped, most));
    let all = problem.members();
    limits.sort_by_key(|(member, _)| all.iter().position(|one| one == member));
    let mut members = trials.within(FOR_THEIR_REPAIRS, |trials| repaired(trials, limits, told));
    // With fewer limits, and with more mixes known, more may be settled of what stands behind them.
    let (mut settled, open): (Vec<_>, Vec<_>) = others.into_iter().partition(|(_, settled)| *settled);
    let groups = grouped(&trials, open.into_iter().map(|(member, _)| member).collect());
    let again = trials.within(FOR_OTHERS_AGAIN, |trials| filtered(trials, groups, &mut dropped, most));
    // A limit that was not settled is told with its repair; of what stands behind the limits only what was.
    let (more, unsettled): (Vec<_>, Vec<_>) = again.into_iter().partition(|(_, settled)| *settled);
    settled.extend(more);
    settled.sort_by_key(|(member, _)| kind(problem, *member));
    members.extend(repaired(&mut trials, settled, told));
    let unsettled = unsettled.into_iter().map(|(member, _)| member).collect();
    Conflict { members, unsettled, compromise, programs: trials.programs }
}

/// Each member with what would mend everything at it alone.
fn repaired(
    trials: &mut Trials<'_>,
    members: Vec<(Member, bool)>,
    told: &(dyn Fn(Stage) + Sync),
) -> Vec<ConflictMember> {
    let count = members.len();
    let one = |(at, (member, settled)): (usize, (Member, bool))| {
        told(Stage::Repair(at + 1, count));
        let share = 1.0 / (count - at) as f64;
        let (repair, mix) = trials.within(share, |trials| repair(trials, member));
        // What mends by itself cannot be left out.
        let settled = settled || matches!(repair, Repair::MoveTo { .. } | Repair::Drop);
        ConflictMember { member, settled, repair, mix }
    };
    members.into_iter().enumerate().map(one).collect()
}

fn is_limit(problem: &Problem, member: Member) -> bool {
    kind(problem, member) == 0
}

/// The place of a member's kind: limits, choices, bounds of materials, regions.
fn kind(problem: &Problem, member: Member) -> usize {
    match member {
        Member::Logic(_) | Member::Need(_) => 1,
        Member::IfUsed(_) => 2,
        Member::Requirement(index) => match problem.requirements[index].origin {
            Origin::Limit => 0,
            Origin::Material(_) => 3,
            Origin::Region { .. } | Origin::Leverage(_) => 4,
        },
    }
}

/// Members in groups: all that are idle at every mix met so far, which most often have nothing to do with the conflict, then
/// the others, a kind each, regions first, and limits one by one.
fn grouped(trials: &Trials<'_>, members: Vec<Member>) -> Vec<Vec<Member>> {
    let problem = trials.problem;
    let is_idle = |member: &Member| match member {
        Member::Requirement(index) => trials.mixes().all(|mix| {
            problem.measure(&problem.requirements[*index], mix).is_some_and(|measured| !measured.is_binding())
        }),
        Member::IfUsed(index) => {
            let material = problem.switches[*index].material;
            trials.mixes().all(|mix| !used(problem, mix)[material.index()])
        }
        Member::Logic(_) | Member::Need(_) => false,
    };
    let (idle, others): (Vec<_>, Vec<_>) = members.into_iter().partition(is_idle);
    let of_kind =
        |wanted: usize| others.iter().copied().filter(|one| kind(problem, *one) == wanted).collect();
    let kinds = (1..=4).rev().map(of_kind);
    let limits = others.iter().filter(|one| is_limit(problem, **one)).map(|one| vec![*one]);
    std::iter::once(idle).chain(kinds).chain(limits).filter(|group: &Vec<Member>| !group.is_empty()).collect()
}

/// Whether a group of members must stay.
enum Kept {
    /// Without it there still is a conflict.
    No,
    /// Without it there is none.
    Settled,
    /// Not known.
    Unsettled,
    /// Not known, and nothing more will be.
    OutOfTime,
}

/// Whether the rest of a problem holds together without a group and without what was dropped: by bounds and one relaxation,
/// then by a mix that is known or lies near one, then by a search of at most so many programs.
fn must_stay(trials: &mut Trials<'_>, dropped: &[Member], group: &[Member], most: usize) -> Kept {
    if trials.is_over() {
        return Kept::OutOfTime;
    }
    let without: Vec<Member> = dropped.iter().chain(group).copied().collect();
    let problem = trials.without(&without);
    if trials.is_hopeless(&problem) {
        return Kept::No;
    }
    match trials.any_mix(&problem, most) {
        Shown::Impossible => Kept::No,
        Shown::Possible(_) => Kept::Settled,
        Shown::Open if trials.is_over() => Kept::OutOfTime,
        Shown::Open => Kept::Unsettled,
    }
}

/// Deletion filter: members that must stay, with whether that was shown; groups are tried before their halves.
fn filtered(
    trials: &mut Trials<'_>,
    groups: Vec<Vec<Member>>,
    dropped: &mut Vec<Member>,
    most: usize,
) -> Vec<(Member, bool)> {
    let mut queue: Vec<Vec<Member>> = groups.into_iter().rev().collect();
    let mut kept: Vec<(Member, bool)> = Vec::new();
    while let Some(group) = queue.pop() {
        match must_stay(trials, dropped, &group, most) {
            Kept::No => dropped.extend(group),
            Kept::OutOfTime => kept.extend(group.into_iter().map(|member| (member, false))),
            stays if group.len() == 1 => kept.push((group[0], matches!(stays, Kept::Settled))),
            _ => {
                let (first, second) = group.split_at(group.len() / 2);
                queue.push(second.to_vec());
                queue.push(first.to_vec());
            }
        }
    }
    kept
}
