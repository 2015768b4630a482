//! Affine functions of the amounts, and ratios of two.

use crate::listed::Id;
use crate::material::Material;

/// `constant + sum of coefficient x column`; columns rise and no coefficient is zero.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Affine {
    /// Value at the zero mix.
    pub constant: f64,
    /// Columns with their coefficients.
    pub terms: Vec<(usize, f64)>,
}

impl Affine {
    /// A constant.
    pub fn constant(value: f64) -> Self {
        Self { constant: value, terms: Vec::new() }
    }

    /// One column.
    pub fn column(column: usize) -> Self {
        Self { constant: 0.0, terms: vec![(column, 1.0)] }
    }

    /// The amount of a material in its reference state: material m is column m.
    pub fn amount(material: Id<Material>) -> Self {
        Self::column(material.index())
    }

    /// Adds `factor` times another function.
    #[must_use]
    pub fn plus(mut self, factor: f64, other: &Self) -> Self {
        self.constant += factor * other.constant;
        for (column, coefficient) in &other.terms {
            match self.terms.binary_search_by_key(column, |(known, _)| *known) {
                Ok(at) => self.terms[at].1 += factor * coefficient,
                Err(at) => self.terms.insert(at, (*column, factor * coefficient)),
            }
        }
        self.terms.retain(|(_, coefficient)| *coefficient != 0.0);
        self
    }

    /// The function times a number.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self::default().plus(factor, self)
    }

    /// The value at a mix.
    pub fn at(&self, mix: &[f64]) -> f64 {
        self.constant + self.terms.iter().map(|(column, coefficient)| coefficient * mix[*column]).sum::<f64>()
    }

    /// The size of the terms at a mix: what rounding is relative to.
    pub fn size_at(&self, mix: &[f64]) -> f64 {
        self.constant.abs()
            + self.terms.iter().map(|(column, coefficient)| (coefficient * mix[*column]).abs()).sum::<f64>()
    }

    /// Whether it is the zero function.
    pub fn is_zero(&self) -> bool {
        self.constant == 0.0 && self.terms.is_empty()
    }
}

/// A ratio of two affine functions.
#[derive(Clone, Debug, PartialEq)]
pub struct Ratio {
    /// Above.
    pub numerator: Affine,
    /// Below.
    pub denominator: Affine,
}

/// A quantity of the mix: affine or a ratio.
#[derive(Clone, Debug, PartialEq)]
pub enum Measure {
    /// Affine in the amounts.
    Linear(Affine),
    /// A ratio of two affine functions.
    Ratio(Ratio),
}

impl Measure {
    /// The value at a mix; `None` where a denominator vanishes.
    pub fn at(&self, mix: &[f64]) -> Option<f64> {
        match self {
            Self::Linear(affine) => Some(affine.at(mix)),
            Self::Ratio(ratio) => {
                let denominator = ratio.denominator.at(mix);
                let size = ratio.denominator.size_at(mix);
                let value = ratio.numerator.at(mix) / denominator;
                (value.is_finite() && 1e-9 * size < denominator.abs()).then_some(value)
            }
        }
    }

    /// The size of its terms at a mix: what a value near zero is judged by. `None` where a denominator vanishes.
    pub fn size_at(&self, mix: &[f64]) -> Option<f64> {
        match self {
            Self::Linear(affine) => Some(affine.size_at(mix)),
            Self::Ratio(ratio) => {
                self.at(mix)?;
                Some(ratio.numerator.size_at(mix) / ratio.denominator.at(mix).abs())
            }
        }
    }

    /// Adds `factor` times the gradient at a mix to `gradient`.
    ///
    /// A ratio N/D has gradient (N' - (N/D) D') / D.
    pub fn add_gradient(&self, mix: &[f64], factor: f64, gradient: &mut [f64]) {
        match self {
            Self::Linear(affine) => {
                for (column, coefficient) in &affine.terms {
                    gradient[*column] += factor * coefficient;
                }
            }
            Self::Ratio(Ratio { numerator, denominator }) => {
                let below = denominator.at(mix);
                let value = numerator.at(mix) / below;
                for (column, coefficient) in &numerator.terms {
                    gradient[*column] += factor * coefficient / below;
                }
                for (column, coefficient) in &denominator.terms {
                    gradient[*column] -= factor * coefficient * value / below;
                }
            }
        }
    }

    /// `value - bound` times a positive denominator: an affine function with the sign of `value - bound`.
    pub fn minus_bound(&self, bound: f64) -> Affine {
        match self {
            Self::Linear(affine) => Affine::constant(-bound).plus(1.0, affine),
            Self::Ratio(ratio) => ratio.numerator.clone().plus(-bound, &ratio.denominator),
        }
    }

    /// Whether no mix can make it negative: amounts are not, and no coefficient is.
    pub fn is_never_negative(&self) -> bool {
        let positive =
            |affine: &Affine| 0.0 <= affine.constant && affine.terms.iter().all(|(_, factor)| 0.0 <= *factor);
        match self {
            Self::Linear(affine) => positive(affine),
            Self::Ratio(ratio) => positive(&ratio.numerator) && positive(&ratio.denominator),
        }
    }

    /// The denominator, if it is a ratio.
    pub fn denominator(&self) -> Option<&Affine> {
        match self {
            Self::Linear(_) => None,
            Self::Ratio(ratio) => Some(&ratio.denominator),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ratio_bound_is_exact_by_cross_multiplication() {
        let ratio = Measure::Ratio(Ratio {
            numerator: Affine::column(0),
            denominator: Affine::column(1).plus(1.0, &Affine::column(2)),
        });
        let mix = [160.0, 320.0, 80.0];
        assert_eq!(ratio.at(&mix), Some(0.4));
        assert!(ratio.minus_bound(0.4).at(&mix).abs() < 1e-12);
        assert!(ratio.minus_bound(0.41).at(&mix) < 0.0);
        let mut gradient = [0.0; 3];
        ratio.add_gradient(&mix, 1.0, &mut gradient);
        assert!((gradient[0] - 1.0 / 400.0).abs() < 1e-15 && (gradient[1] + 0.4 / 400.0).abs() < 1e-15);
    }

    #[test]
    fn terms_that_cancel_disappear() {
        let sum = Affine::column(3).plus(-1.0, &Affine::column(3));
        assert!(sum.is_zero());
    }
}
