//! A problem whose amounts of some materials are whole numbers of steps.

use super::decision::{Count, DecisionRange, MOST, Step, WHOLE, whole};
use super::whole::Problem;
use crate::mixture::{Affine, Column};

impl Problem {
    /// The problem with materials in steps; steps it had are replaced.
    #[must_use]
    pub fn with_steps(&self, steps: &[Step]) -> Self {
        let count = |step: &Step| {
            let most = match step.base {
                Some(_) => MOST,
                None => whole(self.mixture.catalogue.materials[step.material].density / step.size),
            };
            Count { step: *step, range: DecisionRange::upto(most) }
        };
        self.varied(|draft| draft.counts = steps.iter().map(count).collect())
    }

    /// The same where the volume made may be off the volume weighed for by a share: amounts are per m3 really made, steps
    /// per m3 weighed for, and the ratio of the two is one more column, behind all others.
    #[must_use]
    pub fn with_steps_in_band(&self, steps: &[Step], band: f64) -> Self {
        self.with_steps(steps).varied(|draft| {
            let (low, high) = (1.0 / (1.0 + band), 1.0 / (1.0 - band));
            draft.weighed_for = Some(draft.mixture.columns.len());
            draft.mixture.columns.push(Column { label: "volume weighed for".to_owned(), low, high });
        })
    }

    /// Whether a step is of a fixed mass per m3, whatever else a mix holds.
    pub fn is_fixed(&self, step: &Step) -> bool {
        step.base.is_none() && self.weighed_for.is_none()
    }

    /// Whether no whole number of steps lies within the reach of its material: nothing fits, whatever else gives way.
    pub fn is_blocked(&self, step: &Step) -> bool {
        let (low, high) = self.reach.columns[step.material.index()];
        let base = self.reach.of_affine(&self.base_of(step));
        if base.low() <= 0.0 {
            return false;
        }
        let (least, most) = (low / (base.high() * step.size), high / (base.low() * step.size));
        (most + WHOLE).floor() < (least - WHOLE).ceil()
    }

    /// What a step multiplies: the volume weighed for, or the mass of its base.
    pub fn base_of(&self, step: &Step) -> Affine {
        match (step.base, self.weighed_for) {
            (Some(base), _) => self.mixture.base(base),
            (None, Some(column)) => Affine::column(column),
            (None, None) => Affine::constant(1.0),
        }
    }

    /// How many steps a mix holds; not a whole number where the mix is not in steps, `None` without a base.
    pub fn steps_in(&self, step: &Step, mix: &[f64]) -> Option<f64> {
        let base = self.base_of(step).at(mix);
        (0.0 < base).then(|| mix[step.material.index()] / (step.size * base))
    }
}
