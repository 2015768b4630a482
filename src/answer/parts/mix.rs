//! The mix: amounts, totals, internal curing, and where cost and carbon go.

use crate::answer::block::{Cell, Column, Part, RowKind, Table};
use crate::answer::chart::{Bar, Bars, Chart, Filling};
use crate::answer::conflict::ConflictLines;
use crate::answer::liquids::in_words;
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::report::{AmountLine, Report, State};
use crate::quantity::Unit;

/// The mix with its remarks, then where cost and carbon come from.
pub fn mix(report: &Report) -> Part {
    let alone = report.conflict.as_ref().and_then(ConflictLines::shown_alone);
    let heading = match (report.state, alone) {
        (State::Given, _) => "Mix as given".to_owned(),
        (state, _) if state.is_proposal() => "Mix".to_owned(),
        (_, Some(member)) => format!("Mix of repair {}, not a proposal,", member + 1),
        _ => "Nearest mix, not a proposal,".to_owned(),
    };
    let part = Part::new(&heading, format!("for 1 {} of concrete", report.units.body()))
        .with(amounts(report))
        .remarking(in_words(report));
    let unused = (!report.unused.is_empty()).then(|| format!("Not used: {}.", report.unused.join(", ")));
    let declared = report.amounts.iter().all(|line| line.carbon.is_some());
    let part = part
        .remarking((!declared).then_some("Carbon is not added up: not every material declares it."))
        .remarking(unused);
    let cost = report.units.cost(&report.currency);
    let charts = [
        bars(report, "cost-by-material", "Cost by material", &cost, |line| line.cost),
        bars(report, "carbon-by-material", "Carbon by material", &report.units.carbon(), |line| line.carbon),
    ];
    charts.into_iter().flatten().fold(part, Part::with)
}

/// A row for each material, air, and the sum.
fn amounts(report: &Report) -> Table {
    let (content, volume) = (report.units.content(), report.units.volume());
    let (cost, carbon) = (report.units.cost(&report.currency), report.units.carbon());
    let mut table = Table::new([
        Column::words("material"),
        Column::of("amount", &content),
        Column::words("state"),
        Column::of("oven-dry", &content),
        Column::of("to weigh as delivered", &content),
        Column::of("volume", &volume),
        Column::of("cost", &cost),
        Column::of("carbon", &carbon),
        Column::words("role").where_room(),
    ]);
    let with_carbon = report.amounts.iter().all(|line| line.carbon.is_some());
    let amount = |unit: &Unit, base: Option<f64>| -> Cell {
        base.map(|base| Figure::new(unit.from_base(base), Digits::Amount)).into()
    };
    let money = |base: Option<f64>| -> Cell {
        base.map(|base| Figure::new(cost.from_base(base), Digits::Money)).into()
    };
    for line in &report.amounts {
        table.row([
            Cell::from(&line.material),
            amount(&content, Some(line.amount)),
            line.state.word().into(),
            amount(&content, line.dry),
            amount(&content, line.delivered),
            amount(&volume, Some(line.volume)),
            money(line.cost),
            amount(&carbon, line.carbon.filter(|_| with_carbon)),
            line.role.word().into(),
        ]);
    }
    let empty = Cell::empty;
    table.row([Cell::from("air"), empty(), empty(), empty(), empty(), amount(&volume, Some(report.air))]);
    let sum = |part: fn(&AmountLine) -> f64| report.amounts.iter().map(part).sum::<f64>();
    let weighed: Option<f64> = report.amounts.iter().map(|line| line.delivered).sum();
    table.row_of(
        RowKind::Total,
        [
            Cell::from("total"),
            amount(&content, Some(sum(|line| line.amount))),
            empty(),
            empty(),
            amount(&content, weighed),
            amount(&volume, Some(sum(|line| line.volume) + report.air)),
            money(report.amounts.iter().map(|line| line.cost).sum()),
            amount(&carbon, with_carbon.then(|| sum(|line| line.carbon.unwrap_or(0.0)))),
        ],
    );
    table.without_empty_columns()
}

/// Bars of a part of the mix by material; none if not every material has it, or all is zero.
fn bars(
    report: &Report,
    id: &str,
    title: &str,
    unit: &Unit,
    part: fn(&AmountLine) -> Option<f64>,
) -> Option<Chart> {
    let values: Vec<(&str, f64)> = report
        .amounts
        .iter()
        .map(|line| Some((line.material.as_str(), unit.from_base(part(line)?))))
        .collect::<Option<_>>()?;
    let total: f64 = values.iter().map(|(_, value)| value).sum();
    if values.iter().all(|(_, value)| *value == 0.0) {
        return None;
    }
    let bar = |(name, value): &(&str, f64)| {
        let told = Phrase::from(Figure::new(*value, Digits::Amount));
        let told = if 0.0 < total {
            told.and(" (").and(Figure::percent(value / total, Digits::Trimmed(2))).and(")")
        } else {
            told
        };
        Bar { name: (*name).into(), value: *value, told, filling: Filling::Solid }
    };
    let title =
        Phrase::from(title).and(", ").and(Figure::new(total, Digits::Amount).of(unit)).and(" together");
    Some(Chart::Bars(Bars {
        id: id.to_owned(),
        title,
        axis: unit.text.clone(),
        bars: values.iter().map(bar).collect(),
        mark: None,
    }))
}

/// The totals that every reader looks for.
pub fn totals(report: &Report) -> Part {
    let mut table = Table::new([Column::words("total"), Column::figures("value")]);
    for total in &report.totals {
        let value: Phrase = total.value.map_or_else(
            || "none".into(),
            |value| Figure::new(value, Digits::Significant(4)).of(&total.unit).into(),
        );
        table.row([Cell::from(&total.label), value.into()]);
    }
    Part::new("Totals", "").with(table)
}

/// Water for internal curing: wanted, given, and how much of each aggregate is just enough.
pub fn curing(report: &Report) -> Option<Part> {
    let line = report.curing.as_ref()?;
    let content = report.units.content();
    let part = Part::new("Internal curing", "").saying(line.phrase(&content));
    if line.aggregates.is_empty() {
        return Some(part);
    }
    let mut table = Table::new([
        Column::words("lightweight aggregate"),
        Column::of("oven-dry", &content),
        Column::of("gives water", &content),
        Column::of("just enough, oven-dry", &content),
    ]);
    for one in &line.aggregates {
        let figure = |base: f64| Figure::new(content.from_base(base), Digits::Amount);
        table.row([
            Cell::from(&one.material),
            figure(one.dry).into(),
            figure(one.gives).into(),
            figure(one.enough).into(),
        ]);
    }
    Some(
        part.with(table)
            .saying("Just enough is what would just meet the demand, with all others as they are."),
    )
}
