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
use crate::statement::Pack;
use crate::study::level_in;

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
    /// The volume that a load is weighed for.
    pub load: f64,
    /// The volume that it makes.
    pub made: f64,
    /// Unit of the goal.
    pub goal_unit: String,
    /// The goal without steps: bound and found.
    pub plain: [f64; 2],
    /// The goal in steps: bound and found.
    pub rounded: [f64; 2],
    /// What rounding costs: at least and at most.
    pub cost: [f64; 2],
    /// Whether that is as narrow as it is sought: a tenth of itself, or 0.01 % of the goal.
    pub is_narrow: bool,
    /// What limits rest on that is not in the statement, such as margins for risks.
    pub bases: Vec<String>,
    /// The materials.
    pub lines: Vec<RoundedLine>,
    /// Linear programs solved without steps and in steps.
    pub programs: [usize; 2],
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
    /// The step as its author wrote it; empty where there is none.
    pub step: String,
    /// Whether a step is a bag.
    pub in_bags: bool,
}

/// The facts.
pub fn rounded_mix(problem: &Problem, rounding: &Rounding, found: &Rounded, units: Units) -> RoundedMix {
    let (content, volume) = (units.content(), Unit::known(units.body()));
    let mass = Unit::known(if units == Units::Si { "kg" } else { "lb" });
    let goal = units.shown(&problem.goal.unit, &problem.currency);
    let shelf = &problem.mixture.catalogue.materials;
    let mix = &found.mix;
    let used: Vec<bool> = shelf.ids().map(|at| 1e-9 < mix[at.index()]).collect();
    let lines = shelf.ids().filter(|at| used[at.index()] || 1e-9 < found.plain_mix[at.index()]).map(|at| {
        let step = rounding.steps.iter().position(|step| step.step.material == at);
        RoundedLine {
            material: shelf[at].name.clone(),
            plain: content.from_base(found.plain_mix[at.index()]),
            rounded: content.from_base(mix[at.index()]),
            of_load: mass.from_base(mix[at.index()] * rounding.load * found.made),
            steps: step.map(|step| found.counts[step]),
            step: step.map_or_else(String::new, |step| rounding.steps[step].words.clone()),
            in_bags: step.is_some_and(|step| rounding.steps[step].pack == Pack::Bags),
        }
    });
    let shown = |pair: (f64, f64)| [pair.0, pair.1].map(|level| level_in(problem, level, &goal));
    let (plain, rounded) = (shown(found.plain), shown(found.rounded));
    let worse = |with: f64, without: f64| (found.sign * (with - without)).max(0.0);
    RoundedMix {
        title: problem.title.clone().unwrap_or_default(),
        content_unit: content.text.clone(),
        mass_unit: mass.text.clone(),
        volume_unit: volume.text.clone(),
        load: volume.from_base(rounding.load),
        made: volume.from_base(rounding.load * found.made),
        goal_unit: goal.text.clone(),
        plain,
        rounded,
        cost: [worse(rounded[0], plain[1]), worse(rounded[1], plain[0])],
        is_narrow: found.is_narrow(),
        bases: problem.bases.clone(),
        lines: lines.collect(),
        programs: found.programs.into(),
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
        Column::words("steps in the load"),
    ]);
    let amount = |value: f64| Phrase::from(Figure::new(value, Digits::Amount));
    for line in &mix.lines {
        table.row([
            Phrase::from(line.material.as_str()),
            amount(line.plain),
            amount(line.rounded),
            amount(line.of_load),
            match line.steps {
                Some(steps) => {
                    let what = match (line.in_bags, steps == 1.0) {
                        (true, true) => format!(" bag of {}", line.step),
                        (true, false) => format!(" bags of {}", line.step),
                        (false, _) => format!(" x {}", line.step),
                    };
                    Phrase::from(Figure::new(steps, Digits::Decimals(0))).and(what.as_str())
                }
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
        .and(if mix.is_narrow {
            "."
        } else {
            ". The search ended before that was as narrow as it is sought, a tenth of itself or 0.01 % of the goal: a better \
             mix in steps may lie between."
        });
    let volume = |value: f64, digits: Digits| Figure::new(value, digits).of(&unit(&mix.volume_unit));
    let about = Phrase::from("whole steps for ").and(volume(mix.load, Digits::Trimmed(4)));
    let yielded = if mix.made == mix.load {
        Phrase::from("The load fills its volume.")
    } else {
        Phrase::from("The load as weighed makes ")
            .and(volume(mix.made, Digits::Significant(5)))
            .and(": amounts per volume, limits and goal are those of the volume really made.")
    };
    let parts = vec![
        Part::new("", "").saying(mix.title.as_str()),
        Part::new("Rounded mix", about).with(table.clone()).saying(yielded).saying(cost).saying(
            "Every limit is met by these amounts. Amounts are in reference states: `mixbound batch-sheet` turns them into \
             today's weights.",
        ),
        mix.bases.iter().fold(Part::new("", ""), |part, basis| part.saying(basis.as_str())),
        Part::new("Cautions", "").listing(mix.cautions.iter().map(String::as_str)),
    ];
    (parts, table)
}
