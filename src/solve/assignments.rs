//! Which assignments of decisions are admissible.

use super::verdict::used;
use crate::model::{Assignment, Frame};
use crate::problem::{DecisionRange, Taken};

/// All admissible assignments of the choices, counts left open, in a fixed order, or `None` if there are more than `most`.
pub fn admissible(frame: &Frame<'_>, most: usize) -> Option<Vec<Assignment>> {
    let mut found = Vec::new();
    let mut partial = Vec::new();
    extend(frame, &mut partial, most, &mut found).then_some(found)
}

fn extend(frame: &Frame<'_>, partial: &mut Assignment, most: usize, found: &mut Vec<Assignment>) -> bool {
    if frame.stop.is_due() {
        return false;
    }
    if !may_hold(frame, partial) {
        return true;
    }
    if partial.len() == frame.decisions.choices() {
        let counts = frame.problem.counts.iter().map(|count| count.range);
        found.push(partial.iter().copied().chain(counts).collect());
        return found.len() <= most;
    }
    for choice in [Taken::Yes, Taken::No] {
        partial.push(DecisionRange::taken(choice));
        let fits = extend(frame, partial, most, found);
        partial.pop();
        if !fits {
            return false;
        }
    }
    true
}

/// The decisions that a mix has taken, counts at the nearest whole number.
pub fn decided_at(frame: &Frame<'_>, mix: &[f64]) -> Assignment {
    let problem = frame.problem;
    let used = used(problem, mix);
    let taken = |yes| DecisionRange::taken(if yes { Taken::Yes } else { Taken::No });
    let switches = problem.switches.iter().map(|switch| taken(used[switch.material.index()]));
    let counted = frame.decisions.exact.iter().map(|index| {
        let counted = &problem.mixture.counted[*index];
        taken(counted.cap.at(mix) < counted.addition.at(mix))
    });
    let counts = problem.counts.iter().map(|count| {
        let steps = problem.steps_in(&count.step, mix).unwrap_or(0.0);
        DecisionRange::at(count.range.nearest(steps))
    });
    switches.chain(counted).chain(counts).collect()
}

/// Whether some completion of a partial assignment can obey the logic, each condition by itself.
pub fn may_hold(frame: &Frame<'_>, partial: &[DecisionRange]) -> bool {
    frame.problem.logic.iter().all(|logic| {
        let (mut low, mut high) = (0.0, 0.0);
        for (switch, factor) in &logic.terms {
            let range = partial.get(switch.index()).copied().unwrap_or(DecisionRange::OPEN);
            let (a, b) = (factor * f64::from(range.low()), factor * f64::from(range.high()));
            low += a.min(b);
            high += a.max(b);
        }
        logic.low - 1e-9 <= high && low <= logic.high + 1e-9
    })
}

/// The assignments that differ from a complete one in one decision, or in two that swap, and obey the logic.
pub fn neighbours(frame: &Frame<'_>, assignment: &Assignment) -> Vec<Assignment> {
    let flipped = |assignment: &Assignment, at: usize| {
        let mut other = assignment.clone();
        other[at] = other[at].turned();
        other
    };
    let mut list = Vec::new();
    let choices = frame.decisions.choices();
    for first in 0..choices {
        let one = flipped(assignment, first);
        for second in first + 1..choices {
            if assignment[first] != assignment[second] {
                list.push(flipped(&one, second));
            }
        }
        list.push(one);
    }
    list.retain(|assignment| may_hold(frame, assignment));
    list
}
