//! What became of mixes since an earlier run, in sentences: of one in its report, of several one after another.

use crate::answer::approval::ApprovalLine;
use crate::answer::block::{Cell, Column, Part, Table};
use crate::answer::office::why_not;
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::record::summary::SummaryLine;
use crate::answer::report::Report;
use crate::answer::since::{AmountSince, MixSince, PriceSince, Since, Staying};

/// The heading of either.
const HEADING: (&str, &str) = ("Changes", "since the earlier run");
/// Change of a value that is rounding, relative.
const ROUNDING: f64 = 1e-6;

/// What became of the mix of a report; none where no earlier run was named.
pub fn part(report: &Report) -> Option<Part> {
    let since = report.since.as_ref()?;
    let now = report.goal_value.filter(|_| report.state.is_proposal());
    let part = Part::new(HEADING.0, HEADING.1);
    Some(if is_unchanged(since) {
        part.saying("Nothing changed, and the earlier mix meets everything today.")
    } else {
        part.saying(value(since, now)).listing(items(since))
    })
}

/// What became of several; none where no earlier run was named.
pub fn parts(lines: &[SummaryLine]) -> Vec<Part> {
    if lines.iter().all(|line| line.since.is_none()) {
        return Vec::new();
    }
    let mut list: Vec<Part> = prices(lines).into_iter().collect();
    list.push(Part::new(HEADING.0, HEADING.1));
    let mut same: Vec<String> = Vec::new();
    let name = |line: &SummaryLine| match &line.title {
        Some(title) => format!("{title} ({})", line.file),
        None => line.file.clone(),
    };
    for line in lines {
        let new_trial = line.approved.as_ref().filter(|approval| !approval.beyond.is_empty());
        match &line.since {
            None if line.value.is_some() => {
                list.push(
                    Part::default().saying(format!("{}: new, the earlier run has no such mix.", name(line))),
                );
            }
            None => {}
            Some(since) if is_unchanged(since) && new_trial.is_none() => same.push(name(line)),
            Some(since) => {
                let first = Phrase::from(format!("{}: ", name(line))).and(value(since, line.value));
                let more = new_trial.map(ApprovalLine::phrase);
                list.push(Part::default().saying(first).listing(items(since).into_iter().chain(more)));
            }
        }
    }
    if !same.is_empty() {
        list.push(Part::default().saying(format!("Unchanged, and holding today: {}.", same.join("; "))));
    }
    list
}

/// Prices that changed, each once; none where none did, or none were told.
fn prices(lines: &[SummaryLine]) -> Option<Part> {
    let mut all: Vec<&PriceSince> = Vec::new();
    for price in lines.iter().filter_map(|line| line.since.as_ref()).flat_map(|since| &since.prices) {
        if !all.contains(&price) {
            all.push(price);
        }
    }
    let mut table = Table::new([
        Column::words("material"),
        Column::figures("before"),
        Column::figures("now"),
        Column::words("unit"),
        Column { unit: "%".to_owned(), ..Column::figures("change") },
    ]);
    for price in &all {
        let figure = |value: f64| Figure::new(value, Digits::Written);
        let share = price.relative.map(|share| Figure::new(100.0 * share, Digits::Significant(3)).signed());
        table.row([
            Cell::from(&price.material),
            figure(price.before).into(),
            figure(price.now).into(),
            (&price.unit).into(),
            share.into(),
        ]);
    }
    (!all.is_empty()).then(|| Part::new("Prices", "that changed since the earlier run").with(table))
}

/// Whether there is nothing to tell.
fn is_unchanged(since: &Since) -> bool {
    let same = since.relative.is_some_and(|by| by.abs() < ROUNDING);
    let still = since.mix.as_ref().is_some_and(|mix| {
        mix.amounts.is_empty()
            && mix.came_in.is_empty()
            && mix.went_out.is_empty()
            && mix.began_to_bind.is_empty()
            && mix.ceased_to_bind.is_empty()
    });
    same && still && since.earlier_mix_today.as_ref().is_some_and(|staying| staying.holds)
}

/// `57.90 EUR/m3, before 55.60: +2.30, +4.1 %.`
fn value(since: &Since, now: Option<f64>) -> Phrase {
    let figure = |value: f64| Figure::new(value, Digits::Significant(5));
    let with_unit = |figure: Figure| Figure { unit: since.unit.clone(), ..figure };
    let told = match now {
        Some(now) => Phrase::from(with_unit(figure(now))),
        None => "no mix".into(),
    };
    match (since.before, since.change) {
        (None, _) if since.earlier_mix_today.is_none() => told.and("; the earlier run had no mix."),
        (None, _) => told.and("; the earlier run had another goal or unit: the values are not compared."),
        (Some(before), None) => told.and(", before ").and(with_unit(figure(before))).and("."),
        (Some(before), Some(change)) => {
            let told = told.and(", before ").and(figure(before));
            if change.abs() <= ROUNDING * before.abs() {
                return told.and(": no change.");
            }
            let share = since
                .relative
                .map(|share| Phrase::from(", ").and(Figure::percent(share, Digits::Significant(2)).signed()));
            told.and(": ").and(Figure::new(change, Digits::Significant(3)).signed()).and(share).and(".")
        }
    }
}

/// What else became of it, a line each.
fn items(since: &Since) -> Vec<Phrase> {
    let mut list = Vec::new();
    match &since.mix {
        Some(mix) => list.extend([used(mix), Some(amounts(mix)), limits(mix)].into_iter().flatten()),
        None if since.before.is_some() && since.earlier_mix_today.is_none() => {
            list.push("the earlier run tells no mix: amounts and limits are not compared".into());
        }
        None => {}
    }
    list.extend(since.earlier_mix_today.as_ref().map(|mix| staying(mix, &since.unit)));
    list
}

fn used(mix: &MixSince) -> Option<Phrase> {
    let told = |what: &str, names: &[String]| {
        (!names.is_empty()).then(|| Phrase::from(format!("{what}: {}", names.join(", "))))
    };
    let both = [told("came in", &mix.came_in), told("went out", &mix.went_out)];
    let both: Vec<Phrase> = both.into_iter().flatten().collect();
    (!both.is_empty()).then(|| Phrase::joined(both, "; "))
}

fn amounts(mix: &MixSince) -> Phrase {
    if mix.amounts.is_empty() {
        return "amounts: no change that the scale shows".into();
    }
    let one = |line: &AmountSince| {
        let digits = |value: f64| if value == 0.0 { Digits::Trimmed(1) } else { Digits::Amount };
        let figure = |value: f64| Figure::new(value, digits(value));
        Phrase::from(format!("{} ", line.material))
            .and(figure(line.before))
            .and(" to ")
            .and(figure(line.now))
            .and(" (")
            .and(figure(line.change).signed())
            .and(")")
    };
    let all = Phrase::joined(mix.amounts.iter().map(one), ", ");
    Phrase::from(format!("amounts, {}: ", mix.unit)).and(all)
}

fn limits(mix: &MixSince) -> Option<Phrase> {
    let told = |what: &str, names: &[String]| {
        (!names.is_empty()).then(|| Phrase::from(format!("{what}: {}", names.join(", "))))
    };
    let both = [told("now binding", &mix.began_to_bind), told("no longer binding", &mix.ceased_to_bind)];
    let both: Vec<Phrase> = both.into_iter().flatten().collect();
    (!both.is_empty()).then(|| Phrase::joined(both, "; "))
}

fn staying(mix: &Staying, unit: &str) -> Phrase {
    let value = mix.value.map(|value| {
        let figure = Figure { unit: unit.to_owned(), ..Figure::new(value, Digits::Significant(5)) };
        let by = mix.difference.map(|by| {
            let by = if by.abs() <= ROUNDING * value.abs() { 0.0 } else { by };
            let open = if mix.within_gap && by != 0.0 { ", no more than the gap leaves open" } else { "" };
            Phrase::from(", ")
                .and(Figure::new(by, Digits::Significant(3)).signed())
                .and(format!(" beside today's mix{open}"))
        });
        Phrase::from(figure).and(" today").and(by).and("; ")
    });
    let holds = if mix.holds {
        Phrase::from("it still meets everything")
    } else {
        Phrase::from("it NO LONGER HOLDS: ").and(why_not(mix))
    };
    Phrase::from("staying with the earlier mix: ").and(value).and(holds)
}
