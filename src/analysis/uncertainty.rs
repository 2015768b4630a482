//! What uncertainty about fitted responses costs, and what lies beyond the regions that bind.
//!
//! What enters: a problem and its best mix. What leaves: the mix that would do if the coefficients of fitted responses were
//! known (leverage zero in every margin, scatter and regions kept), the best mix without the regions that bind, and how
//! sure several limits are together. Both mixes are no proposals; each is the local answer of a varied problem.

use crate::listed::Id;
use crate::number::distribution::{normal_probability, student_tail};
use crate::parallel::Stop;
use crate::problem::{Member, Origin, Problem, Requirement, Subject};
use crate::response::Response;
use crate::solve::{Audit, Settings, Verdict, solve};

/// What uncertainty does to an answer.
#[derive(Clone, Debug, Default)]
pub struct Uncertainty {
    /// The best mix if coefficients were known, where margins count that they are not.
    pub sure: Option<Vec<f64>>,
    /// Requirements that end a region and bind, and the best mix without them.
    pub beyond: Option<(Vec<Id<Requirement>>, Vec<f64>)>,
    /// How many limits hold with a confidence, and how sure they are together: `1 - sum (1 - p)`.
    pub together: Option<(usize, f64)>,
}

/// Asks the two varied problems; nothing where no margin counts uncertainty and no region binds.
pub fn uncertainty(problem: &Problem, mix: &[f64], audit: &Audit, stop: Stop) -> Uncertainty {
    Uncertainty {
        sure: sure(problem, mix, stop),
        beyond: beyond(problem, audit, stop),
        together: together(problem),
    }
}

/// Limits with a margin in deviations, each with the response it is on.
fn doubtful(problem: &Problem) -> Vec<(Id<Requirement>, Id<Response>)> {
    problem
        .requirements
        .named()
        .filter(|(index, requirement)| {
            requirement.origin == Origin::Limit
                && !requirement.margin.doubt.is_none()
                && !problem.dropped[index.index()]
        })
        .filter_map(|(index, requirement)| match requirement.subject {
            Subject::Response(response) => Some((index, response)),
            Subject::Quantity(_) => None,
        })
        .collect()
}

/// The problem as it were if the coefficients of one response, or of all, were known: scatter and regions kept. Nothing
/// where no margin counts that they are not.
pub fn with_known_coefficients(problem: &Problem, only: Option<Id<Response>>) -> Option<Problem> {
    let is_meant = |response: Id<Response>| only.is_none_or(|only| only == response);
    let counts =
        |response: Id<Response>| is_meant(response) && problem.responses[response].covariance.is_some();
    if !doubtful(problem).iter().any(|(_, response)| counts(*response)) {
        return None;
    }
    Some(problem.varied(|draft| {
        for (index, response) in draft.responses.named_mut() {
            if is_meant(index) {
                *response = response.without_doubt();
            }
        }
    }))
}

fn sure(problem: &Problem, mix: &[f64], stop: Stop) -> Option<Vec<f64>> {
    let known = with_known_coefficients(problem, None)?;
    let Verdict::Found(found) = solve(&known, &Settings::local().until(stop)) else { return None };
    let goal = problem.goal.to_minimise();
    // A local answer that is worse than the mix there is says nothing.
    (goal.at(&found.mix) <= goal.at(mix) || problem.goal.level.is_some()).then_some(found.mix)
}

fn beyond(problem: &Problem, audit: &Audit, stop: Stop) -> Option<(Vec<Id<Requirement>>, Vec<f64>)> {
    let fitted = |response: Id<Response>| problem.responses[response].basis.is_some();
    let binding: Vec<Id<Requirement>> = audit
        .lines
        .iter()
        .filter(|line| line.measured.is_some_and(|measured| measured.is_binding()))
        .map(|line| line.requirement)
        .filter(|index| match problem.requirements[*index].origin {
            Origin::Region { response, .. } | Origin::Leverage(response) => fitted(response),
            _ => false,
        })
        .collect();
    if binding.is_empty() {
        return None;
    }
    let members: Vec<Member> = binding.iter().map(|index| Member::Requirement(*index)).collect();
    let Verdict::Found(found) = solve(&problem.without(&members), &Settings::local().until(stop)) else {
        return None;
    };
    Some((binding, found.mix))
}

fn together(problem: &Problem) -> Option<(usize, f64)> {
    let counted = doubtful(problem);
    if counted.len() < 2 {
        return None;
    }
    let missed: f64 = counted
        .iter()
        .map(|(index, response)| {
            let deviations = problem.requirements[*index].margin.doubt.deviations;
            match &problem.responses[*response].basis {
                Some(basis) => 0.5 * student_tail(deviations, basis.freedom),
                None => normal_probability(-deviations),
            }
        })
        .sum();
    Some((counted.len(), (1.0 - missed).max(0.0)))
}
