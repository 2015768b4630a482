//! Limits on an age at cracking in a relaxation: planes above the headroom.
//!
//! Where the stress less the failure level is a sum of products, amounts times functions of one or two factors, each
//! function has a plane below it and each product its own column; elsewhere planes come from bounds of the slopes of the
//! whole headroom over the box. Any choice of points of the grid gives a valid relaxation; only those where the headroom is
//! least get rows.

use super::relaxation::{Builder, Sum, Weights, unit_box};
use crate::listed::Id;
use crate::number::Interval;
use crate::problem::{Curved, Form, restrained};
use crate::response::{Plane, Response, Restrained, Slot};

/// Points of a grid that get rows in one node of the search space.
const MOST_POINTS: usize = 6;

/// Points of a grid with the scales of their conditions.
type Steps = Vec<(usize, f64)>;

impl Builder<'_, '_> {
    /// For each response that is an age at cracking and is limited: `headroom <= plane`, so the plane must reach zero.
    pub(super) fn cracking_rows(&mut self, weights: &mut Weights) {
        let mut limited: Vec<(Id<Response>, Steps)> = Vec::new();
        for condition in &self.frame.problem.conditions {
            let Form::Curved(Curved::Cracking { response, step }) = condition.form else { continue };
            match limited.iter_mut().find(|(known, _)| *known == response) {
                Some((_, steps)) => steps.push((step, condition.scale)),
                None => limited.push((response, vec![(step, condition.scale)])),
            }
        }
        for (response, steps) in limited {
            self.rows_of(response, &steps, weights);
        }
    }

    fn rows_of(&mut self, response: Id<Response>, steps: &[(usize, f64)], weights: &mut Weights) {
        let described = &self.frame.problem.responses[response];
        let Some(rule) = restrained(described) else { return };
        let range = unit_box(self.frame, self.lifting, response, &self.node.factors);
        let last = steps.iter().map(|(step, _)| *step).max().unwrap_or(0);
        let middle: Vec<f64> = range.iter().map(Interval::middle).collect();
        let rooms = rule.headrooms(&middle, last);
        let mut tightest = steps.to_vec();
        tightest.sort_by(|a, b| (rooms[a.0] / a.1).total_cmp(&(rooms[b.0] / b.1)).then(a.0.cmp(&b.0)));
        tightest.truncate(MOST_POINTS);
        if self.product_rows_of(response, rule, &range, &tightest, weights).is_some() {
            return;
        }
        let slopes = rule.headroom_slopes(&range, last);
        for low_corner in [true, false] {
            let corner: Vec<f64> =
                range.iter().map(|r| if low_corner { r.low() } else { r.high() }).collect();
            let values = rule.headrooms(&corner, last);
            for (step, scale) in &tightest {
                let (slopes, value) = (&slopes[*step], values[*step]);
                let known =
                    value.is_finite() && slopes.iter().all(|s| s.low().is_finite() && s.high().is_finite());
                if !known {
                    continue;
                }
                // headroom <= value + sum of (greatest slope if moving up, least if moving down) x move.
                let mut constant = value;
                let mut terms = Vec::with_capacity(slopes.len());
                for (factor, column) in self.lifting.of_response[response.index()].iter().enumerate() {
                    let (unit, shift) = self.lifting.in_unit(self.frame, described, factor, *column);
                    let slope = if low_corner { slopes[factor].high() } else { slopes[factor].low() };
                    constant += slope * (shift - corner[factor]);
                    terms.push((self.z(*column), slope * unit / scale));
                }
                for (column, factor) in &terms {
                    weights.note(self.layout, *column, *factor);
                }
                let slack = 1e-9 * (1.0 + constant.abs() + value.abs());
                self.push_row("headroom", terms, -(constant + slack) / scale, f64::INFINITY);
            }
        }
    }

    /// One row for each point: the sum of amounts times planes below their functions is at most zero at every true mix that
    /// does not crack. None where a plane is not known or an amount may be negative.
    fn product_rows_of(
        &mut self,
        response: Id<Response>,
        rule: &Restrained,
        range: &[Interval],
        points: &[(usize, f64)],
        weights: &mut Weights,
    ) -> Option<()> {
        let lifting = self.lifting;
        let stresses = lifting.stresses[response.index()].as_ref()?;
        let steps: Vec<usize> = points.iter().map(|(step, _)| *step).collect();
        let mut planes = Vec::with_capacity(stresses.terms().len());
        for (at, term) in stresses.terms().iter().enumerate() {
            let is_negative = match term.amount {
                Slot::Fixed(amount) => amount < 0.0,
                Slot::Factor(factor) => range[factor].low() < 0.0,
            };
            if is_negative {
                return None;
            }
            planes.push(stresses.planes_below(rule, at, range, &steps)?);
        }
        let described = &self.frame.problem.responses[response];
        let columns = &lifting.of_response[response.index()];
        let in_unit = |factor: usize| lifting.in_unit(self.frame, described, factor, columns[factor]);
        for (index, (_, scale)) in points.iter().enumerate() {
            let mut sum = Sum::default();
            for (term, planes) in stresses.terms().iter().zip(&planes) {
                let Plane { constant, slopes } = &planes[index];
                let (amount, shift, column) = match term.amount {
                    Slot::Fixed(value) => (0.0, value, None),
                    Slot::Factor(factor) => {
                        let (unit, shift) = in_unit(factor);
                        (unit, shift, Some(columns[factor]))
                    }
                };
                // (amount a + shift) (constant + sum of slope (unit x + zero)), with columns a and x
                sum.constant += shift * constant;
                sum.terms.extend(column.map(|column| (self.z(column), amount * constant)));
                for (arg, slope) in term.args.iter().zip(slopes) {
                    let (unit, zero) = in_unit(*arg);
                    sum.constant += shift * slope * zero;
                    sum.terms.push((self.z(columns[*arg]), shift * slope * unit));
                    if let Some(column) = column {
                        sum.terms.push((self.z(column), amount * slope * zero));
                        let product = lifting.find_product(column, columns[*arg])?;
                        self.add_product(&mut sum, product, amount * slope * unit);
                    }
                }
            }
            let terms: Vec<(usize, f64)> =
                sum.terms.iter().map(|(column, factor)| (*column, -factor / scale)).collect();
            for (column, factor) in &terms {
                weights.note(self.layout, *column, *factor);
            }
            let slack = 1e-9 * (1.0 + sum.constant.abs());
            self.push_row("headroom", terms, (sum.constant - slack) / scale, f64::INFINITY);
        }
        Some(())
    }
}
