//! Intervals: every result covers all values that the real function takes on the given intervals.
//!
//! Enclosures are guaranteed by widening each result outwards by a few units in the last place. A function
//! that is only defined on a part of the interval covers its values on that part; where no part is valid, the
//! whole line is returned, so that no result is ever "not a number".
//!
//! An interval cannot be turned over: its low end is never above its high end. Two intervals meet in an interval or in
//! nothing, and nothing is an answer of its own: no true value is left.

use super::{Join, Number, Order, Side};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// Relative widening per operation: covers the error of one library function, whole powers up to 30 included.
const RELATIVE: f64 = 32.0 * f64::EPSILON;
/// Absolute widening per operation, against underflow.
const ABSOLUTE: f64 = 1e-300;

/// How far the ends may cross, relative to the larger of them, and still be one number: a rounding.
pub const ROUNDING: f64 = 1e-9;

/// All numbers from `low` to `high`, both included; a bound may be infinite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    low: f64,
    high: f64,
}

impl Interval {
    /// The whole line: nothing is known.
    pub const WHOLE: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };

    /// The interval from `low` to `high`, which are in order but for a rounding. Where they are not, or are no numbers,
    /// nothing is known: the whole line.
    pub fn new(low: f64, high: f64) -> Self {
        Self::between(low, high).unwrap_or(Self::WHOLE)
    }

    /// The numbers from `low` to `high`: none if the ends cross by more than a rounding, one in their middle if by less.
    pub fn between(low: f64, high: f64) -> Option<Self> {
        if low <= high {
            return Some(Self { low, high });
        }
        let size = low.abs().max(high.abs());
        (size.is_finite() && low - high <= ROUNDING * size).then(|| Self::point(0.5 * (low + high)))
    }

    /// Lower bound.
    pub fn low(&self) -> f64 {
        self.low
    }

    /// Upper bound.
    pub fn high(&self) -> f64 {
        self.high
    }

    /// The number inside that is nearest to a value.
    pub fn nearest(&self, value: f64) -> f64 {
        value.max(self.low).min(self.high)
    }

    /// The part from a value upwards; the high end alone if the value lies above it.
    #[must_use]
    pub fn from(self, value: f64) -> Self {
        Self { low: self.nearest(value), high: self.high }
    }

    /// The part up to a value; the low end alone if the value lies below it.
    #[must_use]
    pub fn up_to(self, value: f64) -> Self {
        Self { low: self.low, high: self.nearest(value) }
    }

    /// The interval that holds one number only; of what is no number nothing is known.
    pub fn point(value: f64) -> Self {
        if value.is_nan() { Self::WHOLE } else { Self { low: value, high: value } }
    }

    /// High bound less low bound.
    pub fn width(&self) -> f64 {
        self.high - self.low
    }

    /// The middle, or zero for an interval without end.
    pub fn middle(&self) -> f64 {
        let middle = 0.5 * self.low + 0.5 * self.high;
        if middle.is_finite() { self.nearest(middle) } else { 0.0 }
    }

    /// Whether the value lies inside.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// The common part, if there is one.
    pub fn meet(self, other: Self) -> Option<Self> {
        Self::between(f64::max(self.low, other.low), f64::min(self.high, other.high))
    }

    /// What two enclosures of the same thing have in common; `self` if rounding left nothing.
    #[must_use]
    pub fn agreed(self, other: Self) -> Self {
        self.meet(other).unwrap_or(self)
    }

    /// Image under a function that grows.
    #[must_use]
    pub fn rising(self, function: impl Fn(f64) -> f64) -> Self {
        Self::outward(function(self.low), function(self.high))
    }

    /// Widened outwards against rounding.
    fn outward(low: f64, high: f64) -> Self {
        let low = if low.is_nan() { f64::NEG_INFINITY } else { low - f64::abs(low) * RELATIVE - ABSOLUTE };
        let high = if high.is_nan() { f64::INFINITY } else { high + f64::abs(high) * RELATIVE + ABSOLUTE };
        Self::new(low, high)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_interval_is_never_turned_over() {
        assert_eq!(Interval::between(1.0, 2.0).map(|i| (i.low(), i.high())), Some((1.0, 2.0)));
        let crossed = Interval::between(1.0 + 1e-12, 1.0).expect("a rounding");
        assert!(crossed.low() == crossed.high() && crossed.contains(crossed.middle()));
        assert_eq!(Interval::between(1.000_01, 1.0), None, "more than a rounding is nothing");
        assert_eq!(Interval::between(f64::INFINITY, 1.0), None);
        assert_eq!(Interval::between(f64::NAN, 1.0), None);
        assert_eq!(Interval::new(2.0, 1.0), Interval::WHOLE);
        let one = Interval::new(1.0, 2.0);
        assert_eq!(one.meet(Interval::new(3.0, 4.0)), None);
        assert_eq!(one.meet(Interval::new(2.0, 4.0)), Some(Interval::point(2.0)));
        assert_eq!((one.nearest(0.0), one.nearest(1.5), one.nearest(f64::NAN)), (1.0, 1.5, 1.0));
        assert_eq!((one.from(5.0), one.up_to(0.0)), (Interval::point(2.0), Interval::point(1.0)));
    }
}
