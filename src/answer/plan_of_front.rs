//! What a reader is told of the order in which to try the mixes of a front.
//!
//! What enters: the order and the front. What leaves: facts and blocks.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, Table};
use super::front::side;
use super::phrase::{Digits, Figure, Phrase};
use super::plan::{FOR_TRIALS, criterion_words};
use super::units::Units;
use crate::problem::convert;
use crate::quantity::Unit;
use crate::study::Front;
use crate::trial::next::Measure;
use crate::trial::of_front::{FrontOrder, Step};

/// The order in which to try the mixes of a front, for programs.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FrontPlanFacts {
    /// What the criterion is.
    pub criterion: &'static str,
    /// The goal in whose unit it is, and that unit; empty for a determinant.
    pub criterion_unit: (String, String),
    /// Today.
    pub before: f64,
    /// Unit of the amounts.
    pub content_unit: String,
    /// The goals of the front with their units.
    pub goals: Vec<(String, String)>,
    /// Points in the order of trials.
    pub order: Vec<FrontStep>,
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// One point to try.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FrontStep {
    /// Its number on the front, from one.
    pub point: usize,
    /// Values of the goals.
    pub values: Vec<f64>,
    /// The criterion once it and all before it were tried.
    pub after: f64,
    /// Amounts in reference states.
    pub amounts: Vec<(String, f64)>,
}

/// Gathers the facts of the order in which to try a front.
pub fn facts(order: &FrontOrder, front: &Front, shown: &[Unit], units: Units) -> FrontPlanFacts {
    let content = units.content();
    let told = |value: f64| match order.measure {
        Measure::Premium => convert(value, &front.goals[order.goal].unit, &shown[order.goal]),
        Measure::Determinant => value,
    };
    let step = |step: &Step| {
        let point = &front.points[step.point];
        let values = point.values.iter().zip(&front.goals).zip(shown);
        FrontStep {
            point: step.point + 1,
            values: values.map(|((value, goal), unit)| convert(*value, &goal.unit, unit)).collect(),
            after: told(step.after),
            amounts: point
                .answer
                .mix
                .iter()
                .map(|(name, amount)| (name.clone(), content.from_base(*amount)))
                .collect(),
        }
    };
    let goals = front.goals.iter().zip(shown);
    FrontPlanFacts {
        criterion: criterion_words(order.measure),
        criterion_unit: match order.measure {
            Measure::Premium => (front.goals[order.goal].name.clone(), shown[order.goal].text.clone()),
            Measure::Determinant => (String::new(), String::new()),
        },
        before: told(order.before),
        content_unit: content.text.clone(),
        goals: goals
            .map(|(goal, unit)| (format!("{} {}", side(goal), goal.name), unit.text.clone()))
            .collect(),
        order: order.steps.iter().map(step).collect(),
        caution: FOR_TRIALS,
    }
}

/// The order in one table.
pub fn table(facts: &FrontPlanFacts) -> Table {
    let mut columns = vec![Column::figures("try"), Column::figures("point")];
    columns.extend(
        facts.goals.iter().map(|(name, unit)| Column { unit: unit.clone(), ..Column::figures(name.clone()) }),
    );
    for name in ["criterion after it", "lowered by"] {
        columns.push(Column { unit: facts.criterion_unit.1.clone(), ..Column::figures(name) });
    }
    let mut table = Table::new(columns);
    let mut before = facts.before;
    for (at, step) in facts.order.iter().enumerate() {
        let mut cells: Vec<Phrase> = vec![(at + 1).to_string().into(), step.point.to_string().into()];
        cells.extend(
            step.values.iter().map(|value| Phrase::from(Figure::new(*value, Digits::Significant(4)))),
        );
        cells.push(Figure::new(step.after, Digits::Significant(3)).into());
        cells.push(Figure::new(before - step.after, Digits::Significant(2)).into());
        before = step.after;
        table.row(cells);
    }
    table
}

/// Blocks for people.
pub fn parts(facts: &FrontPlanFacts) -> Vec<Part> {
    let about = format!("of a front of {} points: which mix to try first", facts.order.len());
    vec![
        Part::new("Next trials", about)
            .saying(
                Phrase::from(match facts.criterion_unit.0.as_str() {
                    "" => format!("Criterion, less is better: {}; today ", facts.criterion),
                    goal => format!(
                        "Criterion, less is better: {} in terms of {goal}, in the mean over the points with its best; today ",
                        facts.criterion
                    ),
                })
                .and(Figure { unit: facts.criterion_unit.1.clone(), ..Figure::new(facts.before, Digits::Significant(3)) })
                .and("."),
            )
            .with(table(facts))
            .saying("Each line counts the trials above it.")
            .saying(facts.caution),
    ]
}
