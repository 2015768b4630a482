//! Lines of what is held against something else: internal curing against its demand, a mix against a given one.

use super::line::{Line, figure};
use crate::answer::changes::{ChangeLine, Changes};
use crate::answer::curing::CuringLine;
use crate::answer::report::Report;

/// Water wanted and given, and each aggregate that gives it.
pub fn curing(report: &Report, line: &CuringLine) -> Vec<Line> {
    let content = report.units.content();
    let one = |name: &str, what: &str, base: f64| figure("internal curing", name, what, base, &content);
    let mut list = vec![one("all", "demand", line.demand), one("all", "supply", line.supply)];
    list.extend(line.aggregates.iter().flat_map(|aggregate| {
        [
            one(&aggregate.material, "amount, oven-dry", aggregate.dry),
            one(&aggregate.material, "gives water", aggregate.gives),
            one(&aggregate.material, "just enough, oven-dry", aggregate.enough),
        ]
    }));
    list
}

/// Changes from a given mix: what was before, the change in the same unit, and relative to it.
pub fn changes(changes: &Changes) -> Vec<Line> {
    let of = |line: &ChangeLine| {
        [
            (format!("before, {}", changes.from), line.before, line.unit.text.as_str()),
            (format!("change from {}", changes.from), line.change(), line.unit.text.as_str()),
            (format!("relative change from {}", changes.from), line.relative(), ""),
        ]
        .map(|(figure, value, unit)| Line {
            part: "change",
            name: line.name.clone(),
            figure,
            value,
            unit: unit.to_owned(),
            standing: line.verdict.word().to_owned(),
            ..Line::default()
        })
    };
    changes.lines.iter().flat_map(of).collect()
}
