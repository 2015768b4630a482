//! One step of the dense dual simplex: which variable leaves, which takes its place, and what that does to the table.
//!
//! What enters: a basis. What leaves: the next. Nine tenths of a proof are spent here, in sums over a row and in rows added to
//! rows; sums run in eight lanes of their own, and a row that is mostly zero is added where it is not.

use super::DenseSimplex;

/// Smallest pivot.
const PIVOT: f64 = 1e-7;
/// Lanes of a sum: fixed, so that it is the same on every processor.
const LANES: usize = 8;
/// Share of a row up to which its entries that are not zero are gone through one by one.
const SPARSE: f64 = 0.3;
/// Candidates taken one after the other; more of them are sorted.
const FEW: usize = 6;

/// The sum of products of two rows, lane by lane.
pub fn sum_of_products(one: &[f64], other: &[f64]) -> f64 {
    let mut lanes = [0.0; LANES];
    let (ones, others) = (one.chunks_exact(LANES), other.chunks_exact(LANES));
    let rest: f64 = ones.remainder().iter().zip(others.remainder()).map(|(a, b)| a * b).sum();
    for (ones, others) in ones.zip(others) {
        for ((lane, a), b) in lanes.iter_mut().zip(ones).zip(others) {
            *lane += a * b;
        }
    }
    lanes.iter().sum::<f64>() + rest
}

/// Adds a row so many times to another.
#[inline]
pub fn add_times(row: &mut [f64], times: f64, added: &[f64]) {
    for (value, added) in row.iter_mut().zip(added) {
        *value += times * added;
    }
}

/// A row added to others, by its entries that are not zero where these are few.
struct Added<'l> {
    line: &'l [f64],
    places: Option<Vec<usize>>,
}

impl<'l> Added<'l> {
    fn new(line: &'l [f64]) -> Self {
        let count = line.iter().filter(|value| **value != 0.0).count();
        let is_sparse = (count as f64) < SPARSE * line.len() as f64;
        let places = is_sparse.then(|| (0..line.len()).filter(|place| line[*place] != 0.0).collect());
        Self { line, places }
    }

    fn to(&self, row: &mut [f64], factor: f64) {
        match &self.places {
            Some(places) => {
                for place in places {
                    row[*place] += factor * self.line[*place];
                }
            }
            None => add_times(row, factor, self.line),
        }
    }
}

impl DenseSimplex {
    /// Computes the basic values anew.
    pub(super) fn refresh(&mut self) {
        for row in 0..self.basic.len() {
            self.values[row] = sum_of_products(self.line(row), &self.at);
        }
    }

    /// The basic variable that misses an end most, against the length of its sum, and that end.
    pub(super) fn leaving(&self) -> Option<(usize, f64)> {
        let mut worst = None;
        let mut largest = 0.0;
        for (row, (variable, value)) in self.basic.iter().zip(&self.values).enumerate() {
            let (low, high) = self.bounds[*variable];
            let (missed, end) = if *value < low { (low - value, low) } else { (value - high, high) };
            // The length is at least one, so that a smaller miss cannot be the worst.
            if self.missed * (1.0 + end.abs()) < missed && largest < missed * missed {
                let line = self.line(row);
                let rank = missed * missed / (1.0 + sum_of_products(line, line));
                if largest < rank {
                    largest = rank;
                    worst = Some((row, end));
                }
            }
        }
        worst
    }

    /// The nonbasic variable that takes the place of a leaving one, and those that move to their other end before.
    pub(super) fn entering(&self, row: usize, end: f64) -> Option<(usize, Vec<usize>)> {
        let mut missed = (end - self.values[row]).abs();
        let rising = self.values[row] < end;
        let line = self.line(row);
        let mut candidates: Vec<(f64, usize)> = Vec::new();
        for (place, factor) in line.iter().enumerate() {
            let (low, high) = self.bounds[self.nonbasic[place]];
            let helps =
                if self.at[place] == low { (0.0 < *factor) == rising } else { (*factor < 0.0) == rising };
            if PIVOT < factor.abs() && helps && low < high {
                candidates.push((self.reduced[place].abs() / factor.abs(), place));
            }
        }
        let order = |a: &(f64, usize), b: &(f64, usize)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
        let ends = |place: usize| self.bounds[self.nonbasic[place]];
        let mut flipped = Vec::new();
        for number in 0..candidates.len() {
            // Most often one of the first does: only those are sought out, the rest is sorted when they do not.
            if number < FEW {
                let first =
                    (number..candidates.len()).min_by(|a, b| order(&candidates[*a], &candidates[*b]))?;
                candidates.swap(number, first);
            } else if number == FEW {
                candidates[number..].sort_unstable_by(order);
            }
            let (ratio, place) = candidates[number];
            missed -= line[place].abs() * (ends(place).1 - ends(place).0);
            if missed <= 0.0 {
                // Among those that come at once the largest pivot is the safest.
                let ties = candidates[number..].iter().filter(|(other, _)| *other <= ratio + 1e-10);
                let best =
                    ties.max_by(|a, b| line[a.1].abs().total_cmp(&line[b.1].abs()).then(b.1.cmp(&a.1)));
                return best.map(|(_, place)| (*place, flipped));
            }
            flipped.push(place);
        }
        None
    }

    /// Moves a nonbasic variable to its other end.
    pub(super) fn flip(&mut self, place: usize) {
        let ((low, high), before) = (self.bounds[self.nonbasic[place]], self.at[place]);
        self.at[place] = if before == low { high } else { low };
        self.shift(place, self.at[place] - before);
    }

    /// What a move of a nonbasic variable does to the basic ones.
    fn shift(&mut self, place: usize, by: f64) {
        for (line, value) in self.table.chunks_exact(self.nonbasic.len()).zip(&mut self.values) {
            *value += line[place] * by;
        }
    }

    /// A basic variable leaves at an end, and a nonbasic one takes its place.
    pub(super) fn pivot(&mut self, row: usize, place: usize, end: f64) {
        let width = self.nonbasic.len();
        let pivot = self.table[row * width + place];
        let by = (end - self.values[row]) / pivot;
        let entered = self.at[place] + by;
        self.shift(place, by);
        self.exchange(row, place);
        self.values[row] = entered;
        self.at[place] = end;
    }

    /// A basic and a nonbasic variable change places in the table; values are as they were.
    pub(super) fn exchange(&mut self, row: usize, place: usize) {
        let width = self.nonbasic.len();
        let pivot = self.table[row * width + place];
        let mut line: Vec<f64> = self.line(row).iter().map(|value| value / -pivot).collect();
        line[place] = 1.0 / pivot;
        let added = Added::new(&line);
        for (number, other) in self.table.chunks_exact_mut(width).enumerate() {
            let factor = other[place];
            if number == row || factor == 0.0 {
                continue;
            }
            other[place] = 0.0;
            added.to(other, factor);
        }
        for reduced in [&mut self.reduced, &mut self.costs] {
            let factor = std::mem::replace(&mut reduced[place], 0.0);
            added.to(reduced, factor);
        }
        self.table[row * width..(row + 1) * width].copy_from_slice(&line);
        std::mem::swap(&mut self.basic[row], &mut self.nonbasic[place]);
    }
}
