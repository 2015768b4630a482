//! The least value of one column from a basis whose point meets every row: a primal simplex on the same table.
//!
//! What enters: a solved program. What leaves: the least value of a column, or of its opposite, or that it goes as low as
//! matters, which is seen long before the optimum and spares the rest. From an optimum of other costs the dual method, which
//! begins by moving every variable to the end its new cost asks for, takes three times as many steps.

use super::DenseSimplex;

/// What seeking a least value came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sought {
    /// The least value of the rows stated.
    Least,
    /// A point at or below what was enough.
    Enough,
    /// Neither: the dual method goes on.
    Lost,
}

/// Reduced cost from which on a variable is worth moving.
const WORTH: f64 = 1e-9;
/// Smallest pivot.
const PIVOT: f64 = 1e-7;
/// Room that a basic variable is given beyond its ends, so that among those that come at once the safest pivot leaves.
const ROOM: f64 = 1e-9;
/// Steps after which it is lost, and after which values are computed anew.
const MOST: usize = 300;
const REFRESH: usize = 40;

/// What stops a move first.
enum Stop {
    /// The moved variable reaches its other end.
    Other,
    /// A basic variable reaches an end.
    Row(usize, f64),
}

impl DenseSimplex {
    /// Moves to the least value of `sign` times a column, or to one that is at most `enough`.
    pub fn seek(&mut self, column: usize, sign: f64, enough: f64) -> Sought {
        self.set_costs(&[(column, sign)]);
        self.reduced.clone_from(&self.costs);
        let mut weights = vec![1.0; self.nonbasic.len()];
        for step in 1..MOST {
            if sign * self.value_of(column) <= enough {
                return Sought::Enough;
            }
            let Some(place) = self.moved(&weights) else {
                self.refresh();
                return Sought::Least;
            };
            let rising = self.at[place] == self.bounds[self.nonbasic[place]].0;
            match self.stop(place, rising) {
                Stop::Other => self.flip(place),
                Stop::Row(row, end) => {
                    self.weigh(&mut weights, row, place);
                    self.pivot(row, place, end);
                }
            }
            if step.is_multiple_of(REFRESH) {
                self.refresh();
            }
        }
        Sought::Lost
    }

    fn value_of(&self, column: usize) -> f64 {
        let inside = self.basic.iter().position(|variable| *variable == column).map(|row| self.values[row]);
        inside
            .or_else(|| {
                self.nonbasic.iter().position(|variable| *variable == column).map(|place| self.at[place])
            })
            .unwrap_or(f64::INFINITY)
    }

    /// Estimates of how long a move of each nonbasic variable is in all variables, squared, after an exchange (Forrest and
    /// Goldfarb, Steepest-edge simplex algorithms for linear programming, 1992: the reference framework).
    fn weigh(&self, weights: &mut [f64], row: usize, place: usize) {
        let line = self.line(row);
        let own = weights[place] / (line[place] * line[place]);
        for (weight, entry) in weights.iter_mut().zip(line) {
            *weight = weight.max(entry * entry * own);
        }
        weights[place] = own.max(1.0);
    }

    /// The nonbasic variable whose move lowers the goal most for its length.
    fn moved(&self, weights: &[f64]) -> Option<usize> {
        let mut best = None;
        let mut most = 0.0;
        for (place, cost) in self.costs.iter().enumerate() {
            let (low, high) = self.bounds[self.nonbasic[place]];
            let helps = if self.at[place] == low { *cost < -WORTH } else { WORTH < *cost };
            let rank = cost * cost / weights[place];
            if helps && low < high && most < rank {
                most = rank;
                best = Some(place);
            }
        }
        best
    }

    /// What stops a nonbasic variable that leaves its end.
    fn stop(&self, place: usize, rising: bool) -> Stop {
        let width = self.nonbasic.len();
        let (low, high) = self.bounds[self.nonbasic[place]];
        let sign = if rising { 1.0 } else { -1.0 };
        let entries = || {
            let lines = self.table.chunks_exact(width).map(|line| sign * line[place]);
            lines.enumerate().filter(|(_, entry)| PIVOT < entry.abs()).map(|(row, entry)| {
                let (low, high) = self.bounds[self.basic[row]];
                let (room, end) =
                    if 0.0 < entry { (high - self.values[row], high) } else { (self.values[row] - low, low) };
                (row, entry.abs(), room.max(0.0), end)
            })
        };
        let most = entries().map(|(_, entry, room, _)| (room + ROOM) / entry).fold(high - low, f64::min);
        let safest = entries()
            .filter(|(_, entry, room, _)| room / entry <= most)
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        match safest {
            Some((row, entry, room, end)) if room / entry < high - low => Stop::Row(row, end),
            _ => Stop::Other,
        }
    }
}
