//! Coordinates in which products of factors are formed: centred in a box, so that what differs inside it is not lost
//! beside the size of the factors. What enters: a box. What leaves: values and boxes in the coordinate.

use crate::number::Interval;

/// Half width, relative to the size of the factor, below which a box is a point.
const NARROW: f64 = 1e-7;

/// Centre and half width of a factor column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coordinate {
    /// Value that becomes zero.
    pub centre: f64,
    /// Distance that becomes one.
    pub half: f64,
}

impl Coordinate {
    /// The coordinate in which a box runs over -1 .. 1; plain where the box has no end or no width to speak of.
    pub fn of(range: Interval) -> Self {
        let half = 0.5 * range.width();
        if range.low().is_finite() && range.high().is_finite() && NARROW * (1.0 + range.middle().abs()) < half
        {
            Self { centre: range.middle(), half }
        } else {
            Self { centre: if range.middle().is_finite() { range.middle() } else { 0.0 }, half: 1.0 }
        }
    }

    /// A factor column's value in the coordinate.
    pub fn at(self, z: f64) -> f64 {
        (z - self.centre) / self.half
    }

    /// A box of a factor column in the coordinate.
    pub fn range(self, range: Interval) -> Interval {
        Interval::new(self.at(range.low()), self.at(range.high()))
    }
}
