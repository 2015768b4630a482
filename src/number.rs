//! The numbers that a law can be evaluated with.
//!
//! A formula is written once, for any [`Number`]: with `f64` it gives the value, with [`Dual`] the value and
//! its gradient, with [`Interval`] guaranteed bounds over a box, and with `Dual<Interval>` guaranteed bounds
//! of the gradient. This file knows nothing about concrete.

mod dual;
mod interval;
pub mod distribution;
pub mod orthogonal;
pub mod deviate;
pub mod golden;
pub mod symmetric;

pub use dual::Dual;
pub use interval::Interval;

use std::fmt::Debug;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// How two numbers lie to one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// The first is nowhere above the second.
    Below,
    /// The first is nowhere below the second.
    Above,
    /// They overlap: either may be the greater one.
    Either,
}

/// On which side of a threshold a number lies.
#[derive(Clone, Debug, PartialEq)]
pub enum Side<N> {
    /// Wholly at or below the threshold.
    Below,
    /// Wholly above the threshold.
    Above,
    /// On both sides: the two parts, cut at the threshold.
    Both(N, N),
}

/// Whether the two branches of a piecewise law agree where they meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Join {
    /// The branches meet: the law has at most a kink.
    Continuous,
    /// The branches do not meet: near the threshold no slope bounds the law.
    Jump,
}

/// A number that the laws are written for. All methods are those of the real function of the same name.
pub trait Number:
    Clone
    + Debug
    + Neg<Output = Self>
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// The number that is `value` whatever the inputs.
    fn constant(value: f64) -> Self;
    /// e to the power of the number.
    #[must_use]
    fn exp(&self) -> Self;
    /// Natural logarithm.
    #[must_use]
    fn ln(&self) -> Self;
    /// Square root.
    #[must_use]
    fn sqrt(&self) -> Self;
    /// Power with a fixed real exponent, for numbers that are not negative.
    #[must_use]
    fn powf(&self, exponent: f64) -> Self;
    /// Power with a fixed whole exponent.
    #[must_use]
    fn powi(&self, exponent: i32) -> Self;
    /// Hyperbolic tangent.
    #[must_use]
    fn tanh(&self) -> Self;
    /// Magnitude.
    #[must_use]
    fn abs(&self) -> Self;
    /// The greater of two numbers; a gradient follows the active one.
    #[must_use]
    fn max(&self, other: &Self) -> Self;
    /// The lesser of two numbers; a gradient follows the active one.
    #[must_use]
    fn min(&self, other: &Self) -> Self;
    /// `self / (self + other)` for two numbers that are not negative: one operation, so that its bounds are
    /// sharp.
    #[must_use]
    fn part_of_sum(&self, other: &Self) -> Self;
    /// How this number lies to the other one.
    fn order(&self, other: &Self) -> Order;
    /// On which side of the threshold this number lies, and its two parts if it lies on both.
    fn side(&self, threshold: f64) -> Side<Self>;
    /// The smallest number of this kind that covers both.
    #[must_use]
    fn hull(&self, other: &Self, join: Join) -> Self;
    /// `self += other * factor`, in place.
    fn add_scaled(&mut self, other: &Self, factor: f64);
    /// This slope, or zero where it is infinite at the edge of a domain, so that no infinity enters a linear
    /// program.
    #[must_use]
    fn usable_slope(self) -> Self;

    /// Power with an exponent that is itself a number, for a positive base.
    #[must_use]
    fn pow(&self, exponent: &Self) -> Self {
        (self.ln() * exponent.clone()).exp()
    }

    /// One over the number.
    #[must_use]
    fn reciprocal(&self) -> Self {
        Self::constant(1.0) / self.clone()
    }

    /// `value - self`.
    #[must_use]
    fn taken_from(&self, value: f64) -> Self {
        -self.clone() + value
    }

    /// The number, but not less than `low`.
    #[must_use]
    fn at_least(&self, low: f64) -> Self {
        self.max(&Self::constant(low))
    }

    /// The number, but not more than `high`.
    #[must_use]
    fn at_most(&self, high: f64) -> Self {
        self.min(&Self::constant(high))
    }

    /// `below` where the number is at or below the threshold, `above` elsewhere; each branch receives its own
    /// part.
    #[must_use]
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
            Side::Both(low, high) => below(&low).hull(&above(&high), join),
        }
    }
}

impl Number for f64 {
    fn constant(value: f64) -> Self {
        value
    }
    fn exp(&self) -> Self {
        f64::exp(*self)
    }
    fn ln(&self) -> Self {
        f64::ln(*self)
    }
    fn sqrt(&self) -> Self {
        f64::sqrt(*self)
    }
    fn powf(&self, exponent: f64) -> Self {
        f64::powf(*self, exponent)
    }
    fn powi(&self, exponent: i32) -> Self {
        f64::powi(*self, exponent)
    }
    fn tanh(&self) -> Self {
        f64::tanh(*self)
    }
    fn abs(&self) -> Self {
        f64::abs(*self)
    }
    fn max(&self, other: &Self) -> Self {
        f64::max(*self, *other)
    }
    fn min(&self, other: &Self) -> Self {
        f64::min(*self, *other)
    }
    fn part_of_sum(&self, other: &Self) -> Self {
        if *self == 0.0 { 0.0 } else { self / (self + other) }
    }
    fn order(&self, other: &Self) -> Order {
        if self < other { Order::Below } else { Order::Above }
    }
    fn side(&self, threshold: f64) -> Side<Self> {
        if *self <= threshold { Side::Below } else { Side::Above }
    }
    fn hull(&self, _other: &Self, _join: Join) -> Self {
        *self
    }
    fn add_scaled(&mut self, other: &Self, factor: f64) {
        *self += other * factor;
    }
    fn usable_slope(self) -> Self {
        if self.is_finite() { self } else { 0.0 }
    }
}
