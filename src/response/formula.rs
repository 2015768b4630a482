//! A built-in law at work in a response: some inputs fixed, the others factors of the mix.

use super::law::{Law, bounds};
use crate::number::{Dual, Interval, Number};
use crate::quantity::Unit;

/// What stands at one input of a law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Slot {
    /// A number in the input's unit.
    Fixed(f64),
    /// A factor of the response, by index, in the input's unit.
    Factor(usize),
}

impl Slot {
    /// The number that stands there, at factors of the mix.
    pub fn of<N: Number>(self, factors: &[N]) -> N {
        match self {
            Self::Fixed(value) => N::constant(value),
            Self::Factor(index) => factors[index].clone(),
        }
    }
}

/// A law with its inputs bound.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula {
    /// The law.
    pub law: Law,
    /// What stands at each input, in the order of the card.
    pub slots: Vec<Slot>,
    /// Units of the response in one unit of the law.
    pub scale: f64,
}

impl Formula {
    /// A law whose values are shown in another unit of the same dimension.
    pub fn new(law: Law, slots: Vec<Slot>, shown: &Unit) -> Self {
        Self { law, slots, scale: Unit::known(law.card().unit).factor / shown.factor }
    }

    /// The law at factors in the units of its card; gives the response's unit.
    pub fn evaluate<N: Number>(&self, factors: &[N]) -> N {
        let inputs: Vec<N> = self.slots.iter().map(|slot| slot.of(factors)).collect();
        self.law.evaluate(&inputs) * self.scale
    }

    /// Value and gradient by factors.
    pub fn value_and_gradient(&self, factors: &[f64]) -> (f64, Vec<f64>) {
        let count = factors.len();
        let duals: Vec<Dual> =
            factors.iter().enumerate().map(|(index, value)| Dual::variable(*value, index, count)).collect();
        let output = self.evaluate(&duals);
        (output.value, (0..count).map(|index| output.slope(index)).collect())
    }

    /// Guaranteed bounds over a box of factors.
    pub fn bounds(&self, factors: &[Interval]) -> Interval {
        bounds(factors, |natural| self.evaluate(natural), |sloped| self.evaluate(sloped))
    }

    /// Guaranteed bounds of the slope by each factor over a box.
    pub fn slopes(&self, factors: &[Interval]) -> Vec<Interval> {
        let count = factors.len();
        let duals: Vec<Dual<Interval>> =
            factors.iter().enumerate().map(|(index, range)| Dual::variable(*range, index, count)).collect();
        let output = self.evaluate(&duals);
        (0..count).map(|index| output.slope(index)).collect()
    }
}
