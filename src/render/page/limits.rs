//! Limits: how much of each is used, what each costs, how tight each is, and why nothing fits.

use super::line_id;
use super::tables::{Cell, Drawn, Row, Table, numbers, short, words};
use crate::answer::report::{LimitLine, Report, Standing};
use crate::finding::clean;
use crate::problem::Side;
use crate::quantity::{significant, trimmed};
use crate::render::chart::{Axis, Bar, Bars, Dash, Filling, Marker, Plot, Point, Series, Vertical};
use crate::render::chart::{bars, gauge, plot};
use crate::render::text::limits::{Shown, rows};
use crate::render::tightness::Entry;

/// How much of a limit is used, with its margin taken off: one at the limit, more beyond it. Limits and values that are
/// not above zero have no such share.
fn share(line: &LimitLine) -> Option<f64> {
    let measured = line.measured?;
    let got = match line.side {
        Side::AtLeast => measured.wanted + measured.slack,
        Side::AtMost => measured.wanted - measured.slack,
    };
    let share = match line.side {
        Side::AtLeast => measured.wanted / got,
        Side::AtMost => got / measured.wanted,
    };
    (0.0 < measured.wanted && 0.0 <= got && share.is_finite()).then_some(share)
}

fn filling(line: &LimitLine) -> Filling {
    match line.standing {
        Standing::Binding => Filling::Solid,
        Standing::Violated => Filling::Open,
        Standing::Met | Standing::Empty => Filling::Hatched,
    }
}

fn line_cell(line: &LimitLine, text: &str) -> Cell {
    // Lines of included files are told by name; only those of the statement itself can be pointed to.
    match line.file {
        Some(_) => text.to_owned().into(),
        None => Cell::linked(text.to_owned(), line_id(0, line.line)),
    }
}

/// The tables of limits, bounds that bind and regions that bind.
pub fn limits(report: &Report) -> Vec<Table> {
    let mut tables = Vec::new();
    for (shown, caption) in [
        (Shown::Limits, "Limits, what the mix gives and how much of each limit is used"),
        (Shown::Materials, "Bounds of materials that bind or fail"),
        (
            Shown::Regions,
            "Regions of responses that bind or fail: make a trial there before trusting the prediction",
        ),
    ] {
        let lines: Vec<&LimitLine> = report.limits.iter().filter(|line| shown.covers(line)).collect();
        if lines.is_empty() {
            continue;
        }
        let header = vec![
            words("Limit"),
            short("Line"),
            words("Wanted"),
            numbers("Got", ""),
            numbers("Margin", ""),
            numbers("Slack", ""),
            words("Used"),
            short("Standing"),
        ];
        let rows = rows(&lines).into_iter().enumerate().map(|(number, (line, texts))| {
            let used = share(line).map_or_else(Cell::default, |share| {
                let words = format!("{} % of the limit is used", trimmed(100.0 * share, 3));
                let id = format!("used-{}-{number}", tables.len());
                Cell {
                    text: format!("{:.0} %", 100.0 * share),
                    ..Cell::drawn(gauge(&id, share, filling(line), &words))
                }
            });
            let [at, name, wanted, got, margin, slack, ..] = texts.as_slice() else { return Row::of(texts) };
            let text = |text: &String| Cell::from(clean(text));
            let cells = vec![
                text(name),
                line_cell(line, at),
                text(wanted),
                text(got),
                text(margin),
                text(slack),
                used,
                line.standing.words().to_owned().into(),
            ];
            let class = match line.standing {
                Standing::Violated => "bad",
                Standing::Binding => "binding",
                Standing::Met | Standing::Empty => "",
            };
            Row { class, cells }
        });
        let rows = rows.collect();
        tables.push(Table { caption: caption.to_owned(), header, rows });
    }
    tables
}

/// How much of each limit is used, as a chart of its own.
pub fn utilisation(report: &Report) -> Option<Drawn> {
    let lines: Vec<&LimitLine> = report.limits.iter().filter(|line| Shown::Limits.covers(line)).collect();
    let list: Vec<Bar> = rows(&lines)
        .into_iter()
        .filter_map(|(line, texts)| {
            let share = 100.0 * share(line)?;
            let name = format!("{} {}", clean(&line.name), texts.get(2)?);
            Some(Bar { name, value: share, figure: format!("{share:.0} %"), filling: filling(line) })
        })
        .collect();
    if list.is_empty() {
        return None;
    }
    let title = "How much of each limit is used";
    let description = "Share of each limit, with its margin taken off; 100 % is the limit itself.";
    let svg = bars(&Bars {
        id: "limits-used".to_owned(),
        title: title.to_owned(),
        description: description.to_owned(),
        axis: "share of the limit, %; full: the mix stands at it, open: not met".to_owned(),
        bars: list,
        mark: Some(100.0),
    });
    Some(Drawn::new("limits-used", title.to_owned(), svg))
}

/// What each binding limit costs.
pub fn prices(report: &Report) -> Option<Table> {
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| significant(value, 3));
    let unit = clean(&report.goal_unit.text);
    (!report.prices.is_empty()).then(|| Table {
        caption: "What moving each binding limit does to the goal, with the choices kept".to_owned(),
        header: vec![
            words("Limit"),
            words("Moved by"),
            numbers("Tighter costs", &unit),
            numbers("Looser saves", &unit),
            words("Remark"),
        ],
        rows: report
            .prices
            .iter()
            .map(|line| {
                Row::of([
                    format!("{} ({})", clean(&line.name), line.side.words()),
                    clean(&line.step),
                    number(line.tightening),
                    number(line.loosening),
                    line.remark.unwrap_or_default().to_owned(),
                ])
            })
            .collect(),
    })
}

/// Why nothing fits.
pub fn conflict(report: &Report) -> Option<Table> {
    let conflict = report.conflict.as_ref()?;
    Some(Table {
        caption: "These cannot hold together; without any one of them the others can".to_owned(),
        header: vec![words("Limit"), words("Line"), words("Asked"), words("Mended alone by")],
        rows: conflict
            .members
            .iter()
            .map(|member| {
                let name = clean(&member.name);
                let unsettled = if member.settled { "" } else { " (not settled)" };
                Row::of([
                    format!("{name}{unsettled}"),
                    member.line.to_string(),
                    clean(&member.asked),
                    clean(&member.repair),
                ])
            })
            .collect(),
    })
}

/// What all limits would have to give together.
pub fn compromise(report: &Report) -> String {
    report.conflict.as_ref().and_then(|conflict| conflict.compromise).map_or_else(String::new, |share| {
        format!("If all limits give way alike, {} % of each is enough.", trimmed(100.0 * share, 3))
    })
}

/// How tight each limit is.
pub fn tightness(entries: &[Entry]) -> Option<Table> {
    let number = |value: Option<f64>, proven: Option<bool>| {
        let mark = if proven == Some(false) { " ?" } else { "" };
        value.map_or_else(String::new, |value| format!("{}{mark}", significant(value, 4)))
    };
    (!entries.is_empty()).then(|| Table {
        caption: "How tight each limit is, all others kept; ? marks what is best found and not proven"
            .to_owned(),
        header: vec![
            words("Limit"),
            words("Asked"),
            numbers("Tightest any mix reaches", ""),
            numbers("Loosest that matters", ""),
            words("Verdict"),
        ],
        rows: entries
            .iter()
            .map(|entry| {
                let asked = format!("{} {} {}", entry.side, significant(entry.asked, 4), entry.unit);
                Row::of([
                    clean(&entry.limit),
                    clean(asked.trim_end()),
                    entry.tightest_text(),
                    number(entry.loosest, entry.loosest_proven),
                    entry.verdict.to_owned(),
                ])
            })
            .collect(),
    })
}

/// The goal over each limit that matters.
pub fn tightness_charts(entries: &[Entry]) -> Vec<Drawn> {
    entries.iter().enumerate().filter_map(|(number, entry)| tightness_chart(number, entry)).collect()
}

fn tightness_chart(number: usize, entry: &Entry) -> Option<Drawn> {
    let point = |limit: f64, goal: f64, proven: bool| {
        let mark = if proven { "" } else { ", best found" };
        let words = format!(
            "{} {}: {} {}{mark}",
            significant(limit, 4),
            clean(&entry.unit),
            significant(goal, 4),
            clean(&entry.goal_unit)
        );
        Point { words, ..Point::bare(limit, goal) }
    };
    let points: Vec<Point> = entry
        .between
        .iter()
        .filter_map(|between| Some(point(between.limit, between.goal?, between.proven)))
        .collect();
    let spread = |key: fn(&Point) -> f64| {
        let low = points.iter().map(key).fold(f64::INFINITY, f64::min);
        let high = points.iter().map(key).fold(f64::NEG_INFINITY, f64::max);
        (high - low) / high.abs().max(low.abs()).max(1e-9)
    };
    if points.len() < 3 || spread(|point| point.y) < 1e-5 {
        return None;
    }
    let id = format!("limit-{number}");
    let name = format!("{} {}", clean(&entry.limit), entry.side);
    let unit = if entry.unit.is_empty() { String::new() } else { format!(", {}", clean(&entry.unit)) };
    let title = format!("What the limit on {name} costs");
    let said: Vec<&str> = points.iter().map(|point| point.words.as_str()).collect();
    let svg = plot(&Plot {
        id: id.clone(),
        title: title.clone(),
        description: format!("{}.", said.join("; ")),
        across: Axis { holds: vec![entry.asked], ..Axis::linear(format!("{name}{unit}")) },
        up: Axis::linear(format!("goal, {}", clean(&entry.goal_unit))),
        verticals: vec![Vertical { x: entry.asked, words: "asked".to_owned() }],
        series: vec![Series {
            name: String::new(),
            points,
            dash: Some(Dash::Solid),
            marker: Some(Marker::Circle),
        }],
    });
    Some(Drawn::new(&id, title, svg))
}
