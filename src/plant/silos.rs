//! Which materials a plant keeps: branch and bound over sets of them, each mix solved alone under each set.
//!
//! What enters: a plant with the costs of its sets, and the numbers of places. What leaves: a lower bound on the cost of a
//! year, the best set found, and how far the search came. It does not know what a mix is made of.
//!
//! For an allowed set A no plant that keeps a subset of A does better than the bound of A. Where a kind has r materials more than places, r of those that may
//! still be left out must be: each alone raises the bound of A by some d, leaving out several raises it by at least the
//! largest of their d, and so any choice of r by at least the r-th smallest d. A material whose own d reaches past the best
//! plan found is kept.

use super::oracle::{Set, count, members};
use super::pricing::{Pricing, Within};
use super::shared::SharedPlant;
use crate::parallel::Stop;

/// How far a search came.
#[derive(Clone, Debug)]
pub struct Kept {
    /// No plan costs less in a year; infinite where none exists.
    pub lower: f64,
    /// Cost of the best plan found; infinite where none was.
    pub upper: f64,
    /// The plan: the materials allowed in it, and its mixes.
    pub plan: Option<(Set, Within)>,
    /// Sets looked at.
    pub nodes: usize,
    /// Whether the gap is as small as was asked for.
    pub proven: bool,
}

/// When a search may stop.
#[derive(Clone, Copy, Debug)]
pub struct Until {
    /// Gap relative to the total.
    pub gap: f64,
    /// Gap relative to the premium over `alone`.
    pub of_premium: f64,
    /// What the mixes cost alone, less prices on stock: no plan costs less.
    pub alone: f64,
    /// Most sets looked at.
    pub nodes: usize,
    /// When work has to end.
    pub stop: Stop,
}

impl Until {
    /// Whether a gap is small enough.
    pub fn is_reached(&self, lower: f64, upper: f64) -> bool {
        if !upper.is_finite() {
            return false;
        }
        let gap = upper - lower;
        let small = 5e-5 * upper.abs();
        gap <= small
            || (gap <= self.gap * upper.abs() && gap <= self.of_premium * (upper - self.alone).max(0.0))
    }
}

struct Node {
    bound: f64,
    allowed: Set,
    kept: Set,
}

/// Nodes from which the cheapest way down is tried.
const DIVES: usize = 4;

/// A search over sets.
pub struct Search<'s, 'p> {
    plant: &'p SharedPlant,
    pricing: &'s mut Pricing<'p>,
    /// Places by kind.
    numbers: Vec<usize>,
    kinds: Vec<Set>,
    /// The mixes that are counted.
    mixes: Vec<usize>,
    best: f64,
    best_plan: Option<(Set, Within)>,
    nodes: usize,
}

impl<'s, 'p> Search<'s, 'p> {
    /// A search for all mixes, or for some of them.
    pub fn new(
        plant: &'p SharedPlant,
        pricing: &'s mut Pricing<'p>,
        numbers: Vec<usize>,
        mixes: Vec<usize>,
    ) -> Self {
        let kinds = plant
            .places
            .iter()
            .map(|places| places.of.iter().fold(0, |set: Set, at| set | 1 << at))
            .collect();
        Self { plant, pricing, numbers, kinds, mixes, best: f64::INFINITY, best_plan: None, nodes: 0 }
    }

    /// The search itself.
    pub fn run(mut self, until: &Until) -> Kept {
        let everything = (0..self.plant.materials.len()).fold(0, |set: Set, at| set | 1 << at);
        let root = self.bound(everything);
        if root == f64::INFINITY {
            return Kept { lower: root, upper: root, plan: None, nodes: 1, proven: false };
        }
        self.descend(everything, until);
        let mut open = vec![Node { bound: root, allowed: everything, kept: 0 }];
        let mut settled = f64::INFINITY;
        while let Some(at) = lowest(&open) {
            let lower = open[at].bound.min(settled);
            if until.is_reached(lower, self.best) || until.nodes <= self.nodes || until.stop.is_due() {
                break;
            }
            let node = open.swap_remove(at);
            self.nodes += 1;
            if self.is_plan(node.allowed) {
                self.take(node.allowed);
                let known = self.pricing.bound(&self.mixes, node.allowed, f64::INFINITY);
                let node = Node { bound: node.bound.max(known + self.keeping(node.kept)), ..node };
                match self.undecided(&node) {
                    // Nothing more to decide: its own gap is what the bounds of its mixes leave.
                    None => settled = settled.min(node.bound),
                    Some(material) => open.extend(self.split(&node, material)),
                }
                continue;
            }
            let children = self.branch(&node, until);
            open.extend(children.into_iter().filter(|child| child.bound < self.best));
        }
        let open = open.iter().map(|node| node.bound).fold(settled, f64::min);
        let lower = open.min(self.best);
        let proven = until.is_reached(lower, self.best);
        Kept { lower, upper: self.best, plan: self.best_plan, nodes: self.nodes.max(1), proven }
    }

    /// Whether no kind has more materials than places.
    fn is_plan(&self, set: Set) -> bool {
        self.kinds.iter().zip(&self.numbers).all(|(kind, number)| count(set & kind) <= *number)
    }

    fn take(&mut self, set: Set) {
        let Some(within) = self.pricing.within(&self.mixes, set) else { return };
        let used = within.answers.iter().fold(0, |all: Set, answer| all | answer.used);
        let upper = within.cost + self.pricing.keeping(used);
        if upper < self.best {
            (self.best, self.best_plan) = (upper, Some((set, within)));
        }
    }

    fn ask(&mut self, sets: &[Set]) {
        self.pricing.ask(&self.mixes, sets);
    }

    /// Bound of the cost of every plan within a set, keeping not among it.
    fn bound(&mut self, set: Set) -> f64 {
        self.ask(&[set]);
        self.pricing.bound(&self.mixes, set, self.best)
    }

    /// About what a set costs: what its mixes come to with what they keep; a bound at the prices of the whole where stock is
    /// priced.
    fn guess(&mut self, set: Set, whole: Set) -> f64 {
        if self.pricing.is_priced() {
            return self.pricing.glimpse(&self.mixes, set, whole);
        }
        self.pricing.within(&self.mixes, set).map_or(f64::INFINITY, |within| {
            let used = within.answers.iter().fold(0, |all: Set, answer| all | answer.used);
            within.cost + self.pricing.keeping(used)
        })
    }

    fn keeping(&self, set: Set) -> f64 {
        self.pricing.keeping(set)
    }

    /// Leaves out one material after another, the one that costs least, until every kind has its places.
    fn descend(&mut self, from: Set, until: &Until) {
        let mut set = from;
        while !self.is_plan(set) && !until.stop.is_due() {
            let surplus = self.surplus(set);
            let candidates: Vec<Set> = members(surplus).map(|material| set & !(1 << material)).collect();
            self.ask(&candidates);
            let costs: Vec<f64> = candidates.iter().map(|candidate| self.guess(*candidate, from)).collect();
            let best = (0..candidates.len()).min_by(|a, b| costs[*a].total_cmp(&costs[*b]));
            let Some(best) = best else { return };
            set = candidates[best];
        }
        if self.is_plan(set) {
            self.take(set);
        }
    }

    /// Materials of the kinds that have too many.
    fn surplus(&self, set: Set) -> Set {
        self.kinds
            .iter()
            .zip(&self.numbers)
            .filter(|(kind, number)| **number < count(set & **kind))
            .fold(0, |all, (kind, _)| all | (set & kind))
    }

    /// The children of a node: one material left out, and kept, after all that is certain was drawn from each alone.
    fn branch(&mut self, node: &Node, until: &Until) -> Vec<Node> {
        let Node { bound, mut allowed, mut kept } = *node;
        // Kinds whose places are all taken by what is kept leave the rest out.
        for (kind, number) in self.kinds.iter().zip(&self.numbers) {
            if *number < count(kept & kind) {
                return Vec::new();
            }
            if *number == count(kept & kind) {
                allowed &= !kind | kept;
            }
        }
        if allowed != node.allowed {
            let bound = (self.bound(allowed) + self.keeping(kept)).max(bound);
            return vec![Node { bound, allowed, kept }];
        }
        let free: Vec<usize> = members(self.surplus(allowed) & !kept).collect();
        let without: Vec<Set> = free.iter().map(|material| allowed & !(1 << material)).collect();
        self.ask(&without);
        let rises: Vec<(usize, f64)> = free
            .iter()
            .zip(&without)
            .map(|(material, set)| (*material, self.bound(*set) + self.keeping(kept)))
            .collect();
        let mut lower = bound;
        for at in 0..self.kinds.len() {
            let (kind, number) = (self.kinds[at], self.numbers[at]);
            let over = count(allowed & kind).saturating_sub(number);
            if over == 0 {
                continue;
            }
            let mut ends: Vec<f64> = rises
                .iter()
                .filter(|(material, _)| kind & (1 << material) != 0)
                .map(|(_, end)| *end)
                .collect();
            ends.sort_by(f64::total_cmp);
            match ends.get(over - 1) {
                Some(end) => lower = lower.max(*end),
                None => return Vec::new(),
            }
        }
        let open = |end: f64| end < self.best;
        if !open(lower) {
            return Vec::new();
        }
        let before = kept;
        for (material, end) in &rises {
            if !open(*end) {
                kept |= 1 << material;
            }
        }
        if kept != before {
            let bound = lower.max(bound + self.keeping(kept & !before));
            return vec![Node { bound, allowed, kept }];
        }
        // The material whose leaving out costs most splits best: left out the bound rises, kept it narrows the rest.
        let Some((material, end)) = rises.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)) else {
            return Vec::new();
        };
        let node = Node { bound: lower, allowed, kept };
        let children = self.split(&node, material);
        if self.nodes < DIVES {
            self.descend(children[0].allowed, until);
        }
        debug_assert!(end <= children[0].bound + 1e-6 * end.abs());
        children.into()
    }

    /// A node without a material, and with it: it is used then, else the plan belongs to the other one.
    fn split(&mut self, node: &Node, material: usize) -> [Node; 2] {
        let without = node.allowed & !(1 << material);
        let left_out = (self.bound(without) + self.keeping(node.kept)).max(node.bound);
        let with = node.kept | 1 << material;
        let keeps = (self.bound(node.allowed) + self.keeping(with)).max(node.bound);
        [
            Node { bound: left_out, allowed: without, kept: node.kept },
            Node { bound: keeps, allowed: node.allowed, kept: with },
        ]
    }

    /// Among what a plan uses without having decided to keep it, what costs most to keep.
    fn undecided(&mut self, node: &Node) -> Option<usize> {
        let used = self.pricing.used(&self.mixes, node.allowed);
        members(used & !node.kept)
            .filter(|material| 0.0 < self.plant.keeping[*material])
            .max_by(|a, b| self.plant.keeping[*a].total_cmp(&self.plant.keeping[*b]))
    }
}

/// The place of the lowest bound; the first of several, so that nothing depends on chance.
fn lowest(open: &[Node]) -> Option<usize> {
    (0..open.len()).min_by(|a, b| {
        open[*a].bound.total_cmp(&open[*b].bound).then(open[*a].allowed.cmp(&open[*b].allowed))
    })
}
