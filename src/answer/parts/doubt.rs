//! What uncertainty about fitted responses costs, in words.

use crate::answer::block::Part;
use crate::answer::doubt::UncertaintyLines;
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::report::Report;
use crate::quantity::Unit;

/// The part of a report that tells them.
pub fn part(report: &Report) -> Option<Part> {
    told_in_words(report.uncertainty.as_ref()?, &report.goal_unit)
}

/// In sentences; the goal is in this unit.
pub fn told_in_words(lines: &UncertaintyLines, unit: &Unit) -> Option<Part> {
    let money = |value: f64| Figure::new(value, Digits::Significant(3)).of(unit);
    let mut told: Vec<Phrase> = Vec::new();
    if let Some(paid) = lines.paid {
        told.push(
            Phrase::from(money(paid))
                .and(" of the goal is paid because the coefficients of fitted responses are estimates; more trials ")
                .and("(`mixbound plan`) lower it. The scatter of batches and the regions are not counted in it."),
        );
    }
    if let Some((names, goal)) = &lines.beyond {
        told.push(
            Phrase::from("Without ")
                .and(crate::finding::listed(names))
                .and(" the goal would be ")
                .and(Figure::new(*goal, Digits::Significant(5)).of(unit))
                .and(": no proposal, the responses are not known there; try it."),
        );
    }
    if let Some((count, share)) = lines.together {
        told.push(
            Phrase::from(format!("The {count} limits with a confidence hold together with at least "))
                .and(Figure::percent(share, Digits::Decimals(0)))
                .and("."),
        );
    }
    (!told.is_empty()).then(|| Part::new("Uncertainty", "of fitted responses").listing(told))
}
