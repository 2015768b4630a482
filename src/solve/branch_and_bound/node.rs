//! One node of the search tree: tightened, bounded, and split or closed.

use super::branch::{NodeContext, Split};
use super::certificate::{certified_bound, certified_infeasible};
use super::obbt::Tightened;
use super::solved::{Solved, Warm, Work, with_cutoff};
use crate::model::{Assignment, Kind, Node, Relaxation, fbbt, relaxation};
use crate::number::Interval;
use crate::problem::DecisionRange;
use crate::solve::local::Stopped;
use crate::solve::outcome::Outcome;

/// What became of a node.
#[derive(Clone, Debug)]
pub enum NodeOutcome {
    /// No mix lies in it: proven by multipliers.
    Empty,
    /// No mix in it is better than this bound, which reaches the cut-off: proven by multipliers.
    Closed(f64),
    /// Split in two; the bound is proven for both.
    Split(f64, Box<[Node; 2]>),
    /// Split into what is closed, with its least bound, and open nodes, each with its own: all proven.
    Leaves(f64, Vec<(f64, Node)>),
    /// It can be neither closed nor split further; the bound is proven.
    Stuck(f64),
}

/// A processed node.
pub struct Processed {
    /// What became of it.
    pub outcome: NodeOutcome,
    /// The relaxation's mix and its decisions, rounded: a place to look for a better mix.
    pub candidate: Option<(Vec<f64>, Assignment)>,
    /// A mix met on the way, better than any below the cut-off.
    pub best: Option<(Assignment, Stopped)>,
    /// Programs solved.
    pub programs: usize,
    /// Whether its program went through with a basis, so that its factors were tightened on the way.
    pub has_basis: bool,
}

/// What is known before a node's program is solved.
pub struct Known<'k> {
    /// Proven bound of the node it was split from.
    pub bound: f64,
    /// What a bound must reach for the node to be closed.
    pub cutoff: f64,
    /// The bound of its program, where multipliers are at hand that prove it.
    pub certified: Option<f64>,
    /// What was done so far.
    pub work: Work<'k>,
}

impl Work<'_> {
    /// An outcome, after the known mix has had its say.
    fn checked(&self, outcome: NodeOutcome) -> NodeOutcome {
        match (&outcome, self.carried) {
            (
                NodeOutcome::Closed(bound) | NodeOutcome::Split(bound, _) | NodeOutcome::Stuck(bound),
                Some(known),
            ) => {
                known.check_closed(*bound, "a bound");
            }
            // Nothing is branched on whole numbers alone where a mix is carried.
            (NodeOutcome::Leaves(..), Some(_)) => {}
            (NodeOutcome::Empty, Some(known)) => known.check_closed(f64::INFINITY, "emptiness"),
            (_, None) => {}
        }
        outcome
    }
}

/// Whole numbers of a node, branched on.
enum Branched {
    /// Into leaves.
    Settled(Processed),
    /// Not, or not far enough: a mix may have been met.
    Open(Option<(Assignment, Stopped)>),
}

/// Branchings on whole numbers in one node.
const BRANCHES: usize = 400;
/// Passes of tightening and rebuilding before the program is solved.
const PASSES: usize = 2;

impl NodeContext<'_, '_> {
    /// Bounds a node whose parent has the proven bound `known`; closes it if its own bound reaches `cutoff`.
    ///
    /// Boxes may have been tightened by the cut-off, so that what was cut away lies at or beyond it and no more: a node
    /// is never closed at more than the cut-off, and never empty while there is one.
    pub fn process(&self, node: &mut Node, known: f64, cutoff: f64) -> Processed {
        let mut work = self.work(node);
        if self.frame.stop.is_due() {
            // Looked at no further: it stays open at the bound of its parent.
            let outcome = NodeOutcome::Stuck(known);
            return Processed { outcome, candidate: None, best: None, programs: 0, has_basis: true };
        }
        let empty = |work: &Work<'_>| {
            let outcome = work.checked(emptied(cutoff));
            Processed { outcome, candidate: None, best: None, programs: work.programs, has_basis: true }
        };
        if !self.fbbt_passes(node, cutoff, &mut work) {
            return empty(&work);
        }
        let (mut relaxed, mut solved) = self.converge(node, None, cutoff, &mut work);
        for _ in 0..self.effort.passes {
            let Solved::Warm(warm) = &solved else { break };
            if cutoff <= warm.objective {
                break;
            }
            let chosen = match self.effort.factors {
                Some(most) => self.furthest(node, &relaxed, &warm.point, most),
                None => (0..node.factors.len()).collect(),
            };
            let tightened = self.obbt_warm(node, cutoff, &chosen, warm, &relaxed, &mut work);
            match (tightened, solved) {
                (Tightened::Empty, _) => return empty(&work),
                (Tightened::Much, Solved::Warm(warm)) => {
                    (relaxed, solved) = self.converge(node, Some(warm.simplex), cutoff, &mut work);
                }
                (_, as_it_was) => {
                    solved = as_it_was;
                    break;
                }
            }
        }
        let mut known = Known { bound: known, cutoff, certified: None, work };
        let mut best = None;
        let outcome = match solved {
            Solved::Empty => return empty(&work),
            Solved::Cold(outcome) => outcome,
            Solved::Warm(warm) => {
                known.certified = warm.certified();
                match self.branched(node, &relaxed, &warm, &mut known) {
                    Branched::Settled(processed) => return processed,
                    Branched::Open(found) => best = found,
                }
                let warm = *warm;
                Outcome::Optimal(warm.point, warm.objective)
            }
        };
        Processed { best, ..self.settle(node, &relaxed, &outcome, &known) }
    }

    /// Whole numbers branched on, where the node's program would be split at a count.
    fn branched(&self, node: &Node, relaxed: &Relaxation, warm: &Warm, known: &mut Known<'_>) -> Branched {
        let Some(bound) = known.certified.filter(|_| 0 < self.frame.decisions.counts && self.known.is_none())
        else {
            return Branched::Open(None);
        };
        let bound = bound.max(known.bound);
        let first = self.frame.decisions.choices();
        let at_count =
            matches!(self.split(node, relaxed, &warm.point), Some(Split::Decision(at, _)) if first <= at);
        if !at_count || known.cutoff <= bound {
            return Branched::Open(None);
        }
        let rows = &relaxed.program.rows;
        let leaves = self.branch_whole(node, (warm, rows, bound), known.cutoff, BRANCHES);
        known.work.programs += leaves.programs;
        if leaves.open.iter().any(|(_, assignment)| *assignment == node.assignment) {
            return Branched::Open(leaves.best);
        }
        let open =
            leaves.open.into_iter().map(|(bound, assignment)| (bound, Node { assignment, ..node.clone() }));
        Branched::Settled(Processed {
            outcome: NodeOutcome::Leaves(leaves.closed, open.collect()),
            candidate: None,
            best: leaves.best,
            programs: known.work.programs,
            has_basis: true,
        })
    }

    /// Tightens by rows and rebuilds; `false` if multipliers prove that nothing in the node beats the cut-off.
    fn fbbt_passes(&self, node: &mut Node, cutoff: f64, work: &mut Work<'_>) -> bool {
        for _ in 0..PASSES {
            let relaxed = relaxation(self.frame, self.lifting, node);
            if self.fbbt_with_cutoff(node, &relaxed, cutoff) {
                self.check_boxes(node, work, "tightening by rows");
                continue;
            }
            work.programs += 2;
            return !certified_infeasible(&with_cutoff(relaxed.program, cutoff));
        }
        true
    }

    /// What a program's outcome makes of its node.
    pub fn settle(
        &self,
        node: &Node,
        relaxed: &Relaxation,
        outcome: &Outcome,
        known: &Known<'_>,
    ) -> Processed {
        let Known { bound: known, cutoff, certified, work } = *known;
        let mut candidate = None;
        let outcome = match outcome {
            Outcome::Optimal(point, _) => {
                let bound = certified.unwrap_or_else(|| certified_bound(&relaxed.program, point)).max(known);
                if cutoff <= bound {
                    NodeOutcome::Closed(cutoff)
                } else {
                    let mix = self.frame.raise(&point[..self.frame.scales.len()]);
                    candidate = Some((mix, self.rounded(node, &node.assignment, point)));
                    let split = self.split(node, relaxed, point).or_else(|| self.widest(node));
                    split_or_stuck(node, split, bound)
                }
            }
            Outcome::Infeasible if certified_infeasible(&relaxed.program) => emptied(cutoff),
            // A node whose program gave no answer that stands up is split, never closed.
            Outcome::Infeasible | Outcome::Unbounded | Outcome::Failed(_) | Outcome::Interrupted => {
                split_or_stuck(node, self.widest(node), known)
            }
        };
        let has_basis = certified.is_some();
        Processed {
            outcome: work.checked(outcome),
            candidate,
            best: None,
            programs: work.programs,
            has_basis,
        }
    }

    /// Tightens by the relaxation's rows and the cut-off; the node takes over the tighter boxes.
    fn fbbt_with_cutoff(&self, node: &mut Node, relaxed: &Relaxation, cutoff: f64) -> bool {
        let mut program = with_cutoff(relaxed.program.clone(), cutoff);
        if !fbbt(&mut program, 3) {
            return false;
        }
        for ((column, scale), bounds) in program.columns.iter().zip(&self.frame.scales).zip(&mut node.amounts)
        {
            let (low, high) = (bounds.0.max(column.low * scale), bounds.1.min(column.high * scale));
            *bounds = if low <= high { (low, high) } else { (0.5 * (low + high), 0.5 * (low + high)) };
        }
        if !self.divide(node) {
            return false;
        }
        for (at, range) in node.factors.iter_mut().enumerate() {
            let column = &program.columns[relaxed.layout.factors + at];
            let tighter = Interval::between(column.low, column.high).and_then(|column| range.meet(column));
            match tighter {
                Some(tighter) => *range = tighter,
                None => return false,
            }
        }
        true
    }

    /// Ratios by their parts: what the box of the denominator has become tells more than it did at the root.
    /// `false` if that leaves nothing.
    fn divide(&self, node: &mut Node) -> bool {
        for (at, factor) in self.lifting.factors.iter().enumerate() {
            let Kind::Ratio { numerator, denominator } = &factor.kind else { continue };
            let divisor = node.factors[*denominator] * self.lifting.factors[*denominator].scale;
            if divisor.low() <= 0.0 {
                continue;
            }
            let ends = |high: bool| {
                numerator.terms.iter().fold(numerator.constant, |sum, (column, factor)| {
                    let (low, top) = node.amounts[*column];
                    sum + factor * if (0.0 < *factor) == high { top } else { low }
                })
            };
            let above = Interval::new(ends(false), ends(true));
            match node.factors[at].meet(above / divisor / factor.scale) {
                Some(tighter) => node.factors[at] = tighter,
                None => return false,
            }
        }
        true
    }

    /// Decisions within a node, open ones taken as the point is nearest to.
    pub fn rounded(&self, node: &Node, within: &Assignment, point: &[f64]) -> Assignment {
        let mut column = self.frame.problem.mixture.columns.len();
        let (choices, counts) = within.split_at(self.frame.decisions.choices());
        let choose = |(range, of_node): (&DecisionRange, &DecisionRange)| {
            if of_node.fixed().is_some() {
                return *range;
            }
            column += 1;
            DecisionRange::at(range.nearest(point[column - 1]))
        };
        let mut assignment: Assignment = choices.iter().zip(&node.assignment).map(choose).collect();
        let mix: Vec<f64> = self.frame.scales.iter().zip(point).map(|(scale, value)| scale * value).collect();
        for (count, range) in self.frame.problem.counts.iter().zip(counts) {
            let steps = self.frame.problem.steps_in(&count.step, &mix).unwrap_or(0.0);
            assignment.push(DecisionRange::at(range.nearest(steps)));
        }
        assignment
    }
}

/// What became of a node in which nothing better than the cut-off is left.
fn emptied(cutoff: f64) -> NodeOutcome {
    if cutoff.is_finite() { NodeOutcome::Closed(cutoff) } else { NodeOutcome::Empty }
}

fn split_or_stuck(node: &Node, split: Option<Split>, bound: f64) -> NodeOutcome {
    match split {
        Some(split) => NodeOutcome::Split(bound, Box::new(halves(node, split))),
        None => NodeOutcome::Stuck(bound),
    }
}

fn halves(node: &Node, split: Split) -> [Node; 2] {
    let (mut one, mut other) = (node.clone(), node.clone());
    match split {
        Split::Decision(decision, at) => {
            if let Some((upper, lower)) = one.assignment[decision].halves(at) {
                one.assignment[decision] = upper;
                other.assignment[decision] = lower;
            }
        }
        Split::Factor(factor, at) => {
            one.factors[factor] = one.factors[factor].up_to(at);
            other.factors[factor] = other.factors[factor].from(at);
        }
    }
    [one, other]
}
