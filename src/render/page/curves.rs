//! Points that each stand for a mix: fronts between goals, sweeps, given mixes beside one another.
//!
//! What enters: plain figures of each point, with its mix. What leaves: a chart whose points can be pressed, a table of
//! the same points, and what the page's script shows of each.

use serde::Serialize;

use super::parts::{Drawn, Shown as ShownTable, shown as shown_table};
use crate::answer::curve::{Curve, CurveFigure, CurvePoint, Joined};
use crate::answer::curve_tables::{for_all, tables};
use crate::answer::phrase::{Digits, Figure as Told, Phrase};
use crate::answer::report::Report;
use crate::finding::{clean, numbered};
use crate::quantity::Unit;
use crate::render::chart::{Around, Axis, Dash, Marker, Plot, Point, Series, Vertical, plot};
use crate::render::figures::told as text_of;

/// A part of the page.
#[derive(Debug, Serialize)]
pub struct CurvePart {
    /// Id of the chart.
    pub id: String,
    /// Heading.
    pub heading: String,
    /// Sentences.
    pub remarks: Vec<String>,
    /// The chart; none without points.
    pub chart: Option<Drawn>,
    /// The points as tables.
    pub tables: Vec<ShownTable>,
}

/// What the script knows of the points of one chart.
#[derive(Debug, Serialize)]
pub struct Points<'c> {
    chart: &'c str,
    points: Vec<Shown>,
}

#[derive(Clone, Debug, Serialize)]
struct Shown {
    name: String,
    state: String,
    figures: Vec<Figure>,
    mix: Vec<Figure>,
    binding: Vec<String>,
}

#[derive(Clone, Debug, Serialize)]
struct Figure {
    name: String,
    value: Option<f64>,
    text: String,
}

impl Points<'_> {
    /// The same points of a chart whose name outlives the curve.
    pub fn of(self, chart: &'static str) -> Points<'static> {
        Points { chart, points: self.points }
    }

    /// The same points for another document.
    pub fn again(&self) -> Points<'_> {
        Points { chart: self.chart, points: self.points.clone() }
    }
}

fn shown_figure(figure: &CurveFigure) -> Figure {
    Figure { name: clean(&figure.name), value: figure.value, text: plain(&figure.told_with_unit()) }
}

/// What the script knows of a curve's points; none without points.
pub fn points<'c>(curve: &'c Curve, report: &Report) -> Option<Points<'c>> {
    let content = report.units.content();
    let mix = |(material, kilograms): &(String, f64)| {
        let value = content.from_base(*kilograms);
        Figure {
            name: clean(material),
            value: Some(value),
            text: plain(&Told::new(value, Digits::Amount).of(&content).into()),
        }
    };
    let shown = |point: &CurvePoint| Shown {
        name: clean(&point.name),
        state: point.state.as_deref().map(clean).unwrap_or_default(),
        figures: point.figures.iter().map(shown_figure).collect(),
        mix: point.mix.iter().map(mix).collect(),
        binding: point.binding.iter().map(|name| clean(name)).collect(),
    };
    let points: Vec<Shown> = curve.drawn().map(|(_, point)| shown(point)).collect();
    (!points.is_empty()).then_some(Points { chart: &curve.id, points })
}

/// All curves as parts of a page.
pub fn parts(curves: &[Curve], report: &Report) -> Vec<CurvePart> {
    curves.iter().map(|curve| part(curve, report)).collect()
}

fn part(curve: &Curve, report: &Report) -> CurvePart {
    CurvePart {
        id: curve.id.clone(),
        heading: clean(&curve.heading),
        remarks: curve
            .remarks
            .iter()
            .map(|remark| clean(remark))
            .chain(for_all(curve).iter().map(|line| clean(line)))
            .collect(),
        chart: curve.drawn().next().map(|_| chart(curve)),
        tables: tables(curve, report)
            .iter()
            .enumerate()
            .map(|(at, table)| shown_table(table, "", &format!("{}-{at}", curve.id), &[]))
            .collect(),
    }
}

fn titled((name, unit): &(String, Unit)) -> String {
    let name = clean(name);
    if unit.text.is_empty() { name } else { format!("{name}, {}", clean(&unit.text)) }
}

/// Most places at which words fit above a chart, and most letters of such words; otherwise changes are ringed.
const WORDS: (usize, usize) = (4, 30);

/// The chart of a curve.
pub fn chart(curve: &Curve) -> Drawn {
    let mut groups: Vec<&str> = Vec::new();
    for (_, point) in curve.drawn() {
        if !groups.contains(&point.group.as_str()) {
            groups.push(&point.group);
        }
    }
    let changed: Vec<String> = (curve.drawn())
        .filter(|(_, point)| !point.change.is_empty())
        .map(|(_, point)| point.change.words())
        .collect();
    let changes = changed.len();
    let long = changed.iter().any(|change| WORDS.1 < change.chars().count());
    let ringed = WORDS.0 < changes || long || 1 < groups.len() && curve.joined == Joined::Groups;
    let shown = |(number, point): (usize, &CurvePoint)| {
        let leading: Vec<String> = point.figures.iter().take(curve.first).map(told).collect();
        let change =
            if point.change.is_empty() { String::new() } else { format!("; {}", point.change.words()) };
        let words = format!("{}: {}{change}", point.name, leading.join(", "));
        let around = if ringed && !point.change.is_empty() { Around::Ring } else { Around::Nothing };
        Point { x: point.x, y: point.y, words: clean(&words), number: Some(number), around }
    };
    let mut series = Vec::new();
    if curve.joined == Joined::All {
        series.push(Series {
            name: String::new(),
            points: curve.drawn().map(|(_, point)| Point::bare(point.x, point.y)).collect(),
            dash: Some(Dash::Solid),
            marker: None,
        });
    }
    series.extend(groups.iter().enumerate().map(|(number, group)| Series {
        name: clean(group),
        points: curve.drawn().filter(|(_, point)| point.group == *group).map(shown).collect(),
        dash: (curve.joined == Joined::Groups).then_some(Dash::of(number)),
        marker: Some(Marker::of(number)),
    }));
    let drawn: Vec<&CurvePoint> = curve.drawn().map(|(_, point)| point).collect();
    let verticals = drawn
        .windows(2)
        .filter(|pair| !ringed && !pair[1].change.is_empty())
        .map(|pair| Vertical { x: 0.5 * (pair[0].x + pair[1].x), words: clean(&pair[1].change.words()) });
    let title = format!("{} over {}", titled(&curve.up), titled(&curve.across));
    let across = titled(&curve.across);
    let rings = if ringed && 0 < changes { "; ringed: materials come in or go out" } else { "" };
    let svg = plot(&Plot {
        id: curve.id.clone(),
        title: clean(&curve.heading),
        description: format!(
            "{}: {title}. Each can be chosen to show its mix.",
            numbered("point", drawn.len())
        ),
        across: if curve.names.is_empty() {
            Axis::linear(across)
        } else {
            Axis::named(across, curve.names.iter().map(|name| clean(name)).collect())
        },
        up: Axis::linear(titled(&curve.up)),
        series,
        verticals: verticals.collect(),
    });
    Drawn::new(&curve.id, format!("{title}{rings}"), svg)
}

/// A figure after its name.
fn told(figure: &CurveFigure) -> String {
    format!("{} {}", figure.name, plain(&figure.told_with_unit()))
}

fn plain(phrase: &Phrase) -> String {
    text_of(phrase, clean, ' ')
}
