//! The search over nodes, best bound first, in rounds of fixed size so that results do not depend on threads.

use super::branch::{NodeContext, NodeEffort};
use super::known_mix::KnownMix;
use super::limits::{Limits, Progress, Proof, SearchResult, Watch};
use super::node::{NodeOutcome, Processed};
use super::polish::{FEASIBLE, polished};
use crate::model::{Assignment, CutVectors, Frame, Lifting, Node, ProductRows, Rows};
use crate::parallel;
use crate::solve::local::Stopped;

/// A node that is neither closed nor split.
pub struct Open {
    /// Its proven bound.
    pub bound: f64,
    number: usize,
    /// The node.
    pub node: Node,
}

/// Nodes looked at together; fixed.
const ROUND: usize = 8;
/// What every other node may take: with separated rows, and without.
const IN_NODES: NodeEffort = NodeEffort { rounds: 3, rows: (10, 8), passes: 1, factors: Some(4) };
const IN_PLAIN_NODES: NodeEffort = NodeEffort { rounds: 0, rows: (0, 0), passes: 0, factors: Some(0) };
/// Nodes without separated rows after which a search goes over to them.
const PLAIN_NODES: usize = 40;
/// Distance of the cut-off above the goal of a mix that is carried along, relative to its size.
const JUST_ABOVE: f64 = 1e-7;
/// Nodes after which only every so many-th relaxation is polished by the local loop.
const EAGER: usize = 8;
/// The same while there is no mix yet.
const HUNGRY: usize = 256;
/// ... every so many-th.
const SELDOM: usize = 16;

/// Searches the whole space, starting from a known mix if there is one.
pub fn prove(
    frame: &Frame<'_>,
    known: Option<(Assignment, Stopped)>,
    limits: &Limits,
    watch: &Watch<'_>,
    cuts: &CutVectors,
) -> SearchResult {
    run(frame, Search::new(frame, known, limits), limits, watch, cuts)
}

/// Searches the whole space with a cut-off just above a known mix, which no row, box or bound may contradict: what does
/// is told by the mix afterwards.
pub fn prove_carrying(frame: &Frame<'_>, carried: &KnownMix, limits: &Limits) -> Proof {
    let search = Search { carried: Some(carried), ..Search::new(frame, None, limits) };
    run(frame, search, limits, &|_| {}, &CutVectors::default()).proof
}

/// Whether the relaxation of the whole space alone proves that nothing meets everything, and the programs that it took.
/// `false` says nothing.
pub fn glance(frame: &Frame<'_>, cuts: &mut CutVectors) -> (bool, usize) {
    let mut search = Search::new(frame, None, &Limits { gap: f64::INFINITY, ..Limits::default() });
    let (lifting, mut root) = whole(frame, cuts);
    if frame.stop.is_due() {
        return (false, 0);
    }
    let is_empty = lifting.is_empty || search.is_empty_at_a_glance(&lifting, &mut root);
    if let ProductRows::Separated(rows) = &root.rows {
        cuts.take(&lifting, rows);
    }
    (is_empty, search.programs)
}

/// The lifted problem and the whole space; where products are dense it begins with cuts carried from another problem.
fn whole(frame: &Frame<'_>, cuts: &CutVectors) -> (Lifting, Node) {
    let mut lifting = Lifting::new(frame);
    let mut root = Node {
        assignment: frame.undecided(),
        amounts: frame.problem.reach.columns.clone(),
        factors: lifting.boxes.clone(),
        rows: ProductRows::Every,
        start: None,
    };
    if lifting.is_dense() {
        lifting.multiply_all();
        let cuts = cuts.in_columns(&lifting);
        root.rows = ProductRows::Separated(Rows { cuts, ..Rows::default() });
    }
    (lifting, root)
}

fn run<'p>(
    frame: &Frame<'p>,
    mut search: Search<'_, 'p>,
    limits: &Limits,
    watch: &Watch<'_>,
    cuts: &CutVectors,
) -> SearchResult {
    let (mut lifting, mut root) = whole(frame, cuts);
    if frame.stop.is_due() {
        search.add(f64::NEG_INFINITY, root);
        return SearchResult { proof: search.proof(), best: search.best, cuts: CutVectors::default() };
    }
    let carried = search.carried;
    if let Some(carried) = carried {
        carried.check_boxes(frame, &lifting, &root, "the root");
    }
    if lifting.is_empty {
        // Some factor has no value that its region, its limits and the amounts all allow: nothing is left to search.
        search.nodes = 1;
    } else if search.prepare(&mut lifting, &mut root) {
        search.add(f64::NEG_INFINITY, root.clone());
    }
    let mut cuts = CutVectors::default();
    if let ProductRows::Separated(rows) = &root.rows {
        cuts.take(&lifting, rows);
    }
    let boxes = root.factors.clone();
    let ends = |search: &Search<'_, '_>| search.is_content() || search.is_spent() || frame.stop.is_due();
    while !search.open.is_empty() && search.nodes < limits.nodes && !ends(&search) {
        watch(search.progress());
        if PLAIN_NODES <= search.nodes && matches!(root.rows, ProductRows::Every) && lifting.is_worth_all() {
            search.separate_from_now_on(&mut lifting, &mut root);
        }
        let effort = if matches!(root.rows, ProductRows::Every) { IN_PLAIN_NODES } else { IN_NODES };
        let context =
            NodeContext { frame, lifting: &lifting, root: &boxes, effort, limits: *limits, known: carried };
        let (cutoff, best) = (search.cutoff(), search.best_goal());
        let (first, round) = (search.nodes, search.next_round());
        let processed = parallel::in_order(
            &round,
            |at, open| {
                let mut processed = context.process(&mut open.node.clone(), open.bound, cutoff);
                let number = first + at;
                let is_stuck = matches!(processed.outcome, NodeOutcome::Stuck(_));
                let eager = if best.is_finite() { EAGER } else { HUNGRY };
                let look = number < eager || number.is_multiple_of(SELDOM) || is_stuck;
                let look = look && carried.is_none();
                let met = processed.best.take();
                (met.or_else(|| look.then(|| polished(frame, &mut processed, best))?), processed)
            },
            |_| {},
        );
        for (polished, processed) in processed {
            search.take(processed, polished);
        }
        search.close_what_the_best_passes();
    }
    let proof = search.proof();
    SearchResult { best: search.best, proof, cuts }
}

/// A search under way.
pub struct Search<'f, 'p> {
    /// The frame.
    pub frame: &'f Frame<'p>,
    best: Option<(Assignment, Stopped)>,
    /// A mix carried along as a check.
    pub carried: Option<&'f KnownMix>,
    /// When an answer is close enough.
    pub limits: Limits,
    /// Least proven bound of the nodes closed by the cut-off.
    pub closed: f64,
    /// Bounds of the nodes that could be neither closed nor split.
    stuck: Vec<f64>,
    pub open: Vec<Open>,
    next_number: usize,
    nodes: usize,
    pub programs: usize,
}

impl<'f, 'p> Search<'f, 'p> {
    fn new(frame: &'f Frame<'p>, best: Option<(Assignment, Stopped)>, limits: &Limits) -> Self {
        Self {
            frame,
            best,
            carried: None,
            limits: *limits,
            closed: f64::INFINITY,
            stuck: Vec::new(),
            open: Vec::new(),
            next_number: 0,
            nodes: 0,
            programs: 0,
        }
    }

    fn add(&mut self, bound: f64, node: Node) {
        self.open.push(Open { bound, number: self.next_number, node });
        self.next_number += 1;
    }

    /// The open nodes with the lowest bounds; ties by age.
    fn next_round(&mut self) -> Vec<Open> {
        self.open.sort_by(|a, b| b.bound.total_cmp(&a.bound).then(b.number.cmp(&a.number)));
        let keep = self.open.len().saturating_sub(ROUND);
        self.open.drain(keep..).rev().collect()
    }

    pub fn take(&mut self, processed: Processed, polished: Option<(Assignment, Stopped)>) {
        self.nodes += 1;
        self.programs += processed.programs;
        if let Some((assignment, stop)) = polished {
            self.programs += stop.programs;
            if stop.violation <= FEASIBLE && stop.goal < self.best_goal() {
                self.best = Some((assignment, stop));
            }
        }
        match processed.outcome {
            NodeOutcome::Empty => {}
            NodeOutcome::Closed(bound) => self.closed = self.closed.min(bound),
            NodeOutcome::Stuck(bound) => self.stuck.push(bound),
            NodeOutcome::Leaves(closed, nodes) => {
                self.closed = self.closed.min(closed);
                for (bound, node) in nodes {
                    self.add(bound, node);
                }
            }
            NodeOutcome::Split(bound, nodes) => {
                let [one, other] = *nodes;
                self.add(bound, one);
                self.add(bound, other);
            }
        }
    }

    /// A better mix closes what its cut-off passes; the bounds are proven.
    pub fn close_what_the_best_passes(&mut self) {
        let cutoff = self.cutoff();
        let mut closed = self.closed;
        self.open.retain(|open| {
            let keep = open.bound < cutoff;
            if !keep {
                closed = closed.min(open.bound);
            }
            keep
        });
        self.closed = closed;
    }

    /// Whether any mix will do and there is one.
    pub fn is_content(&self) -> bool {
        self.limits.gap.is_infinite() && self.best.is_some()
    }

    /// Whether any mix will do.
    pub fn seeks_any(&self) -> bool {
        self.limits.gap.is_infinite()
    }

    /// Whether what it may take is taken.
    pub fn is_spent(&self) -> bool {
        self.limits.programs.is_some_and(|most| most <= self.programs)
    }

    pub fn best_goal(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |(_, stop)| stop.goal)
    }

    /// What a node's bound must reach to be closed; infinite while there is no mix, or where any will do, so that
    /// nothing is closed.
    pub fn cutoff(&self) -> f64 {
        if let Some(carried) = self.carried {
            return carried.goal + JUST_ABOVE * (1.0 + carried.goal.abs());
        }
        match &self.best {
            Some((_, stop)) if self.limits.gap.is_finite() => self.limits.cutoff(self.frame, stop.goal),
            _ => f64::INFINITY,
        }
    }

    /// The proven bound: the least over open, stuck and closed nodes, and never above the best.
    fn bound(&self) -> f64 {
        let open = self.open.iter().map(|open| open.bound).fold(f64::INFINITY, f64::min);
        let stuck = self.stuck.iter().copied().fold(f64::INFINITY, f64::min);
        open.min(stuck).min(self.closed).min(self.best_goal())
    }

    fn progress(&self) -> Progress {
        Progress { best: self.best_goal(), bound: self.bound(), nodes: self.nodes }
    }

    fn proof(&self) -> Proof {
        let cutoff = self.cutoff();
        let open = self.open.len() + self.stuck.iter().filter(|bound| **bound < cutoff).count();
        Proof { bound: self.bound(), complete: open == 0, nodes: self.nodes, open, programs: self.programs }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Sources;
    use crate::model::relaxation;
    use crate::problem::{Problem, build};
    use crate::solve::branch_and_bound::node::Known;
    use crate::solve::outcome::Outcome;

    fn by_hand() -> Problem {
        problem(include_str!("../../../problems/01-by-hand.yaml"))
    }

    fn problem(text: &str) -> Problem {
        let mut sources = Sources::default();
        let source = sources.add("statement.yaml", text);
        let Ok((statement, _)) = crate::statement::read(&sources, source) else { panic!("it is read") };
        let Ok((problem, _)) = build(&statement, &sources) else { panic!("it is right") };
        problem
    }

    fn whole(frame: &Frame<'_>) -> Node {
        Node { rows: ProductRows::Every, ..super::whole(frame, &CutVectors::default()).1 }
    }

    fn stop(goal: f64) -> Stopped {
        Stopped {
            mix: Vec::new(),
            goal,
            violation: 0.0,
            linearisation_error: 0.0,
            settled: true,
            programs: 0,
        }
    }

    #[test]
    fn without_a_mix_nothing_is_closed_and_nothing_proven() {
        let problem = by_hand();
        let frame = Frame::new(&problem);
        for gap in [0.0, 1e-3, f64::INFINITY] {
            let mut search = Search::new(&frame, None, &Limits { gap, ..Limits::default() });
            search.add(1.0, whole(&frame));
            search.add(f64::INFINITY, whole(&frame));
            search.close_what_the_best_passes();
            assert_eq!(search.cutoff(), f64::INFINITY);
            assert!(!search.is_content());
            let proof = search.proof();
            assert!(!proof.complete && proof.open == 1, "{proof:?}");
            assert_eq!(proof.bound, 1.0);
        }
    }

    #[test]
    fn the_bound_is_the_least_of_what_is_open_stuck_or_cut_off() {
        let problem = by_hand();
        let frame = Frame::new(&problem);
        let closed = |search: &mut Search<'_, '_>| {
            let node_outcome = NodeOutcome::Closed(search.cutoff());
            search.take(
                Processed {
                    outcome: node_outcome,
                    candidate: None,
                    best: None,
                    programs: 0,
                    has_basis: false,
                },
                None,
            );
        };
        let limits = Limits { gap: 0.01, ..Limits::default() };
        let mut search = Search::new(&frame, Some((Vec::new(), stop(2.0))), &limits);
        let cutoff = search.cutoff();
        assert!((cutoff - 1.98).abs() < 1e-12);
        closed(&mut search);
        // Closed by the cut-off: no more than the cut-off is proven, though nothing is left open.
        assert_eq!(search.bound(), cutoff);
        assert!(search.proof().complete);
        search.add(1.5, whole(&frame));
        assert_eq!(search.bound(), 1.5);
        assert!(!search.proof().complete);
        search.open.clear();
        search.stuck.push(1.7);
        assert_eq!(search.bound(), 1.7);
        assert!(!search.proof().complete, "a node that could not be split is still open");
    }

    #[test]
    fn a_part_whose_program_fails_is_split_and_never_closed() {
        let problem = problem(include_str!("../../../problems/00-reference-repair.yaml"));
        let frame = Frame::new(&problem);
        let lifting = Lifting::new(&frame);
        let context = NodeContext {
            frame: &frame,
            lifting: &lifting,
            root: &lifting.boxes,
            effort: IN_NODES,
            limits: Limits::default(),
            known: None,
        };
        let relaxed = relaxation(&frame, &lifting, &whole(&frame));
        // The last is a false claim: multipliers do not confirm it.
        for outcome in [Outcome::Failed("singular".to_owned()), Outcome::Unbounded, Outcome::Infeasible] {
            let known =
                Known { bound: 0.5, cutoff: 1.0, certified: None, work: context.work(&whole(&frame)) };
            let node_outcome = context.settle(&whole(&frame), &relaxed, &outcome, &known).outcome;
            assert!(
                matches!(node_outcome, NodeOutcome::Split(bound, _) if bound == 0.5),
                "{outcome:?} led to {node_outcome:?}"
            );
        }
    }
}
