//! The box of amounts that the linear conditions leave, and what can be read off it without solving anything.

use crate::mixture::{Affine, Measure};
use crate::number::Interval;

/// Bounds of every column.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    /// Lowest and highest value of each column. A pair, since a column may be left empty: ends that cross are never put in
    /// order, and the engines' one gate takes them for a program without a point (a point, if by a rounding).
    pub columns: Vec<(f64, f64)>,
    /// The volume balance, zero for a true mix.
    pub balance: Affine,
    /// The linear conditions that it was tightened by, none of them negative for a true mix.
    pub rows: Vec<Affine>,
}

/// Rounds of tightening; each passes over all rows once.
const ROUNDS: usize = 8;

/// Tightens a box by rows `affine >= 0` and the balance `affine = 0`.
///
/// Returns `None` if some row cannot hold anywhere in the box.
pub fn reach(start: Vec<(f64, f64)>, rows: &[Affine], balance: Affine) -> Option<Reach> {
    let mut columns = start;
    let reverse = balance.times(-1.0);
    for _ in 0..ROUNDS {
        let before = columns.clone();
        for row in rows.iter().chain([&balance, &reverse]) {
            if !tighten(&mut columns, row) {
                return None;
            }
        }
        let moved = columns
            .iter()
            .zip(&before)
            .any(|(now, then)| 1e-6 * (then.1 - then.0) < (then.1 - then.0) - (now.1 - now.0));
        if !moved {
            break;
        }
    }
    Some(Reach { columns, balance, rows: rows.to_vec() })
}

/// One row: every column at least as far in as the others at their best leave it.
fn tighten(columns: &mut [(f64, f64)], row: &Affine) -> bool {
    let best = |column: usize, coefficient: f64, columns: &[(f64, f64)]| {
        let (low, high) = columns[column];
        (coefficient * low).max(coefficient * high)
    };
    let highest: f64 = row.constant
        + row.terms.iter().map(|(column, coefficient)| best(*column, *coefficient, columns)).sum::<f64>();
    let size: f64 = row.constant.abs()
        + row
            .terms
            .iter()
            .map(|(column, coefficient)| best(*column, *coefficient, columns).abs())
            .sum::<f64>();
    // Rounding must never cut off a true mix.
    let slack = 1e-9 * size.max(1e-9);
    if highest < -slack {
        return false;
    }
    for (column, coefficient) in &row.terms {
        let others = highest - best(*column, *coefficient, columns);
        let bound = (-others - slack) / coefficient;
        let (low, high) = &mut columns[*column];
        if 0.0 < *coefficient {
            *low = low.max(bound).min(*high);
        } else {
            *high = high.min(bound).max(*low);
        }
    }
    true
}

impl Reach {
    /// A few mixes in the box that fill one m3: columns without volume at either end, the others filled one after
    /// another from different beginnings. None if the box cannot fill it.
    pub fn samples(&self) -> Vec<Vec<f64>> {
        const BEGINNINGS: usize = 4;
        let count = self.columns.len();
        let room = |column: usize| {
            self.balance
                .terms
                .binary_search_by_key(&column, |(known, _)| *known)
                .map_or(0.0, |at| self.balance.terms[at].1)
        };
        let mut list = Vec::new();
        for turn in 0..2 * BEGINNINGS {
            let mut mix: Vec<f64> = self
                .columns
                .iter()
                .enumerate()
                .map(|(column, (low, high))| if room(column) <= 0.0 && turn % 2 == 1 { *high } else { *low })
                .collect();
            let mut missing = -self.balance.at(&mix);
            for step in 0..count {
                let along = (turn / 2 * count / BEGINNINGS + step) % count;
                let column = if turn % 2 == 0 { along } else { count - 1 - along };
                let (low, high) = self.columns[column];
                if 0.0 < room(column) && 0.0 < missing {
                    let take = (high - low).min(missing / room(column));
                    mix[column] += take;
                    missing -= take * room(column);
                }
            }
            if missing.abs() <= 1e-9 {
                list.push(mix);
            }
        }
        list
    }

    /// Guaranteed bounds of an affine function over the mixes in the box that fill one m3.
    ///
    /// One equality and a box: the extreme is a fractional knapsack, solved by filling volume in order of value.
    pub fn of_affine(&self, affine: &Affine) -> Interval {
        Interval::new(self.least(affine), -self.least(&affine.times(-1.0)))
    }

    fn least(&self, affine: &Affine) -> f64 {
        self.least_at(affine).0
    }

    /// The least of an affine function, and where it has it.
    fn least_at(&self, affine: &Affine) -> (f64, Vec<f64>) {
        let coefficient = |terms: &[(usize, f64)], column: usize| {
            terms.binary_search_by_key(&column, |(known, _)| *known).map_or(0.0, |at| terms[at].1)
        };
        let mut value = affine.constant;
        let mut volume = self.balance.constant;
        let mut fill: Vec<(f64, f64, usize)> = Vec::new();
        let mut point: Vec<f64> = self.columns.iter().map(|(low, _)| *low).collect();
        for (column, (low, high)) in self.columns.iter().enumerate() {
            let cost = coefficient(&affine.terms, column);
            let room = coefficient(&self.balance.terms, column);
            if 0.0 < room {
                value += cost * low;
                volume += room * low;
                fill.push((cost / room, room * (high - low), column));
            } else {
                value += (cost * low).min(cost * high);
                if cost * high < cost * low {
                    point[column] = *high;
                }
            }
        }
        fill.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (price, room, column) in fill {
            if 0.0 <= volume {
                break;
            }
            let take = room.min(-volume);
            value += price * take;
            volume += take;
            point[column] +=
                take * (self.columns[column].1 - self.columns[column].0) / room.max(f64::MIN_POSITIVE);
        }
        (value - 1e-9 * value.abs(), point)
    }

    /// The least of an affine function that the box and any one of the rows leave: what a row keeps up as a whole, such
    /// as the binder, may fall to nothing column by column.
    fn least_by_rows(&self, affine: &Affine) -> f64 {
        let coefficient = |column: usize| {
            affine
                .terms
                .binary_search_by_key(&column, |(known, _)| *known)
                .map_or(0.0, |at| affine.terms[at].1)
        };
        let (mut least, there) = self.least_at(affine);
        // Where the sum stands at a mix of the box it cannot be raised above: most rows are passed over by that, and so
        // are those that say what another one said.
        let mut best = there.clone();
        for row in &self.rows {
            // affine >= affine - times x row, for any times >= 0: those that cancel a column are tried.
            let ends = [(affine.at(&there), row.at(&there)), (affine.at(&best), row.at(&best))];
            let mut tried: Vec<f64> = Vec::new();
            for (column, factor) in &row.terms {
                let times = coefficient(*column) / factor;
                let raises = ends.iter().all(|(sum, short)| {
                    let most = sum - times * short;
                    least + 1e-12 * least.abs() < most - 1e-9 * most.abs() || most.is_nan()
                });
                if 0.0 < times && times.is_finite() && raises && !tried.contains(&times) {
                    tried.push(times);
                    let (raised, at) = self.least_at(&affine.clone().plus(-times, row));
                    if least < raised {
                        (least, best) = (raised, at);
                    }
                }
            }
        }
        least
    }

    /// Bounds of a measure over the box; `None` if its denominator may vanish.
    pub fn of_measure(&self, measure: &Measure) -> Option<Interval> {
        match measure {
            Measure::Linear(affine) => Some(self.of_affine(affine)),
            Measure::Ratio(ratio) => {
                let above = self.of_affine(&ratio.numerator);
                let below = self.of_affine(&ratio.denominator);
                let below = below.from(self.least_by_rows(&ratio.denominator));
                if below.low() <= 1e-12 * below.high().abs().max(1e-9) {
                    return None;
                }
                let ends = [
                    above.low() / below.low(),
                    above.low() / below.high(),
                    above.high() / below.low(),
                    above.high() / below.high(),
                ];
                let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
                let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                Some(Interval::new(low, high))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_box_shrinks_to_what_the_rows_leave() {
        // a + b = 1 (volumes), a >= 0.3 + 2 b.
        let balance = Affine { constant: -1.0, terms: vec![(0, 1.0), (1, 1.0)] };
        let row = Affine { constant: -0.3, terms: vec![(0, 1.0), (1, -2.0)] };
        let reach = reach(vec![(0.0, 1.0), (0.0, 1.0)], &[row], balance).unwrap();
        assert!((reach.columns[0].0 - 0.65).abs() < 1e-2 && (reach.columns[1].1 - 0.35).abs() < 1e-2);
        let least = reach.of_affine(&Affine { constant: 0.0, terms: vec![(0, 2.0), (1, 1.0)] });
        assert!(1.64 < least.low() && least.high() <= 2.0 + 1e-6);
    }

    #[test]
    fn rows_that_cannot_hold_leave_nothing() {
        let balance = Affine { constant: -1.0, terms: vec![(0, 1.0), (1, 1.0)] };
        let row = Affine { constant: -3.0, terms: vec![(0, 1.0)] };
        assert_eq!(reach(vec![(0.0, 1.0), (0.0, 1.0)], &[row], balance), None);
    }

    #[test]
    fn rows_that_are_passed_over_would_not_have_raised_the_least() {
        // Numbers of a simple generator: boxes, a volume balance, rows; held against trying every row.
        let mut state = 7_u64;
        let mut next = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as f64 / f64::from(1_u32 << 31)
        };
        for _ in 0..300 {
            let count = 6;
            let columns: Vec<(f64, f64)> = (0..count).map(|_| (0.2 * next(), 0.3 + next())).collect();
            let balance = Affine { constant: -1.0, terms: (0..count).map(|at| (at, 0.2 + next())).collect() };
            let row = |next: &mut dyn FnMut() -> f64| Affine {
                constant: 0.5 - next(),
                terms: (0..count).map(|at| (at, (next() - 0.4) * next().round())).collect(),
            };
            let rows: Vec<Affine> = (0..5).map(|_| row(&mut next)).collect();
            let affine = row(&mut next);
            let reach = Reach { columns, balance, rows };
            let mut every = reach.least(&affine);
            for row in &reach.rows {
                for (column, factor) in &row.terms {
                    let times =
                        affine.terms.iter().find(|(at, _)| at == column).map_or(0.0, |(_, own)| own / factor);
                    if 0.0 < times && times.is_finite() {
                        every = every.max(reach.least(&affine.clone().plus(-times, row)));
                    }
                }
            }
            let least = reach.least_by_rows(&affine);
            assert!((least - every).abs() <= 1e-9 * every.abs().max(1e-3), "{least} {every}");
        }
    }
}
