//! What the problem divides by.
//!
//! A problem comes in; its ratios leave, and what keeps their denominators above zero where limits were left out.

use super::goal::Level;
use super::requirement::{Origin, Subject, Wanted};
use super::whole::Problem;
use crate::finding::Place;
use crate::mixture::{Affine, Measure};
use crate::response::Source;

/// Share of what a denominator may at most be, below which nothing divides by it.
const TRACE: f64 = 1e-3;

impl Problem {
    /// Everything that may be a ratio and that a factor, a limit or the goal needs a value of: where it stands, and whose
    /// it is in words.
    pub fn ratios(&self) -> Vec<(&Measure, Place, String)> {
        let mut list = Vec::new();
        for response in &self.responses {
            for factor in &response.factors {
                if let Source::Quantity(quantity) = &factor.source {
                    let owner = format!("factor `{}` of response `{}`", factor.name, response.name);
                    list.push((&quantity.measure, factor.place, owner));
                }
            }
        }
        for requirement in self.requirements.iter().filter(|requirement| requirement.origin == Origin::Limit)
        {
            let owner = format!("limit `{}`", requirement.name);
            if let Subject::Quantity(quantity) = &requirement.subject {
                list.push((&quantity.measure, requirement.place, owner.clone()));
            }
            if let Wanted::Quantity(_, quantity) = &requirement.wanted {
                list.push((&quantity.measure, requirement.place, owner));
            }
        }
        if let Some(Level::Ratio(measure)) = &self.goal.level {
            list.push((measure, self.goal.place, "the goal".to_owned()));
        }
        list
    }

    /// Every denominator less a trace of itself: not negative where the ratio has a value worth the name.
    pub fn above_zero(&self) -> Vec<Affine> {
        let mut list: Vec<Affine> = Vec::new();
        for (measure, ..) in self.ratios() {
            let Some(denominator) = measure.denominator() else { continue };
            let trace = TRACE * self.reach.of_affine(denominator).high();
            let kept = denominator.clone().plus(-trace, &Affine { constant: 1.0, terms: Vec::new() });
            if !list.contains(&kept) {
                list.push(kept);
            }
        }
        list
    }
}
