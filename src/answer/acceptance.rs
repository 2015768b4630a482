//! How a strength designed to a target fares by the acceptance criteria of its standard: typed for programs, and in words.
//!
//! What enters: a measured requirement with its margin rule. What leaves: shares and probabilities, in the reader's unit of
//! stress. The criteria are no target, and nothing here judges a mix by them.

use schemars::JsonSchema;
use serde::Serialize;

use super::units::Units;
use crate::problem::Problem;
use crate::quantity::{Unit, significant};
use crate::solve::Line;
use crate::standard::conformity::Acceptance;

/// What the acceptance criteria of EN 206 make of results that scatter normally about a predicted mean.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct AcceptanceLine {
    /// The limit.
    limit: String,
    /// Mean over characteristic strength.
    offset: f64,
    /// Standard deviation of the results.
    deviation: f64,
    /// Unit of both.
    unit: String,
    /// Share of the results below the characteristic strength.
    share_below: f64,
    /// Probability that three results meet the criteria of initial production.
    passes_initial: f64,
    /// Probability that fifteen results meet the criteria of continuous production.
    passes_continuous: f64,
}

impl AcceptanceLine {
    /// Of a requirement; none where its margin follows no rule that knows such criteria.
    pub fn of(problem: &Problem, line: &Line, units: Units) -> Option<Self> {
        let requirement = &problem.requirements[line.requirement];
        let (rule, measured) = requirement.margin.rule.zip(line.measured)?;
        let own = Unit::known("MPa");
        let base = |value: f64| own.from_base(requirement.unit.to_base(value));
        let told = Acceptance::of(rule, base(measured.wanted), base(measured.got))?;
        let unit = units.shown(&requirement.unit, &problem.currency);
        let shown = |value: f64| unit.from_base(own.to_base(value));
        Some(Self {
            limit: requirement.name.clone(),
            offset: shown(told.offset),
            deviation: shown(told.deviation),
            unit: unit.text.clone(),
            share_below: told.below,
            passes_initial: told.passes_initial,
            passes_continuous: told.passes_continuous,
        })
    }

    /// In words.
    pub fn words(&self) -> String {
        let percent = |share: f64| significant(100.0 * share, 3);
        format!(
            "{}: the acceptance criteria of EN 206 judge results, they are no target. With a deviation of {} {unit} and the \
             mean {} {unit} over the characteristic strength, {} % of the results lie below it. Three results meet the criteria \
             of initial production (mean at least 4 MPa over it, each at most 4 MPa under it) with a probability of {} %, \
             fifteen those of continuous production (mean at least 1.48 deviations over it, each at most 4 MPa under it) with \
             {} % (criteria: value from memory).",
            self.limit,
            significant(self.deviation, 3),
            significant(self.offset, 3),
            percent(self.share_below),
            percent(self.passes_initial),
            percent(self.passes_continuous),
            unit = self.unit,
        )
    }
}
