//! Decisions as intervals of whole numbers: choices about use, 0 .. 1, and counts of steps.
//!
//! What enters: the materials that come in steps. What leaves: counts of their steps. Choices are enumerated, priced and
//! blamed in conflicts; counts are not: they are branched on, last of all.

use crate::listed::Id;
use crate::material::{Base, Material};

/// The whole numbers that a decision may still take; never empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DecisionRange {
    low: u32,
    high: u32,
}

impl DecisionRange {
    /// From none to that many.
    pub(super) fn upto(high: u32) -> Self {
        Self { low: 0, high }
    }

    /// A choice that is not taken yet: 0 or 1.
    pub const OPEN: Self = Self { low: 0, high: 1 };

    /// All whole numbers from `low` to `high`; `None` if there are none.
    pub fn new(low: u32, high: u32) -> Option<Self> {
        (low <= high).then_some(Self { low, high })
    }

    /// One number alone.
    pub const fn at(value: u32) -> Self {
        Self { low: value, high: value }
    }

    /// A choice taken.
    pub fn taken(used: Taken) -> Self {
        match used {
            Taken::No => Self::at(0),
            Taken::Yes => Self::at(1),
        }
    }

    /// The lowest number.
    pub fn low(self) -> u32 {
        self.low
    }

    /// The highest number.
    pub fn high(self) -> u32 {
        self.high
    }

    /// The one number left, if there is but one.
    pub fn fixed(self) -> Option<u32> {
        (self.low == self.high).then_some(self.low)
    }

    /// What a choice came to; `None` while it is open.
    pub fn choice(self) -> Option<Taken> {
        self.fixed().map(|value| if value == 0 { Taken::No } else { Taken::Yes })
    }

    /// A choice that was taken, taken the other way; an open one stays open.
    #[must_use]
    pub fn turned(self) -> Self {
        match self.choice() {
            Some(Taken::No) => Self::taken(Taken::Yes),
            Some(Taken::Yes) => Self::taken(Taken::No),
            None => self,
        }
    }

    /// Cut in two: what lies above `at`, and what lies up to it. `None` if one of them would be empty.
    pub fn halves(self, at: u32) -> Option<(Self, Self)> {
        let upper = Self::new(at.checked_add(1)?, self.high)?;
        Some((upper, Self::new(self.low, at)?))
    }

    /// The whole number nearest to a value, within the range; of two as near the lower one.
    pub fn nearest(self, value: f64) -> u32 {
        let inside = (value - 0.5).ceil().max(f64::from(self.low)).min(f64::from(self.high));
        whole(inside)
    }
}

/// What a choice came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// Not used; the addition itself counts.
    No,
    /// Used; the cap of a counted addition counts.
    Yes,
}

/// Amounts of a material are whole numbers of this step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// The material.
    pub material: Id<Material>,
    /// What the step is a share of, by mass; without one it is so many kilograms per m3 that is weighed for.
    pub base: Option<Base>,
    /// The step, above zero.
    pub size: f64,
}

/// `amount of the material = step x count`, times the mass of the base where there is one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Count {
    /// The step.
    pub step: Step,
    /// How many of them a mix may hold, whatever its limits say.
    pub range: DecisionRange,
}

/// Share of a step up to which an amount is a whole number of steps.
pub const WHOLE: f64 = 1e-6;
/// Most steps of one material.
pub(super) const MOST: u32 = 1_000_000;

/// The whole part of a number, from 0 to the most steps there may be.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 .. a million")]
pub(super) fn whole(value: f64) -> u32 {
    value.max(0.0).min(f64::from(MOST)) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_are_never_empty_and_halves_share_nothing() {
        assert_eq!(DecisionRange::new(2, 1), None);
        let range = DecisionRange::new(0, 3).expect("0 .. 3");
        let (upper, lower) = range.halves(1).expect("both");
        assert_eq!((lower.low(), lower.high(), upper.low(), upper.high()), (0, 1, 2, 3));
        assert_eq!(range.halves(3), None);
        assert_eq!((range.nearest(-4.0), range.nearest(1.6), range.nearest(9.0)), (0, 2, 3));
        assert_eq!(DecisionRange::OPEN.turned(), DecisionRange::OPEN);
        assert_eq!(DecisionRange::at(1).turned(), DecisionRange::at(0));
    }
}
