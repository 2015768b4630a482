//! How sure a fitted surface is: leverage and the standard deviation of a prediction.

use super::surface::Surface;

/// Coefficient covariance divided by the residual variance, `C = (X'X)^-1`, in the order of the monomials.
///
/// Leverage at a point is `h = f'Cf`, f the monomials there; a new result deviates from the prediction with
/// standard deviation `s sqrt(1 + h)` (ordinary least squares).
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Monomials as factors multiplied, in the author's order: none for the constant.
    pub monomials: Vec<Vec<usize>>,
    /// The matrix.
    pub matrix: Vec<Vec<f64>>,
}

impl Spread {
    /// Leverage and its gradient by natural factors.
    pub fn leverage(&self, surface: &Surface, factors: &[f64]) -> (f64, Vec<f64>) {
        let t: Vec<f64> = factors
            .iter()
            .zip(&surface.coding)
            .map(|(factor, (centre, half))| (factor - centre) / half)
            .collect();
        let f: Vec<f64> =
            self.monomials.iter().map(|monomial| monomial.iter().map(|i| t[*i]).product()).collect();
        let cf: Vec<f64> =
            self.matrix.iter().map(|row| row.iter().zip(&f).map(|(c, f)| c * f).sum()).collect();
        let leverage = f.iter().zip(&cf).map(|(f, c)| f * c).sum();
        let mut gradient = vec![0.0; factors.len()];
        for (monomial, weight) in self.monomials.iter().zip(&cf) {
            for (at, i) in monomial.iter().enumerate() {
                let others: f64 = monomial
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| *other != at)
                    .map(|(_, j)| t[*j])
                    .product();
                gradient[*i] += 2.0 * weight * others / surface.coding[*i].1;
            }
        }
        (leverage, gradient)
    }

    /// Whether the matrix is symmetric and not negative along its diagonal, as a covariance must be.
    pub fn is_plausible(&self) -> bool {
        let size = self.monomials.len();
        let square = self.matrix.len() == size && self.matrix.iter().all(|row| row.len() == size);
        square
            && (0..size).all(|i| {
                0.0 <= self.matrix[i][i]
                    && (0..i).all(|j| {
                        let (a, b) = (self.matrix[i][j], self.matrix[j][i]);
                        (a - b).abs() <= 1e-9 * (a.abs() + b.abs())
                            && a * b <= self.matrix[i][i] * self.matrix[j][j] * (1.0 + 1e-9)
                    })
            })
    }
}
