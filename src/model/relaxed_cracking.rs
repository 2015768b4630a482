//! Limits on an age at cracking in a relaxation: planes above the headroom, from bounds of its slopes over the box.
//!
//! Any choice of points of the grid gives a valid relaxation; only those where the headroom is least get rows.

use super::relaxation::{Builder, Weights, unit_box};
use crate::number::Interval;
use crate::problem::{Curved, Form, restrained};

/// Points of a grid that get rows in one node of the search space.
const MOST_POINTS: usize = 6;

impl Builder<'_, '_> {
    /// For each response that is an age at cracking and is limited: `headroom <= plane`, so the plane must reach zero.
    pub(super) fn cracking_rows(&mut self, weights: &mut Weights) {
        let mut limited: Vec<(usize, Vec<(usize, f64)>)> = Vec::new();
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

    fn rows_of(&mut self, response: usize, steps: &[(usize, f64)], weights: &mut Weights) {
        let described = &self.frame.problem.responses[response];
        let Some(rule) = restrained(described) else { return };
        let range = unit_box(self.frame, self.lifting, response, &self.node.factors);
        let last = steps.iter().map(|(step, _)| *step).max().unwrap_or(0);
        let middle: Vec<f64> = range.iter().map(Interval::middle).collect();
        let rooms = rule.headrooms(&middle, last);
        let mut tightest = steps.to_vec();
        tightest.sort_by(|a, b| (rooms[a.0] / a.1).total_cmp(&(rooms[b.0] / b.1)).then(a.0.cmp(&b.0)));
        tightest.truncate(MOST_POINTS);
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
                for (factor, column) in self.lifting.of_response[response].iter().enumerate() {
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
}
