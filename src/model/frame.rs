//! Lowering the exact part of a problem, and raising points back: scaling, decisions, volume, linear rows.
//!
//! Column j of a program is column j of the mix divided by a power of two near its largest value, so that
//! every column runs over about 0 .. 1 and coefficients stay near one. Undecided switches follow as columns
//! between 0 and 1.

use super::program::{Program, power_of_two};
use crate::material::Use;
use crate::mixture::Affine;
use crate::problem::{Form, Origin, Problem};

/// Decisions taken: for each switch, then for each counted addition that must be exact; `None` is undecided.
///
/// A switch decided `true` means used. A counted addition decided `true` means its cap counts.
pub type Assignment = Vec<Option<bool>>;

/// Which decisions a problem has.
#[derive(Clone, Debug)]
pub struct Decisions {
    /// Number of switches.
    pub switches: usize,
    /// Counted additions whose value must be exact, in the order of their decisions.
    pub exact: Vec<usize>,
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
    /// Which conditions a program must state: the others follow from the reach and from these.
    needed: Vec<bool>,
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
        let exact =
            (0..problem.mixture.counted.len()).filter(|index| must_be_exact(problem, *index)).collect();
        Self {
            problem,
            scales,
            goal_scale,
            decisions: Decisions { switches: problem.switches.len(), exact },
            needed: needed(problem),
        }
    }

    /// An assignment with nothing decided.
    pub fn undecided(&self) -> Assignment {
        vec![None; self.decisions.switches + self.decisions.exact.len()]
    }

    /// The exact part: goal, volume, linear conditions, decisions. Undecided switches are whole-number columns
    /// if `whole`, else continuous between 0 and 1.
    pub fn exact_part(&self, assignment: &[Option<bool>], whole: Wholeness) -> Program {
        self.part(assignment, whole, |index, _| self.needed[index])
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
        assignment: &[Option<bool>],
        whole: Wholeness,
        stated: impl Fn(usize, Origin) -> bool,
    ) -> Program {
        let mut program = Program::default();
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
        self.row(&mut program, "volume", &self.problem.reach.balance, 0.0, 0.0);
        for (index, condition) in self.problem.conditions.iter().enumerate() {
            let Form::Linear(affine) = &condition.form else { continue };
            let Some(requirement) = self.problem.requirements.get(condition.requirement) else {
                self.row(&mut program, "something divides by it", affine, 0.0, f64::INFINITY);
                continue;
            };
            if stated(index, requirement.origin) {
                self.row(&mut program, &requirement.name, affine, 0.0, f64::INFINITY);
            }
        }
        let switches = self.add_switches(&mut program, assignment, whole);
        self.add_logic(&mut program, assignment, &switches);
        self.add_needs(&mut program, assignment, &switches);
        self.add_counted(&mut program, &assignment[self.decisions.switches..], whole);
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
        let names: Vec<&str> = self.problem.requirements.iter().map(|r| r.name.as_str()).collect();
        let columns = program.columns.len();
        let mut extra = columns;
        for row in &mut program.rows {
            if names.contains(&row.label.as_str()) {
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
    pub fn row(&self, program: &mut Program, label: &str, affine: &Affine, low: f64, high: f64) {
        let terms =
            affine.terms.iter().map(|(column, factor)| (*column, factor * self.scales[*column])).collect();
        program.add_row(label, terms, low - affine.constant, high - affine.constant);
    }

    /// Adds a row over the mix and one extra program column with its own coefficient.
    fn row_with(&self, program: &mut Program, label: &str, affine: &Affine, extra: (usize, f64)) {
        let mut terms: Vec<(usize, f64)> =
            affine.terms.iter().map(|(column, factor)| (*column, factor * self.scales[*column])).collect();
        terms.push(extra);
        program.add_row(label, terms, -affine.constant, f64::INFINITY);
    }

    /// Column of each undecided switch; the others are settled by bounds and rows.
    fn add_switches(
        &self,
        program: &mut Program,
        assignment: &[Option<bool>],
        whole: Wholeness,
    ) -> Vec<Option<usize>> {
        let mut indices = Vec::with_capacity(self.problem.switches.len());
        for (switch, decided) in self.problem.switches.iter().zip(assignment) {
            let material = switch.material;
            let name = self.problem.mixture.columns[material].label.clone();
            match decided {
                Some(false) => {
                    program.columns[material].low = 0.0;
                    program.columns[material].high = 0.0;
                    indices.push(None);
                }
                Some(true) => {
                    self.add_used_bounds(program, switch, &name);
                    indices.push(None);
                }
                None => {
                    let y = program.add_column(format!("use {name}"), 0.0, 1.0, 0.0);
                    program.columns[y].integer = whole == Wholeness::Whole;
                    indices.push(Some(y));
                    self.link(program, switch, y, &name);
                }
            }
        }
        indices
    }

    fn add_used_bounds(&self, program: &mut Program, switch: &crate::problem::Switch, name: &str) {
        let Some(bounds) = &switch.bounds else { return };
        let x = Affine::column(switch.material);
        let base = self.base(&bounds.by);
        if let Some(low) = bounds.low {
            self.row(program, &format!("least {name}"), &x.clone().plus(-low, &base), 0.0, f64::INFINITY);
        }
        if let Some(high) = bounds.high {
            self.row(program, &format!("most {name}"), &base.times(high).plus(-1.0, &x), 0.0, f64::INFINITY);
        }
    }

    /// What bounds by amount or dose multiply: one, or the mass of a base.
    fn base(&self, by: &Use) -> Affine {
        match by {
            Use::Dose(base) => self.problem.mixture.base(*base),
            Use::Amount | Use::Share(_) => Affine::constant(1.0),
        }
    }

    /// `x <= high y`, `x >= low - low most (1 - y)`: as tight as the reach allows.
    fn link(&self, program: &mut Program, switch: &crate::problem::Switch, y: usize, name: &str) {
        let x = Affine::column(switch.material);
        let most = self.problem.reach.columns[switch.material].1;
        self.row_with(program, &format!("{name} only if used"), &x.times(-1.0), (y, most));
        let Some(bounds) = &switch.bounds else { return };
        let base = self.base(&bounds.by);
        if let Some(low) = bounds.low {
            let largest = low * self.problem.reach.of_affine(&base).high();
            let affine = x.clone().plus(-low, &base).plus(1.0, &Affine::constant(largest));
            self.row_with(program, &format!("least {name} if used"), &affine, (y, -largest));
        }
        if let (Some(high), Use::Dose(_)) = (bounds.high, &bounds.by) {
            self.row(program, &format!("most {name}"), &base.times(high).plus(-1.0, &x), 0.0, f64::INFINITY);
        }
    }

    fn add_logic(&self, program: &mut Program, assignment: &[Option<bool>], switches: &[Option<usize>]) {
        for logic in &self.problem.logic {
            let mut decided = 0.0;
            let mut terms = Vec::new();
            for (switch, factor) in &logic.terms {
                match (assignment[*switch], switches[*switch]) {
                    (Some(true), _) => decided += factor,
                    (None, Some(column)) => terms.push((column, *factor)),
                    _ => {}
                }
            }
            // With everything decided the row is a plain statement about numbers: it stays, so that an assignment
            // against the logic is an infeasible program.
            if terms.is_empty() && logic.low - 1e-9 <= decided && decided <= logic.high + 1e-9 {
                continue;
            }
            terms.sort_by_key(|(column, _)| *column);
            program.add_row(logic.name.clone(), terms, logic.low - decided, logic.high - decided);
        }
    }

    fn add_needs(&self, program: &mut Program, assignment: &[Option<bool>], switches: &[Option<usize>]) {
        for need in &self.problem.needs {
            let base = self.base(&need.by);
            let row = Affine::column(need.material).plus(-need.least, &base);
            match (assignment[need.switch], switches[need.switch]) {
                (Some(true), _) => self.row(program, &need.name, &row, 0.0, f64::INFINITY),
                (None, Some(y)) => {
                    let largest = need.least * self.problem.reach.of_affine(&base).high();
                    self.row_with(
                        program,
                        &need.name,
                        &row.plus(1.0, &Affine::constant(largest)),
                        (y, -largest),
                    );
                }
                _ => {}
            }
        }
    }

    /// `counted = min(addition, cap)`: at most both; equal to the one decided where it must be exact.
    fn add_counted(&self, program: &mut Program, decided: &[Option<bool>], whole: Wholeness) {
        for (index, counted) in self.problem.mixture.counted.iter().enumerate() {
            let column = Affine::column(counted.column).times(-1.0);
            let label = self.problem.mixture.columns[counted.column].label.clone();
            let below_addition = column.clone().plus(1.0, &counted.addition);
            let below_cap = column.plus(1.0, &counted.cap);
            let decision =
                self.decisions.exact.iter().position(|exact| *exact == index).map(|at| decided[at]);
            let upper = |is_exact| if is_exact { 0.0 } else { f64::INFINITY };
            self.row(program, &label, &below_addition, 0.0, upper(decision == Some(Some(false))));
            self.row(program, &label, &below_cap, 0.0, upper(decision == Some(Some(true))));
            if decision == Some(None) {
                let z = program.add_column(format!("cap of {label}"), 0.0, 1.0, 0.0);
                program.columns[z].integer = whole == Wholeness::Whole;
                let most_addition = self.problem.reach.of_affine(&below_addition).high();
                let most_cap = self.problem.reach.of_affine(&below_cap).high();
                self.row_with(program, &label, &below_addition.times(-1.0), (z, most_addition));
                let shifted = below_cap.times(-1.0).plus(1.0, &Affine::constant(most_cap));
                self.row_with(program, &label, &shifted, (z, -most_cap));
            }
        }
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
    /// Continuous between 0 and 1.
    Relaxed,
}

/// Marks the linear conditions that do not follow from the reach or from another marked one.
///
/// Responses share factors, so the same region often stands in several of them.
fn needed(problem: &Problem) -> Vec<bool> {
    let mut needed = vec![true; problem.conditions.len()];
    let affine = |index: usize| match &problem.conditions[index].form {
        Form::Linear(affine) => Some(affine),
        Form::Curved(_) => None,
    };
    // What is negative at some mix in reach is not worth a bound over all of them.
    let samples = problem.reach.samples();
    let values = |affine: &Affine| samples.iter().map(|mix| affine.at(mix)).collect::<Vec<f64>>();
    let sampled: Vec<Option<Vec<f64>>> = (0..needed.len()).map(|index| affine(index).map(values)).collect();
    let never_below =
        |one: &[f64], other: &[f64]| one.iter().zip(other).all(|(a, b)| -1e-9 * (a.abs() + b.abs()) <= a - b);
    let zeros = vec![0.0; samples.len()];
    let is_never_negative = |affine: &Affine| 0.0 <= problem.reach.of_affine(affine).low();
    for index in 0..needed.len() {
        let (Some(row), Some(at)) = (affine(index), &sampled[index]) else { continue };
        let follows = |other: usize| {
            other != index
                && sampled[other].as_ref().is_some_and(|kept| never_below(at, kept))
                && affine(other).is_some_and(|kept| is_never_negative(&row.clone().plus(-1.0, kept)))
        };
        let holds = never_below(at, &zeros) && is_never_negative(row);
        needed[index] = !holds && !(0..needed.len()).any(|other| needed[other] && follows(other));
    }
    needed
}

/// A counted addition may stay an inequality only where more of it can never hurt.
fn must_be_exact(problem: &Problem, index: usize) -> bool {
    let column = problem.mixture.counted[index].column;
    let curved = problem.conditions.iter().any(|condition| matches!(condition.form, Form::Curved(_)));
    let in_curved = curved
        && problem.responses.iter().flat_map(|response| &response.factors).any(|factor| {
            matches!(&factor.source, crate::response::Source::Quantity(quantity) if mentions(&quantity.measure, column))
        });
    let hurts = problem.conditions.iter().any(|condition| match &condition.form {
        Form::Linear(affine) => affine.terms.iter().any(|(known, factor)| *known == column && *factor < 0.0),
        Form::Curved(_) => false,
    });
    let in_goal = problem.goal.objective.terms.iter().any(|(known, _)| *known == column);
    in_curved || hurts || in_goal
}

fn mentions(measure: &crate::mixture::Measure, column: usize) -> bool {
    let in_affine = |affine: &Affine| affine.terms.iter().any(|(known, _)| *known == column);
    match measure {
        crate::mixture::Measure::Linear(affine) => in_affine(affine),
        crate::mixture::Measure::Ratio(ratio) => in_affine(&ratio.numerator) || in_affine(&ratio.denominator),
    }
}
