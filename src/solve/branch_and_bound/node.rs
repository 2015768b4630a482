//! One node of the search tree: tightened, bounded, and split or closed.

use super::branch::{NodeContext, Split};
use super::certificate::{certified_bound, certified_infeasible};
use crate::model::{Assignment, Kind, Node, Program, Relaxation, RowOrigin, fbbt, relaxation, separate_cuts};
use crate::number::Interval;
use crate::problem::DecisionRange;
use crate::solve::engine::solve_program;
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
    /// It can be neither closed nor split further; the bound is proven.
    Stuck(f64),
}

/// A processed node.
pub struct Processed {
    /// What became of it.
    pub outcome: NodeOutcome,
    /// The relaxation's mix and its decisions, rounded: a place to look for a better mix.
    pub candidate: Option<(Vec<f64>, Assignment)>,
    /// Programs solved.
    pub programs: usize,
}

/// What is known before a node's program is solved.
pub struct Known {
    /// Proven bound of the node it was split from.
    pub bound: f64,
    /// What a bound must reach for the node to be closed.
    pub cutoff: f64,
    /// Programs solved so far.
    pub programs: usize,
}

/// What tightening a node came to, with the programs it took.
pub enum Tightened {
    /// Its boxes are as tight as its relaxation makes them.
    Smaller(usize),
    /// Nothing in it beats the cut-off: proven by multipliers.
    Empty(usize),
}

/// Passes of tightening and rebuilding before the program is solved.
const PASSES: usize = 2;
/// Most rounds of tangents to convex conditions at the program's point.
const CUT_ROUNDS: usize = 6;

impl NodeContext<'_, '_> {
    /// Bounds a node whose parent has the proven bound `known`; closes it if its own bound reaches `cutoff`.
    ///
    /// Boxes may have been tightened by the cut-off, so that what was cut away lies at or beyond it and no more: a node
    /// is never closed at more than the cut-off, and never empty while there is one.
    pub fn process(&self, node: &Node, known: f64, cutoff: f64) -> Processed {
        if self.frame.stop.is_due() {
            // Looked at no further: it stays open at the bound of its parent.
            return Processed { outcome: NodeOutcome::Stuck(known), candidate: None, programs: 0 };
        }
        let mut node = node.clone();
        let mut programs = 0;
        let mut relaxed = relaxation(self.frame, self.lifting, &node);
        for _ in 0..PASSES {
            if self.fbbt_with_cutoff(&mut node, &relaxed, cutoff) {
                relaxed = relaxation(self.frame, self.lifting, &node);
                continue;
            }
            programs += 2;
            if certified_infeasible(&with_cutoff(relaxed.program.clone(), cutoff)) {
                return Processed { outcome: emptied(cutoff), candidate: None, programs };
            }
            break;
        }
        programs += 2;
        let mut outcome = solve_program(&relaxed.program);
        for _ in 0..CUT_ROUNDS {
            let Outcome::Optimal(point, _) = &outcome else { break };
            if !separate_cuts(self.frame, self.lifting, &node, &mut relaxed, point) {
                break;
            }
            programs += 1;
            outcome = solve_program(&relaxed.program);
        }
        self.settle(node, &relaxed, &outcome, &Known { bound: known, cutoff, programs })
    }

    /// What a program's outcome makes of its node.
    pub fn settle(&self, node: Node, relaxed: &Relaxation, outcome: &Outcome, known: &Known) -> Processed {
        let Known { bound: known, cutoff, programs } = *known;
        match outcome {
            Outcome::Optimal(point, _) => {
                let bound = certified_bound(&relaxed.program, point).max(known);
                if cutoff <= bound {
                    return Processed { outcome: NodeOutcome::Closed(cutoff), candidate: None, programs };
                }
                let candidate =
                    Some((self.frame.raise(&point[..self.frame.scales.len()]), self.rounded(&node, point)));
                let split = self.split(&node, relaxed, point).or_else(|| self.widest(&node));
                Processed { outcome: split_or_stuck(node, split, bound), candidate, programs }
            }
            Outcome::Infeasible if certified_infeasible(&relaxed.program) => {
                Processed { outcome: emptied(cutoff), candidate: None, programs }
            }
            // A node whose program gave no answer that stands up is split, never closed.
            Outcome::Infeasible | Outcome::Unbounded | Outcome::Failed(_) | Outcome::Interrupted => {
                let split = self.widest(&node);
                Processed { outcome: split_or_stuck(node, split, known), candidate: None, programs }
            }
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

    /// Tightens each factor's box to what the relaxation with the cut-off allows: two programs a factor, each end
    /// proven by multipliers.
    pub fn obbt(&self, node: &mut Node, cutoff: f64) -> Tightened {
        let mut programs = 0;
        for factor in 0..node.factors.len() {
            if self.frame.stop.is_due() {
                break;
            }
            let relaxed = relaxation(self.frame, self.lifting, node);
            let column = relaxed.layout.factors + factor;
            let mut program = with_cutoff(relaxed.program, cutoff);
            for column in &mut program.columns {
                column.cost = 0.0;
            }
            program.offset = 0.0;
            for sign in [1.0, -1.0] {
                program.columns[column].cost = sign;
                programs += 2;
                let point = match solve_program(&program) {
                    Outcome::Optimal(point, _) => point,
                    Outcome::Infeasible if certified_infeasible(&program) => {
                        return Tightened::Empty(programs);
                    }
                    _ => continue,
                };
                let end = sign * certified_bound(&program, &point);
                let range = &mut node.factors[factor];
                // An end that only rounding moves is left alone.
                if sign > 0.0 && range.low() + 1e-3 * range.width() < end {
                    *range = range.from(end);
                } else if sign < 0.0 && end < range.high() - 1e-3 * range.width() {
                    *range = range.up_to(end);
                }
            }
        }
        Tightened::Smaller(programs)
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

    /// The decisions of a node, open ones taken as the point is nearest to.
    fn rounded(&self, node: &Node, point: &[f64]) -> Assignment {
        let mut column = self.frame.problem.mixture.columns.len();
        let (choices, counts) = node.assignment.split_at(self.frame.decisions.choices());
        let choose = |range: &DecisionRange| {
            if range.fixed().is_some() {
                return *range;
            }
            column += 1;
            DecisionRange::at(range.nearest(point[column - 1]))
        };
        let mut assignment: Assignment = choices.iter().map(choose).collect();
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

fn split_or_stuck(node: Node, split: Option<Split>, bound: f64) -> NodeOutcome {
    match split {
        Some(split) => NodeOutcome::Split(bound, Box::new(halves(node, split))),
        None => NodeOutcome::Stuck(bound),
    }
}

/// The objective as a row: only what beats the cut-off is of interest.
fn with_cutoff(mut program: Program, cutoff: f64) -> Program {
    if cutoff.is_finite() {
        let costly = program.columns.iter().enumerate().filter(|(_, column)| column.cost != 0.0);
        let terms: Vec<(usize, f64)> = costly.map(|(index, column)| (index, column.cost)).collect();
        let most = cutoff - program.offset;
        program.add_row(RowOrigin::Derived, "better than the best", terms, f64::NEG_INFINITY, most);
    }
    program
}

fn halves(node: Node, split: Split) -> [Node; 2] {
    let (mut one, mut other) = (node.clone(), node);
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
