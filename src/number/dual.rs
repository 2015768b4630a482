//! Dual numbers: a value together with its gradient (forward mode), exact up to rounding.
//!
//! The gradient of a constant may be an empty list, which stands for zeros: constants cost no memory. Over
//! [`f64`] this is the gradient at a point; over an interval it encloses every slope that occurs in a box.

use super::{Join, Number, Order, Side};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A value and its derivatives with respect to each input, in the order of the inputs.
#[derive(Clone, Debug, PartialEq)]
pub struct Dual<N = f64> {
    /// The value.
    pub value: N,
    /// The derivatives; empty if the value depends on no input.
    pub gradient: Vec<N>,
}

impl<N: Number> Dual<N> {
    /// Input number `index` of `count`.
    pub fn variable(value: N, index: usize, count: usize) -> Self {
        let gradient = (0..count).map(|at| N::constant(if at == index { 1.0 } else { 0.0 })).collect();
        Self { value, gradient }
    }

    /// The derivative with respect to input `index`.
    pub fn slope(&self, index: usize) -> N {
        self.gradient.get(index).cloned().unwrap_or_else(|| N::constant(0.0))
    }

    /// The outer function's value and slope applied to this inner number.
    fn chain(&self, value: N, slope: N) -> Self {
        let slope = slope.usable_slope();
        Self { value, gradient: self.gradient.iter().map(|inner| inner.clone() * slope.clone()).collect() }
    }

    /// `value`, with the two gradients combined by their factors.
    fn combine(self, one: &N, other: Self, two: &N, value: N) -> Self {
        let gradient = if other.gradient.is_empty() {
            self.gradient.into_iter().map(|g| g * one.clone()).collect()
        } else if self.gradient.is_empty() {
            other.gradient.into_iter().map(|g| g * two.clone()).collect()
        } else {
            debug_assert_eq!(self.gradient.len(), other.gradient.len(), "dual numbers of the same inputs");
            let pairs = self.gradient.into_iter().zip(other.gradient);
            pairs.map(|(g, h)| g * one.clone() + h * two.clone()).collect()
        };
        Self { value, gradient }
    }

    /// Where a law jumps, no slope bounds it: one over an interval around zero is the whole line.
    fn no_slope() -> N {
        N::constant(-1.0).hull(&N::constant(1.0), Join::Jump).reciprocal()
    }

    /// The gradient that covers both gradients.
    fn cover(&self, other: &Self, join: Join) -> Vec<N> {
        let count = usize::max(self.gradient.len(), other.gradient.len());
        (0..count)
            .map(|at| match join {
                Join::Continuous => self.slope(at).hull(&other.slope(at), join),
                Join::Jump => Self::no_slope(),
            })
            .collect()
    }
}

impl<N: Number> Neg for Dual<N> {
    type Output = Self;
    fn neg(self) -> Self {
        Self { value: -self.value, gradient: self.gradient.into_iter().map(|g| -g).collect() }
    }
}

impl<N: Number> Add for Dual<N> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        if other.gradient.is_empty() {
            return Self { value: self.value + other.value, gradient: self.gradient };
        }
        if self.gradient.is_empty() {
            return Self { value: self.value + other.value, gradient: other.gradient };
        }
        debug_assert_eq!(self.gradient.len(), other.gradient.len(), "dual numbers of the same inputs");
        let gradient = self.gradient.into_iter().zip(other.gradient).map(|(g, h)| g + h).collect();
        Self { value: self.value + other.value, gradient }
    }
}

impl<N: Number> Sub for Dual<N> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl<N: Number> Mul for Dual<N> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let (one, two) = (other.value.clone(), self.value.clone());
        let value = two.clone() * one.clone();
        self.combine(&one, other, &two, value)
    }
}

impl<N: Number> Div for Dual<N> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let value = self.value.clone() / other.value.clone();
        let one = other.value.reciprocal().usable_slope();
        let two = (-(value.clone() / other.value.clone())).usable_slope();
        self.combine(&one, other, &two, value)
    }
}

impl<N: Number> Add<f64> for Dual<N> {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        Self { value: self.value + other, gradient: self.gradient }
    }
}

impl<N: Number> Sub<f64> for Dual<N> {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        Self { value: self.value - other, gradient: self.gradient }
    }
}

impl<N: Number> Mul<f64> for Dual<N> {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        Self { value: self.value * other, gradient: self.gradient.into_iter().map(|g| g * other).collect() }
    }
}

impl<N: Number> Div<f64> for Dual<N> {
    type Output = Self;
    fn div(self, other: f64) -> Self {
        Self { value: self.value / other, gradient: self.gradient.into_iter().map(|g| g / other).collect() }
    }
}

impl<N: Number> Number for Dual<N> {
    fn constant(value: f64) -> Self {
        Self { value: N::constant(value), gradient: Vec::new() }
    }

    fn exp(&self) -> Self {
        let value = self.value.exp();
        self.chain(value.clone(), value)
    }

    fn ln(&self) -> Self {
        self.chain(self.value.ln(), self.value.reciprocal())
    }

    fn sqrt(&self) -> Self {
        let value = self.value.sqrt();
        self.chain(value.clone(), value.reciprocal() * 0.5)
    }

    fn powf(&self, exponent: f64) -> Self {
        self.chain(self.value.powf(exponent), self.value.powf(exponent - 1.0) * exponent)
    }

    fn powi(&self, exponent: i32) -> Self {
        let slope = if exponent == 0 {
            N::constant(0.0)
        } else {
            self.value.powi(exponent - 1) * f64::from(exponent)
        };
        self.chain(self.value.powi(exponent), slope)
    }

    fn tanh(&self) -> Self {
        let value = self.value.tanh();
        self.chain(value.clone(), value.powi(2).taken_from(1.0))
    }

    fn abs(&self) -> Self {
        self.max(&-self.clone())
    }

    fn max(&self, other: &Self) -> Self {
        match self.value.order(&other.value) {
            Order::Above => self.clone(),
            Order::Below => other.clone(),
            Order::Either => {
                Self { value: self.value.max(&other.value), gradient: self.cover(other, Join::Continuous) }
            }
        }
    }

    fn min(&self, other: &Self) -> Self {
        match self.value.order(&other.value) {
            Order::Above => other.clone(),
            Order::Below => self.clone(),
            Order::Either => {
                Self { value: self.value.min(&other.value), gradient: self.cover(other, Join::Continuous) }
            }
        }
    }

    fn part_of_sum(&self, other: &Self) -> Self {
        let value = self.value.part_of_sum(&other.value);
        let sum = self.value.clone() + other.value.clone();
        let one = (other.value.part_of_sum(&self.value) / sum.clone()).usable_slope();
        let two = (-(value.clone() / sum)).usable_slope();
        self.clone().combine(&one, other.clone(), &two, value)
    }

    fn order(&self, other: &Self) -> Order {
        self.value.order(&other.value)
    }

    fn side(&self, threshold: f64) -> Side<Self> {
        match self.value.side(threshold) {
            Side::Below => Side::Below,
            Side::Above => Side::Above,
            Side::Both(low, high) => Side::Both(
                Self { value: low, gradient: self.gradient.clone() },
                Self { value: high, gradient: self.gradient.clone() },
            ),
        }
    }

    fn hull(&self, other: &Self, join: Join) -> Self {
        Self { value: self.value.hull(&other.value, join), gradient: self.cover(other, join) }
    }

    fn add_scaled(&mut self, other: &Self, factor: f64) {
        self.value.add_scaled(&other.value, factor);
        if self.gradient.is_empty() {
            self.gradient = other.gradient.iter().map(|g| g.clone() * factor).collect();
        } else {
            for (mine, theirs) in self.gradient.iter_mut().zip(&other.gradient) {
                mine.add_scaled(theirs, factor);
            }
        }
    }

    fn piecewise(
        &self,
        threshold: f64,
        join: Join,
        below: impl FnOnce(&Self) -> Self,
        above: impl FnOnce(&Self) -> Self,
    ) -> Self {
        match self.side(threshold) {
            Side::Below => below(self),
            Side::Above => above(self),
            Side::Both(low, high) => {
                let mut hull = below(&low).hull(&above(&high), join);
                if join == Join::Jump {
                    hull.gradient = vec![Self::no_slope(); self.gradient.len()];
                }
                hull
            }
        }
    }

    fn usable_slope(self) -> Self {
        Self { value: self.value.usable_slope(), gradient: self.gradient }
    }
}
