//! When nothing fits: an irreducible set of members that cannot hold together, and what would mend it.
//!
//! Cheap tests come first. While bounds and one relaxation still prove that nothing fits, members are left out by halves of
//! the list; of the few that are left each is put to a search. What was not settled within the budget is told as such.

use super::compromise::{Compromise, compromise};
use super::repair::{Repair, repair};
use super::trials::{Shown, Trials};
use crate::parallel::Stop;
use crate::problem::{Member, Origin, Problem};

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
/// Parts of what is left that go into the nearest mix, and into the members of the conflict.
const FOR_THE_NEAREST: f64 = 0.25;
const FOR_MEMBERS: f64 = 0.6;
/// Groups that the members of one kind are first cut into.
const GROUPS: usize = 2;
/// Share of `LEAST` that one search for a mix may take.
const ONE_OF: usize = 8;

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
    told(Stage::Nearest);
    let compromise = trials.within(FOR_THE_NEAREST, |trials| compromise(trials, near));
    let kept = trials.within(FOR_MEMBERS, |trials| irreducible(trials, proof, told));
    // A limit that was not settled is told with its repair; of what stands behind the limits only what was.
    let (members, unsettled): (Vec<_>, Vec<_>) =
        kept.into_iter().partition(|(member, settled)| *settled || is_limit(problem, *member));
    let unsettled = unsettled.into_iter().map(|(member, _)| member).collect();
    let count = members.len();
    let repaired = |(at, (member, settled)): (usize, (Member, bool))| {
        told(Stage::Repair(at + 1, count));
        let share = 1.0 / (count - at) as f64;
        let (repair, mix) = trials.within(share, |trials| repair(trials, member));
        // What mends by itself cannot be left out.
        let settled = settled || matches!(repair, Repair::MoveTo { .. } | Repair::Drop);
        ConflictMember { member, settled, repair, mix }
    };
    let members = members.into_iter().enumerate().map(repaired).collect();
    Conflict { members, unsettled, compromise, programs: trials.programs }
}

fn is_limit(problem: &Problem, member: Member) -> bool {
    matches!(member, Member::Requirement(index) if problem.requirements[index].origin == Origin::Limit)
}

/// All members in groups: each limit by itself, then choices, bounds of materials and regions, a few groups of each kind.
fn grouped(problem: &Problem, members: &[Member]) -> Vec<Vec<Member>> {
    let kind = |member: &Member| match member {
        Member::Logic(_) | Member::Need(_) => 1,
        Member::IfUsed(_) => 2,
        Member::Requirement(index) => match problem.requirements[*index].origin {
            Origin::Limit => 0,
            Origin::Material(_) => 3,
            Origin::Region { .. } | Origin::Leverage(_) => 4,
        },
    };
    let mut groups = Vec::new();
    for wanted in 0..=4 {
        let of: Vec<Member> = members.iter().copied().filter(|member| kind(member) == wanted).collect();
        let size = if wanted == 0 { 1 } else { of.len().div_ceil(GROUPS).max(1) };
        groups.extend(of.chunks(size).map(<[Member]>::to_vec));
    }
    groups
}

/// Deletion filter: a member stays only if the rest can hold without it.
fn irreducible(trials: &mut Trials<'_>, proof: usize, told: &(dyn Fn(Stage) + Sync)) -> Vec<(Member, bool)> {
    let mut dropped: Vec<Member> = Vec::new();
    let all = trials.problem.members();
    told(Stage::Members(all.len()));
    let mut suspects = all;
    if trials.is_hopeless(trials.problem) {
        suspects = filtered(grouped(trials.problem, &suspects), &mut dropped, |dropped, group| {
            let without: Vec<Member> = dropped.iter().chain(group).copied().collect();
            match trials.is_hopeless(&trials.without(&without)) {
                true => Kept::No,
                false if trials.is_over() => Kept::OutOfTime,
                false => Kept::Unsettled,
            }
        })
        .into_iter()
        .map(|(member, _)| member)
        .collect();
    }
    told(Stage::Members(suspects.len()));
    // The rest is as hard as the whole, or easier.
    let most = (2 * proof).max(LEAST / ONE_OF);
    filtered(grouped(trials.problem, &suspects), &mut dropped, |dropped, group| {
        if trials.is_over() {
            return Kept::OutOfTime;
        }
        let without: Vec<Member> = dropped.iter().chain(group).copied().collect();
        match trials.any_mix(&trials.without(&without), most) {
            Shown::Impossible => Kept::No,
            Shown::Possible(_) => Kept::Settled,
            Shown::Open if trials.is_over() => Kept::OutOfTime,
            Shown::Open => Kept::Unsettled,
        }
    })
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

/// Members that must stay, with whether that was shown; groups are tried before their halves, since most members have
/// nothing to do with a conflict.
fn filtered(
    groups: Vec<Vec<Member>>,
    dropped: &mut Vec<Member>,
    mut must_stay: impl FnMut(&[Member], &[Member]) -> Kept,
) -> Vec<(Member, bool)> {
    let mut queue: Vec<Vec<Member>> = groups.into_iter().rev().collect();
    let mut kept: Vec<(Member, bool)> = Vec::new();
    while let Some(group) = queue.pop() {
        match must_stay(dropped, &group) {
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
