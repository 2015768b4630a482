//! When nothing fits: an irreducible set of members that cannot hold together, and what would mend it.

use crate::parallel::Stop;
use crate::problem::{Member, Origin, Problem, Wanted};
use crate::solve::{Found, Limits, Settings, Verdict, solve};

/// One member of a conflict.
#[derive(Clone, Debug)]
pub struct ConflictMember {
    /// The member.
    pub member: Member,
    /// Whether it was shown that the others can hold without it; otherwise the search left it unsettled.
    pub settled: bool,
    /// What would mend everything while all others stay.
    pub repair: Repair,
}

/// What moving or dropping one member does.
#[derive(Clone, Debug, PartialEq)]
pub enum Repair {
    /// Moved to this value (in the requirement's unit) everything can be met; `proven` if no smaller move does.
    MoveTo {
        /// The value.
        value: f64,
        /// Whether a smaller move is proven not to do.
        proven: bool,
    },
    /// Left out, everything else can be met.
    Drop,
    /// Even left out, the rest cannot be met: proven.
    NoneOfThisAlone,
    /// Not settled within the effort allowed.
    Unsettled,
}

/// Why nothing fits.
#[derive(Clone, Debug)]
pub struct Conflict {
    /// Members, in the order limits, choices, bounds of materials, regions; none can be left out.
    pub members: Vec<ConflictMember>,
    /// The mix that spreads the violation: every limit missed by at most this share of what it wants.
    pub compromise: Option<(f64, Vec<f64>)>,
    /// Programs solved.
    pub programs: usize,
}

/// Solves that seek the share by which every limit gives way.
const HALVINGS: usize = 9;
/// The smallest share that is told apart from nothing.
const LEAST_SHARE: f64 = 1e-4;
/// Nodes a proof of one deletion may look at.
const NODES: usize = 400;

/// Finds the conflict of a problem that was proven infeasible.
pub fn conflict(problem: &Problem, stop: Stop) -> Conflict {
    let mut search = Search { problem, stop, programs: 0 };
    let members = search.irreducible();
    let mut members: Vec<ConflictMember> = members
        .into_iter()
        .map(|(member, settled)| ConflictMember { member, settled, repair: search.repair(member) })
        .collect();
    members.reverse();
    let compromise = search.compromise();
    Conflict { members, compromise, programs: search.programs }
}

struct Search<'p> {
    problem: &'p Problem,
    stop: Stop,
    programs: usize,
}

/// What solving a variation showed.
enum Shown {
    Possible(Box<Found>),
    Impossible,
    Open,
}

impl Search<'_> {
    fn try_solve(&mut self, problem: &Problem) -> Shown {
        // Feasibility is all that is asked: any mix does.
        let settings = Settings {
            proof: Some(Limits { gap: f64::INFINITY, nodes: NODES, ..Limits::default() }),
            starts: 0,
            ..Settings::default()
        };
        self.shown(problem, &settings)
    }

    fn shown(&mut self, problem: &Problem, settings: &Settings) -> Shown {
        match solve(problem, &settings.until(self.stop)) {
            Verdict::Found(found) => {
                self.programs += found.effort.programs;
                Shown::Possible(Box::new(found))
            }
            Verdict::Nothing(nothing) => {
                self.programs += nothing.effort.programs;
                if nothing.certainty.is_some_and(|certainty| certainty.complete) {
                    Shown::Impossible
                } else {
                    Shown::Open
                }
            }
            Verdict::Unsettled(_) | Verdict::Failed(_) => Shown::Open,
        }
    }

    /// Deletion filter: a member stays only if the rest can hold without it. Halves of the list are tried first,
    /// since most members have nothing to do with a conflict.
    fn irreducible(&mut self) -> Vec<(Member, bool)> {
        let all = self.problem.members();
        let mut dropped: Vec<Member> = Vec::new();
        let mut kept: Vec<(Member, bool)> = Vec::new();
        let mut queue: Vec<Vec<Member>> =
            all.chunks(all.len().div_ceil(8).max(1)).map(<[Member]>::to_vec).rev().collect();
        while let Some(group) = queue.pop() {
            if self.stop.is_due() {
                // What was not looked at any more may belong to the conflict or not.
                kept.extend(group.into_iter().map(|member| (member, false)));
                continue;
            }
            let without: Vec<Member> = dropped.iter().chain(&group).copied().collect();
            match self.try_solve(&self.problem.without(&without)) {
                Shown::Impossible => dropped.extend(group),
                _ if self.stop.is_due() => kept.extend(group.into_iter().map(|member| (member, false))),
                shown if group.len() == 1 => kept.push((group[0], matches!(shown, Shown::Possible(_)))),
                _ => {
                    let (first, second) = group.split_at(group.len() / 2);
                    queue.push(second.to_vec());
                    queue.push(first.to_vec());
                }
            }
        }
        kept
    }

    /// The least move of one member that repairs everything while all others stay.
    fn repair(&mut self, member: Member) -> Repair {
        if self.stop.is_due() {
            return Repair::Unsettled;
        }
        let freed = self.problem.without(&[member]);
        match self.try_solve(&freed) {
            Shown::Impossible => return Repair::NoneOfThisAlone,
            Shown::Open => return Repair::Unsettled,
            Shown::Possible(_) => {}
        }
        let Member::Requirement(index) = member else { return Repair::Drop };
        let requirement = &self.problem.requirements[index];
        let Some(extreme) = freed.with_extreme(index) else { return Repair::Drop };
        let limits = Limits { gap: 1e-4, nodes: 2000, ..Limits::default() };
        let settings = Settings { proof: Some(limits), ..Settings::default() };
        match self.shown(&extreme, &settings) {
            Shown::Possible(found) => {
                let Some(measured) = self.problem.measure(requirement, &found.mix) else {
                    return Repair::Drop;
                };
                // The margin stays: the limit itself must give way by it too.
                let value = requirement.severest_met(measured.got, measured.margin);
                let proven = found.certainty.is_some_and(|certainty| certainty.complete)
                    && self.problem.is_severest_at_extreme(index);
                Repair::MoveTo { value, proven }
            }
            _ if self.stop.is_due() => Repair::Unsettled,
            _ => Repair::Drop,
        }
    }

    /// The smallest share by which every plain limit must give way, by bisection, and the mix that does with it.
    fn compromise(&mut self) -> Option<(f64, Vec<f64>)> {
        let (mut low, mut high) = (LEAST_SHARE, 1.0);
        let mut best = None;
        for _ in 0..HALVINGS {
            if self.stop.is_due() {
                break;
            }
            // By equal ratios: a share may be small.
            let share = if best.is_none() { high } else { f64::sqrt(low * high) };
            match self.try_solve(&relaxed(self.problem, share)) {
                Shown::Possible(found) => {
                    high = share;
                    best = Some((share, found.mix.clone()));
                }
                _ if best.is_none() => return None,
                _ => low = share,
            }
        }
        best
    }
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
