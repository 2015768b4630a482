//! Which assignments of decisions are admissible.

use crate::model::{Assignment, Frame};

/// All admissible complete assignments in a fixed order, or `None` if there are more than `most`.
pub fn admissible(frame: &Frame<'_>, most: usize) -> Option<Vec<Assignment>> {
    let mut found = Vec::new();
    let mut partial = Vec::new();
    extend(frame, &mut partial, most, &mut found).then_some(found)
}

fn extend(frame: &Frame<'_>, partial: &mut Assignment, most: usize, found: &mut Vec<Assignment>) -> bool {
    if !may_hold(frame, partial) {
        return true;
    }
    if partial.len() == frame.undecided().len() {
        found.push(partial.clone());
        return found.len() <= most;
    }
    for decision in [true, false] {
        partial.push(Some(decision));
        let fits = extend(frame, partial, most, found);
        partial.pop();
        if !fits {
            return false;
        }
    }
    true
}

/// Whether some completion of a partial assignment can obey the logic, each condition by itself.
pub fn may_hold(frame: &Frame<'_>, partial: &[Option<bool>]) -> bool {
    frame.problem.logic.iter().all(|logic| {
        let (mut low, mut high) = (0.0, 0.0);
        for (switch, factor) in &logic.terms {
            match partial.get(*switch).copied().flatten() {
                Some(true) => {
                    low += factor;
                    high += factor;
                }
                Some(false) => {}
                None => {
                    low += factor.min(0.0);
                    high += factor.max(0.0);
                }
            }
        }
        logic.low - 1e-9 <= high && low <= logic.high + 1e-9
    })
}

/// The assignments that differ from a complete one in one decision, or in two that swap, and obey the logic.
pub fn neighbours(frame: &Frame<'_>, assignment: &Assignment) -> Vec<Assignment> {
    let flipped = |assignment: &Assignment, at: usize| {
        let mut other = assignment.clone();
        other[at] = other[at].map(|decision| !decision);
        other
    };
    let mut list = Vec::new();
    for first in 0..assignment.len() {
        let one = flipped(assignment, first);
        for second in first + 1..assignment.len() {
            if assignment[first] != assignment[second] {
                list.push(flipped(&one, second));
            }
        }
        list.push(one);
    }
    list.retain(|assignment| may_hold(frame, assignment));
    list
}
