//! A mix in whole steps as facts and blocks: beside the mix without them, with what rounding costs.
//!
//! What enters: a problem, its rounding and the mix in steps. What leaves: facts in the reader's units, and blocks.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, Table};
use super::cautions::cautions;
use super::phrase::{Digits, Figure, Phrase};
use super::units::Units;
use crate::plant::Rounded;
use crate::problem::{Problem, Rounding};
use crate::quantity::Unit;

/// A mix in steps.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct RoundedMix {
    /// Title of the statement.
    pub title: String,
    /// Unit of amounts.
    pub content_unit: String,
    /// Unit of masses of a load.
    pub mass_unit: String,
    /// Unit of the load.
    pub volume_unit: String,
    /// The load.
    pub load: f64,
    /// Unit of the goal.
    pub goal_unit: String,
    /// The goal without steps: bound and found.
    pub plain: [f64; 2],
    /// The goal in steps: bound and found.
    pub rounded: [f64; 2],
    /// What rounding costs: at least and at most.
    pub cost: [f64; 2],
    /// The materials.
    pub lines: Vec<RoundedLine>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// One material.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct RoundedLine {
    /// The material.
    pub material: String,
    /// Amount without steps.
    pub plain: f64,
    /// Amount in steps.
    pub rounded: f64,
    /// Mass in a load.
    pub of_load: f64,
    /// Whole steps of a load; none for what stays unrounded or has no step.
    pub steps: Option<f64>,
}

/// The facts.
pub fn rounded_mix(problem: &Problem, rounding: &Rounding, found: &Rounded, units: Units) -> RoundedMix {
    let (content, volume) = (units.content(), Unit::known(units.body()));
    let mass = Unit::known(if units == Units::Si { "kg" } else { "lb" });
    let goal = units.shown(&problem.goal.unit, &problem.currency);
    let shelf = &problem.mixture.catalogue.materials;
    let mix = &found.found.mix;
    let used: Vec<bool> = (0..shelf.len()).map(|at| 1e-9 < mix[at]).collect();
    let lines = (0..shelf.len()).filter(|at| used[*at] || 1e-9 < found.plain_mix[*at]).map(|at| {
        let step = rounding.steps.iter().position(|(step, _)| step.material == at);
        RoundedLine {
            material: shelf[at].name.clone(),
            plain: content.from_base(found.plain_mix[at]),
            rounded: content.from_base(mix[at]),
            of_load: mass.from_base(mix[at] * rounding.load),
            steps: step.map(|step| found.counts[step]),
        }
    });
    let shown = |pair: (f64, f64)| [goal.from_base(pair.0), goal.from_base(pair.1)];
    RoundedMix {
        title: problem.title.clone().unwrap_or_default(),
        content_unit: content.text.clone(),
        mass_unit: mass.text.clone(),
        volume_unit: volume.text.clone(),
        load: volume.from_base(rounding.load),
        goal_unit: goal.text.clone(),
        plain: shown(found.plain),
        rounded: shown(found.rounded),
        cost: shown(found.cost()),
        lines: lines.collect(),
        cautions: cautions(problem, &used),
    }
}

/// The blocks, and the table for spreadsheets.
pub fn parts(mix: &RoundedMix) -> (Vec<Part>, Table) {
    let unit = |text: &str| Unit { text: text.to_owned(), ..Unit::number() };
    let (content, mass, goal) = (unit(&mix.content_unit), unit(&mix.mass_unit), unit(&mix.goal_unit));
    let mut table = Table::new([
        Column::words("material"),
        Column::of("without steps", &content),
        Column::of("in steps", &content),
        Column::of("in the load", &mass),
        Column::figures("steps in the load"),
    ]);
    let amount = |value: f64| Phrase::from(Figure::new(value, Digits::Amount));
    for line in &mix.lines {
        table.row([
            Phrase::from(line.material.as_str()),
            amount(line.plain),
            amount(line.rounded),
            amount(line.of_load),
            match line.steps {
                Some(steps) => Figure::new(steps, Digits::Decimals(0)).into(),
                None => "not rounded".into(),
            },
        ]);
    }
    let money = |value: f64| Figure::new(value, Digits::Significant(5)).of(&goal);
    let small = |value: f64| Figure::new(value, Digits::Significant(2)).of(&goal);
    let cost = Phrase::from("In steps the goal is ")
        .and(money(mix.rounded[1]))
        .and("; no mix in these steps does better than ")
        .and(money(mix.rounded[0]))
        .and(". Without steps it is ")
        .and(money(mix.plain[1]))
        .and(", proven to ")
        .and(money(mix.plain[0]))
        .and(": rounding costs between ")
        .and(small(mix.cost[0]))
        .and(" and ")
        .and(small(mix.cost[1]))
        .and(".");
    let about = Phrase::from("whole steps for ")
        .and(Figure::new(mix.load, Digits::Trimmed(4)).of(&unit(&mix.volume_unit)));
    let parts = vec![
        Part::new("", "").saying(mix.title.as_str()),
        Part::new("Rounded mix", about).with(table.clone()).saying(cost).saying(
            "It fills its volume, and every limit is met by these amounts. Amounts are in reference states: \
             `mixbound batch-sheet` turns them into today's weights.",
        ),
        Part::new("Cautions", "").listing(mix.cautions.iter().map(String::as_str)),
    ];
    (parts, table)
}
