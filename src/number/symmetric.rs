//! Eigenpairs of small symmetric matrices.
//!
//! What enters: a symmetric matrix of a few rows. What leaves: its eigenvalues, rising, with unit eigenvectors whose sign
//! is fixed, so that the same matrix gives the same vectors everywhere: sequential, one code path on all processors.

use nalgebra::{DMatrix, SymmetricEigen};

/// An eigenvalue with its eigenvector.
#[derive(Clone, Debug, PartialEq)]
pub struct Eigenpair {
    /// Eigenvalue.
    pub value: f64,
    /// Unit vector; its largest entry is positive.
    pub vector: Vec<f64>,
}

/// Relative precision to which the iteration goes.
const PRECISION: f64 = 1e-14;
/// Most iterations.
const ITERATIONS: usize = 1000;

/// Eigenpairs of a symmetric matrix, given row by row, in rising order of their values; none where it holds what is not
/// finite, or where the iteration does not end.
pub fn eigenpairs(matrix: &[f64], size: usize) -> Vec<Eigenpair> {
    if size == 0 || matrix.len() != size * size || matrix.iter().any(|entry| !entry.is_finite()) {
        return Vec::new();
    }
    let matrix = DMatrix::from_row_slice(size, size, matrix);
    let Some(found) = SymmetricEigen::try_new(matrix, PRECISION, ITERATIONS) else { return Vec::new() };
    let mut pairs: Vec<Eigenpair> = found
        .eigenvalues
        .iter()
        .zip(found.eigenvectors.column_iter())
        .map(|(value, column)| {
            let largest = column.iter().fold(0.0_f64, |most, x| if most.abs() < x.abs() { *x } else { most });
            let sign = if largest < 0.0 { -1.0 } else { 1.0 };
            Eigenpair { value: *value, vector: column.iter().map(|entry| sign * entry).collect() }
        })
        .collect();
    pairs.sort_by(|a, b| a.value.total_cmp(&b.value));
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eigenpairs_of_a_matrix_known_by_hand() {
        // [2 1; 1 2] has 1 with (1, -1) and 3 with (1, 1).
        let pairs = eigenpairs(&[2.0, 1.0, 1.0, 2.0], 2);
        assert!((pairs[0].value - 1.0).abs() < 1e-12 && (pairs[1].value - 3.0).abs() < 1e-12);
        assert!((pairs[0].vector[0] + pairs[0].vector[1]).abs() < 1e-12);
        assert!((pairs[1].vector[0] - 0.5_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_finite_has_none() {
        assert!(eigenpairs(&[f64::NAN], 1).is_empty());
        assert!(eigenpairs(&[], 0).is_empty());
    }
}
