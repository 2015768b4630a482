//! Counts and choices of a node, branched on its solved program alone.
//!
//! What enters: a node whose program is at its optimum, and what an answer must be better than. What leaves: leaves, each
//! closed by a bound or open with its bound, and the best mix met. Every row of the program holds all over the node, so that
//! a bound under more rows about whole numbers holds for its leaf; factors are not split here.

use super::branch::NodeContext;
use super::certificate::{bound_by, is_impossible_by};
use super::polish::FEASIBLE;
use super::solved::Warm;
use crate::model::{Assignment, Node, Row};
use crate::solve::local::{Precision, Stopped, improve};
use crate::solve::whole::{Child, Leaf, Rises};

/// What branching came to.
pub struct Leaves {
    /// Least proven bound of the closed leaves; infinite without any, or where nothing is in them.
    pub closed: f64,
    /// Open leaves with their proven bounds.
    pub open: Vec<(f64, Assignment)>,
    /// The best mix met.
    pub best: Option<(Assignment, Stopped)>,
    /// Programs solved.
    pub programs: usize,
}

impl NodeContext<'_, '_> {
    /// Branches a node on its whole numbers, at most `most` times; nothing at `cutoff` or beyond is looked for.
    pub fn branch_whole(
        &self,
        node: &Node,
        (warm, rows, bound): (&Warm, &[Row], f64),
        cutoff: f64,
        most: usize,
    ) -> Leaves {
        let mut leaves = Leaves { closed: f64::INFINITY, open: Vec::new(), best: None, programs: 0 };
        let mut target = cutoff;
        let mut branched = 0;
        let mut rises = Rises::default();
        let (simplex, point) = (warm.simplex.clone(), warm.point.clone());
        let mut stack = vec![Leaf { bound, assignment: node.assignment.clone(), simplex, point }];
        while let Some(leaf) = stack.pop() {
            if target <= leaf.bound {
                leaves.closed = leaves.closed.min(leaf.bound.min(cutoff));
                continue;
            }
            if most <= branched || self.frame.stop.is_due() {
                leaves.open.push((leaf.bound, leaf.assignment));
                continue;
            }
            let Some(split) = leaf.most_broken(self.frame, &node.assignment, &rises) else {
                self.try_whole(node, &leaf, &mut leaves);
                if let Some((_, stop)) = &leaves.best {
                    target = target.min(self.limits.cutoff(self.frame, stop.goal));
                }
                if target <= leaf.bound {
                    leaves.closed = leaves.closed.min(leaf.bound.min(cutoff));
                } else {
                    leaves.open.push((leaf.bound, leaf.assignment));
                }
                continue;
            };
            branched += 1;
            let mut better: Vec<Leaf> = Vec::with_capacity(2);
            for (place, child) in leaf.children(split, rows) {
                leaves.programs += 1;
                match child {
                    Child::Open(mut child) => {
                        let multipliers = child.simplex.multipliers();
                        child.bound = bound_by(child.simplex.program(), &multipliers).max(leaf.bound);
                        rises.learn(place, child.bound - leaf.bound);
                        better.push(*child);
                    }
                    // Boxes may have been tightened by the cut-off: what was cut away lies at or beyond it.
                    Child::Empty(_, simplex, multipliers)
                        if is_impossible_by(simplex.program(), &multipliers) =>
                    {
                        leaves.closed = leaves.closed.min(cutoff);
                    }
                    Child::Empty(assignment, ..) | Child::Lost(assignment) => {
                        leaves.open.push((leaf.bound, assignment));
                    }
                }
            }
            // The better one is looked at first.
            better.sort_by(|a, b| b.bound.total_cmp(&a.bound));
            stack.extend(better);
        }
        leaves
    }

    /// A leaf whose numbers are whole, put to the local loop.
    fn try_whole(&self, node: &Node, leaf: &Leaf, leaves: &mut Leaves) {
        let mix = self.frame.raise(&leaf.point[..self.frame.scales.len()]);
        let assignment = self.rounded(node, &leaf.assignment, &leaf.point);
        let Ok(stop) = improve(self.frame, &assignment, mix, Precision::FINE) else { return };
        leaves.programs += stop.programs;
        let best = leaves.best.as_ref().map_or(f64::INFINITY, |(_, stop)| stop.goal);
        if stop.violation <= FEASIBLE && stop.goal < best {
            leaves.best = Some((assignment, stop));
        }
    }
}
