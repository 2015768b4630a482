//! Whole numbers of steps near a mix: built exactly, judged as written, moved step by step.
//!
//! What enters: a problem in steps, what fills the volume, and a mix. What leaves: the mix that some counts make, to the last
//! digit, and the best counts that single and double steps lead to. Where every material but the filling one has a step, the
//! counts say all of a mix, and judging one takes no program. Nothing is proven here.

use crate::problem::{Filling, Problem, Step, TOLERANCE, restrained};
use crate::solve::audit;

/// Mixes in steps of one problem.
pub struct Lattice<'p> {
    stepped: &'p Problem,
    steps: &'p [Step],
    filling: Filling,
    /// What has no step, per m3 weighed for.
    rest: Vec<f64>,
}

/// Counts with what they make.
#[derive(Clone, Debug)]
pub struct Counted {
    /// Whole numbers of steps, in the order of the steps.
    pub counts: Vec<f64>,
    /// The mix, columns of the problem in steps.
    pub mix: Vec<f64>,
    /// Its goal in base units.
    pub goal: f64,
    /// By how much it misses what is wanted, relative; zero where it passes.
    violation: f64,
}

/// Most mixes judged on one way down, and where each takes a pass over time.
const JUDGED: usize = 6000;
const JUDGED_OVER_TIME: usize = 60;
/// Gain below which a move is none, relative to the goal.
const GAIN: f64 = 1e-9;

impl<'p> Lattice<'p> {
    /// The lattice around a mix of the problem in steps.
    pub fn around(stepped: &'p Problem, steps: &'p [Step], filling: Filling, mix: &[f64]) -> Self {
        let made = stepped.weighed_for.map_or(1.0, |column| 1.0 / mix[column]);
        let mut rest = mix.to_vec();
        for amount in &mut rest[..stepped.mixture.materials()] {
            *amount *= made;
        }
        Self { stepped, steps, filling, rest }
    }

    /// The counts nearest to the mix.
    pub fn nearest(&self, mix: &[f64]) -> Option<Vec<f64>> {
        self.steps.iter().map(|step| Some(self.stepped.steps_in(step, mix)?.round())).collect()
    }

    /// What counts make; `None` where that is no mix at all.
    pub fn counted(&self, counts: Vec<f64>) -> Option<Counted> {
        let (stepped, materials) = (self.stepped, &self.stepped.mixture.catalogue.materials);
        let mut mix = self.rest.clone();
        for based in [false, true] {
            for (step, count) in
                self.steps.iter().zip(&counts).filter(|(step, _)| step.base.is_some() == based)
            {
                let base = step.base.map_or(1.0, |base| stepped.mixture.base(base).at(&mix));
                mix[step.material.index()] = count * step.size * base;
            }
        }
        let air = stepped.mixture.air_volume().at(&mix);
        let solid: f64 = materials.iter().zip(&mix).map(|(material, mass)| mass / material.density).sum();
        match self.filling {
            Filling::Unrounded(material) => {
                mix[material.index()] += (1.0 - air - solid) * materials[material].density;
            }
            Filling::Band(_) => {
                let made = solid / (1.0 - air);
                for amount in &mut mix[..materials.len()] {
                    *amount /= made;
                }
                mix[stepped.weighed_for?] = 1.0 / made;
            }
        }
        stepped.mixture.settle(&mut mix);
        stepped.settle_level(&mut mix);
        let goal = stepped.goal.objective.at(&mix);
        let audit = audit(stepped, &mix);
        let off = if audit.broken_choices.is_empty() { audit.volume_error.abs() } else { f64::INFINITY };
        let violation = if audit.passes() { 0.0 } else { audit.worst.max(off).max(TOLERANCE) };
        (!goal.is_nan()).then_some(Counted { counts, mix, goal, violation })
    }

    /// Where single and double steps lead from some counts.
    pub fn descended(&self, from: Counted) -> Counted {
        let over_time = self.stepped.responses.iter().any(|response| restrained(response).is_some());
        let mut left = if over_time { JUDGED_OVER_TIME } else { JUDGED };
        let sign = self.stepped.goal.direction.sign();
        let mut best = from;
        while let Some(next) = self.best_of_moves(&best, &mut left, sign) {
            best = next;
        }
        best
    }

    fn best_of_moves(&self, from: &Counted, left: &mut usize, sign: f64) -> Option<Counted> {
        let number = from.counts.len();
        let singles = (0..number).map(|at| (at, at));
        let pairs = (0..number).flat_map(|at| (at + 1..number).map(move |other| (at, other)));
        let mut best: Option<Counted> = None;
        for (at, other) in singles.chain(pairs) {
            for (one, two) in [(1.0, 1.0), (-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0)] {
                if at == other && one != two || *left == 0 {
                    continue;
                }
                let mut counts = from.counts.clone();
                counts[at] += one;
                if at != other {
                    counts[other] += two;
                }
                if counts[at] < 0.0 || counts[other] < 0.0 {
                    continue;
                }
                *left -= 1;
                let Some(tried) = self.counted(counts) else { continue };
                if is_better(&tried, best.as_ref().unwrap_or(from), sign) {
                    best = Some(tried);
                }
            }
        }
        best
    }
}

impl Counted {
    /// Whether it meets everything.
    pub fn passes(&self) -> bool {
        self.violation == 0.0
    }
}

fn is_better(tried: &Counted, known: &Counted, sign: f64) -> bool {
    if tried.violation != known.violation {
        return tried.violation < known.violation;
    }
    sign * (tried.goal - known.goal) < -GAIN * known.goal.abs()
}
