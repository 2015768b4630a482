//! Why nothing fits: what cannot hold together, what would mend it, and the mixes that would do.

use crate::answer::block::{Cell, Column, Part, Spot, Table};
use crate::answer::conflict::{ConflictLines, RepairedMix};
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::report::Report;

/// Most mixes of single repairs beside the nearest one.
const MIXES: usize = 4;
/// A share that is not enough and one that is are told as one from here on: the search for them ends there.
const ALIKE: f64 = 0.985;
/// Most names of what was not settled.
const NAMED: usize = 6;

/// Why nothing fits.
pub fn conflict(report: &Report) -> Vec<Part> {
    let Some(conflict) = report.conflict.as_ref() else { return Vec::new() };
    let about = match conflict.members.as_slice() {
        [_] => "this alone cannot be met",
        members if members.iter().all(|member| member.settled) && conflict.unsettled.is_empty() => {
            "these cannot hold together; leave out any one, and the others of this list can"
        }
        _ => "these cannot hold together; of some it is not settled whether the others can without them",
    };
    let mut table = Table::new([
        Column::figures("no."),
        Column::words("demand"),
        Column::figures("line"),
        Column::words("asked"),
        Column::words("mended alone, all else kept, by"),
    ]);
    for (at, member) in conflict.members.iter().enumerate() {
        let mark = if member.settled { "" } else { " (not settled whether it belongs here)" };
        table.row([
            Cell::from(Figure::new((at + 1) as f64, Digits::Decimals(0))),
            format!("{}{mark}", member.name).into(),
            Spot::cell(member.file.as_ref(), member.line),
            member.asked.words().into(),
            member.repair.words().into(),
        ]);
    }
    let behind = match conflict.unsettled.len() {
        0 => None,
        1 => Some(format!("Not settled whether this belongs here too: {}.", conflict.unsettled[0])),
        count => Some(format!(
            "Not settled which of {count} bounds of materials, choices and regions belong here too: {}{}.",
            conflict.unsettled.iter().take(NAMED).cloned().collect::<Vec<_>>().join(", "),
            if NAMED < count { ", ..." } else { "" },
        )),
    };
    let first = Part::new("Conflict:", about).with(table).saying(behind).saying(spread(conflict));
    [first].into_iter().chain(mixes(report, conflict)).collect()
}

/// The share by which all limits give way.
fn spread(conflict: &ConflictLines) -> Phrase {
    let Some(share) = conflict.compromise else {
        return "Moving all limits by the same share of their values was not found to help, up to all of it."
            .into();
    };
    let percent = |share| Figure::percent(share, Digits::Trimmed(2));
    let told = Phrase::from("If every limit of the statement gives way alike, ").and(percent(share));
    let told = told.and(" of its value is enough: the nearest mix below needs no more.");
    match conflict.not_enough {
        Some(short) if ALIKE * share <= short => told.and(" Less is proven not to be enough."),
        Some(short) => told.and(" Proven not to be enough: ").and(percent(short)).and("."),
        None => told.and(" Best found, not proven."),
    }
}

/// The nearest mix and those of single repairs beside one another.
fn mixes(report: &Report, conflict: &ConflictLines) -> Option<Part> {
    if conflict.mixes.iter().filter(|mix| mix.member.is_some()).count() == 0 {
        return None;
    }
    let shown: Vec<&RepairedMix> = conflict.mixes.iter().take(MIXES + 1).collect();
    let titles = shown.iter().map(|mix| match mix.member {
        Some(member) => format!("repair {}", member + 1),
        None => "nearest".to_owned(),
    });
    let names = [Column::words("material"), Column::words("unit")];
    let mut table = Table::new(names.into_iter().chain(titles.map(Column::figures)));
    let content = report.units.content();
    let mut materials: Vec<&String> = Vec::new();
    for (name, _) in shown.iter().flat_map(|mix| &mix.amounts) {
        if !materials.contains(&name) {
            materials.push(name);
        }
    }
    for material in materials {
        let amount = |mix: &&RepairedMix| -> Cell {
            let known = mix.amounts.iter().find(|(name, _)| name == material);
            known.map(|(_, amount)| Figure::new(content.from_base(*amount), Digits::Amount)).into()
        };
        let cells = [Cell::from(material), content.text.as_str().into()];
        table.row(cells.into_iter().chain(shown.iter().map(amount)));
    }
    let goal = |mix: &&RepairedMix| -> Cell {
        mix.goal.map(|goal| Figure::new(goal, Digits::Significant(5))).into()
    };
    let cells = [Cell::from(&report.goal_name), report.goal_unit.text.as_str().into()];
    table.row(cells.into_iter().chain(shown.iter().map(goal)));
    let about = "not proposals: each meets everything once what its heading says gives way that far";
    Some(Part::new("Mixes that would do,", about).with(table))
}
