//! Product columns in centred coordinates, and which pairs of factors have one.
//!
//! What enters: a lifted problem and the box its factors have at the root of a search. What leaves: the same with other
//! coordinates or with more products. A product column of two factor columns z and z' stands for
//! `(z - centre) / half x (z' - centre') / half'`: around the middle of a tight box the differences that matter are not
//! lost beside the size of the factors. Nothing here knows of rows.

use super::coordinate::Coordinate;
use super::lifting::{Kind, Lifting};
use crate::number::Interval;

/// Share of all pairs of the factors of surfaces from which on products count as dense.
const DENSE: f64 = 0.4;
/// Factors from which on density says anything.
const FEW: usize = 4;
/// Factors beyond which all pairs are too many.
const MANY: usize = 22;

impl Lifting {
    /// The same with product columns centred in other boxes of the factor columns.
    pub fn centre(&mut self, boxes: &[Interval]) {
        self.coordinates = boxes.iter().map(|range| Coordinate::of(*range)).collect();
    }

    /// The product columns at values of the factor columns.
    pub fn products_at(&self, z: &[f64]) -> Vec<f64> {
        let u = |factor: usize| self.coordinates[factor].at(z[factor]);
        self.products.iter().map(|(i, j)| u(*i) * u(*j)).collect()
    }

    /// Factor columns that stand in a product, rising.
    pub fn multiplied(&self) -> Vec<usize> {
        let mut factors: Vec<usize> = self.products.iter().flat_map(|(i, j)| [*i, *j]).collect();
        factors.sort_unstable();
        factors.dedup();
        factors
    }

    /// Whether so many pairs of factors are multiplied that all of them are worth a column.
    pub fn is_dense(&self) -> bool {
        let size = self.multiplied().len();
        (FEW..=MANY).contains(&size) && DENSE * (size * (size + 1) / 2) as f64 <= self.products.len() as f64
    }

    /// Whether all pairs of the multiplied factors would still be a program to solve often.
    pub fn is_worth_all(&self) -> bool {
        (2..=MANY).contains(&self.multiplied().len())
    }

    /// Whether every pair of multiplied factors has a product column.
    pub fn is_complete(&self) -> bool {
        let size = self.multiplied().len();
        0 < size && self.products.len() == size * (size + 1) / 2
    }

    /// Whether a product column is tied to amounts by an equation: a ratio times its denominator.
    pub fn is_exact(&self, product: usize) -> bool {
        let (i, j) = self.products[product];
        let over = |ratio: usize, other: usize| matches!(self.factors[ratio].kind, Kind::Ratio { denominator, .. } if denominator == other);
        over(i, j) || over(j, i)
    }

    /// Gives every pair of multiplied factors a product column.
    pub fn multiply_all(&mut self) {
        let factors = self.multiplied();
        for (at, i) in factors.iter().enumerate() {
            for j in &factors[at..] {
                self.product(*i, *j);
            }
        }
    }
}
