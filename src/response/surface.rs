//! Second-order polynomials in factors, natural or coded.

use crate::number::{Interval, Number};

/// `constant + sum b_i t_i + sum q_ij t_i t_j` with `t_i = (z_i - centre_i) / half_i`, or `t_i = z_i` where a
/// factor is not coded.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// Constant.
    pub constant: f64,
    /// Factor and coefficient.
    pub linear: Vec<(usize, f64)>,
    /// Two factors, the first not after the second, and coefficient.
    pub products: Vec<(usize, usize, f64)>,
    /// Centre and half range of each factor; (0, 1) where it is not coded.
    pub coding: Vec<(f64, f64)>,
}

impl Surface {
    fn coded(&self, factors: &[f64]) -> Vec<f64> {
        factors.iter().zip(&self.coding).map(|(factor, (centre, half))| (factor - centre) / half).collect()
    }

    /// The predictor at natural factor values.
    pub fn value(&self, factors: &[f64]) -> f64 {
        let t = self.coded(factors);
        let linear: f64 = self.linear.iter().map(|(i, b)| b * t[*i]).sum();
        let products: f64 = self.products.iter().map(|(i, j, q)| q * t[*i] * t[*j]).sum();
        self.constant + linear + products
    }

    /// The predictor and its gradient by natural factors.
    pub fn value_and_gradient(&self, factors: &[f64]) -> (f64, Vec<f64>) {
        let t = self.coded(factors);
        let mut gradient = vec![0.0; factors.len()];
        let mut value = self.constant;
        for (i, b) in &self.linear {
            value += b * t[*i];
            gradient[*i] += b;
        }
        for (i, j, q) in &self.products {
            value += q * t[*i] * t[*j];
            gradient[*i] += q * t[*j];
            gradient[*j] += q * t[*i];
        }
        for (slope, (_, half)) in gradient.iter_mut().zip(&self.coding) {
            *slope /= half;
        }
        (value, gradient)
    }

    /// Guaranteed bounds of the predictor over a box of natural factors.
    ///
    /// Centred form: value at the middle, plus gradient at the middle times deviations, plus the exact second
    /// order part over the deviations; the width falls to zero with the box.
    pub fn bounds(&self, factors: &[Interval]) -> Interval {
        let middle: Vec<f64> = factors.iter().map(Interval::middle).collect();
        let (value, gradient) = self.value_and_gradient(&middle);
        let deviation: Vec<Interval> = factors
            .iter()
            .zip(&middle)
            .map(|(factor, middle)| Interval::new(factor.low() - middle, factor.high() - middle))
            .collect();
        let size: f64 = self.constant.abs()
            + self.linear.iter().map(|(i, b)| (b * self.coded(&middle)[*i]).abs()).sum::<f64>()
            + self
                .products
                .iter()
                .map(|(i, j, q)| (q * self.coded(&middle)[*i] * self.coded(&middle)[*j]).abs())
                .sum::<f64>();
        let mut sum = Interval::new(value - 1e-14 * size, value + 1e-14 * size);
        for (slope, deviation) in gradient.iter().zip(&deviation) {
            sum = sum + *deviation * *slope;
        }
        for (i, j, q) in &self.products {
            let scale = q / (self.coding[*i].1 * self.coding[*j].1);
            let product = if i == j { deviation[*i].powi(2) } else { deviation[*i] * deviation[*j] };
            sum = sum + product * scale;
        }
        sum
    }

    /// Bounds of the slope by each natural factor over a box.
    pub fn slopes(&self, factors: &[Interval]) -> Vec<Interval> {
        let coded: Vec<Interval> = factors
            .iter()
            .zip(&self.coding)
            .map(|(factor, (centre, half))| (*factor - *centre) / *half)
            .collect();
        let mut slopes = vec![Interval::point(0.0); factors.len()];
        for (i, b) in &self.linear {
            slopes[*i] = slopes[*i] + *b;
        }
        for (i, j, q) in &self.products {
            slopes[*i] = slopes[*i] + coded[*j] * *q;
            slopes[*j] = slopes[*j] + coded[*i] * *q;
        }
        slopes.iter().zip(&self.coding).map(|(slope, (_, half))| *slope / *half).collect()
    }

    /// Whether it has no second-order terms.
    pub fn is_linear(&self) -> bool {
        self.products.is_empty()
    }
}
