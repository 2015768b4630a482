//! A node's program at its optimum, with the rows that its point asked for.
//!
//! What enters: a node. What leaves: its relaxation, solved, with rows separated as long as that pays; the node keeps those
//! that are tight. What follows from an optimum is not known here.

use std::sync::Arc;

use super::branch::NodeContext;
use super::certificate::{bound_by, is_impossible_by};
use super::known_mix::KnownMix;
use crate::model::{
    Node, ProductRows, Program, Relaxation, Row, RowOrigin, Rows, add_rows, relaxation, separate_cuts,
};
use crate::solve::dense_simplex::{DenseSimplex, Ending};
use crate::solve::engine::solve_program;
use crate::solve::outcome::Outcome;

/// A program at its optimum, ready for more rows and other goals.
pub struct Warm {
    /// The program and its basis.
    pub simplex: DenseSimplex,
    /// The optimum.
    pub point: Vec<f64>,
    /// The objective there.
    pub objective: f64,
}

impl Warm {
    /// The bound that the basis proves, if it closes the gap to the objective.
    pub fn certified(&self) -> Option<f64> {
        let bound = bound_by(self.simplex.program(), &self.simplex.multipliers());
        (self.objective - 1e-7 * self.objective.abs().max(1.0) <= bound).then_some(bound)
    }
}

/// A program's outcome.
pub enum Solved {
    /// An optimum ready for more.
    Warm(Box<Warm>),
    /// No point: proven by multipliers.
    Empty,
    /// What the engines said.
    Cold(Outcome),
}

impl Solved {
    /// What a basis goes on to; `None` if that does not stand up.
    fn by(simplex: DenseSimplex, rows: &[Row]) -> Option<Self> {
        Self::by_steps(simplex, rows).map_or_else(
            |lost| {
                // Roundings have gathered in the table: it is made anew where it stands.
                let again = DenseSimplex::begun(lost.program(), &lost.basis())?;
                Self::by_steps(again, rows).ok()
            },
            Some,
        )
    }

    fn by_steps(mut simplex: DenseSimplex, rows: &[Row]) -> Result<Self, Box<DenseSimplex>> {
        match simplex.optimise_among(rows) {
            Ending::Optimal => {
                let point = simplex.point();
                let objective = simplex.program().objective(&point);
                Ok(Self::Warm(Box::new(Warm { simplex, point, objective })))
            }
            Ending::Infeasible(multipliers) if is_impossible_by(simplex.program(), &multipliers) => {
                Ok(Self::Empty)
            }
            Ending::Infeasible(_) | Ending::Lost => Err(Box::new(simplex)),
        }
    }

    fn point(&self) -> Option<&[f64]> {
        match self {
            Self::Warm(warm) => Some(&warm.point),
            Self::Cold(Outcome::Optimal(point, _)) => Some(point),
            Self::Empty | Self::Cold(_) => None,
        }
    }
}

/// What processing a node has taken.
#[derive(Clone, Copy, Debug)]
pub struct Work<'k> {
    /// Programs solved.
    pub programs: usize,
    /// The known mix, where a run carries one and the node holds it.
    pub carried: Option<&'k KnownMix>,
}

/// Most rounds of tangents to convex conditions at the program's point.
const CUT_ROUNDS: usize = 6;
/// Relative gain of a round of separation below which it is slow, and rounds that may be slow in a row.
const SLOW: f64 = 1e-5;
const SLOW_ROUNDS: usize = 2;

impl NodeContext<'_, '_> {
    /// What processing a node has taken so far: nothing, and the known mix if the node holds it.
    pub fn work(&self, node: &Node) -> Work<'_> {
        let carried = self.known.filter(|known| known.is_in(self.frame, self.lifting, node));
        Work { programs: 0, carried }
    }

    /// Checks that a tightened node still holds the known mix.
    pub fn check_boxes(&self, node: &Node, work: &Work<'_>, by: &str) {
        if let Some(known) = work.carried {
            known.check_boxes(self.frame, self.lifting, node, by);
        }
    }

    /// Solves a node's program, separating rows as long as that pays. It goes on from a solved program of the node before
    /// it was tightened, or else from that of the node it is a part of.
    pub fn converge(
        &self,
        node: &mut Node,
        before: Option<DenseSimplex>,
        cutoff: f64,
        work: &mut Work<'_>,
    ) -> (Relaxation, Solved) {
        let (mut relaxed, mut solved) = self.solved(node, before, work);
        let mut slow = 0;
        for _ in 0..self.effort.rounds {
            let (Solved::Warm(warm), ProductRows::Separated(rows)) = (&solved, &mut node.rows) else { break };
            let before = warm.objective;
            if cutoff <= before || SLOW_ROUNDS < slow || self.frame.stop.is_due() {
                break;
            }
            let fresh = Rows::separated(self.lifting, &node.factors, &relaxed, &warm.point, self.effort.rows);
            if fresh.is_empty() {
                break;
            }
            rows.extend(fresh.clone());
            let old = relaxed.program.rows.len();
            let next = self.with_rows(node, &mut relaxed, &fresh, warm, work);
            let goal = match &next {
                Solved::Warm(warm) => warm.objective,
                Solved::Empty => f64::INFINITY,
                // An engine that loses its footing on the new rows: the old ones stand.
                Solved::Cold(_) => {
                    relaxed.program.rows.truncate(old);
                    break;
                }
            };
            let gain = goal - before;
            slow = if gain < SLOW * before.abs().max(1e-9) { slow + 1 } else { 0 };
            solved = next;
        }
        if let Solved::Warm(warm) = &solved {
            if let ProductRows::Separated(rows) = &mut node.rows {
                rows.keep_tight(self.lifting, &node.factors, &relaxed, &warm.point);
            }
            node.start = Some(Arc::new((warm.simplex.basis(), node.assignment.clone())));
        }
        (relaxed, solved)
    }

    /// A solved program with a few more rows.
    fn with_rows(
        &self,
        node: &Node,
        relaxed: &mut Relaxation,
        fresh: &Rows,
        warm: &Warm,
        work: &mut Work<'_>,
    ) -> Solved {
        add_rows(self.frame, self.lifting, node, relaxed, fresh);
        self.check_program(node, &relaxed.program, work);
        work.programs += 1;
        let mut simplex = warm.simplex.clone();
        simplex.drop_slack_rows();
        Solved::by(simplex, &relaxed.program.rows)
            .unwrap_or_else(|| Solved::Cold(solve_program(&relaxed.program)))
    }

    /// A node's program, solved, with tangents to the convex conditions that its point missed.
    fn solved(&self, node: &Node, before: Option<DenseSimplex>, work: &mut Work<'_>) -> (Relaxation, Solved) {
        let mut relaxed = relaxation(self.frame, self.lifting, node);
        work.programs += 1;
        let mut solved = self.go_on(node, before, &relaxed.program);
        for _ in 0..CUT_ROUNDS {
            let Some(point) = solved.point() else { break };
            if !separate_cuts(self.frame, self.lifting, node, &mut relaxed, point) {
                break;
            }
            work.programs += 1;
            let before = match solved {
                Solved::Warm(warm) => Some(warm.simplex),
                Solved::Empty | Solved::Cold(_) => None,
            };
            solved = self.go_on(node, before, &relaxed.program);
        }
        self.check_program(node, &relaxed.program, work);
        if let Solved::Warm(warm) = &solved {
            self.check_program(node, warm.simplex.program(), work);
        }
        (relaxed, solved)
    }

    /// A program solved from where another one stood, with the rows that this one misses; else from all its rows, else by
    /// the engines.
    fn go_on(&self, node: &Node, before: Option<DenseSimplex>, program: &Program) -> Solved {
        if program.fault().is_some() {
            return Solved::Cold(solve_program(program));
        }
        let from_before = |simplex: DenseSimplex| {
            let mut simplex = simplex.within(&program.columns)?;
            simplex.drop_slack_rows();
            Some(simplex)
        };
        let from_parent = || {
            let (basis, assignment) = &**node.start.as_ref()?;
            let choices = self.frame.decisions.choices();
            let first = self.frame.problem.mixture.columns.len();
            DenseSimplex::begun(program, &basis.narrowed((assignment, &node.assignment), choices, first)?)
        };
        let begun = match before {
            Some(simplex) => from_before(simplex),
            None => from_parent().or_else(|| DenseSimplex::without_rows(program)),
        };
        begun
            .and_then(|simplex| Solved::by(simplex, &program.rows))
            .or_else(|| DenseSimplex::new(program.clone()).and_then(|simplex| Solved::by(simplex, &[])))
            .unwrap_or_else(|| Solved::Cold(solve_program(program)))
    }

    /// Checks that a known mix meets every row of a program of its node.
    fn check_program(&self, node: &Node, program: &Program, work: &Work<'_>) {
        if let Some(known) = work.carried {
            known.check_program(self.frame, self.lifting, node, program);
        }
    }
}

/// The objective as a row: only what beats the cut-off is of interest.
pub fn with_cutoff(mut program: Program, cutoff: f64) -> Program {
    if let Some(row) = cutoff_row(&program, cutoff) {
        program.rows.push(row);
    }
    program
}

/// The row that says it; none without a cut-off.
pub fn cutoff_row(program: &Program, cutoff: f64) -> Option<Row> {
    if !cutoff.is_finite() {
        return None;
    }
    let costly = program.columns.iter().enumerate().filter(|(_, column)| column.cost != 0.0);
    let terms: Vec<(usize, f64)> = costly.map(|(index, column)| (index, column.cost)).collect();
    let mut scratch = Program::default();
    let most = cutoff - program.offset;
    scratch.add_row(RowOrigin::Derived, "better than the best", terms, f64::NEG_INFINITY, most);
    scratch.rows.pop()
}
