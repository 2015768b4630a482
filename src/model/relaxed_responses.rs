//! Responses in their own unit, closer than bounds of slopes over a whole box tell.
//!
//! A convex link has its chord above and tangents below, over the predictors that the box of the response itself leaves. A law
//! of one factor has a pair of parallel planes found cell by cell, which holds for laws with a jump too: no slope bounds
//! those. Every row holds at every true mix of the node's box and nowhere else.

use super::lifting::Kind;
use super::relaxation::{Builder, unit_box};
use crate::listed::Id;
use crate::number::Interval;
use crate::response::{Link, Response};

/// Cells of the box of a law of one factor.
const CELLS: usize = 32;

impl Builder<'_, '_> {
    /// The rows of all responses that have them.
    pub(super) fn closer_rows(&mut self) {
        for index in 0..self.lifting.factors.len() {
            let Kind::Response(response) = self.lifting.factors[index].kind else { continue };
            if matches!(self.frame.problem.responses[response].link, Link::Log | Link::SquareRoot) {
                self.convex_link(index, response);
            }
        }
        for at in 0..self.lifting.opaque.len() {
            self.single_factor(at, self.lifting.opaque[at]);
        }
    }

    /// `value <= chord` and `value >= tangents` of a convex link.
    fn convex_link(&mut self, index: usize, response: Id<Response>) {
        let described = &self.frame.problem.responses[response];
        let scale = self.lifting.factors[index].scale;
        let own = self.node.factors[index];
        let bounds = described.bounds(&unit_box(self.frame, self.lifting, response, &self.node.factors));
        let widened = |predictor: f64, by: f64| predictor + by * 1e-12 * (1.0 + predictor.abs());
        let low = widened(described.on_link(own.low() * scale), -1.0).max(bounds.low());
        let high = widened(described.on_link(own.high() * scale), 1.0).min(bounds.high());
        if !(low.is_finite() && high.is_finite() && low < high) {
            return;
        }
        let predictor = self.predictor(response);
        let mut row = |at: f64, slope: f64, below: bool| {
            // value >= or <= natural(at) + slope (p - at)
            let mut terms: Vec<(usize, f64)> =
                predictor.terms.iter().map(|(column, b)| (*column, -slope * b / scale)).collect();
            terms.push((self.layout.factors + index, 1.0));
            let bound = (described.natural(at) + slope * (predictor.constant - at)) / scale;
            let slack = 1e-9 * (1.0 + bound.abs());
            let (low, high) =
                if below { (bound - slack, f64::INFINITY) } else { (f64::NEG_INFINITY, bound + slack) };
            self.push_row("link", terms, low, high);
        };
        let rise = (described.natural(high) - described.natural(low)) / (high - low);
        if rise.is_finite() {
            row(low, rise, false);
        }
        for at in [low, 0.5 * low + 0.5 * high, high] {
            row(at, described.link.slope(at), true);
        }
    }

    /// Two parallel planes around the predictor of a law of one factor, along its secant.
    fn single_factor(&mut self, at: usize, response: Id<Response>) {
        let described = &self.frame.problem.responses[response];
        let [column] = *self.lifting.of_response[response.index()].as_slice() else { return };
        let range = unit_box(self.frame, self.lifting, response, &self.node.factors);
        let [own] = *range.as_slice() else { return };
        if !own.width().is_finite() || own.width() <= 0.0 {
            return;
        }
        let ends = [own.low(), own.high()].map(|end| described.predictor(&[end]).0);
        let slope = (ends[1] - ends[0]) / own.width();
        let mut around: Option<Interval> = None;
        for cell in 0..CELLS {
            let end = |cell: usize| {
                if cell == CELLS {
                    own.high()
                } else {
                    own.low() + own.width() * (cell as f64 / CELLS as f64)
                }
            };
            let here = beside_secant(described, Interval::new(end(cell), end(cell + 1)), slope);
            around = Some(match around {
                None => here,
                Some(known) => Interval::new(known.low().min(here.low()), known.high().max(here.high())),
            });
        }
        let Some(around) = around.filter(|around| around.width().is_finite() && slope.is_finite()) else {
            return;
        };
        // low <= p - slope (unit z + shift) <= high
        let (unit, shift) = self.lifting.in_unit(self.frame, described, 0, column);
        let terms = vec![(self.layout.opaque + at, 1.0), (self.z(column), -slope * unit)];
        let slack = 1e-9 * (1.0 + ends[0].abs() + ends[1].abs());
        let moved = slope * shift;
        self.push_row("secant", terms, around.low() + moved - slack, around.high() + moved + slack);
    }
}

/// Bounds of `predictor - slope factor` over a cell of the one factor.
fn beside_secant(described: &Response, cell: Interval, slope: f64) -> Interval {
    let plain = described.bounds(&[cell]) - cell * slope;
    let Some(slopes) = described.slopes(&[cell]) else { return plain };
    let middle = cell.middle();
    let value = described.predictor(&[middle]).0 - slope * middle;
    let closer = Interval::point(value) + (slopes[0] - slope) * (cell - middle);
    if !closer.width().is_finite() {
        return plain;
    }
    Interval::between(plain.low().max(closer.low()), plain.high().min(closer.high())).unwrap_or(plain)
}
