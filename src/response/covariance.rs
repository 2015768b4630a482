//! How sure a fitted surface is: leverage and the standard deviation of a prediction.

use super::surface::Surface;

/// Coefficient covariance divided by the residual variance, `C = (X'X)^-1`, in the order of the monomials.
///
/// Leverage at a point is `h = f'Cf`, f the monomials there; a new result deviates from the prediction with
/// standard deviation `s sqrt(1 + h)` (ordinary least squares).
#[derive(Clone, Debug, PartialEq)]
pub struct Covariance {
    /// Monomials as factors multiplied, in the author's order: none for the constant.
    pub monomials: Vec<Vec<usize>>,
    /// The matrix.
    pub matrix: Vec<Vec<f64>>,
}

impl Covariance {
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

    /// What a change of the coefficients, in the order of the monomials, adds to the predictor at natural factors.
    pub fn change(&self, surface: &Surface, factors: &[f64], change: &[f64]) -> f64 {
        let coded = |i: &usize| (factors[*i] - surface.coding[*i].0) / surface.coding[*i].1;
        let monomial = |monomial: &Vec<usize>| monomial.iter().map(coded).product::<f64>();
        self.monomials.iter().zip(change).map(|(list, change)| change * monomial(list)).sum()
    }

    /// A lower triangle R with R R' = C, by Cholesky's elimination; directions without variance stay zero.
    pub fn root(&self) -> Vec<Vec<f64>> {
        let size = self.matrix.len();
        let mut root = vec![vec![0.0; size]; size];
        for row in 0..size {
            for column in 0..=row {
                let dot: f64 = root[row].iter().zip(&root[column]).take(column).map(|(a, b)| a * b).sum();
                let rest = self.matrix[row][column] - dot;
                root[row][column] = if row == column {
                    if rest <= 1e-12 * self.matrix[row][row].abs() { 0.0 } else { rest.sqrt() }
                } else if root[column][column] == 0.0 {
                    0.0
                } else {
                    rest / root[column][column]
                };
            }
        }
        root
    }

    /// Why the matrix is no covariance, if it is none: size, symmetry, or a combination of terms with a negative
    /// variance (an elimination without exchange meets a negative pivot).
    pub fn fault(&self) -> Option<String> {
        let size = self.monomials.len();
        let widths = self.matrix.iter().map(Vec::len);
        if self.matrix.len() != size || widths.clone().any(|width| width != size) {
            let width = widths.max().unwrap_or(0);
            return Some(format!(
                "it has {} rows of {width} numbers; {size} of {size} are needed",
                self.matrix.len()
            ));
        }
        for i in 0..size {
            for j in 0..i {
                let (a, b) = (self.matrix[i][j], self.matrix[j][i]);
                if 1e-9 * (a.abs() + b.abs()) < (a - b).abs() {
                    return Some(format!(
                        "it is not symmetric: row {} column {} is {b}, row {} column {} is {a}",
                        j + 1,
                        i + 1,
                        i + 1,
                        j + 1
                    ));
                }
            }
        }
        let mut rest = self.matrix.clone();
        for pivot in 0..size {
            let size_here = self.matrix[pivot][pivot].abs();
            let value = rest[pivot][pivot];
            if value < -1e-9 * size_here || self.matrix[pivot][pivot] < 0.0 {
                return Some(format!(
                    "a combination of its first {} terms has a negative variance",
                    pivot + 1
                ));
            }
            let is_zero = value <= 1e-12 * size_here;
            for row in pivot + 1..size {
                let factor = rest[row][pivot];
                if is_zero {
                    let allowed = 1e-6 * (size_here * self.matrix[row][row].abs()).sqrt();
                    if allowed < factor.abs() {
                        return Some(format!(
                            "a combination of its first {} terms has a negative variance",
                            row + 1
                        ));
                    }
                    continue;
                }
                let above = rest[pivot].clone();
                for (here, above) in rest[row].iter_mut().zip(&above) {
                    *here -= factor / value * above;
                }
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(matrix: Vec<Vec<f64>>) -> Option<String> {
        let monomials = (0..matrix.len()).map(|_| Vec::new()).collect();
        Covariance { monomials, matrix }.fault()
    }

    #[test]
    fn a_covariance_has_no_combination_of_negative_variance() {
        assert_eq!(fault(vec![vec![1.0, 0.5], vec![0.5, 1.0]]), None);
        assert_eq!(fault(vec![vec![0.0, 0.0], vec![0.0, 1.0]]), None);
        assert!(fault(vec![vec![1.0, 2.0], vec![2.0, 1.0]]).is_some());
        assert!(fault(vec![vec![1.0, 0.2], vec![0.3, 1.0]]).is_some_and(|why| why.contains("symmetric")));
        // Every two of these three agree, all three do not.
        let three = vec![vec![1.0, 0.9, -0.9], vec![0.9, 1.0, 0.9], vec![-0.9, 0.9, 1.0]];
        assert!(fault(three).is_some());
    }
}
