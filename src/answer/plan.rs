//! What a reader is told of the next trials.
//!
//! What enters: a plan and the problem. What leaves: facts in the reader's units, and blocks.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, Table};
use super::phrase::{Digits, Figure, Phrase};
use super::plan_sheet::batches_so_far;
use super::units::Units;
use crate::problem::{Problem, convert};
use crate::trial::candidates::fitted_responses;
use crate::trial::next::{Measure, Plan};

/// A plan for programs.
#[derive(Debug, JsonSchema, Serialize)]
pub struct PlanFacts {
    /// What the criterion is.
    pub criterion: &'static str,
    /// Its unit; empty for a determinant.
    pub criterion_unit: String,
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
    /// Unit of the amounts.
    pub content_unit: String,
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
    /// Amounts in reference states.
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

/// Mixes and batches are numbered on from the batches that were made, so that files of several rounds stand together.
fn mix_name(at: usize, before: usize) -> String {
    match (at, before) {
        (0, 0) => "reference".to_owned(),
        (0, _) => format!("reference {}", before + 1),
        _ => format!("trial {}", before + at),
    }
}

/// The name of a batch, its number in the plan counted from zero.
pub fn batch_name(at: usize, before: usize) -> String {
    format!("N{:02}", before + at + 1)
}

/// What stands with mixes for trials.
pub const FOR_TRIALS: &str = "These mixes are for trials, some beyond what is known: none of them is a proposal for work, and none an approval.";

/// What a criterion measures, in words.
pub fn criterion_words(measure: Measure) -> &'static str {
    match measure {
        Measure::Premium => "expected premium for uncertainty",
        Measure::Determinant => "minus the logarithm of the determinant of the information",
    }
}

/// Gathers the facts.
pub fn facts(plan: &Plan, problem: &Problem, units: Units) -> PlanFacts {
    let content = units.content();
    let before = batches_so_far(problem);
    let mixes = plan.mixes.iter().enumerate().map(|(at, mix)| {
        let materials = problem.mixture.catalogue.materials.iter().zip(mix);
        let amounts = materials.map(|(material, amount)| (material.name.clone(), content.from_base(*amount)));
        let predicted = fitted_responses(problem).into_iter().filter_map(|index| {
            let response = &problem.responses[index];
            let unit = units.shown(&response.unit, &problem.currency);
            let value = convert(problem.predict(index, mix)?.value, &response.unit, &unit);
            Some((response.name.clone(), value, unit.text))
        });
        PlannedMix {
            name: mix_name(at, before),
            batches: plan.order.iter().filter(|planned| planned.mix == at).count(),
            amounts: amounts.collect(),
            predicted: predicted.collect(),
        }
    });
    let order = plan.order.iter().enumerate().map(|(at, planned)| PlannedBatch {
        name: batch_name(at, before),
        mix: mix_name(planned.mix, before),
        day: planned.day,
    });
    let (told, unit) = criterion_of(plan.is_premium, problem, units);
    PlanFacts {
        criterion: criterion_words(plan.is_premium),
        criterion_unit: unit,
        before: told(plan.before),
        after: told(plan.after),
        random: told(plan.random),
        classical: told(plan.classical),
        candidates: plan.candidates,
        content_unit: content.text.clone(),
        mixes: mixes.collect(),
        order: order.collect(),
        caution: FOR_TRIALS,
    }
}

/// A criterion in the reader's unit of the goal, and that unit; a determinant has none.
fn criterion_of(measure: Measure, problem: &Problem, units: Units) -> (impl Fn(f64) -> f64, String) {
    let own = problem.goal.unit.clone();
    let shown = match measure {
        Measure::Premium => units.shown(&own, &problem.currency),
        Measure::Determinant => own.clone(),
    };
    let text = if measure == Measure::Premium { shown.text.clone() } else { String::new() };
    (move |value| convert(value, &own, &shown), text)
}

/// The mixes in one table, for spreadsheets too.
pub fn table(facts: &PlanFacts) -> Table {
    let mut columns = vec![Column::words("mix"), Column::figures("batches")];
    let in_unit = |name: &str, unit: &str| Column { unit: unit.to_owned(), ..Column::figures(name) };
    if let Some(mix) = facts.mixes.first() {
        columns.extend(mix.amounts.iter().map(|(name, _)| in_unit(name, &facts.content_unit)));
        columns.extend(mix.predicted.iter().map(|(name, _, unit)| in_unit(name, unit)));
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
pub fn parts(facts: &PlanFacts) -> Vec<Part> {
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
            .saying(match facts.criterion_unit.as_str() {
                "" => format!("Criterion, less is better: {}.", facts.criterion),
                unit => format!("Criterion, less is better: {}, {unit}.", facts.criterion),
            })
            .with(compared)
            .saying(facts.caution),
    ]
}
