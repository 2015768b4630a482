//! Lowering decisions: use of materials, logic between them, counted additions, amounts in steps.
//!
//! What enters: a [`Frame`] and the range each decision still has. What leaves: columns and rows of a program, as tight as
//! the reach allows. Which choices are worth a look nothing here knows.

use super::frame::{Frame, Wholeness};
use super::program::{Program, RowOrigin};
use crate::listed::Id;
use crate::mixture::Affine;
use crate::problem::{DecisionRange, Switch, Taken};

impl Frame<'_> {
    /// Adds a row over the mix and one extra program column with its own coefficient.
    fn row_with(
        &self,
        program: &mut Program,
        (origin, label): (RowOrigin, &str),
        affine: &Affine,
        extra: (usize, f64),
    ) {
        let mut terms: Vec<(usize, f64)> =
            affine.terms.iter().map(|(column, factor)| (*column, factor * self.scales[*column])).collect();
        terms.push(extra);
        program.add_row(origin, label.to_owned(), terms, -affine.constant, f64::INFINITY);
    }

    /// Column of each undecided switch; the others are settled by bounds and rows.
    pub(super) fn add_switches(
        &self,
        program: &mut Program,
        assignment: &[DecisionRange],
        whole: Wholeness,
    ) -> Vec<Option<usize>> {
        let mut indices = Vec::with_capacity(self.problem.switches.len());
        for ((index, switch), decided) in self.problem.switches.named().zip(assignment) {
            let material = switch.material;
            let name = self.problem.mixture.columns[material.index()].label.clone();
            match decided.choice() {
                Some(Taken::No) => {
                    program.columns[material.index()].low = 0.0;
                    program.columns[material.index()].high = 0.0;
                    indices.push(None);
                }
                Some(Taken::Yes) => {
                    self.add_used_bounds(program, index, switch, &name);
                    indices.push(None);
                }
                None => {
                    let y = program.add_column(format!("use {name}"), 0.0, 1.0, 0.0);
                    program.columns[y].integer = whole == Wholeness::Whole;
                    indices.push(Some(y));
                    self.link(program, index, y, &name);
                }
            }
        }
        indices
    }

    fn add_used_bounds(&self, program: &mut Program, index: Id<Switch>, switch: &Switch, name: &str) {
        let Some(bounds) = &switch.bounds else { return };
        let origin = RowOrigin::Use(index);
        if let Some(low) = bounds.low {
            let named = (origin, &*format!("least {name}"));
            self.row(program, named, &bounds.used.above(low), 0.0, f64::INFINITY);
        }
        if let Some(high) = bounds.high {
            let named = (origin, &*format!("most {name}"));
            self.row(program, named, &bounds.used.below(high), 0.0, f64::INFINITY);
        }
    }

    /// `x <= most y`, `part >= low base - low most (1 - y)`: as tight as the reach allows.
    fn link(&self, program: &mut Program, index: Id<Switch>, y: usize, name: &str) {
        let switch = &self.problem.switches[index];
        let origin = RowOrigin::Use(index);
        let x = Affine::amount(switch.material);
        let most = self.problem.reach.columns[switch.material.index()].1;
        self.row_with(program, (origin, &format!("{name} only if used")), &x.times(-1.0), (y, most));
        let Some(bounds) = &switch.bounds else { return };
        let base = self.problem.reach.of_affine(&bounds.used.base);
        if let Some(low) = bounds.low {
            let largest = (low * base.high()).max(0.0);
            let affine = bounds.used.above(low).plus(1.0, &Affine::constant(largest));
            self.row_with(program, (origin, &format!("least {name} if used")), &affine, (y, -largest));
        }
        // At most an amount is a bound of the column; a base that may be negative says nothing of what is unused.
        if let Some(high) = bounds.high.filter(|_| !bounds.used.base.terms.is_empty()) {
            let missing = (-high * base.low()).max(0.0);
            let affine = bounds.used.below(high).plus(1.0, &Affine::constant(missing));
            let label = format!("most {name}");
            if missing == 0.0 {
                self.row(program, (origin, &label), &affine, 0.0, f64::INFINITY);
            } else {
                self.row_with(program, (origin, &label), &affine, (y, -missing));
            }
        }
    }

    pub(super) fn add_logic(
        &self,
        program: &mut Program,
        assignment: &[DecisionRange],
        switches: &[Option<usize>],
    ) {
        for (index, logic) in self.problem.logic.named() {
            let mut decided = 0.0;
            let mut terms = Vec::new();
            for (switch, factor) in &logic.terms {
                match (assignment[switch.index()].fixed(), switches[switch.index()]) {
                    (Some(value), _) => decided += factor * f64::from(value),
                    (None, Some(column)) => terms.push((column, *factor)),
                    (None, None) => {}
                }
            }
            // With everything decided the row is a plain statement about numbers: it stays, so that an assignment
            // against the logic is an infeasible program.
            if terms.is_empty() && logic.low - 1e-9 <= decided && decided <= logic.high + 1e-9 {
                continue;
            }
            terms.sort_by_key(|(column, _)| *column);
            let origin = RowOrigin::Choice(index);
            program.add_row(origin, logic.name.clone(), terms, logic.low - decided, logic.high - decided);
        }
    }

    pub(super) fn add_needs(
        &self,
        program: &mut Program,
        assignment: &[DecisionRange],
        switches: &[Option<usize>],
    ) {
        for (index, need) in self.problem.needs.named() {
            let named = (RowOrigin::Need(index), need.name.as_str());
            let row = need.used.above(need.least);
            match (assignment[need.switch.index()].choice(), switches[need.switch.index()]) {
                (Some(Taken::Yes), _) => self.row(program, named, &row, 0.0, f64::INFINITY),
                (None, Some(y)) => {
                    let largest =
                        (need.least * self.problem.reach.of_affine(&need.used.base).high()).max(0.0);
                    self.row_with(program, named, &row.plus(1.0, &Affine::constant(largest)), (y, -largest));
                }
                _ => {}
            }
        }
    }

    /// `counted = min(addition, cap)`: at most both; equal to the one decided where it must be exact.
    pub(super) fn add_counted(&self, program: &mut Program, decided: &[DecisionRange], whole: Wholeness) {
        for (index, counted) in self.problem.mixture.counted.named() {
            let column = Affine::column(counted.column).times(-1.0);
            let label = self.problem.mixture.columns[counted.column].label.clone();
            let named = (RowOrigin::Counted(index), label.as_str());
            let below_addition = column.clone().plus(1.0, &counted.addition);
            let below_cap = column.plus(1.0, &counted.cap);
            let decision =
                self.decisions.exact.iter().position(|exact| *exact == index).map(|at| decided[at].choice());
            let upper = |is_exact| if is_exact { 0.0 } else { f64::INFINITY };
            self.row(program, named, &below_addition, 0.0, upper(decision == Some(Some(Taken::No))));
            self.row(program, named, &below_cap, 0.0, upper(decision == Some(Some(Taken::Yes))));
            if decision == Some(None) {
                let z = program.add_column(format!("cap of {label}"), 0.0, 1.0, 0.0);
                program.columns[z].integer = whole == Wholeness::Whole;
                let most_addition = self.problem.reach.of_affine(&below_addition).high();
                let most_cap = self.problem.reach.of_affine(&below_cap).high();
                self.row_with(program, named, &below_addition.times(-1.0), (z, most_addition));
                let shifted = below_cap.times(-1.0).plus(1.0, &Affine::constant(most_cap));
                self.row_with(program, named, &shifted, (z, -most_cap));
            }
        }
    }

    /// Amounts in steps: between the lowest and the highest count that is left, and whole where decisions are.
    ///
    /// The relaxation of an open count is the range of amounts it leaves, so that it needs no column of its own.
    pub(super) fn add_counts(&self, program: &mut Program, ranges: &[DecisionRange], whole: Wholeness) {
        for ((index, count), range) in self.problem.counts.named().zip(ranges) {
            let origin = RowOrigin::Steps(index);
            let (material, size) = (count.step.material, count.step.size);
            let (low, high) = (f64::from(range.low()) * size, f64::from(range.high()) * size);
            if count.step.base.is_none() {
                let (least, most) =
                    self.problem.weighed_for.map_or((1.0, 1.0), |at| self.problem.reach.columns[at]);
                let column = &mut program.columns[material.index()];
                column.low = column.low.max(low * least / self.scales[material.index()]);
                column.high = column.high.min(high * most / self.scales[material.index()]);
            }
            // Where nothing is decided yet the bounds say nearly as much as rows.
            if count.step.base.is_some() || !self.problem.is_fixed(&count.step) && *range != count.range {
                let base = self.problem.base_of(&count.step);
                let x = Affine::amount(material);
                let label = format!("steps of {}", self.problem.mixture.columns[material.index()].label);
                self.row(program, (origin, &label), &x.clone().plus(-low, &base), 0.0, f64::INFINITY);
                self.row(program, (origin, &label), &base.times(high).plus(-1.0, &x), 0.0, f64::INFINITY);
            }
            if whole == Wholeness::Whole && range.fixed().is_none() {
                let label = format!("steps of {}", self.problem.mixture.columns[material.index()].label);
                let n =
                    program.add_column(label.clone(), f64::from(range.low()), f64::from(range.high()), 0.0);
                program.columns[n].integer = true;
                if self.problem.is_fixed(&count.step) {
                    let terms = vec![(material.index(), self.scales[material.index()]), (n, -size)];
                    program.add_row(origin, label, terms, 0.0, 0.0);
                }
            }
        }
    }
}
