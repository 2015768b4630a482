//! What of a mix lies beyond what was approved.
//!
//! What enters: a problem and a mix. What leaves: the ranges that it leaves and the materials that are new. It judges
//! nothing: a mix beyond may be the best there is.

use super::requirement::Subject;
use super::whole::Problem;
use crate::listed::Id;
use crate::material::Material;
use crate::quantity::convert;

/// What of a mix is not approved.
#[derive(Clone, Debug, PartialEq)]
pub enum Beyond {
    /// A range by its number, and the mix's value in its unit; no value where nothing stands below a ratio.
    Range(usize, Option<f64>),
    /// A material that the approved mix does not have.
    Material(Id<Material>),
}

/// Share of an end by which a value may lie beyond it: what a mix that stands at a bound is off by.
const ROUNDING: f64 = 1e-6;

impl Problem {
    /// What of a mix lies beyond what was approved; nothing where nothing was, or all of it lies within. `used` tells which
    /// materials the mix has.
    pub fn beyond_approved(&self, mix: &[f64], used: &[bool]) -> Vec<Beyond> {
        let Some(approved) = &self.approved else { return Vec::new() };
        let mut list = Vec::new();
        for (at, range) in approved.ranges.iter().enumerate() {
            let value = match &range.subject {
                Subject::Quantity(quantity) => {
                    quantity.measure.at(mix).map(|base| range.unit.from_base(base))
                }
                Subject::Response(index) => {
                    let unit = &self.responses[*index].unit;
                    self.predict(*index, mix).map(|told| convert(told.value, unit, &range.unit))
                }
            };
            let within = value.is_some_and(|value| {
                let room = |end: f64| ROUNDING * end.abs().max(value.abs());
                range.low.is_none_or(|low| low - room(low) <= value)
                    && range.high.is_none_or(|high| value <= high + room(high))
            });
            if !within {
                list.push(Beyond::Range(at, value));
            }
        }
        if !approved.materials.is_empty() {
            let new =
                |at: &Id<Material>| used.get(at.index()) == Some(&true) && !approved.materials.contains(at);
            list.extend(self.mixture.catalogue.materials.ids().filter(new).map(Beyond::Material));
        }
        list
    }
}
