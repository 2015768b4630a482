//! Polynomials in columns, and programs whose rows are polynomials.

use std::collections::BTreeMap;

use super::program::Program;

/// A polynomial: each product of columns (rising, repeated for powers) with its coefficient.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Polynomial {
    terms: BTreeMap<Vec<usize>, f64>,
}

impl Polynomial {
    /// A constant.
    pub fn constant(value: f64) -> Self {
        Self::default().plus_term(value, &[])
    }

    /// `slope x column + shift`.
    pub fn line(slope: f64, column: usize, shift: f64) -> Self {
        Self::constant(shift).plus_term(slope, &[column])
    }

    /// Adds one term.
    #[must_use]
    pub fn plus_term(mut self, coefficient: f64, columns: &[usize]) -> Self {
        let mut product = columns.to_vec();
        product.sort_unstable();
        let total = self.terms.entry(product).or_insert(0.0);
        *total += coefficient;
        self.terms.retain(|_, coefficient| *coefficient != 0.0);
        self
    }

    /// Adds `factor` times another.
    #[must_use]
    pub fn plus(self, factor: f64, other: &Self) -> Self {
        other
            .terms
            .iter()
            .fold(self, |sum, (columns, coefficient)| sum.plus_term(factor * coefficient, columns))
    }

    /// Times a number.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self::default().plus(factor, self)
    }

    /// Product of two.
    #[must_use]
    pub fn product(&self, other: &Self) -> Self {
        let mut product = Self::default();
        for (columns, coefficient) in &self.terms {
            for (more, factor) in &other.terms {
                let all: Vec<usize> = columns.iter().chain(more).copied().collect();
                product = product.plus_term(coefficient * factor, &all);
            }
        }
        product
    }

    /// Terms in order: columns and coefficient; the constant, without columns, comes first.
    pub fn terms(&self) -> impl Iterator<Item = (&[usize], f64)> {
        self.terms.iter().map(|(columns, coefficient)| (columns.as_slice(), *coefficient))
    }

    /// The constant.
    pub fn offset(&self) -> f64 {
        self.terms.get([].as_slice()).copied().unwrap_or(0.0)
    }

    /// The value at a point.
    pub fn at(&self, point: &[f64]) -> f64 {
        self.terms()
            .map(|(columns, coefficient)| {
                coefficient * columns.iter().map(|column| point[*column]).product::<f64>()
            })
            .sum()
    }
}

/// What a polynomial must be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Zero.
    Zero,
    /// Not negative.
    NotNegative,
}

/// One polynomial row.
#[derive(Clone, Debug, PartialEq)]
pub struct PolynomialRow {
    /// For people.
    pub label: String,
    /// What is limited.
    pub polynomial: Polynomial,
    /// How.
    pub sense: Sense,
    /// The column that an equality defines, if it does.
    pub defines: Option<usize>,
}

/// A program with linear rows, whole decisions, and polynomial rows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PolynomialProgram {
    /// Columns, objective to minimise, linear rows.
    pub linear: Program,
    /// Polynomial rows.
    pub rows: Vec<PolynomialRow>,
    /// What one of each column stands for, in base units.
    pub scales: Vec<f64>,
}

impl PolynomialProgram {
    /// The largest violation of a bound, a row, a whole number or a polynomial at a point.
    pub fn violation(&self, point: &[f64]) -> f64 {
        self.rows
            .iter()
            .map(|row| {
                let value = row.polynomial.at(point);
                match row.sense {
                    Sense::Zero => value.abs(),
                    Sense::NotNegative => (-value).max(0.0),
                }
            })
            .fold(self.linear.violation(point), f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_are_multiplied_out_and_terms_that_cancel_disappear() {
        let a = Polynomial::line(2.0, 1, -1.0);
        let b = Polynomial::line(2.0, 1, 1.0);
        let product = a.product(&b);
        let terms: Vec<(&[usize], f64)> = product.terms().collect();
        assert_eq!(terms, [([].as_slice(), -1.0), ([1, 1].as_slice(), 4.0)]);
        assert_eq!(product.at(&[0.0, 3.0]), 35.0);
    }
}
