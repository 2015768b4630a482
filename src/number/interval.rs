//! Intervals: every result covers all values that the real function takes on the given intervals.
//!
//! Enclosures are guaranteed by widening each result outwards by a few units in the last place. A function
//! that is only defined on a part of the interval covers its values on that part; where no part is valid, the
//! whole line is returned, so that no result is ever "not a number".

use super::{Join, Number, Order, Side};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// Relative widening per operation: covers the error of one library function, whole powers up to 30 included.
const RELATIVE: f64 = 32.0 * f64::EPSILON;
/// Absolute widening per operation, against underflow.
const ABSOLUTE: f64 = 1e-300;

/// All numbers from `low` to `high`, both included; a bound may be infinite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Lower bound.
    pub low: f64,
    /// Upper bound.
    pub high: f64,
}

impl Interval {
    /// The whole line: nothing is known.
    pub const WHOLE: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };

    /// The interval from `low` to `high`; empty if they are the wrong way round.
    pub fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// The interval that holds one number only.
    pub fn point(value: f64) -> Self {
        Self { low: value, high: value }
    }

    /// High bound less low bound.
    pub fn width(&self) -> f64 {
        self.high - self.low
    }

    /// The middle, or zero for an interval without end.
    pub fn middle(&self) -> f64 {
        let middle = 0.5 * self.low + 0.5 * self.high;
        if middle.is_finite() { middle.clamp(self.low, self.high) } else { 0.0 }
    }

    /// Whether the value lies inside.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Whether nothing lies inside.
    pub fn is_empty(&self) -> bool {
        self.high < self.low || self.low.is_nan() || self.high.is_nan()
    }

    /// The common part; empty if there is none.
    #[must_use]
    pub fn meet(self, other: Self) -> Self {
        Self { low: f64::max(self.low, other.low), high: f64::min(self.high, other.high) }
    }

    /// What two enclosures of the same thing have in common; `self` if rounding left nothing.
    #[must_use]
    pub fn agreed(self, other: Self) -> Self {
        let common = self.meet(other);
        if common.is_empty() { self } else { common }
    }

    /// Image under a function that grows.
    #[must_use]
    pub fn rising(self, function: impl Fn(f64) -> f64) -> Self {
        Self::outward(function(self.low), function(self.high))
    }

    /// Widened outwards against rounding.
    fn outward(low: f64, high: f64) -> Self {
        let low = if low.is_nan() { f64::NEG_INFINITY } else { low };
        let high = if high.is_nan() { f64::INFINITY } else { high };
        Self {
            low: low - f64::abs(low) * RELATIVE - ABSOLUTE,
            high: high + f64::abs(high) * RELATIVE + ABSOLUTE,
        }
    }

    /// Cut to what is not negative; none if nothing is left.
    fn not_negative(&self) -> Option<Self> {
        (self.high >= 0.0).then(|| Self { low: f64::max(self.low, 0.0), high: self.high })
    }
}

/// Product of two bounds, where zero times infinity is zero.
fn product(one: f64, other: f64) -> f64 {
    if one == 0.0 || other == 0.0 { 0.0 } else { one * other }
}

impl Neg for Interval {
    type Output = Self;
    fn neg(self) -> Self {
        Self { low: -self.high, high: -self.low }
    }
}

impl Add for Interval {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::outward(self.low + other.low, self.high + other.high)
    }
}

impl Sub for Interval {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::outward(self.low - other.high, self.high - other.low)
    }
}

impl Mul for Interval {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let corners = [
            product(self.low, other.low),
            product(self.low, other.high),
            product(self.high, other.low),
            product(self.high, other.high),
        ];
        Self::outward(
            corners.iter().copied().fold(f64::INFINITY, f64::min),
            corners.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        )
    }
}

impl Div for Interval {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        if other.contains(0.0) {
            return Self::WHOLE;
        }
        self * Self::outward(1.0 / other.high, 1.0 / other.low)
    }
}

impl Add<f64> for Interval {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        self + Self::point(other)
    }
}

impl Sub<f64> for Interval {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        self - Self::point(other)
    }
}

impl Mul<f64> for Interval {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        self * Self::point(other)
    }
}

impl Div<f64> for Interval {
    type Output = Self;
    fn div(self, other: f64) -> Self {
        self / Self::point(other)
    }
}

impl Number for Interval {
    fn constant(value: f64) -> Self {
        Self::point(value)
    }

    fn exp(&self) -> Self {
        let image = self.rising(f64::exp);
        Self { low: f64::max(image.low, 0.0), high: image.high }
    }

    fn ln(&self) -> Self {
        if self.high <= 0.0 {
            return Self::WHOLE;
        }
        Self { low: f64::max(self.low, 0.0), high: self.high }.rising(f64::ln)
    }

    fn sqrt(&self) -> Self {
        match self.not_negative() {
            None => Self::WHOLE,
            Some(valid) => {
                let image = valid.rising(f64::sqrt);
                Self { low: f64::max(image.low, 0.0), high: image.high }
            }
        }
    }

    fn powf(&self, exponent: f64) -> Self {
        let Some(valid) = self.not_negative() else { return Self::WHOLE };
        let image = if exponent >= 0.0 {
            valid.rising(|base| base.powf(exponent))
        } else {
            Self::outward(valid.high.powf(exponent), valid.low.powf(exponent))
        };
        Self { low: f64::max(image.low, 0.0), high: image.high }
    }

    fn powi(&self, exponent: i32) -> Self {
        if exponent < 0 {
            return self.powi(-exponent).reciprocal();
        }
        if exponent % 2 == 1 {
            return self.rising(|base| base.powi(exponent));
        }
        let magnitude = Number::abs(self);
        let image = magnitude.rising(|base| base.powi(exponent));
        Self { low: f64::max(image.low, 0.0), high: image.high }
    }

    fn tanh(&self) -> Self {
        self.rising(f64::tanh)
    }

    fn abs(&self) -> Self {
        let high = f64::max(f64::abs(self.low), f64::abs(self.high));
        let low = if self.contains(0.0) { 0.0 } else { f64::min(f64::abs(self.low), f64::abs(self.high)) };
        Self { low, high }
    }

    fn max(&self, other: &Self) -> Self {
        Self { low: f64::max(self.low, other.low), high: f64::max(self.high, other.high) }
    }

    fn min(&self, other: &Self) -> Self {
        Self { low: f64::min(self.low, other.low), high: f64::min(self.high, other.high) }
    }

    fn part_of_sum(&self, other: &Self) -> Self {
        if self.low < 0.0 || other.low < 0.0 {
            return *self / (*self + *other);
        }
        let part = |one: f64, rest: f64| {
            if one == 0.0 {
                0.0
            } else if one.is_infinite() {
                1.0
            } else {
                one / (one + rest)
            }
        };
        let image = Self::outward(part(self.low, other.high), part(self.high, other.low));
        Self { low: f64::max(image.low, 0.0), high: f64::min(image.high, 1.0) }
    }

    fn order(&self, other: &Self) -> Order {
        if self.low >= other.high {
            Order::Above
        } else if self.high <= other.low {
            Order::Below
        } else {
            Order::Either
        }
    }

    fn side(&self, threshold: f64) -> Side<Self> {
        if self.high <= threshold {
            Side::Below
        } else if self.low > threshold {
            Side::Above
        } else {
            Side::Both(Self { low: self.low, high: threshold }, Self { low: threshold, high: self.high })
        }
    }

    fn hull(&self, other: &Self, _join: Join) -> Self {
        Self { low: f64::min(self.low, other.low), high: f64::max(self.high, other.high) }
    }

    fn add_scaled(&mut self, other: &Self, factor: f64) {
        *self = *self + *other * factor;
    }

    fn usable_slope(self) -> Self {
        self
    }
}
