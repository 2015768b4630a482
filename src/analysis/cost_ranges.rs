//! Over which prices of each material the chosen materials stay the same, and what price would make an unused
//! one worth using.

use super::shadow_prices::{NEAR, assignment_of, final_program};
use crate::model::Frame;
use crate::parallel;
use crate::problem::{Logic, Problem};
use crate::solve::{Found, Limits, Outcome, Settings, Verdict, multipliers_at, solve, solve_program, used};

/// What the price of one material decides, currency per kg of its reference state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PriceRange {
    /// It is used; the chosen materials stay the same between these prices. An absent end was not met within the
    /// prices tried: from free to so many times today's price.
    Used {
        /// Below this other materials are chosen.
        low: Option<f64>,
        /// Above this other materials are chosen.
        high: Option<f64>,
    },
    /// It is not used; below this price it would be. Absent if it would not even be used for nothing.
    Unused {
        /// The price.
        below: Option<f64>,
    },
    /// Not settled within the effort allowed.
    Unsettled,
}

/// The range of one material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MaterialRange {
    /// The material.
    pub material: usize,
    /// Its range.
    pub range: PriceRange,
    /// Whether every answer on the way was proven within the gap; otherwise it is the best found.
    pub proven: bool,
}

/// Multiples of today's price tried upwards; the last one is where the search ends.
const UP: &[f64] = &[1.25, 2.0, 5.0, 10.0];
/// Multiples tried downwards.
const DOWN: &[f64] = &[0.8, 0.5, 0.0];
/// Halvings of the interval in which the chosen materials change.
const HALVINGS: usize = 4;
/// Most re-solves for the price of an unused material.
const ENTRIES: usize = 6;
/// Gap of each solve.
const GAP: f64 = 1e-3;

/// How many times today's price the search goes up to.
pub fn highest_multiple() -> f64 {
    UP[UP.len() - 1]
}

/// Price ranges of all materials of a problem whose goal is cost.
pub fn cost_ranges(problem: &Problem, found: &Found, done: impl Fn(usize) + Sync) -> Vec<MaterialRange> {
    let materials: Vec<usize> = (0..problem.mixture.materials()).collect();
    parallel::in_order(
        &materials,
        |_, material| {
            let mut search = Search { problem, found, material: *material, proven: true };
            let range = if used(problem, &found.mix)[*material] { search.used() } else { search.unused() };
            MaterialRange { material: *material, range, proven: search.proven }
        },
        done,
    )
}

struct Search<'s> {
    problem: &'s Problem,
    found: &'s Found,
    material: usize,
    proven: bool,
}

impl Search<'_> {
    fn price(&self) -> f64 {
        self.problem.mixture.catalogue.materials[self.material].price
    }

    fn solve(&mut self, problem: &Problem) -> Option<Found> {
        let settings = Settings::proven(Limits { gap: GAP, nodes: 3000, time: None });
        match solve(problem, &settings) {
            Verdict::Found(found) => {
                self.proven &= found.certainty.is_some_and(|certainty| certainty.complete);
                Some(found)
            }
            _ => None,
        }
    }

    /// Whether the same materials are chosen at another price. Sets within the gap of one another count as the
    /// same: the found mix re-priced may be as good as the new one.
    fn stays(&mut self, price: f64) -> Option<bool> {
        let problem = self.problem.with_price(self.material, price);
        let best = self.solve(&problem)?;
        let own = problem.goal.objective.at(&self.found.mix);
        let same = used(&problem, &best.mix) == used(self.problem, &self.found.mix);
        Some(same || own <= best.goal * (1.0 + 1e-6))
    }

    fn used(&mut self) -> PriceRange {
        let low = self.end(DOWN);
        let high = self.end(UP);
        match (low, high) {
            (Ok(low), Ok(high)) => PriceRange::Used { low, high },
            _ => PriceRange::Unsettled,
        }
    }

    /// The price at which the choice changes, going through multiples of today's price.
    fn end(&mut self, multiples: &[f64]) -> Result<Option<f64>, ()> {
        let today = self.price();
        let mut inside = today;
        for multiple in multiples {
            let outside = today * multiple;
            if self.stays(outside).ok_or(())? {
                inside = outside;
                continue;
            }
            let mut outside = outside;
            for _ in 0..HALVINGS {
                let middle = 0.5 * (inside + outside);
                if self.stays(middle).ok_or(())? { inside = middle } else { outside = middle }
            }
            return Ok(Some(0.5 * (inside + outside)));
        }
        Ok(None)
    }

    fn unused(&mut self) -> PriceRange {
        match self.problem.switches.iter().position(|switch| switch.material == self.material) {
            Some(switch) => self.forced(switch),
            None => self.by_reduced_cost(),
        }
    }

    /// A material whose use is a decision: the price at which the best mix with it costs what the best one does.
    ///
    /// The best cost with it is concave in its price, so going down along the tangent (its amount) never passes
    /// the price looked for.
    fn forced(&mut self, switch: usize) -> PriceRange {
        let mut price = self.price();
        for _ in 0..ENTRIES {
            let mut problem = self.problem.with_price(self.material, price);
            problem.logic.push(Logic {
                name: "used".to_owned(),
                place: self.problem.goal.place,
                terms: vec![(switch, 1.0)],
                low: 1.0,
                high: 1.0,
            });
            let Some(best) = self.solve(&problem) else { return PriceRange::Unused { below: None } };
            let short = best.goal - self.found.goal;
            let amount = best.mix[self.material];
            if short <= 2e-4 * self.found.goal.abs() || amount <= 0.0 {
                return PriceRange::Unused { below: Some(price) };
            }
            price -= short / amount;
            if price < 0.0 {
                return PriceRange::Unused { below: None };
            }
        }
        PriceRange::Unused { below: Some(price) }
    }

    /// A material without a least amount enters little by little: at its price less its reduced cost.
    fn by_reduced_cost(&mut self) -> PriceRange {
        self.proven = false;
        let assignment = assignment_of(self.problem, &self.found.mix);
        let program = final_program(self.problem, &assignment, &self.found.mix, NEAR);
        let frame = Frame::new(self.problem);
        let Outcome::Optimal(point, _) = solve_program(&program) else { return PriceRange::Unsettled };
        let Some((_, reduced)) = multipliers_at(&program, &point) else { return PriceRange::Unsettled };
        let per_kg = reduced[self.material] * frame.goal_scale / frame.scales[self.material];
        let price = self.price() - per_kg.max(0.0);
        PriceRange::Unused { below: (0.0 <= price).then_some(price) }
    }
}
