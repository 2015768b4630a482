//! The goal on the programs' scale: scaled, and to be minimised.

use super::frame::Frame;
use crate::problem::Level;

impl Frame<'_> {
    /// The goal at a mix.
    pub fn goal_at(&self, mix: &[f64]) -> f64 {
        self.problem.goal.to_minimise().at(mix) / self.goal_scale
    }

    /// The goal that is better than `goal` by a share of its size as people read it.
    ///
    /// A goal behind a link is compared in the response's own unit: on the scale of a logarithm a tenth of a per
    /// cent would be another distance.
    pub fn better_by(&self, goal: f64, share: f64) -> f64 {
        let plain = goal - share * goal.abs().max(1e-9);
        let Some(Level::Response(index)) = self.problem.goal.level else { return plain };
        let response = &self.problem.responses[index];
        let sign = self.problem.goal.direction.sign();
        let natural = response.natural(sign * goal * self.goal_scale);
        let better = response.on_link(natural - sign * share * natural.abs());
        if better.is_finite() { sign * better / self.goal_scale } else { plain }
    }
}
