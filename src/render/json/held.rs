//! What is held against something else, as programs read it: changes from a given mix, internal curing against demand.

use serde::Serialize;

use crate::answer::changes::{ChangeLine, Changes};
use crate::answer::curing::{CuringAggregate, CuringLine};
use crate::answer::report::{JudgedLine, UncheckedLine};
use crate::quantity::Unit;

/// Changes as programs read them.
#[derive(Serialize)]
pub struct ChangesOut<'r> {
    from: &'r str,
    figures: Vec<ChangeOut<'r>>,
}

#[derive(Serialize)]
struct ChangeOut<'r> {
    name: &'r str,
    unit: &'r str,
    before: Option<f64>,
    after: Option<f64>,
    change: Option<f64>,
    relative: Option<f64>,
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
#[derive(Serialize)]
pub struct CuringOut<'r> {
    demand: f64,
    supply: f64,
    ratio: Option<f64>,
    unit: String,
    aggregates: Vec<AggregateOut<'r>>,
}

#[derive(Serialize)]
struct AggregateOut<'r> {
    material: &'r str,
    dry: f64,
    gives: f64,
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
#[derive(Serialize)]
pub struct NotChecked<'r> {
    line: usize,
    name: &'r str,
    demand: &'r str,
    why: &'r str,
}

impl<'r> From<&'r UncheckedLine> for NotChecked<'r> {
    fn from(line: &'r UncheckedLine) -> Self {
        Self { line: line.line, name: &line.name, demand: &line.demand, why: &line.why }
    }
}

/// What is asked of a measured value.
#[derive(Serialize)]
pub struct DemandOut<'r> {
    name: &'r str,
    wanted: &'r str,
    met: bool,
}

impl<'r> From<&'r JudgedLine> for DemandOut<'r> {
    fn from(line: &'r JudgedLine) -> Self {
        Self { name: &line.name, wanted: &line.wanted, met: line.met }
    }
}
