//! Over which prices of each material the chosen materials stay the same, and what price would make an unused
//! one worth using.

use super::shadow_prices::assignment_of;
use crate::listed::Id;
use crate::material::Material;
use crate::parallel::{self, Stop};
use crate::problem::Problem;
use crate::solve::{Carried, Found, Limits, Settings, Verdict, solve_carrying, used};

/// What the price of one material decides, currency per kg of its reference state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PriceRange {
    /// It is used; the chosen materials stay the same between these prices. An absent end was not met within the
    /// prices tried: from free to so many times today's price.
    Used {
        /// The lowest price at which a solve kept the choice, where one somewhat lower did not.
        low: Option<f64>,
        /// The highest such price, where one somewhat higher did not.
        high: Option<f64>,
    },
    /// It is not used.
    Unused {
        /// The highest price at which a solve used it; absent if none did, not even for nothing.
        below: Option<f64>,
        /// The lowest price at which a solve gained nothing by it; absent if none was found.
        not_from: Option<f64>,
    },
    /// Not settled within the effort allowed.
    Unsettled,
}

/// The range of one material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MaterialRange {
    /// The material.
    pub material: Id<Material>,
    /// Its range.
    pub range: PriceRange,
    /// Whether every answer on the way was proven within the gap; otherwise it is the best found.
    pub proven: bool,
}

/// Multiples of today's price tried upwards; the last one is where the search ends.
const UP: &[f64] = &[1.25, 2.0, 5.0, 10.0];
/// Multiples tried downwards.
const DOWN: &[f64] = &[0.8, 0.5, 0.0];
/// Most steps to the price at which the chosen materials change.
const STEPS: usize = 6;
/// Most re-solves for the price of an unused material.
const ENTRIES: usize = 10;
/// Share of today's price within which the price of an unused material is known well enough.
const NARROW: f64 = 5e-3;
/// Share of the goal within which two mixes cost the same.
const SAME: f64 = 2e-4;
/// Gap of the solves for it: smaller than what counts as the same.
const FINE_GAP: f64 = 1e-4;
/// Gap of each solve.
const GAP: f64 = 1e-3;

/// How many times today's price the search goes up to.
pub fn highest_multiple() -> f64 {
    UP[UP.len() - 1]
}

/// Price ranges of all materials of a problem whose goal is cost.
/// What is not known when work has to end is unsettled.
pub fn cost_ranges(
    problem: &Problem,
    found: &Found,
    stop: Stop,
    done: impl Fn(usize) + Sync,
) -> Vec<MaterialRange> {
    let materials: Vec<Id<Material>> = problem.mixture.catalogue.materials.ids().collect();
    parallel::in_order(
        &materials,
        |_, material| {
            let (carried, last) = (Carried::default(), None);
            let mut search =
                Search { problem, found, material: *material, stop, proven: true, carried, last };
            let is_used = used(problem, &found.mix)[material.index()];
            let range = match (stop.is_due(), is_used) {
                (true, _) => PriceRange::Unsettled,
                (_, true) => search.used(),
                (_, false) => search.unused(),
            };
            // What a solve came to that had to end says nothing of a price.
            let range = if stop.is_due() { PriceRange::Unsettled } else { range };
            MaterialRange { material: *material, range, proven: search.proven }
        },
        done,
    )
}

struct Search<'s> {
    problem: &'s Problem,
    found: &'s Found,
    material: Id<Material>,
    stop: Stop,
    proven: bool,
    carried: Carried,
    /// The mix of the last solve.
    last: Option<Vec<f64>>,
}

impl Search<'_> {
    fn price(&self) -> f64 {
        self.problem.mixture.catalogue.materials[self.material].price
    }

    fn solve(&mut self, problem: &Problem) -> Option<Found> {
        let gap = if used(self.problem, &self.found.mix)[self.material.index()] { GAP } else { FINE_GAP };
        let settings = Settings::proven(Limits { gap, nodes: 3000, ..Limits::default() }).until(self.stop);
        // Prices take no mix away: of those known the one that is best now is where the search begins.
        let known = self.last.iter().chain([&self.found.mix]);
        let cost = |mix: &&Vec<f64>| problem.goal.objective.at(mix);
        let best = known.min_by(|a, b| cost(a).total_cmp(&cost(b)));
        self.carried.mix = best.map(|mix| (assignment_of(problem, mix), mix.clone()));
        match solve_carrying(problem, &settings, &|_| (), &mut self.carried) {
            Verdict::Found(found) => {
                self.proven &= found.certainty.is_some_and(|certainty| certainty.complete);
                self.last = Some(found.mix.clone());
                Some(found)
            }
            _ => None,
        }
    }

    /// Whether the same materials are chosen at another price, and the mix that is best there. Sets within the gap of one
    /// another count as the same: the found mix re-priced may be as good as the new one.
    fn stays(&mut self, price: f64) -> Option<(bool, Vec<f64>)> {
        let problem = self.problem.with_price(self.material, price);
        let best = self.solve(&problem)?;
        let own = problem.goal.objective.at(&self.found.mix);
        if used(&problem, &best.mix) == used(self.problem, &self.found.mix) {
            return Some((true, best.mix));
        }
        let as_good = own <= best.goal * (1.0 + 1e-6);
        Some((as_good, if as_good { self.found.mix.clone() } else { best.mix }))
    }

    /// The price at which two mixes cost the same.
    fn crossing(&self, one: &[f64], other: &[f64]) -> f64 {
        let free = self.problem.with_price(self.material, 0.0);
        let apart = free.goal.objective.at(other) - free.goal.objective.at(one);
        apart / (one[self.material.index()] - other[self.material.index()])
    }

    fn used(&mut self) -> PriceRange {
        let low = self.end(DOWN);
        let high = self.end(UP);
        match (low, high) {
            (Ok(low), Ok(high)) => PriceRange::Used { low, high },
            _ => PriceRange::Unsettled,
        }
    }

    /// The price at which the choice changes, going through multiples of today's price, then to where the best mixes on
    /// either side cost the same, and just beyond it.
    fn end(&mut self, multiples: &[f64]) -> Result<Option<f64>, ()> {
        let today = self.price();
        let (mut inside, mut kept) = (today, self.found.mix.clone());
        for multiple in multiples {
            let mut outside = today * multiple;
            let (stays, mix) = self.stays(outside).ok_or(())?;
            if stays {
                (inside, kept) = (outside, mix);
                continue;
            }
            let mut changed = mix;
            let mut moved = false;
            for _ in 0..STEPS {
                let width = outside - inside;
                if width.abs() <= 2.0 * NARROW * today {
                    break;
                }
                let near = (NARROW * today).copysign(width);
                let crossing = self.crossing(&kept, &changed);
                let within = (inside + near).min(outside - near)..=(inside + near).max(outside - near);
                let asked = match within.contains(&crossing) {
                    true => crossing,
                    // Just beyond where the last one stayed the other side begins, unless the mixes have moved on.
                    false if !moved => inside + near,
                    false => 0.5 * (inside + outside),
                };
                let (stays, mix) = self.stays(asked).ok_or(())?;
                moved = asked == inside + near && stays;
                if stays { (inside, kept) = (asked, mix) } else { (outside, changed) = (asked, mix) }
            }
            // The last price at which a solve keeps the choice.
            return Ok(Some(inside));
        }
        Ok(None)
    }

    /// A material that is not used: the price at which the best mix with it costs what today's best mix does.
    ///
    /// The best cost is concave in the price, and the amount used is its tangent, which lies above it: going up from
    /// nothing along tangents to today's best cost never passes the price looked for. What is told is a price at which a
    /// solve uses it, and the next above at which a solve gains nothing by it.
    fn unused(&mut self) -> PriceRange {
        let (today, target) = (self.price(), self.found.goal);
        let mut price = 0.0;
        let (mut below, mut not_from): (Option<f64>, Option<f64>) = (None, None);
        let mut narrowed = false;
        for _ in 0..ENTRIES {
            let Some(best) = self.solve(&self.problem.with_price(self.material, price)) else {
                return PriceRange::Unsettled;
            };
            let gain = target - best.goal;
            let is_used = used(self.problem, &best.mix)[self.material.index()];
            if !is_used || gain <= SAME * target.abs() {
                not_from = Some(price);
                // Just below is where it is used, since the cost is concave; else somewhere between.
                let Some(used_at) = below.filter(|used_at| used_at + 2.0 * NARROW * today < price) else {
                    break;
                };
                let just_below = price - NARROW * today;
                price = if narrowed { 0.5 * (used_at + price) } else { just_below };
                narrowed = true;
                continue;
            }
            below = Some(price);
            if let Some(above) = not_from {
                if above <= price + 2.0 * NARROW * today {
                    break;
                }
                price = 0.5 * (price + above);
                continue;
            }
            // At today's price it is not used: that rests on the solve from which all this begins.
            let step = (gain / best.mix[self.material.index()]).max(NARROW * today);
            if today <= price + step {
                self.proven &= self.found.certainty.is_some_and(|certainty| certainty.complete);
                not_from = Some(today);
                if today <= price + 2.0 * NARROW * today {
                    break;
                }
                price = today - NARROW * today;
                narrowed = true;
                continue;
            }
            price += step;
        }
        // Where the solves were not enough, from where on it is not used stays open.
        self.proven &= not_from.is_some();
        PriceRange::Unused { below, not_from }
    }
}
