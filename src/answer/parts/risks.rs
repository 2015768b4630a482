//! The risk of a mix as blocks: each limit with its shares, what contributes, how results lie.
//!
//! What enters: the facts of a risk. What leaves: parts, and one table for spreadsheets.

use crate::answer::block::{Column, Part, RowKind, Table};
use crate::answer::chart::{Bar, Bars, Chart, Filling};
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::risks::{RiskLine, Risks};
use crate::problem::Side;
use crate::quantity::Unit;

/// Contributors that are told in text.
const TOLD: usize = 3;

/// A share in per cent with sensible digits: one that is not zero is never told as zero.
fn told(percent: f64) -> Phrase {
    let percents = Unit::known("%");
    if percent != 0.0 && percent < 0.001 {
        return Phrase::from("below ").and(Figure::new(0.001, Digits::Trimmed(1)).of(&percents));
    }
    Figure::new(percent, if percent < 1.0 { Digits::Trimmed(2) } else { Digits::Trimmed(3) })
        .of(&percents)
        .into()
}

fn interval(values: [f64; 3]) -> Phrase {
    let [estimate, low, high] = values;
    if high - low <= 0.03 * estimate.max(0.1) {
        return told(estimate);
    }
    let end = |value: f64| Figure::new(value, Digits::Significant(2));
    told(estimate).and(" (").and(end(low)).and(" .. ").and(end(high)).and(")")
}

/// The same where a share of zero only says that nothing was seen.
fn seen(values: [f64; 3]) -> Phrase {
    if values[0] == 0.0 && 0.0 < values[2] {
        return Phrase::from("none seen: below ").and(told(values[2]));
    }
    if values[0] == 0.0 { Phrase::from("none seen") } else { interval(values) }
}

/// The blocks, and the table for spreadsheets.
pub fn parts(risks: &Risks) -> (Vec<Part>, Table) {
    let number = |value: f64| Figure::new(value, Digits::Significant(4));
    let judged = risks.limits.first().map_or(1, |line| line.results);
    let together = format!("of {judged} together fail");
    let mut shown = Table::new([
        Column::words("limit"),
        Column::words("wanted"),
        Column::figures("designed"),
        Column::words("results beyond"),
        Column::words("beyond, deviation allowed"),
        Column::words(together.as_str()),
        Column::words("coefficients leave"),
        Column::figures("more margin for the target"),
    ]);
    for line in &risks.limits {
        let unit = Unit { text: line.unit.clone(), ..Unit::number() };
        let wanted = Phrase::from(line.side).and(" ").and(line.wanted.map_or_else(
            || "its demand".into(),
            |wanted| Phrase::from(Figure::new(wanted, Digits::Written).of(&unit)),
        ));
        let beyond = match line.unseen_below {
            Some(below) => Phrase::from("none seen: below ").and(told(below)),
            None => interval(line.beyond),
        };
        let kind = if line.target < line.beyond[0] { RowKind::Missed } else { RowKind::Usual };
        let uncertainty = line.uncertainty.map(|[low, high]| told(low).and(" to ").and(told(high)));
        shown.row_of(
            kind,
            [
                Phrase::from(line.limit.as_str()),
                wanted,
                number(line.designed).of(&unit).into(),
                beyond,
                line.beyond_allowed.map(seen).into(),
                seen(line.fails),
                uncertainty.into(),
                Phrase::from(
                    line.margin.map(|margin| Figure::new(margin, Digits::Significant(3)).of(&unit).signed()),
                ),
            ],
        );
    }
    let about = Phrase::from("from ")
        .and(Figure::new(risks.batches as f64, Digits::Decimals(0)))
        .and(" batches as they may be weighed; target ")
        .and(told(risks.target));
    let volume = Phrase::from("One volume ordered becomes ")
        .and(Figure::new(risks.volume_mean, Digits::Decimals(2)))
        .and(" % in the mean, with a standard deviation of ")
        .and(Figure::new(risks.volume_deviation, Digits::Decimals(2)))
        .and(" %.");
    let mut parts = vec![
        Part::new("", "").saying(risks.title.as_str()),
        Part::new("Risk", about).with(shown.without_empty_columns()).saying(volume),
        Part::new("What contributes", "").with(contributors(risks)),
    ];
    parts.push(results(risks));
    parts.push(Part::new("To be known with it", "").listing(risks.remarks.iter().map(String::as_str)));
    parts.push(Part::default().saying(risks.caution));
    (parts, every_figure(risks))
}

/// The table for spreadsheets.
fn every_figure(risks: &Risks) -> Table {
    let mut all = Table::new(
        [
            "limit",
            "side",
            "wanted",
            "designed",
            "unit",
            "beyond, %",
            "beyond low, %",
            "beyond high, %",
            "beyond allowed, %",
            "allowed",
            "fail, %",
            "results",
            "criteria",
            "unseen below, %",
            "margin to add",
        ]
        .map(Column::figures),
    );
    for line in &risks.limits {
        let full = |value: f64| Phrase::from(Figure::new(value, Digits::Trimmed(6)));
        all.row([
            Phrase::from(line.limit.as_str()),
            line.side.into(),
            Phrase::from(line.wanted.map(full)),
            full(line.designed),
            line.unit.as_str().into(),
            full(line.beyond[0]),
            full(line.beyond[1]),
            full(line.beyond[2]),
            Phrase::from(line.beyond_allowed.map(|beyond| full(beyond[0]))),
            full(line.allowed),
            full(line.fails[0]),
            full(line.results as f64),
            line.criteria.into(),
            Phrase::from(line.unseen_below.map(full)),
            Phrase::from(line.margin.map(full)),
        ]);
    }
    all
}

/// Where the variance of each limit comes from.
fn contributors(risks: &Risks) -> Table {
    let mut sources = Table::new([Column::words("limit"), Column::words("most of the variance comes from")]);
    for line in risks.limits.iter().filter(|line| !line.contributors.is_empty()) {
        let list = line.contributors.iter().take(TOLD).map(|(name, share)| {
            Phrase::from(name.as_str()).and(" ").and(Figure::new(*share, Digits::Decimals(0))).and(" %")
        });
        sources.row([Phrase::from(line.limit.as_str()), Phrase::joined(list, ", ")]);
    }
    sources
}

/// Results of plain draws, limit by limit.
fn results(risks: &Risks) -> Part {
    let number = |value: f64| Figure::new(value, Digits::Significant(4));
    let mut spread = Table::new([
        Column::words("limit"),
        Column::figures("a twentieth lies below"),
        Column::figures("half below"),
        Column::figures("a twentieth above"),
    ]);
    for line in &risks.limits {
        let unit = Unit { text: line.unit.clone(), ..Unit::number() };
        let [low, middle, high] = line.quantiles.map(|value| Phrase::from(number(value).of(&unit)));
        spread.row([Phrase::from(line.limit.as_str()), low, middle, high]);
    }
    let mut charts = Part::new("Results", "of plain draws, limit by limit").with(spread);
    for (at, line) in risks.limits.iter().enumerate().filter(|(_, line)| 0.0 < line.histogram.1) {
        charts = charts.with(Chart::Bars(bars(at, line)));
    }
    charts
}

/// The histogram of one limit.
fn bars(at: usize, line: &RiskLine) -> Bars {
    let (low, width, counts) = &line.histogram;
    let unit = Unit { text: line.unit.clone(), ..Unit::number() };
    let side_is_least = line.side == Side::AtLeast.words();
    let bars = counts.iter().enumerate().map(|(class, count)| {
        let middle = low + (class as f64 + 0.5) * width;
        let beyond = line.wanted.is_some_and(|wanted| (middle < wanted) == side_is_least && middle != wanted);
        Bar {
            name: Figure::new(middle, Digits::Significant(4)).of(&unit).into(),
            value: *count as f64,
            told: Figure::new(*count as f64, Digits::Decimals(0)).into(),
            filling: if beyond { Filling::Hatched } else { Filling::Solid },
        }
    });
    Bars {
        id: format!("risk-{}", at + 1),
        title: Phrase::from(line.limit.as_str())
            .and(" ")
            .and(line.side)
            .and(": results, beyond the limit hatched"),
        axis: "results".to_owned(),
        bars: bars.collect(),
        mark: None,
    }
}
