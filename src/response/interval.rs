//! Closed intervals with guaranteed arithmetic: results are widened by more than rounding can lose.

/// All numbers from `low` to `high`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Relative widening of a computed end: some ten units in the last place.
const WIDENING: f64 = 3e-15;

impl Interval {
    /// The interval from `low` to `high`.
    pub fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// One number.
    pub fn point(value: f64) -> Self {
        Self { low: value, high: value }
    }

    fn widened(low: f64, high: f64, size: f64) -> Self {
        let slack = WIDENING * size + f64::MIN_POSITIVE;
        Self { low: low - slack, high: high + slack }
    }

    /// Upper end less lower end.
    pub fn width(self) -> f64 {
        self.high - self.low
    }

    /// The middle.
    pub fn middle(self) -> f64 {
        0.5 * (self.low + self.high)
    }

    /// Whether a number lies inside.
    pub fn contains(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Whether nothing lies inside.
    pub fn is_empty(self) -> bool {
        self.high < self.low || self.low.is_nan() || self.high.is_nan()
    }

    /// The common part; empty if there is none.
    #[must_use]
    pub fn meet(self, other: Self) -> Self {
        Self { low: self.low.max(other.low), high: self.high.min(other.high) }
    }

    /// Sum.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        let size = self.low.abs().max(self.high.abs()) + other.low.abs().max(other.high.abs());
        Self::widened(self.low + other.low, self.high + other.high, size)
    }

    /// Times a number.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        self.product(Self::point(factor))
    }

    /// Product of two independent intervals.
    #[must_use]
    pub fn product(self, other: Self) -> Self {
        let ends =
            [self.low * other.low, self.low * other.high, self.high * other.low, self.high * other.high];
        let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
        let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Self::widened(low, high, low.abs().max(high.abs()))
    }

    /// Square.
    #[must_use]
    pub fn square(self) -> Self {
        let (a, b) = (self.low * self.low, self.high * self.high);
        let low = if self.contains(0.0) { 0.0 } else { a.min(b) };
        let widened = Self::widened(low, a.max(b), a.max(b));
        Self { low: widened.low.max(0.0), ..widened }
    }

    /// A rising function of the interval, widened.
    #[must_use]
    pub fn rising(self, function: impl Fn(f64) -> f64) -> Self {
        let (low, high) = (function(self.low), function(self.high));
        Self::widened(low, high, low.abs().max(high.abs()))
    }
}
