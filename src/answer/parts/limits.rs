//! Limits: what the mix gives beside what is asked, and what each costs.

use crate::answer::block::{Cell, Column, Mark, Part, RowKind, Spot, Table};
use crate::answer::chart::{Axis, Bar, Bars, Chart, Filling, Line, Lines, Spread, Stroke};
use crate::answer::grading::{GradingLine, SieveLine};
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::reasons::Remark;
use crate::answer::report::{Audience, LimitLine, Report, Standing};
use crate::answer::units::Units;
use crate::problem::Origin;
use crate::quantity::Unit;
use crate::standard::Side;

/// Which requirements a table shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// The author's limits.
    Limits,
    /// Bounds of materials that bind or fail.
    Materials,
    /// Regions of responses that bind or fail.
    Regions,
}

impl Shown {
    /// Whether it shows this line.
    pub fn covers(self, line: &LimitLine) -> bool {
        let tight = matches!(line.standing, Standing::Binding | Standing::Violated);
        match (self, line.origin) {
            (Self::Limits, Origin::Limit) => true,
            (Self::Materials, Origin::Material(_))
            | (Self::Regions, Origin::Region { .. } | Origin::Leverage(_)) => tight,
            _ => false,
        }
    }
}

/// One row: the line whose figures it shows, and what is asked, which is both ends of a range.
struct Told<'r> {
    line: &'r LimitLine,
    wanted: Phrase,
    /// Other responses that are known within the same region.
    others: Vec<&'r str>,
}

/// The parts of limits, of bounds that bind and of regions that bind.
pub fn limits(report: &Report) -> Vec<Part> {
    let mut parts = Vec::new();
    for (shown, heading, about) in [
        (Shown::Limits, "Limits", ""),
        (Shown::Materials, "Bounds of materials", "that bind or fail"),
        (
            Shown::Regions,
            "Regions of responses",
            "that bind or fail: make a trial there before trusting the prediction",
        ),
    ] {
        let lines = told(report, shown);
        if lines.is_empty() {
            continue;
        }
        let part = Part::new(heading, about).with(table(&lines, report.audience));
        parts.push(if shown == Shown::Limits {
            let part = report.bases.iter().fold(part, Part::remarking);
            report.grading.iter().map(|line| grading(line, report.units)).fold(part, Part::with)
        } else {
            part
        });
    }
    parts
}

fn table(lines: &[Told<'_>], audience: Audience) -> Table {
    let mut table = Table::new([
        Column::words("limit"),
        Column::figures("line"),
        Column::words("wanted"),
        Column::figures("got"),
        Column::figures("margin"),
        Column::figures("slack"),
        Column::figures("used").where_room(),
        Column::words("standing"),
    ]);
    for told in lines {
        let line = told.line;
        let kind = match line.standing {
            Standing::Violated => RowKind::Missed,
            Standing::Binding => RowKind::Binding,
            Standing::Met | Standing::Empty => RowKind::Usual,
        };
        let small = |value: f64| Figure::new(value, Digits::Significant(3));
        let margin = line.measured.map(|measured| measured.margin).filter(|margin| *margin != 0.0);
        let slack = line.measured.map(|measured| match line.standing {
            Standing::Binding => Figure::new(0.0, Digits::Trimmed(1)),
            _ => small(measured.slack),
        });
        let used = share(line);
        let mark = used.map(|share| Mark::Used { share, standing: line.standing });
        table.row_of(
            kind,
            [
                Cell::from(name(told)),
                match audience {
                    Audience::Author => Spot::cell(line.file.as_ref(), line.line),
                    Audience::Client => Cell::empty(),
                },
                told.wanted.clone().into(),
                got(line).into(),
                margin.map(small).into(),
                slack.into(),
                Cell::from(used.map(|share| Figure::percent(share, Digits::Decimals(0)))).marked(mark),
                line.standing.words().into(),
            ],
        );
    }
    table.without_empty_columns()
}

/// The lines of a table: both ends of a range stand in one row.
fn told(report: &Report, shown: Shown) -> Vec<Told<'_>> {
    let lines: Vec<&LimitLine> = report.limits.iter().filter(|line| shown.covers(line)).collect();
    let mut list = Vec::new();
    let mut rest = lines.as_slice();
    while let [line, after @ ..] = rest {
        rest = match after {
            [upper, beyond @ ..] if are_one_range(line, upper) => {
                let wanted = range(line, upper);
                list.push(Told { line: nearer(line, upper), wanted, others: Vec::new() });
                beyond
            }
            _ => {
                match list.iter_mut().find(|told| are_one_region(told.line, line)) {
                    Some(told) => told.others.extend(line.region.as_ref().map(|region| region.0.as_str())),
                    None => list.push(Told { line, wanted: wanted(line), others: Vec::new() }),
                }
                after
            }
        };
    }
    list
}

/// Whether two lines are the ends of one range: same name, place and figure, no margin.
fn are_one_range(lower: &LimitLine, upper: &LimitLine) -> bool {
    let plain = |line: &LimitLine| {
        line.against.is_none() && line.measured.is_some_and(|measured| measured.margin == 0.0)
    };
    plain(lower)
        && plain(upper)
        && (lower.side, upper.side) == (Side::AtLeast, Side::AtMost)
        && (lower.line, &lower.file, &lower.name, &lower.unit, lower.origin)
            == (upper.line, &upper.file, &upper.name, &upper.unit, upper.origin)
}

/// Whether two lines are the same end of the same region of one factor, in two responses.
fn are_one_region(line: &LimitLine, other: &LimitLine) -> bool {
    let end = |line: &LimitLine| line.measured.map(|measured| measured.wanted);
    let factor = |line: &LimitLine| line.region.as_ref().map(|region| region.1.clone());
    factor(line).is_some()
        && (factor(line), line.side, end(line), &line.unit)
            == (factor(other), other.side, end(other), &other.unit)
}

/// The end of a range that the mix is nearer to.
fn nearer<'r>(lower: &'r LimitLine, upper: &'r LimitLine) -> &'r LimitLine {
    let slack = |line: &LimitLine| line.measured.map_or(f64::INFINITY, |measured| measured.slack);
    if slack(upper) < slack(lower) { upper } else { lower }
}

/// Both ends of a range.
fn range(lower: &LimitLine, upper: &LimitLine) -> Phrase {
    let (Some(low), Some(high)) = (lower.measured, upper.measured) else { return wanted(lower) };
    Phrase::from(Figure::new(low.wanted, Digits::Written))
        .and(" .. ")
        .and(Figure::new(high.wanted, Digits::Written).of(&lower.unit))
}

/// What is asked.
fn wanted(line: &LimitLine) -> Phrase {
    let side = Phrase::from(line.side.words());
    let Some(measured) = line.measured else { return side };
    let figure = |digits| Figure::new(measured.wanted, digits).of(&line.unit);
    match &line.against {
        Some(name) => side.and(format!(" {name} (")).and(figure(Digits::Significant(4))).and(")"),
        None => side.and(" ").and(figure(Digits::Written)),
    }
}

/// What the mix gives. A mix at its limit shows the limit's own digits: 45.00 against 45, not 44.99999996.
fn got(line: &LimitLine) -> Phrase {
    match line.measured {
        Some(measured)
            if line.standing == Standing::Binding && line.against.is_none() && measured.margin == 0.0 =>
        {
            Figure::new(measured.wanted, Digits::Significant(4)).of(&line.unit).into()
        }
        _ => line.got(),
    }
}

fn name(told: &Told<'_>) -> Phrase {
    let line = told.line;
    match (&line.note, &line.region) {
        (Some(note), _) => format!("{} ({note})", line.name).into(),
        (None, Some((response, factor))) if !told.others.is_empty() => {
            format!("{response}, {}: {factor}", told.others.join(", ")).into()
        }
        (None, _) => (&line.beside_origin).into(),
    }
}

/// How much of a limit is used, with its margin taken off: one at the limit, more beyond it. Limits and values that are
/// not above zero have no such share.
pub fn share(line: &LimitLine) -> Option<f64> {
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

/// How a bar of a limit is filled.
pub fn filling(standing: Standing) -> Filling {
    match standing {
        Standing::Binding => Filling::Solid,
        Standing::Violated => Filling::Open,
        Standing::Met | Standing::Empty => Filling::Hatched,
    }
}

/// The combined grading between its limits.
fn grading(line: &GradingLine, units: Units) -> Chart {
    let length = units.shown(&Unit::known("mm"), "");
    let percent = |share: f64| Figure::percent(share, Digits::Trimmed(3));
    let drawn = |name: &str, share: fn(&SieveLine) -> Option<f64>, stroke| {
        let point = |sieve: &SieveLine| {
            let share = share(sieve)?;
            let opening = length.from_base(sieve.opening);
            let words = Phrase::from(Figure::new(opening, Digits::Trimmed(4)).of(&length));
            Some((opening, 100.0 * share, words.and(": ").and(percent(share)).and(" passing")))
        };
        Line { name: name.to_owned(), points: line.sieves.iter().filter_map(point).collect(), stroke }
    };
    let passing = drawn("passing", |sieve| Some(sieve.passing), Stroke::Marked);
    let said = Phrase::joined(passing.points.iter().map(|point| point.2.clone()), "; ").and(".");
    Chart::Lines(Lines {
        id: "grading".to_owned(),
        title: "Combined grading of the aggregates between its limits, share passing by volume".into(),
        said,
        across: Axis { spread: Spread::Logarithmic, ..Axis::linear("sieve opening", &length.text) },
        up: Axis { holds: vec![0.0, 100.0], ..Axis::linear("passing", "%") },
        lines: vec![
            passing,
            drawn("at least", |sieve| sieve.low, Stroke::Plain),
            drawn("at most", |sieve| sieve.high, Stroke::Plain),
        ],
        marks: Vec::new(),
    })
}

/// How much of each limit is used, as a chart.
pub fn utilisation(report: &Report) -> Option<Chart> {
    let bar = |told: &Told<'_>| {
        let share = share(told.line)?;
        Some(Bar {
            name: Phrase::from(&told.line.name).and(" ").and(told.wanted.clone()),
            value: 100.0 * share,
            told: Figure::percent(share, Digits::Decimals(0)).into(),
            filling: filling(told.line.standing),
        })
    };
    let list: Vec<Bar> = told(report, Shown::Limits).iter().filter_map(bar).collect();
    (!list.is_empty()).then(|| {
        Chart::Bars(Bars {
            id: "limits-used".to_owned(),
            title: "How much of each limit is used".into(),
            axis: "share of the limit, %; full: the mix stands at it, open: not met".to_owned(),
            bars: list,
            mark: Some(100.0),
        })
    })
}

/// What moving binding limits does to the goal; ends of regions stand in their own table.
pub fn prices(report: &Report) -> Option<Part> {
    let mut table = Table::new([
        Column::words("limit"),
        Column::figures("line"),
        Column::words("moved by"),
        Column::of("tighter costs", &report.goal_unit),
        Column::of("looser saves", &report.goal_unit),
        Column::words("remark"),
    ]);
    let figure = |value: Option<f64>| value.map(|value| Figure::new(value, Digits::Significant(3)));
    for price in report.prices.iter().filter(|price| price.remark != Some(Remark::Trial)) {
        table.row([
            Cell::from(format!("{} ({})", price.name, price.side.words())),
            Spot::cell(price.file.as_ref(), price.line),
            price.step_in_words().into(),
            figure(price.tightening).into(),
            figure(price.loosening).into(),
            price.remark.map(Remark::words).into(),
        ]);
    }
    (!table.rows.is_empty()).then(|| {
        Part::new("Prices", "of the limits that bind, with the choices kept")
            .with(table.without_empty_columns())
    })
}
