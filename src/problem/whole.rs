//! The problem as a whole, complete when it exists: what the author asks, and what follows from it.
//!
//! What enters: a [`Draft`], checked. What leaves: a [`Problem`] with its conditions and its reach. Whatever varies a problem
//! ends here too, so that nothing derived is ever out of date.

use crate::listed::Listed;
use std::ops::Deref;

use super::approved::Approved;
use super::classes::AskedClass;
use super::condition::{Condition, ConditionOrigin, Form};
use super::decision::Count;
use super::goal::{Goal, Level};
use super::named_figures::NamedFigures;
use super::production::Production;
use super::reach::{Reach, reach};
use super::requirement::Requirement;
use super::rounding::Rounding;
use super::stated::{conditions, is_column_bound, mark_ages};
use super::switch::{Logic, Need, Switch};
use super::unchecked::Unchecked;
use crate::finding::Place;
use crate::mixture::{Affine, Column, Mixture};
use crate::quantity::System;
use crate::response::Response;

/// What is asked, all of it checked; what follows from it is not worked out yet.
#[derive(Clone, Debug)]
pub struct Draft {
    /// Where the statement begins; values in other files come from includes.
    pub place: Place,
    /// Title of the statement.
    pub title: Option<String>,
    /// Note of the statement.
    pub note: Option<String>,
    /// The one currency.
    pub currency: String,
    /// The system of units in which most of the statement is written.
    pub system: System,
    /// The space of mixes.
    pub mixture: Mixture,
    /// Responses in file order.
    pub responses: Listed<Response>,
    /// The classes asked for, and where.
    pub classes: Vec<AskedClass>,
    /// Which figures usual limits speak of.
    pub figures: NamedFigures,
    /// What is said about the classes whose limits were taken: source and assumptions.
    pub bases: Vec<String>,
    /// What the classes demand and no requirement stands for.
    pub unchecked: Vec<Unchecked>,
    /// Requirements: limits in file order, then bounds of materials, then regions.
    pub requirements: Listed<Requirement>,
    /// Materials whose use is a yes/no decision.
    pub switches: Listed<Switch>,
    /// Conditions on the decisions alone.
    pub logic: Listed<Logic>,
    /// "If this is used, at least so much of that".
    pub needs: Listed<Need>,
    /// Materials that come in steps: none in a statement, where mixes are solved before they are rounded.
    pub counts: Listed<Count>,
    /// The column of the volume that steps by mass are weighed for over the volume they make, where the two may differ.
    pub weighed_for: Option<usize>,
    /// Requirements that a variation of the problem leaves out.
    pub dropped: Vec<bool>,
    /// Affine functions that may not be negative because something divides by them: none in the author's own problem,
    /// where limits see to it, but where some of those are left out.
    pub divisors: Vec<Affine>,
    /// Steps of the plant's scales, if the author gave any; `with_steps` puts them to work.
    pub rounding: Option<Rounding>,
    /// What trial batches or a submittal have approved, if the author said so.
    pub approved: Option<Approved>,
    /// How the concrete is produced, if the author said so.
    pub production: Option<Production>,
    /// The goal.
    pub goal: Goal,
}

/// A checked problem: a draft, readable as such, with what follows from it.
#[derive(Clone, Debug)]
pub struct Problem {
    draft: Draft,
    /// The requirements as conditions on the mix.
    pub conditions: Vec<Condition>,
    /// The box of columns that all linear conditions leave.
    pub reach: Reach,
}

impl Deref for Problem {
    type Target = Draft;

    fn deref(&self) -> &Draft {
        &self.draft
    }
}

impl Problem {
    /// The problem that a draft states.
    pub fn new(mut draft: Draft) -> Self {
        mark_ages(&mut draft.responses, &draft.requirements);
        let conditions = all_conditions(&draft);
        let reach = reached(&draft, &conditions);
        Self { draft, conditions, reach }
    }

    /// The problem with something else asked.
    #[must_use]
    pub fn varied(&self, change: impl FnOnce(&mut Draft)) -> Self {
        let mut draft = self.draft.clone();
        change(&mut draft);
        Self::new(draft)
    }

    /// The same problem looked at in another box of columns.
    #[must_use]
    pub fn within(&self, reach: Reach) -> Self {
        Self { reach, ..self.clone() }
    }

    /// The same problem with its columns as wide as their materials allow.
    #[must_use]
    pub fn widened(&self) -> Self {
        self.within(Reach {
            columns: self.mixture.columns.iter().map(|column| (column.low, column.high)).collect(),
            balance: self.reach.balance.clone(),
            rows: Vec::new(),
        })
    }
}

/// The requirements that hold, and the goal's own, as conditions.
fn all_conditions(draft: &Draft) -> Vec<Condition> {
    let mut list: Vec<Condition> = draft
        .requirements
        .named()
        .filter(|(index, requirement)| !draft.dropped[index.index()] && !is_column_bound(requirement))
        .flat_map(|(index, requirement)| conditions(&draft.responses, index, requirement))
        .collect();
    list.extend(draft.divisors.iter().map(|divisor| Condition {
        origin: ConditionOrigin::Divisor,
        form: Form::Linear(divisor.clone()),
        scale: 1.0,
    }));
    list.extend(draft.goal.curved().map(|curved| Condition {
        origin: ConditionOrigin::Goal,
        form: Form::Curved(curved),
        scale: 1.0,
    }));
    list
}

/// The box of columns that the linear conditions leave; the columns' own where they leave nothing.
fn reached(draft: &Draft, conditions: &[Condition]) -> Reach {
    let mut rows: Vec<Affine> = Vec::new();
    for condition in conditions {
        let Form::Linear(affine) = &condition.form else { continue };
        rows.push(affine.clone());
    }
    for counted in &draft.mixture.counted {
        let column = Affine::column(counted.column).times(-1.0);
        rows.push(column.clone().plus(1.0, &counted.addition));
        rows.push(column.plus(1.0, &counted.cap));
    }
    for switch in &draft.switches {
        let Some(bounds) = &switch.bounds else { continue };
        let Some(high) = bounds.high.filter(|_| !bounds.used.base.terms.is_empty()) else { continue };
        // Unused, nothing of it is below any share of what cannot be negative.
        if 0.0 <= lowest(&bounds.used.base, &draft.mixture.columns) {
            rows.push(bounds.used.below(high));
        }
    }
    let start: Vec<(f64, f64)> =
        draft.mixture.columns.iter().map(|column| (column.low, column.high)).collect();
    let balance = draft.mixture.volume_balance();
    // Where the limits leave nothing at all, that is for the solver to say, as a verdict with its conflict.
    let mut left = reach(start.clone(), &rows, balance.clone()).unwrap_or(Reach {
        columns: start,
        balance,
        rows: Vec::new(),
    });
    if let (Some(level), Some(column)) = (&draft.goal.level, draft.goal.objective.terms.first()) {
        let bounds = match level {
            Level::Response(response) => {
                Some(draft.responses[*response].bounds(&draft.responses[*response].region()))
            }
            Level::Ratio(measure) => left.of_measure(measure),
        };
        if let Some(bounds) = bounds {
            left.columns[column.0] = (bounds.low(), bounds.high());
        }
    }
    left
}

/// The lowest value within the columns' own bounds.
fn lowest(affine: &Affine, columns: &[Column]) -> f64 {
    let end = |(column, factor): &(usize, f64)| {
        let Column { low, high, .. } = &columns[*column];
        factor * if 0.0 < *factor { low } else { high }
    };
    affine.constant + affine.terms.iter().map(end).sum::<f64>()
}
