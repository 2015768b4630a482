//! The whole space before it is split: bounded, polished and tightened in turn, its cuts found.
//!
//! What enters: a search without nodes. What leaves: the root with tighter boxes, coordinates centred in them, and the rows
//! that every node starts from. Splitting is not known here.

use super::branch::{NodeContext, NodeEffort};
use super::node::NodeOutcome;
use super::obbt::Tightened;
use super::polish::polished;
use super::search::Search;
use crate::model::{Lifting, Node, ProductRows, Rows};
use crate::number::Interval;

/// Most rounds in which the root's factors are tightened before the search begins.
const OBBT_ROUNDS: usize = 4;
/// The same where cuts are separated: each round costs more there, and the nodes tighten too.
const ROUNDS_WITH_CUTS: usize = 2;
/// What the root may take in a first look, and before it is split.
const FIRST_LOOK: NodeEffort = NodeEffort { rounds: 40, rows: (40, 15), passes: 0, factors: None };
/// What it may take where any mix will do: cuts raise a goal, and here none is asked for.
const GLANCE: NodeEffort = NodeEffort { rounds: 16, rows: (40, 15), passes: 0, factors: None };
const AT_ROOT: NodeEffort = NodeEffort { rounds: 40, rows: (40, 15), passes: 1, factors: None };

impl Search<'_, '_> {
    /// Bounds, polishes and tightens the whole space in turn, while that shrinks it; `false` if that settles it.
    pub fn prepare(&mut self, lifting: &mut Lifting, root: &mut Node) -> bool {
        let boxes = lifting.boxes.clone();
        let rounds = if matches!(root.rows, ProductRows::Every) { OBBT_ROUNDS } else { ROUNDS_WITH_CUTS };
        for round in 0..rounds {
            if self.frame.stop.is_due() || self.is_spent() {
                break;
            }
            let cutoff = self.cutoff();
            // Until there is a mix only a look: most often it leads to one, and then the cut-off tightens more.
            let effort = match (round == 0 && cutoff.is_infinite(), self.seeks_any()) {
                (true, true) => GLANCE,
                (true, false) => FIRST_LOOK,
                (false, _) => AT_ROOT,
            };
            let context = NodeContext {
                frame: self.frame,
                lifting,
                root: &boxes,
                effort,
                limits: self.limits,
                known: self.carried,
            };
            let width = |node: &Node| node.factors.iter().map(Interval::width).sum::<f64>();
            let before = width(root);
            let mut processed = context.process(root, f64::NEG_INFINITY, cutoff);
            let has_basis = processed.has_basis;
            let polished = match self.carried {
                None => (processed.best.take())
                    .or_else(|| polished(context.frame, &mut processed, self.best_goal())),
                Some(_) => None,
            };
            if !matches!(processed.outcome, NodeOutcome::Split(..)) {
                self.take(processed, polished);
                return false;
            }
            processed.outcome = NodeOutcome::Empty;
            self.take(processed, polished);
            if self.is_content() {
                return true;
            }
            if !has_basis {
                let all: Vec<usize> = (0..root.factors.len()).collect();
                let mut work = context.work(root);
                let tightened = context.obbt(root, self.cutoff(), &all, &mut work);
                self.programs += work.programs;
                if tightened == Tightened::Empty {
                    self.closed = self.closed.min(self.cutoff());
                    return false;
                }
            }
            lifting.centre(&root.factors);
            // Products are other columns now.
            root.start = None;
            if effort.passes != 0 && 0.95 * before < width(root) {
                break;
            }
        }
        true
    }

    /// Whether the relaxation of the whole space has no point: proven by multipliers. Looks no further.
    pub fn is_empty_at_a_glance(&mut self, lifting: &Lifting, root: &mut Node) -> bool {
        let boxes = lifting.boxes.clone();
        let context = NodeContext {
            frame: self.frame,
            lifting,
            root: &boxes,
            effort: GLANCE,
            limits: self.limits,
            known: self.carried,
        };
        let processed = context.process(root, f64::NEG_INFINITY, f64::INFINITY);
        self.programs += processed.programs;
        matches!(processed.outcome, NodeOutcome::Empty)
    }

    /// Where few nodes have not been enough: all products of factors, and cuts from the root on.
    pub fn separate_from_now_on(&mut self, lifting: &mut Lifting, root: &mut Node) {
        lifting.multiply_all();
        lifting.centre(&root.factors);
        root.rows = ProductRows::Separated(Rows::default());
        root.start = None;
        let boxes = root.factors.clone();
        let context = NodeContext {
            frame: self.frame,
            lifting,
            root: &boxes,
            effort: FIRST_LOOK,
            limits: self.limits,
            known: self.carried,
        };
        let processed = context.process(root, f64::NEG_INFINITY, self.cutoff());
        self.programs += processed.programs;
        // What holds for the whole space holds for each node of it.
        let bound = match processed.outcome {
            NodeOutcome::Closed(bound) | NodeOutcome::Split(bound, _) | NodeOutcome::Stuck(bound) => bound,
            NodeOutcome::Leaves(closed, open) => open.iter().map(|(bound, _)| *bound).fold(closed, f64::min),
            NodeOutcome::Empty => f64::INFINITY,
        };
        for open in &mut self.open {
            open.bound = open.bound.max(bound);
            open.node.rows = root.rows.clone();
            open.node.start = None;
        }
        self.close_what_the_best_passes();
    }
}
