//! Lowering the exact part of a problem, and raising points back: scaling, decisions, volume, linear rows.
//!
//! Column j of a program is column j of the mix divided by a power of two near its largest value, so that
//! every column runs over about 0 .. 1 and coefficients stay near one. Undecided switches follow as columns
//! between 0 and 1.

use crate::listed::Id;
use std::sync::OnceLock;

use super::needed::{must_be_exact, needed};
use super::program::{Program, RowOrigin, power_of_two};
use crate::mixture::{Affine, Counted};
use crate::parallel::Stop;
use crate::problem::{ConditionOrigin, DecisionRange, Form, Origin, Problem};

/// What decisions may still be: for each switch, then for each counted addition that must be exact, then for each count
/// of steps.
///
/// A switch at 1 means used. A counted addition at 1 means its cap counts.
pub type Assignment = Vec<DecisionRange>;

/// Which decisions a problem has.
#[derive(Clone, Debug)]
pub struct Decisions {
    /// Number of switches.
    pub switches: usize,
    /// Counted additions whose value must be exact, in the order of their decisions.
    pub exact: Vec<Id<Counted>>,
    /// Number of materials in steps.
    pub counts: usize,
}

impl Decisions {
    /// Number of choices: all decisions but counts, which come last.
    pub fn choices(&self) -> usize {
        self.switches + self.exact.len()
    }
}

/// The conversion between a problem and its programs.
#[derive(Clone, Debug)]
pub struct Frame<'p> {
    /// The problem.
    pub problem: &'p Problem,
    /// Mix column j = scale j x program column j.
    pub scales: Vec<f64>,
    /// Objective of the problem = goal scale x objective of the program.
    pub goal_scale: f64,
    /// Which decisions there are.
    pub decisions: Decisions,
    /// When work on this problem has to end; every program of it knows.
    pub stop: Stop,
    /// Which conditions a program must state: the others follow from the reach and from these.
    /// Found out when a program is made: much is asked of a frame that needs no program.
    needed: OnceLock<Vec<bool>>,
}

impl<'p> Frame<'p> {
    /// The frame of a problem.
    pub fn new(problem: &'p Problem) -> Self {
        let scales: Vec<f64> = problem
            .reach
            .columns
            .iter()
            .map(|(low, high)| power_of_two(low.abs().max(high.abs()).max(1e-4)))
            .collect();
        let goal = problem.goal.to_minimise();
        let largest =
            goal.terms.iter().map(|(column, factor)| (factor * scales[*column]).abs()).fold(0.0, f64::max);
        let goal_scale = if largest > 0.0 { power_of_two(largest) } else { 1.0 };
        let exact = problem.mixture.counted.ids().filter(|index| must_be_exact(problem, *index)).collect();
        Self {
            problem,
            scales,
            goal_scale,
            decisions: Decisions { switches: problem.switches.len(), exact, counts: problem.counts.len() },
            stop: Stop::NEVER,
            needed: OnceLock::new(),
        }
    }

    /// The same frame, on which work has to end.
    #[must_use]
    pub fn until(self, stop: Stop) -> Self {
        Self { stop, ..self }
    }

    /// An assignment with nothing decided.
    pub fn undecided(&self) -> Assignment {
        let counts = self.problem.counts.iter().map(|count| count.range);
        std::iter::repeat_n(DecisionRange::OPEN, self.decisions.choices()).chain(counts).collect()
    }

    /// The exact part: goal, volume, linear conditions, decisions. Undecided switches are whole-number columns
    /// if `whole`, else continuous between 0 and 1.
    pub fn exact_part(&self, assignment: &[DecisionRange], whole: Wholeness) -> Program {
        self.part(assignment, whole, |index, _| self.needed.get_or_init(|| needed(self.problem))[index])
    }

    /// The exact part with whole decisions, nothing decided and every row stated, also those that follow from others.
    pub fn complete_part(&self) -> Program {
        self.part(&self.undecided(), Wholeness::Whole, |_, _| true)
    }

    /// The exact part of what the author asked for, relaxed and with nothing decided: no regions of responses.
    ///
    /// Every limit is stated, since one that follows from a region does not follow without it.
    pub fn without_regions(&self) -> Program {
        self.part(&self.undecided(), Wholeness::Relaxed, |_, origin| !matches!(origin, Origin::Region { .. }))
    }

    fn part(
        &self,
        assignment: &[DecisionRange],
        whole: Wholeness,
        stated: impl Fn(usize, Origin) -> bool,
    ) -> Program {
        let mut program = Program { stop: self.stop, ..Program::default() };
        let goal = self.problem.goal.to_minimise();
        let columns = &self.problem.mixture.columns;
        for ((column, (low, high)), scale) in
            columns.iter().zip(&self.problem.reach.columns).zip(&self.scales)
        {
            program.add_column(column.label.clone(), low / scale, high / scale, 0.0);
        }
        for (column, factor) in &goal.terms {
            program.columns[*column].cost = factor * self.scales[*column] / self.goal_scale;
        }
        program.offset = goal.constant / self.goal_scale;
        self.row(&mut program, (RowOrigin::Volume, "volume"), &self.problem.reach.balance, 0.0, 0.0);
        for (index, condition) in self.problem.conditions.iter().enumerate() {
            let Form::Linear(affine) = &condition.form else { continue };
            let ConditionOrigin::Requirement(at) = condition.origin else {
                let row = (RowOrigin::Divisor, "something divides by it");
                self.row(&mut program, row, affine, 0.0, f64::INFINITY);
                continue;
            };
            let requirement = &self.problem.requirements[at];
            if stated(index, requirement.origin) {
                let row = (RowOrigin::Requirement(at), requirement.name.as_str());
                self.row(&mut program, row, affine, 0.0, f64::INFINITY);
            }
        }
        let switches = self.add_switches(&mut program, assignment, whole);
        self.add_logic(&mut program, assignment, &switches);
        self.add_needs(&mut program, assignment, &switches);
        self.add_counted(&mut program, &assignment[self.decisions.switches..], whole);
        self.add_counts(&mut program, &assignment[self.decisions.choices()..], whole);
        program
    }

    /// The exact part with every limit elastic and the goal forgotten: its optimum violates least in sum.
    ///
    /// Volume, the amounts a material may have, and choices stay hard where they can.
    pub fn elastic_part(&self) -> Program {
        let mut program = self.exact_part(&self.undecided(), Wholeness::Whole);
        for column in &mut program.columns {
            column.cost = 0.0;
        }
        let columns = program.columns.len();
        let mut extra = columns;
        for row in &mut program.rows {
            if matches!(row.origin, RowOrigin::Requirement(_)) {
                row.terms.push((extra, 1.0));
                extra += 1;
            }
        }
        for _ in columns..extra {
            program.add_column("short", 0.0, f64::INFINITY, 1.0);
        }
        program
    }

    /// Adds `low <= affine <= high` over the mix.
    pub fn row(
        &self,
        program: &mut Program,
        (origin, label): (RowOrigin, &str),
        affine: &Affine,
        low: f64,
        high: f64,
    ) {
        let terms =
            affine.terms.iter().map(|(column, factor)| (*column, factor * self.scales[*column])).collect();
        program.add_row(origin, label.to_owned(), terms, low - affine.constant, high - affine.constant);
    }

    /// The mix of a program's point: unscaled, and every dependent column recomputed.
    pub fn raise(&self, point: &[f64]) -> Vec<f64> {
        let mut mix: Vec<f64> = point.iter().zip(&self.scales).map(|(value, scale)| value * scale).collect();
        // A solver's dust is no material: what lies within rounding of a bound is at the bound.
        for (value, (low, high)) in mix.iter_mut().zip(&self.problem.reach.columns) {
            let dust = 1e-10 * (high - low).abs().max(1e-9);
            if (*value - low).abs() <= dust {
                *value = *low;
            } else if (*value - high).abs() <= dust {
                *value = *high;
            }
        }
        self.problem.mixture.settle(&mut mix);
        self.problem.settle_level(&mut mix);
        mix
    }

    /// The largest distance between two mixes along any column, in program units.
    pub fn distance(&self, from: &[f64], to: &[f64]) -> f64 {
        from.iter().zip(to).zip(&self.scales).map(|((a, b), scale)| (a - b).abs() / scale).fold(0.0, f64::max)
    }
}

/// Whether undecided decisions are whole numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wholeness {
    /// Whole.
    Whole,
    /// Continuous between their ends.
    Relaxed,
}
