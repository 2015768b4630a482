//! A mix carried through a search as a check on the search itself.
//!
//! Comparing optima does not catch a row that holds in one box and leaks into another. So a run may carry a mix that is
//! known to meet everything: in each node that holds it, every row and every box must hold there, no tightening may lose
//! it, and no such node may be closed above its goal. What enters: the mix. What leaves: sentences about what was broken.

use std::sync::{Mutex, PoisonError};

use crate::model::{Assignment, Frame, Kind, Lifting, Node, Program};

/// Violation of a (scaled) row or box that is a fault, beyond what the mix itself misses.
const BROKEN: f64 = 1e-9;
/// What misses of that size may be worth in the goal, relative to its size.
const WORTH: f64 = 1e-7;
/// What the mix itself misses counts so many times: rows are scaled to coefficients of one.
const OWN: f64 = 64.0;

/// A mix known to meet everything.
#[derive(Debug)]
pub struct KnownMix {
    mix: Vec<f64>,
    decided: Assignment,
    /// Goal, scaled and to be minimised.
    pub goal: f64,
    /// What the mix itself misses.
    missed: f64,
    faults: Mutex<Vec<String>>,
    rows: Mutex<usize>,
}

impl KnownMix {
    /// A mix with its decisions and the largest relative violation it has of its own.
    pub fn new(frame: &Frame<'_>, mix: &[f64], decided: Assignment, missed: f64) -> Self {
        let goal = frame.goal_at(mix);
        Self { mix: mix.to_vec(), decided, goal, missed, faults: Mutex::default(), rows: Mutex::default() }
    }

    /// What was broken, and how many rows were checked.
    pub fn told(self) -> (Vec<String>, usize) {
        let mut faults = self.faults.into_inner().unwrap_or_else(PoisonError::into_inner);
        faults.sort();
        (faults, self.rows.into_inner().unwrap_or_else(PoisonError::into_inner))
    }

    /// The factor columns at the mix.
    fn factors(&self, frame: &Frame<'_>, lifting: &Lifting) -> Option<Vec<f64>> {
        let mut z: Vec<f64> = Vec::with_capacity(lifting.factors.len());
        for factor in &lifting.factors {
            let value = match &factor.kind {
                Kind::Linear(affine) => affine.at(&self.mix),
                Kind::Ratio { numerator, denominator } => {
                    numerator.at(&self.mix) / (z[*denominator] * lifting.factors[*denominator].scale)
                }
                Kind::Response(response) => frame.problem.predict(*response, &self.mix)?.value,
            };
            z.push(value / factor.scale);
        }
        Some(z)
    }

    /// The point of a node's relaxation, its factors moved into the boxes that hold them but for what is allowed: products
    /// are of coordinates over the boxes, and where these are narrow a miss of 1e-9 would grow to any size in them.
    fn point(&self, frame: &Frame<'_>, lifting: &Lifting, node: &Node) -> Option<Vec<f64>> {
        let mut point: Vec<f64> =
            self.mix.iter().zip(&frame.scales).map(|(value, scale)| value / scale).collect();
        let choices = self.decided.iter().zip(&node.assignment).take(frame.decisions.choices());
        let open = choices.filter(|(_, taken)| taken.fixed().is_none());
        point.extend(open.map(|(decided, _)| f64::from(decided.low())));
        let z = self.factors(frame, lifting)?;
        let z: Vec<f64> = z.iter().zip(&node.factors).map(|(value, range)| range.nearest(*value)).collect();
        point.extend(&z);
        point.extend(lifting.products_at(&z));
        for response in &lifting.opaque {
            point.push(frame.problem.predict(*response, &self.mix)?.predictor);
        }
        Some(point)
    }

    /// Whether a value lies outside of two ends by more than is allowed: the one rule for boxes, columns and rows.
    fn is_missed(&self, size: f64, value: f64, (low, high): (f64, f64)) -> bool {
        (OWN * self.missed + BROKEN) * size.max(1.0) < (low - value).max(value - high)
    }

    /// Whether a node holds the mix.
    pub fn is_in(&self, frame: &Frame<'_>, lifting: &Lifting, node: &Node) -> bool {
        self.outside(frame, lifting, node).is_none()
    }

    /// The first decision or box of a node that the mix lies outside of.
    fn outside(&self, frame: &Frame<'_>, lifting: &Lifting, node: &Node) -> Option<String> {
        let taken = node.assignment.iter().zip(&self.decided);
        if taken
            .into_iter()
            .any(|(taken, decided)| decided.low() < taken.low() || taken.high() < decided.high())
        {
            return Some("a decision".to_owned());
        }
        let z = self.factors(frame, lifting)?;
        for ((value, scale), (low, high)) in self.mix.iter().zip(&frame.scales).zip(&node.amounts) {
            let (value, low, high) = (value / scale, low / scale, high / scale);
            if self.is_missed(value.abs(), value, (low, high)) {
                return Some(format!("an amount {value} outside {low} .. {high}"));
            }
        }
        z.iter().zip(&node.factors).zip(&lifting.factors).find_map(|((value, range), factor)| {
            self.is_missed(value.abs(), *value, (range.low(), range.high()))
                .then(|| format!("`{}` {value} outside {} .. {}", factor.label, range.low(), range.high()))
        })
    }

    /// Checks every row and column of a node's program.
    pub fn check_program(&self, frame: &Frame<'_>, lifting: &Lifting, node: &Node, program: &Program) {
        let Some(point) = self.point(frame, lifting, node) else { return };
        for row in &program.rows {
            let sum: f64 = row.terms.iter().map(|(column, factor)| factor * point[*column]).sum();
            let size: f64 = row.terms.iter().map(|(column, factor)| (factor * point[*column]).abs()).sum();
            if self.is_missed(size, sum, (row.low, row.high)) {
                let wrong = (row.low - sum).max(sum - row.high);
                self.tell(format!("row `{}` is missed by {wrong:e}", row.label));
            }
        }
        for (column, value) in program.columns.iter().zip(&point) {
            if self.is_missed(value.abs(), *value, (column.low, column.high)) {
                let wrong = (column.low - value).max(value - column.high);
                self.tell(format!("column `{}` is missed by {wrong:e}", column.label));
            }
        }
        *self.rows.lock().unwrap_or_else(PoisonError::into_inner) += program.rows.len();
    }

    /// Checks that a tightened node still holds the mix.
    pub fn check_boxes(&self, frame: &Frame<'_>, lifting: &Lifting, node: &Node, by: &str) {
        if let Some(what) = self.outside(frame, lifting, node) {
            self.tell(format!("{by} lost the mix: {what}"));
        }
    }

    /// Checks that a node that holds the mix is not closed above its goal.
    pub fn check_closed(&self, bound: f64, by: &str) {
        if self.goal + WORTH * (1.0 + self.goal.abs()) < bound {
            self.tell(format!("{by} closed a node with the mix at {bound}, above its goal {}", self.goal));
        }
    }

    fn tell(&self, fault: String) {
        self.faults.lock().unwrap_or_else(PoisonError::into_inner).push(fault);
    }
}
