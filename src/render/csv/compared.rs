//! Lines of what is held against something else: internal curing against its demand, a mix against a given one.

use super::line::{Line, figure};
use crate::answer::approval::ApprovalLine;
use crate::answer::changes::{ChangeLine, Changes};
use crate::answer::curing::CuringLine;
use crate::answer::report::{Report, Standing};
use crate::answer::since::Since;

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

/// What lies beyond what was approved, or that nothing does.
pub fn approval(line: &ApprovalLine) -> Vec<Line> {
    let note = line.note.clone().unwrap_or_default();
    let one = |name: String, figure: &str, standing: &str| Line {
        part: "approved",
        name,
        figure: figure.to_owned(),
        standing: standing.to_owned(),
        ..Line::default()
    };
    let verdict = if line.needs_new_trial { "needs a new trial" } else { "within" };
    let mut list = vec![one(note, "ranges", verdict)];
    for beyond in &line.beyond {
        let ends = [("approved from", beyond.low), ("approved to", beyond.high)];
        let value = Line { value: beyond.value, ..one(beyond.name.clone(), "value", "beyond") };
        let ends = ends
            .into_iter()
            .filter(|(_, end)| end.is_some())
            .map(|(figure, end)| Line { value: end, ..one(beyond.name.clone(), figure, "") });
        list.extend(
            std::iter::once(value).chain(ends).map(|line| Line { unit: beyond.unit.clone(), ..line }),
        );
    }
    list
}

/// What became of the mix since an earlier run.
pub fn since(since: &Since) -> Vec<Line> {
    let one = |name: &str, figure: &str, value: Option<f64>, unit: &str| Line {
        part: "since",
        name: name.to_owned(),
        figure: figure.to_owned(),
        value,
        unit: unit.to_owned(),
        ..Line::default()
    };
    let named = |names: &[String], figure: &'static str| -> Vec<Line> {
        names.iter().map(|name| one(name, figure, None, "")).collect()
    };
    let mut list = vec![
        one("goal", "earlier value", since.before, &since.unit),
        one("goal", "change", since.change, &since.unit),
        one("goal", "relative change", since.relative, ""),
    ];
    if let Some(mix) = &since.mix {
        list.extend(named(&mix.came_in, "came in"));
        list.extend(named(&mix.went_out, "went out"));
        for line in &mix.amounts {
            list.push(one(&line.material, "earlier amount", Some(line.before), &mix.unit));
            list.push(one(&line.material, "change", Some(line.change), &mix.unit));
        }
        list.extend(named(&mix.began_to_bind, "began to bind"));
        list.extend(named(&mix.ceased_to_bind, "ceased to bind"));
    }
    if let Some(staying) = &since.earlier_mix_today {
        let standing = if staying.holds { Standing::Met } else { Standing::Violated };
        let standing = standing.words().to_owned();
        list.push(Line { standing, ..one("earlier mix", "value today", staying.value, &since.unit) });
        list.push(one("earlier mix", "difference from today's mix", staying.difference, &since.unit));
        list.extend(
            staying.fills.map(|fills| one("earlier mix", "share of the volume filled", Some(fills), "")),
        );
        list.extend(named(&staying.misses, "missed by the earlier mix"));
        list.extend(named(&staying.lacks, "gone since the earlier run"));
    }
    list
}
