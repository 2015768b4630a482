//! Where to split a node: the decision or factor whose relaxation is furthest from the truth.

use super::known_mix::KnownMix;
use super::limits::Limits;
use crate::listed::Id;
use crate::model::{Frame, Kind, Lifting, Node, Relaxation};
use crate::number::Interval;
use crate::problem::WHOLE;
use crate::response::Response;

/// A split.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Split {
    /// A decision, cut between this number and the next.
    Decision(usize, u32),
    /// A factor column, cut at a value.
    Factor(usize, f64),
}

/// Relative width, against the root box, below which a factor is not split.
const NARROWEST: f64 = 1e-7;

/// Error of the relaxation, relative to what is wanted, below which a broken step is looked at first.
const SMALL_ERROR: f64 = 1e-4;

/// A decision cut in its middle.
fn halved(node: &Node, decision: usize) -> Split {
    let range = node.assignment[decision];
    Split::Decision(decision, range.low() + (range.high() - range.low()) / 2)
}

/// What a node may take where rows are separated.
#[derive(Clone, Copy, Debug)]
pub struct NodeEffort {
    /// Rounds of separation.
    pub rounds: usize,
    /// Most planes and cuts added in one round.
    pub rows: (usize, usize),
    /// Passes of probes where the node stays open.
    pub passes: usize,
    /// Factors that are probed; all without a number.
    pub factors: Option<usize>,
}

/// What choosing a split needs to know.
pub struct NodeContext<'s, 'p> {
    /// The frame.
    pub frame: &'s Frame<'p>,
    /// The lifted problem.
    pub lifting: &'s Lifting,
    /// Box of the factor columns at the root.
    pub root: &'s [Interval],
    /// What a node may take.
    pub effort: NodeEffort,
    /// When an answer is close enough.
    pub limits: Limits,
    /// A mix carried along as a check.
    pub known: Option<&'s KnownMix>,
}

impl NodeContext<'_, '_> {
    /// The split that promises most at the relaxation's point; `None` if the point is true or nothing can be split.
    pub fn split(&self, node: &Node, relaxation: &Relaxation, point: &[f64]) -> Option<Split> {
        if let Some(decision) = self.undecided(node, point) {
            return Some(decision);
        }
        let scores = self.scores(node, relaxation, point);
        let widest = scores
            .iter()
            .enumerate()
            .filter(|(at, score)| 0.0 < **score && self.is_splittable(node, *at))
            .max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(&a.0)));
        // Counts come last, but not behind errors that hardly move a condition.
        if widest.is_none_or(|(_, score)| *score < SMALL_ERROR)
            && let Some(count) = self.broken_step(node, point)
        {
            return Some(count);
        }
        let (factor, _) = widest?;
        let range = node.factors[factor];
        let value = point[relaxation.layout.factors + factor];
        let at = 0.25 * range.middle() + 0.75 * value;
        let edge = 0.15 * range.width();
        Some(Split::Factor(factor, Interval::new(range.low() + edge, range.high() - edge).nearest(at)))
    }

    /// The factors whose relaxations are furthest from the truth, at most so many.
    pub fn furthest(&self, node: &Node, relaxation: &Relaxation, point: &[f64], most: usize) -> Vec<usize> {
        let scores = self.scores(node, relaxation, point);
        let mut order: Vec<usize> =
            (0..scores.len()).filter(|at| 0.0 < scores[*at] && self.is_splittable(node, *at)).collect();
        order.sort_by(|a, b| scores[*b].total_cmp(&scores[*a]).then(a.cmp(b)));
        order.truncate(most);
        order
    }

    /// The widest factor, where no error shows a better one but the node must be split.
    pub fn widest(&self, node: &Node) -> Option<Split> {
        let choices = self.frame.decisions.choices();
        let is_open = |at: &usize| node.assignment[*at].fixed().is_none();
        if let Some(decision) = (0..choices).find(is_open) {
            return Some(halved(node, decision));
        }
        let widest = (0..self.root.len())
            .filter(|at| self.is_splittable(node, *at))
            .max_by(|a, b| self.relative(node, *a).total_cmp(&self.relative(node, *b)));
        match widest {
            Some(widest) => Some(Split::Factor(widest, node.factors[widest].middle())),
            None => (choices..node.assignment.len()).find(is_open).map(|count| halved(node, count)),
        }
    }

    fn relative(&self, node: &Node, factor: usize) -> f64 {
        node.factors[factor].width() / self.root[factor].width().max(1e-300)
    }

    fn is_splittable(&self, node: &Node, factor: usize) -> bool {
        let width = node.factors[factor].width();
        width.is_finite()
            && NARROWEST * self.root[factor].width() < width
            && 1e-12 * (1.0 + self.root[factor].high().abs()) < width
    }

    /// The open choice whose column is furthest from a whole number at the point.
    fn undecided(&self, node: &Node, point: &[f64]) -> Option<Split> {
        let mut column = self.frame.problem.mixture.columns.len();
        let mut best: Option<(f64, usize)> = None;
        for (decision, range) in node.assignment[..self.frame.decisions.choices()].iter().enumerate() {
            if range.fixed().is_some() {
                continue;
            }
            let distance = (point[column] - point[column].round()).abs();
            column += 1;
            if 1e-6 < distance && best.is_none_or(|(furthest, _)| furthest < distance) {
                best = Some((distance, decision));
            }
        }
        best.map(|(_, decision)| halved(node, decision))
    }

    /// The count whose amount at the point is furthest from a whole number of steps, cut there.
    fn broken_step(&self, node: &Node, point: &[f64]) -> Option<Split> {
        let problem = self.frame.problem;
        let mix: Vec<f64> = self.frame.scales.iter().zip(point).map(|(scale, value)| scale * value).collect();
        let first = self.frame.decisions.choices();
        let mut best: Option<(f64, Split)> = None;
        for (at, count) in problem.counts.iter().enumerate() {
            let range = node.assignment[first + at];
            let Some(steps) = problem.steps_in(&count.step, &mix).filter(|_| range.fixed().is_none()) else {
                continue;
            };
            let distance = (steps - steps.round()).abs();
            if WHOLE < distance && best.is_none_or(|(furthest, _)| furthest < distance) {
                let below = range.nearest(steps.floor()).min(range.high() - 1);
                best = Some((distance, Split::Decision(first + at, below)));
            }
        }
        best.map(|(_, split)| split)
    }

    /// How far each factor column's relaxation is from the truth, in what it moves the conditions by.
    fn scores(&self, node: &Node, relaxation: &Relaxation, point: &[f64]) -> Vec<f64> {
        let (frame, lifting) = (self.frame, self.lifting);
        let z = |factor: usize| point[relaxation.layout.factors + factor];
        let weights = &relaxation.weights;
        let mut scores = vec![0.0; lifting.factors.len()];
        let mut sensitivity = weights.factors.clone();
        for (index, (i, j)) in lifting.products.iter().enumerate() {
            let (up, down) = weights.products[index];
            let weight = up.max(down);
            let (a, b) = (lifting.coordinates[*i], lifting.coordinates[*j]);
            let (u, v) = (a.at(z(*i)), b.at(z(*j)));
            sensitivity[*i] += weight * v.abs() / a.half;
            sensitivity[*j] += weight * u.abs() / b.half;
            let error = point[relaxation.layout.products + index] - u * v;
            // Only an error on the side that helps a condition keeps the bound down.
            let score = (up * error).max(-down * error).max(0.0);
            let wider = if self.relative(node, *i) < self.relative(node, *j) { *j } else { *i };
            scores[wider] += score;
        }
        let columns = frame.problem.mixture.columns.len();
        let mix: Vec<f64> = (0..columns).map(|column| point[column] * frame.scales[column]).collect();
        for (index, factor) in lifting.factors.iter().enumerate() {
            match &factor.kind {
                Kind::Linear(_) => {}
                Kind::Ratio { numerator, denominator } => {
                    let divisor = z(*denominator) * lifting.factors[*denominator].scale;
                    let error = (numerator.at(&mix) / divisor / factor.scale - z(index)).abs();
                    let wider = if self.relative(node, index) < self.relative(node, *denominator) {
                        *denominator
                    } else {
                        index
                    };
                    scores[wider] += sensitivity[index] * error;
                }
                Kind::Response(response) => {
                    if let Some(prediction) = frame.problem.predict(*response, &mix) {
                        let error = (prediction.value / factor.scale - z(index)).abs();
                        self.share_out(node, *response, sensitivity[index] * error, &mut scores);
                    }
                }
            }
        }
        for (at, response) in lifting.opaque.iter().enumerate() {
            if let Some(prediction) = frame.problem.predict(*response, &mix) {
                let error = (prediction.predictor - point[relaxation.layout.opaque + at]).abs();
                self.share_out(node, *response, weights.opaque[at] * error, &mut scores);
            }
        }
        for (response, missed) in frame.problem.cracks(&mix) {
            // A crack that the planes do not see: the node is too wide for this response. Where the stress is a sum of
            // products, their errors show where.
            if self.lifting.stresses[response.index()].is_none() {
                self.share_out(node, response, missed, &mut scores);
            }
        }
        scores
    }

    /// An error of a whole response goes to the widest of its factors.
    fn share_out(&self, node: &Node, response: Id<Response>, score: f64, scores: &mut [f64]) {
        let columns = self.lifting.of_response[response.index()].iter().copied();
        if let Some(widest) =
            columns.max_by(|a, b| self.relative(node, *a).total_cmp(&self.relative(node, *b)))
        {
            scores[widest] += score;
        }
    }
}
