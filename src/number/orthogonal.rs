//! Least squares by orthogonal factorisation.
//!
//! What enters: columns of equal length and a right side. What leaves: a [`Triangle`], the same problem with as many
//! rows as columns, from which any selection of the columns is solved without going back to the rows. Columns are
//! scaled to length one, and rank is judged there, column by column in the order given: a column that lies within
//! [`DEPENDENT`] of those before it is told with its combination, never dropped silently. This file does not know what
//! the columns mean.

use nalgebra::{DMatrix, DVector};

/// Distance of a column of length one from those before it, below which it depends on them: well above the rounding of a
/// factorisation of some tens of columns, well below the 1e-9 of powers up to the tenth over a range without zero.
pub const DEPENDENT: f64 = 1e-12;

/// A least-squares problem in triangular form.
#[derive(Clone, Debug)]
pub struct Triangle {
    /// Upper triangle over the scaled columns.
    upper: DMatrix<f64>,
    /// The right side, rotated.
    rotated: DVector<f64>,
    /// Length of each column.
    lengths: Vec<f64>,
    /// Squared length of the right side that no column reaches.
    rest: f64,
}

/// A column that depends on those before it.
#[derive(Clone, Debug, PartialEq)]
pub struct Dependence {
    /// The column.
    pub column: usize,
    /// Earlier columns with their coefficients: the column is their sum.
    pub combination: Vec<(usize, f64)>,
}

impl Triangle {
    /// Factorises; a column of zeros has length zero and depends on nothing before it.
    pub fn new(columns: &[Vec<f64>], right: &[f64]) -> Self {
        let rows = right.len();
        let lengths: Vec<f64> =
            columns.iter().map(|column| column.iter().map(|x| x * x).sum::<f64>().sqrt()).collect();
        let matrix = DMatrix::from_fn(rows.max(columns.len()), columns.len(), |row, column| {
            if row < rows && lengths[column] != 0.0 { columns[column][row] / lengths[column] } else { 0.0 }
        });
        let mut turned = DVector::from_fn(matrix.nrows(), |row, _| right.get(row).copied().unwrap_or(0.0));
        Self::factorised(matrix, &mut turned, lengths, 0.0)
    }

    fn factorised(matrix: DMatrix<f64>, right: &mut DVector<f64>, lengths: Vec<f64>, already: f64) -> Self {
        let size = lengths.len();
        let qr = matrix.qr();
        qr.q_tr_mul(right);
        let rest = already + right.rows_range(size..).norm_squared();
        Self { upper: qr.unpack_r(), rotated: right.rows_range(..size).into_owned(), lengths, rest }
    }

    /// How many columns there are.
    pub fn size(&self) -> usize {
        self.lengths.len()
    }

    /// The problem of some of the columns, in the order given.
    #[must_use]
    pub fn selection(&self, chosen: &[usize]) -> Self {
        let size = self.size();
        let matrix = DMatrix::from_fn(size, chosen.len(), |row, column| self.upper[(row, chosen[column])]);
        let lengths = chosen.iter().map(|column| self.lengths[*column]).collect();
        Self::factorised(matrix, &mut self.rotated.clone(), lengths, self.rest)
    }

    /// Columns that depend on those before them.
    pub fn dependences(&self) -> Vec<Dependence> {
        let mut list = Vec::new();
        let mut kept: Vec<usize> = Vec::new();
        for column in 0..self.size() {
            let trial: Vec<usize> = kept.iter().copied().chain([column]).collect();
            let selection = self.selection(&trial);
            let last = trial.len() - 1;
            if DEPENDENT < selection.upper[(last, last)].abs() {
                kept.push(column);
                continue;
            }
            let above = DVector::from_fn(last, |row, _| selection.upper[(row, last)]);
            let square = selection.upper.view((0, 0), (last, last)).into_owned();
            let weights = square.solve_upper_triangular(&above).unwrap_or_else(|| DVector::zeros(last));
            let largest = weights.amax();
            let combination = kept
                .iter()
                .zip(weights.iter())
                .filter(|(_, weight)| 1e-8 * largest < weight.abs())
                .map(|(other, weight)| (*other, weight * self.lengths[column] / self.lengths[*other]))
                .collect();
            list.push(Dependence { column, combination });
        }
        list
    }

    /// Whether every column stands clear of those before it.
    pub fn is_regular(&self) -> bool {
        (0..self.size()).all(|at| DEPENDENT < self.upper[(at, at)].abs())
    }

    /// Squared length of what the columns leave of the right side.
    pub fn rest(&self) -> f64 {
        self.rest
    }

    /// The coefficients of the columns as they were given; `None` if they depend on one another.
    pub fn solution(&self) -> Option<Vec<f64>> {
        let scaled = self.is_regular().then(|| self.upper.solve_upper_triangular(&self.rotated)).flatten()?;
        Some(scaled.iter().zip(&self.lengths).map(|(value, length)| value / length).collect())
    }

    /// The inverse of the columns' products, `(X'X)^-1`; `None` if they depend on one another.
    pub fn covariance(&self) -> Option<Vec<Vec<f64>>> {
        let size = self.size();
        if !self.is_regular() {
            return None;
        }
        let inverse = self.upper.solve_upper_triangular(&DMatrix::identity(size, size))?;
        let product = &inverse * inverse.transpose();
        let entry = |i: usize, j: usize| product[(i.min(j), i.max(j))] / (self.lengths[i] * self.lengths[j]);
        Some((0..size).map(|i| (0..size).map(|j| entry(i, j)).collect()).collect())
    }

    /// Leverage `x' (X'X)^-1 x` of a row; `None` if the columns depend on one another.
    pub fn leverage(&self, row: &[f64]) -> Option<f64> {
        if !self.is_regular() {
            return None;
        }
        let scaled = DVector::from_fn(self.size(), |at, _| row[at] / self.lengths[at]);
        Some(self.upper.tr_solve_upper_triangular(&scaled)?.norm_squared())
    }

    /// Largest over smallest singular value of the scaled columns.
    pub fn condition(&self) -> f64 {
        let values = self.upper.clone().singular_values();
        values.max() / values.min().max(f64::MIN_POSITIVE)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_selection_is_solved_as_if_from_its_rows() {
        let columns = vec![vec![1.0; 5], vec![1.0, 2.0, 3.0, 4.0, 5.5], vec![2.0, -1.0, 0.5, 3.0, 1.0]];
        let right = [1.0, 3.0, 2.0, 5.0, 4.0];
        let whole = Triangle::new(&columns, &right);
        let part = whole.selection(&[2, 0]);
        let direct = Triangle::new(&[columns[2].clone(), columns[0].clone()], &right);
        for (a, b) in part.solution().unwrap().iter().zip(direct.solution().unwrap()) {
            assert!((a - b).abs() < 1e-13);
        }
        assert!((part.rest() - direct.rest()).abs() < 1e-12);
        let row = [0.5, 1.0];
        assert!((part.leverage(&row).unwrap() - direct.leverage(&row).unwrap()).abs() < 1e-13);
    }

    #[test]
    fn a_dependent_column_is_told_with_its_combination() {
        let columns = vec![vec![1.0; 4], vec![0.1, 0.2, 0.3, 0.4], vec![0.9, 0.8, 0.7, 0.6]];
        let triangle = Triangle::new(&columns, &[1.0, 2.0, 3.0, 5.0]);
        assert_eq!(triangle.solution(), None);
        let told = triangle.dependences();
        assert_eq!(told.len(), 1);
        assert_eq!(told[0].column, 2);
        let combination: Vec<(usize, f64)> =
            told[0].combination.iter().map(|(at, weight)| (*at, (weight * 1e9).round() / 1e9)).collect();
        assert_eq!(combination, [(0, 1.0), (1, -1.0)]);
    }
}
