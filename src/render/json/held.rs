//! What is held against something else, as programs read it: changes from a given mix, internal curing against demand.

use schemars::JsonSchema;
use serde::Serialize;

use crate::answer::changes::{ChangeLine, Changes};
use crate::answer::curing::{CuringAggregate, CuringLine};
use crate::answer::report::{JudgedLine, UncheckedLine};
use crate::quantity::Unit;

/// Changes as programs read them.
#[derive(JsonSchema, Serialize)]
pub struct ChangesOut<'r> {
    /// Name of the given mix.
    from: &'r str,
    /// The figures.
    figures: Vec<ChangeOut<'r>>,
}

/// One figure before and after.
#[derive(JsonSchema, Serialize)]
struct ChangeOut<'r> {
    /// Its name.
    name: &'r str,
    /// Its unit.
    unit: &'r str,
    /// At the given mix.
    before: Option<f64>,
    /// At the mix found.
    after: Option<f64>,
    /// Their difference.
    change: Option<f64>,
    /// The difference over the value before.
    relative: Option<f64>,
    /// Whether it is better; empty where that is open.
    verdict: &'static str,
}

impl<'r> ChangesOut<'r> {
    /// The same figures.
    pub fn new(changes: &'r Changes) -> Self {
        let of = |line: &'r ChangeLine| ChangeOut {
            name: &line.name,
            unit: &line.unit.text,
            before: line.before,
            after: line.after,
            change: line.change(),
            relative: line.relative(),
            verdict: line.verdict.word(),
        };
        Self { from: &changes.from, figures: changes.lines.iter().map(of).collect() }
    }
}

/// As programs read it; masses in `unit`.
#[derive(JsonSchema, Serialize)]
pub struct CuringOut<'r> {
    /// Water that is asked for.
    demand: f64,
    /// Water that the aggregates give.
    supply: f64,
    /// Supply over demand.
    ratio: Option<f64>,
    /// Unit of masses in 1 unit of volume of concrete.
    unit: String,
    /// Each aggregate.
    aggregates: Vec<AggregateOut<'r>>,
}

/// One aggregate.
#[derive(JsonSchema, Serialize)]
struct AggregateOut<'r> {
    /// Its name.
    material: &'r str,
    /// Its amount, oven-dry.
    dry: f64,
    /// Water that it gives.
    gives: f64,
    /// Oven-dry amount that alone would just be enough.
    just_enough_dry: f64,
}

impl<'r> CuringOut<'r> {
    /// The figures in a unit.
    pub fn new(line: &'r CuringLine, content: &Unit) -> Self {
        let of = |aggregate: &'r CuringAggregate| AggregateOut {
            material: &aggregate.material,
            dry: content.from_base(aggregate.dry),
            gives: content.from_base(aggregate.gives),
            just_enough_dry: content.from_base(aggregate.enough),
        };
        Self {
            demand: content.from_base(line.demand),
            supply: content.from_base(line.supply),
            ratio: line.ratio(),
            unit: content.text.clone(),
            aggregates: line.aggregates.iter().map(of).collect(),
        }
    }
}

/// A demand of a class that nothing checks.
#[derive(JsonSchema, Serialize)]
pub struct NotChecked<'r> {
    /// Line in the statement.
    line: usize,
    /// The class.
    name: &'r str,
    /// What it demands.
    demand: &'r str,
    /// Why nothing checks it.
    why: &'r str,
}

impl<'r> From<&'r UncheckedLine> for NotChecked<'r> {
    fn from(line: &'r UncheckedLine) -> Self {
        Self { line: line.line, name: &line.name, demand: &line.demand, why: &line.why }
    }
}

/// What is asked of a measured value.
#[derive(JsonSchema, Serialize)]
pub struct DemandOut<'r> {
    /// Its name.
    name: &'r str,
    /// What is asked, in words.
    wanted: &'r str,
    /// Whether the result meets it.
    met: bool,
}

impl<'r> From<&'r JudgedLine> for DemandOut<'r> {
    fn from(line: &'r JudgedLine) -> Self {
        Self { name: &line.name, wanted: &line.wanted, met: line.met }
    }
}
