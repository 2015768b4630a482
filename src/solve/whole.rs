//! Whole numbers branched on a solved program: which decision is furthest from one, and its two sides.
//!
//! What enters: a program's basis and optimum with the ranges its decisions have left. What leaves: the same with one row
//! more, on either side of a whole number. A leaf costs a few steps of a simplex that goes on from its parent's basis.

use std::collections::BTreeMap;

use super::dense_simplex::{DenseSimplex, Ending};
use crate::mixture::Affine;
use crate::model::{Assignment, Frame, Program, Row, RowOrigin};
use crate::problem::DecisionRange;

/// A program at its optimum, with what its decisions may still be.
#[derive(Clone)]
pub struct Leaf {
    /// No mix in it is better, on the programs' scale.
    pub bound: f64,
    /// What decisions may still be.
    pub assignment: Assignment,
    /// The program.
    pub simplex: DenseSimplex,
    /// Its optimum.
    pub point: Vec<f64>,
}

/// One side of a split.
pub enum Child {
    /// With an optimum, whose bound is still that of its parent.
    Open(Box<Leaf>),
    /// Nothing is in it, if these multipliers say so.
    Empty(Assignment, Box<DenseSimplex>, Vec<f64>),
    /// The simplex lost its footing.
    Lost(Assignment),
}

/// A decision with its two sides, each with the row that states it.
pub struct Split {
    decision: usize,
    /// How far above the lower side the point is, 0 .. 1.
    below: f64,
    sides: [(DecisionRange, Row); 2],
}

/// What earlier splits of each decision raised the bound by, upwards and downwards, by one whole number.
///
/// Source: pseudo-costs of Bénichou and others, Mathematical Programming 1 (1971) 76.
#[derive(Clone, Debug, Default)]
pub struct Rises {
    /// Sum and number by decision: of the upper side, of the lower.
    known: BTreeMap<usize, [(f64, f64); 2]>,
}

impl Rises {
    /// Takes in what a side of a split came to; `share` is how far it was away.
    pub fn learn(&mut self, split: Place, rise: f64) {
        if rise.is_finite() && 0.0 < split.share {
            let known = &mut self.known.entry(split.decision).or_default()[split.side];
            known.0 += rise.max(0.0) / split.share;
            known.1 += 1.0;
        }
    }

    /// What one whole number on a side is expected to raise the bound by; that of all decisions where it was never split.
    fn expected(&self, decision: usize, side: usize) -> f64 {
        let own = self.known.get(&decision).map_or((0.0, 0.0), |sides| sides[side]);
        if 0.0 < own.1 {
            return own.0 / own.1;
        }
        let all = self.known.values().flatten().fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        if 0.0 < all.1 { all.0 / all.1 } else { 1.0 }
    }

    /// What a split promises: the product of both rises, each at least a little.
    fn promise(&self, decision: usize, below: f64) -> f64 {
        const LEAST: f64 = 1e-9;
        let rise = |side: usize, share: f64| (self.expected(decision, side) * share).max(LEAST);
        rise(0, 1.0 - below) * rise(1, below)
    }
}

/// One side of a split decision.
#[derive(Clone, Copy, Debug)]
pub struct Place {
    decision: usize,
    side: usize,
    share: f64,
}

/// Distance from a whole number that is rounding: this, and so much of the number itself.
const ROUNDING: f64 = 1e-5;
const OF_ITSELF: f64 = 2e-7;

impl Leaf {
    /// Its two sides at a split, among rows of which only those are stated that a point misses.
    pub fn children(&self, split: Split, rows: &[Row]) -> Vec<(Place, Child)> {
        let child = |(side, (range, row)): (usize, (DecisionRange, Row))| {
            let share = if side == 0 { 1.0 - split.below } else { split.below };
            let place = Place { decision: split.decision, side, share };
            let mut assignment = self.assignment.clone();
            assignment[split.decision] = range;
            let mut simplex = self.simplex.clone();
            simplex.add_row(row);
            let child = match simplex.optimise_among(rows) {
                Ending::Optimal => {
                    let point = simplex.point();
                    Child::Open(Box::new(Self { bound: self.bound, assignment, simplex, point }))
                }
                Ending::Infeasible(multipliers) => Child::Empty(assignment, Box::new(simplex), multipliers),
                Ending::Lost => Child::Lost(assignment),
            };
            (place, child)
        };
        split.sides.into_iter().enumerate().map(child).collect()
    }

    /// The choice that is furthest from a whole number, or else the count whose split promises most; `with_columns` are the
    /// decisions whose open choices have a column in the program.
    pub fn most_broken(&self, frame: &Frame<'_>, with_columns: &Assignment, rises: &Rises) -> Option<Split> {
        let mut column = frame.problem.mixture.columns.len();
        let mut best: Option<(f64, Split)> = None;
        for (decision, of_program) in with_columns[..frame.decisions.choices()].iter().enumerate() {
            if of_program.fixed().is_some() {
                continue;
            }
            let value = self.point[column];
            let distance = (value - value.round()).abs();
            if self.assignment[decision].fixed().is_none()
                && ROUNDING < distance
                && best.as_ref().is_none_or(|(furthest, _)| *furthest < distance)
            {
                let side = |at: f64| {
                    let label = String::new();
                    Row {
                        origin: RowOrigin::Derived,
                        label: label.into(),
                        terms: vec![(column, 1.0)],
                        low: at,
                        high: at,
                    }
                };
                let sides = [(DecisionRange::at(1), side(1.0)), (DecisionRange::at(0), side(0.0))];
                best = Some((distance, Split { decision, below: value - value.floor(), sides }));
            }
            column += 1;
        }
        best.map(|(_, split)| split).or_else(|| self.broken_count(frame, rises))
    }

    fn broken_count(&self, frame: &Frame<'_>, rises: &Rises) -> Option<Split> {
        let problem = frame.problem;
        let choices = frame.decisions.choices();
        let mix: Vec<f64> =
            frame.scales.iter().zip(&self.point).map(|(scale, value)| scale * value).collect();
        let mut best: Option<(f64, Split)> = None;
        for (at, count) in problem.counts.named() {
            let range = self.assignment[choices + at.index()];
            let Some(steps) = problem.steps_in(&count.step, &mix).filter(|_| range.fixed().is_none()) else {
                continue;
            };
            let distance = (steps - steps.round()).abs();
            let promise = rises.promise(choices + at.index(), steps - steps.floor());
            if distance <= ROUNDING.max(OF_ITSELF * steps)
                || best.as_ref().is_some_and(|(most, _)| promise <= *most)
            {
                continue;
            }
            let below = range.nearest(steps.floor()).min(range.high() - 1);
            let Some((upper, lower)) = range.halves(below) else { continue };
            let base = problem.base_of(&count.step).times(count.step.size);
            let amount = Affine::amount(count.step.material);
            let row = |affine: &Affine| {
                let mut scratch = Program::default();
                frame.row(&mut scratch, (RowOrigin::Steps(at), ""), affine, 0.0, f64::INFINITY);
                scratch.rows.pop().expect("a row was added just now")
            };
            let sides = [
                (upper, row(&amount.clone().plus(-f64::from(upper.low()), &base))),
                (lower, row(&base.times(f64::from(lower.high())).plus(-1.0, &amount))),
            ];
            let split = Split { decision: choices + at.index(), below: steps - steps.floor(), sides };
            best = Some((promise, split));
        }
        best.map(|(_, split)| split)
    }

    /// Its decisions, open counts taken as its mix is nearest to.
    pub fn with_nearest_counts(&self, frame: &Frame<'_>) -> Assignment {
        let mix: Vec<f64> =
            frame.scales.iter().zip(&self.point).map(|(scale, value)| scale * value).collect();
        let first = frame.decisions.choices();
        let mut assignment = self.assignment.clone();
        for (range, count) in assignment[first..].iter_mut().zip(&frame.problem.counts) {
            *range =
                DecisionRange::at(range.nearest(frame.problem.steps_in(&count.step, &mix).unwrap_or(0.0)));
        }
        assignment
    }
}
