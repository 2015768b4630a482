//! What a reader is told of the next trials, and the sheet that is filled in.
//!
//! What enters: a plan and the problem. What leaves: facts, blocks, and the sheet: a file of trials without results, which
//! `fit` reads once they stand in it.

use std::fmt::Write as _;

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, Table};
use super::front::side;
use super::phrase::{Digits, Figure, Phrase};
use crate::problem::{Problem, convert};
use crate::quantity::Unit;
use crate::study::Front;
use crate::trial::candidates::fitted_responses;
use crate::trial::next::{Measure, Plan};
use crate::trial::of_front::{FrontOrder, Step};

/// A plan for programs.
#[derive(Debug, JsonSchema, Serialize)]
pub struct PlanFacts {
    /// What the criterion is.
    pub criterion: &'static str,
    /// Today.
    pub before: f64,
    /// With this plan.
    pub after: f64,
    /// With random plans of the same size, in the mean.
    pub random: f64,
    /// With corners and centres of the same size.
    pub classical: f64,
    /// How many candidates there were.
    pub candidates: usize,
    /// The mixes.
    pub mixes: Vec<PlannedMix>,
    /// Batches in their order.
    pub order: Vec<PlannedBatch>,
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// A mix of a plan.
#[derive(Debug, JsonSchema, Serialize)]
pub struct PlannedMix {
    /// Its name.
    pub name: String,
    /// How often it is batched.
    pub batches: usize,
    /// Amounts per m3 in reference states, kg.
    pub amounts: Vec<(String, f64)>,
    /// Predictions of the fitted responses in their units.
    pub predicted: Vec<(String, f64, String)>,
}

/// A batch of a plan.
#[derive(Debug, JsonSchema, Serialize)]
pub struct PlannedBatch {
    /// Its name.
    pub name: String,
    /// Its mix.
    pub mix: String,
    /// Day.
    pub day: usize,
}

fn mix_name(at: usize) -> String {
    if at == 0 { "reference".to_owned() } else { format!("N{at}") }
}

/// The order in which to try the mixes of a front, for programs.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FrontPlanFacts {
    /// What the criterion is.
    pub criterion: &'static str,
    /// Today.
    pub before: f64,
    /// The goals of the front with their units.
    pub goals: Vec<(String, String)>,
    /// Points in the order of trials.
    pub order: Vec<FrontStep>,
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// What stands with mixes for trials.
const FOR_TRIALS: &str = "These mixes are for trials, some beyond what is known: none of them is a proposal for work, and none an approval.";

/// One point to try.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FrontStep {
    /// Its number on the front, from one.
    pub point: usize,
    /// Values of the goals.
    pub values: Vec<f64>,
    /// The criterion once it and all before it were tried.
    pub after: f64,
    /// Amounts per m3 in reference states, kg.
    pub amounts: Vec<(String, f64)>,
}

fn criterion_words(measure: Measure) -> &'static str {
    match measure {
        Measure::Premium => "expected premium for uncertainty, in units of the goal",
        Measure::Determinant => "minus the logarithm of the determinant of the information",
    }
}

/// Gathers the facts of the order in which to try a front.
pub fn front_facts(order: &FrontOrder, front: &Front, shown: &[Unit]) -> FrontPlanFacts {
    let step = |step: &Step| {
        let point = &front.points[step.point];
        let values = point.values.iter().zip(&front.goals).zip(shown);
        FrontStep {
            point: step.point + 1,
            values: values.map(|((value, goal), unit)| convert(*value, &goal.unit, unit)).collect(),
            after: step.after,
            amounts: point.answer.mix.clone(),
        }
    };
    let goals = front.goals.iter().zip(shown);
    FrontPlanFacts {
        criterion: criterion_words(order.measure),
        before: order.before,
        goals: goals
            .map(|(goal, unit)| (format!("{} {}", side(goal), goal.name), unit.text.clone()))
            .collect(),
        order: order.steps.iter().map(step).collect(),
        caution: FOR_TRIALS,
    }
}

/// The order in one table.
pub fn front_table(facts: &FrontPlanFacts) -> Table {
    let mut columns = vec![Column::figures("try"), Column::figures("point")];
    columns.extend(
        facts.goals.iter().map(|(name, unit)| Column { unit: unit.clone(), ..Column::figures(name.clone()) }),
    );
    columns.push(Column::figures("criterion after it"));
    columns.push(Column::figures("lowered by"));
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
pub fn front_parts(facts: &FrontPlanFacts) -> Vec<Part> {
    let about = format!("of a front of {} points: which mix to try first", facts.order.len());
    vec![
        Part::new("Next trials", about)
            .saying(
                Phrase::from(format!(
                    "Criterion, less is better: {}, in the mean over the front; today ",
                    facts.criterion
                ))
                .and(Figure::new(facts.before, Digits::Significant(3)))
                .and("."),
            )
            .with(front_table(facts))
            .saying("Each line counts the trials above it.")
            .saying(facts.caution),
    ]
}

/// Gathers the facts.
pub fn facts(plan: &Plan, problem: &Problem) -> PlanFacts {
    let mixes = plan.mixes.iter().enumerate().map(|(at, mix)| {
        let amounts = problem
            .mixture
            .catalogue
            .materials
            .iter()
            .zip(mix)
            .map(|(material, amount)| (material.name.clone(), *amount));
        let predicted = fitted_responses(problem).into_iter().filter_map(|index| {
            let response = &problem.responses[index];
            Some((response.name.clone(), problem.predict(index, mix)?.value, response.unit.text.clone()))
        });
        PlannedMix {
            name: mix_name(at),
            batches: plan.order.iter().filter(|planned| planned.mix == at).count(),
            amounts: amounts.collect(),
            predicted: predicted.collect(),
        }
    });
    let order = plan.order.iter().enumerate().map(|(at, planned)| PlannedBatch {
        name: format!("N{:02}", at + 1),
        mix: mix_name(planned.mix),
        day: planned.day,
    });
    PlanFacts {
        criterion: criterion_words(plan.is_premium),
        before: plan.before,
        after: plan.after,
        random: plan.random,
        classical: plan.classical,
        candidates: plan.candidates,
        mixes: mixes.collect(),
        order: order.collect(),
        caution: FOR_TRIALS,
    }
}

/// The mixes in one table, for spreadsheets too.
pub fn table(facts: &PlanFacts) -> Table {
    let mut columns = vec![Column::words("mix"), Column::figures("batches")];
    let content = Unit::known("kg/m3");
    if let Some(mix) = facts.mixes.first() {
        columns.extend(mix.amounts.iter().map(|(name, _)| Column::of(name.clone(), &content)));
        let predicted = mix.predicted.iter();
        columns.extend(
            predicted.map(|(name, _, unit)| Column { unit: unit.clone(), ..Column::figures(name.clone()) }),
        );
    }
    let mut table = Table::new(columns);
    for mix in &facts.mixes {
        let mut cells: Vec<Phrase> =
            vec![mix.name.as_str().into(), Figure::new(mix.batches as f64, Digits::Decimals(0)).into()];
        cells.extend(mix.amounts.iter().map(|(_, amount)| Figure::new(*amount, Digits::Amount).into()));
        cells
            .extend(mix.predicted.iter().map(|(_, value, _)| Figure::new(*value, Digits::Trimmed(3)).into()));
        table.row(cells);
    }
    table
}

/// Blocks for people.
pub fn parts(facts: &PlanFacts, goal: &str) -> Vec<Part> {
    let mut compared = Table::new([Column::words("trials"), Column::figures("criterion")]);
    for (name, value) in [
        ("those that were made", facts.before),
        ("with this plan", facts.after),
        ("with corners and centres, as many", facts.classical),
        ("with mixes by lot, as many (mean of 40)", facts.random),
    ] {
        compared.row([Phrase::from(name), Figure::new(value, Digits::Trimmed(4)).into()]);
    }
    let mut order = Table::new([Column::words("batch"), Column::figures("day"), Column::words("mix")]);
    for batch in &facts.order {
        order.row([
            Phrase::from(batch.name.as_str()),
            Figure::new(batch.day as f64, Digits::Decimals(0)).into(),
            batch.mix.as_str().into(),
        ]);
    }
    let about = format!("{} batches from {} candidates", facts.order.len(), facts.candidates);
    vec![
        Part::new("Next trials", about)
            .with(table(facts).without_empty_columns())
            .remarking("Amounts in the reference states of the materials: aggregates surface-dry."),
        Part::new("Order", "by lot, a reference batch each day").with(order),
        Part::new("What they are worth", Phrase::empty())
            .saying(format!("Criterion, less is better: {} ({goal}).", facts.criterion))
            .with(compared)
            .saying(facts.caution),
    ]
}

/// The sheet: what to weigh for a batch of this volume (m3), and columns for results.
pub fn sheet(plan: &Plan, facts: &PlanFacts, problem: &Problem, volume: f64) -> String {
    let quoted = |text: &str| {
        if text.contains([',', '"']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
    };
    let mut text = "date,block,mix,batch,batch volume (L)".to_owned();
    for material in &problem.mixture.catalogue.materials {
        let state = if material.role.is_aggregate() {
            format!(" {}", material.role.reference_state().word())
        } else {
            String::new()
        };
        let _ = write!(text, ",{}", quoted(&format!("{} (kg{state})", material.name)));
    }
    let fitted = fitted_responses(problem);
    text.push_str(",specimen,age (d)");
    for index in &fitted {
        let response = &problem.responses[*index];
        let _ = write!(text, ",{}", quoted(&format!("{} ({})", response.name, response.unit.text)));
    }
    text.push('\n');
    let ages = fitted.iter().find_map(|index| problem.responses[*index].strength.as_ref());
    let age = ages.map_or_else(String::new, |strength| format!("{}", strength.age / 86_400.0));
    for (batch, planned) in facts.order.iter().zip(&plan.order) {
        let _ = write!(text, ",day {},{},{},{}", batch.day, batch.mix, batch.name, 1000.0 * volume);
        for (_, amount) in problem.mixture.catalogue.materials.iter().zip(&plan.mixes[planned.mix]) {
            // To the gram, small amounts to a tenth of it: no laboratory weighs finer.
            let kilograms = amount * volume;
            let decimals = if kilograms < 1.0 { 4 } else { 3 };
            let _ = write!(text, ",{kilograms:.decimals$}");
        }
        let _ = write!(text, ",a,{age}");
        text.push_str(&",".repeat(fitted.len()));
        text.push('\n');
    }
    text
}
