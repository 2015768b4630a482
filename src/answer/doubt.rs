//! What uncertainty about fitted responses costs, as facts in the reader's units, and the part that tells them.

use serde::Serialize;

use super::block::Part;
use super::build::goal_value;
use super::phrase::{Digits, Figure, Phrase};
use super::report::Report;
use crate::analysis::Uncertainty;
use crate::problem::Problem;

/// What uncertainty does to an answer.
#[derive(Clone, Debug, Serialize)]
pub struct UncertaintyLines {
    /// Goal that is paid because coefficients are estimates: leverage in the margins, scatter and regions kept.
    pub paid: Option<f64>,
    /// Regions that bind, and the goal without them.
    pub beyond: Option<(Vec<String>, f64)>,
    /// How many limits hold with a confidence, and how sure they are together.
    pub together: Option<(usize, f64)>,
}

/// The facts; nothing where there is nothing to tell.
pub fn uncertainty_lines(
    problem: &Problem,
    uncertainty: &Uncertainty,
    report: &Report,
) -> Option<UncertaintyLines> {
    let value = |mix: &[f64]| goal_value(problem, mix, &report.goal_unit);
    let here = report.goal_value?;
    let paid = uncertainty.sure.as_ref().and_then(|mix| value(mix)).map(|sure| (here - sure).abs());
    let beyond = uncertainty.beyond.as_ref().and_then(|(requirements, mix)| {
        let name = |index: &usize| problem.requirements[*index].name.clone();
        let mut names: Vec<String> = requirements.iter().map(name).collect();
        names.dedup();
        Some((names, value(mix)?))
    });
    let lines = UncertaintyLines { paid, beyond, together: uncertainty.together };
    (lines.paid.is_some() || lines.beyond.is_some() || lines.together.is_some()).then_some(lines)
}

/// The part of a report that tells them.
pub fn part(report: &Report) -> Option<Part> {
    let lines = report.uncertainty.as_ref()?;
    let money = |value: f64| Figure::new(value, Digits::Significant(3)).of(&report.goal_unit);
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
                .and(Figure::new(*goal, Digits::Significant(4)).of(&report.goal_unit))
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
    Some(Part::new("Uncertainty", "of fitted responses").listing(told))
}
