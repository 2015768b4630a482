//! Points that each stand for a mix: fronts between goals, sweeps, given mixes beside one another.
//!
//! What enters: plain figures of each point, with its mix. What leaves: a chart whose points can be pressed, a table of
//! the same points, and what the page's script shows of each.

use serde::Serialize;

use super::tables::{Drawn, Head, Row, Table, numbers, words};
use crate::chart::{Axis, Dash, Marker, Plot, Point, Series, Spread, Vertical, plot};
use crate::finding::clean;
use crate::quantity::{Unit, significant};
use crate::report::answer::Report;
use crate::report::text::amount;

/// What joins the points of a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joined {
    /// Nothing.
    Apart,
    /// One line through all points in their order, as along a front.
    All,
    /// A line through each group, as in a sweep of two keys.
    Groups,
}

/// Points over two figures.
#[derive(Clone, Debug)]
pub struct Curve {
    /// Id within a page, and the name of a file: letters, digits and hyphens.
    pub id: String,
    /// Heading.
    pub heading: String,
    /// What a reader should know, in sentences.
    pub remarks: Vec<String>,
    /// The figure across, with its unit.
    pub across: (String, Unit),
    /// The figure up, with its unit.
    pub up: (String, Unit),
    /// What joins the points.
    pub joined: Joined,
    /// The points.
    pub points: Vec<CurvePoint>,
}

/// One point.
#[derive(Clone, Debug)]
pub struct CurvePoint {
    /// Its name.
    pub name: String,
    /// Across, in the curve's unit.
    pub x: f64,
    /// Up, in the curve's unit.
    pub y: f64,
    /// What groups it with others: the marker, and the line in [`Joined::Groups`].
    pub group: String,
    /// Which figures belong to it: name, value and unit; none where there is no number.
    pub figures: Vec<(String, Option<f64>, Unit)>,
    /// Materials used, kg per m3 in their reference state.
    pub mix: Vec<(String, f64)>,
    /// Names of what the mix stands at.
    pub binding: Vec<String>,
    /// What changed from the point before, in words; empty for nothing.
    pub change: String,
}

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
    /// The points as a table.
    pub table: Option<Table>,
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

fn shown_figure((name, value, unit): &(String, Option<f64>, Unit)) -> Figure {
    let text = value.map_or_else(|| "none".to_owned(), |value| unit.with_number(&significant(value, 4)));
    Figure { name: clean(name), value: *value, text: clean(&text) }
}

/// What the script knows of a curve's points; none without points.
pub fn points<'c>(curve: &'c Curve, report: &Report) -> Option<Points<'c>> {
    let content = report.units.content();
    let mix = |(material, kilograms): &(String, f64)| {
        let value = content.from_base(*kilograms);
        Figure { name: clean(material), value: Some(value), text: content.with_number(&amount(value)) }
    };
    let shown = |point: &CurvePoint| Shown {
        name: clean(&point.name),
        figures: point.figures.iter().map(shown_figure).collect(),
        mix: point.mix.iter().map(mix).collect(),
        binding: point.binding.iter().map(|name| clean(name)).collect(),
    };
    (!curve.points.is_empty())
        .then(|| Points { chart: &curve.id, points: curve.points.iter().map(shown).collect() })
}

/// All curves as parts of a page.
pub fn parts(curves: &[Curve], report: &Report) -> Vec<CurvePart> {
    curves.iter().map(|curve| part(curve, report)).collect()
}

fn part(curve: &Curve, report: &Report) -> CurvePart {
    CurvePart {
        id: curve.id.clone(),
        heading: clean(&curve.heading),
        remarks: curve.remarks.iter().map(|remark| clean(remark)).collect(),
        chart: (!curve.points.is_empty()).then(|| chart(curve)),
        table: (!curve.points.is_empty()).then(|| table(curve, report)),
    }
}

fn titled((name, unit): &(String, Unit)) -> String {
    let name = clean(name);
    if unit.text.is_empty() { name } else { format!("{name}, {}", clean(&unit.text)) }
}

/// The chart of a curve.
pub fn chart(curve: &Curve) -> Drawn {
    let mut groups: Vec<&str> = Vec::new();
    for point in &curve.points {
        if !groups.contains(&point.group.as_str()) {
            groups.push(&point.group);
        }
    }
    let shown = |(number, point): (usize, &CurvePoint)| {
        let across = curve.across.1.with_number(&significant(point.x, 4));
        let up = curve.up.1.with_number(&significant(point.y, 4));
        let change = if point.change.is_empty() { String::new() } else { format!("; {}", point.change) };
        let words = format!("{}: {} {across}, {} {up}{change}", point.name, curve.across.0, curve.up.0);
        Point { x: point.x, y: point.y, words: clean(&words), number: Some(number) }
    };
    let mut series = Vec::new();
    if curve.joined == Joined::All {
        let unmarked =
            |point: &CurvePoint| Point { x: point.x, y: point.y, words: String::new(), number: None };
        series.push(Series {
            name: String::new(),
            points: curve.points.iter().map(unmarked).collect(),
            dash: Some(Dash::Solid),
            marker: None,
        });
    }
    series.extend(groups.iter().enumerate().map(|(number, group)| Series {
        name: clean(group),
        points:
            (curve.points.iter().enumerate()).filter(|(_, point)| point.group == *group).map(shown).collect(),
        dash: (curve.joined == Joined::Groups).then_some(Dash::of(number)),
        marker: Some(Marker::of(number)),
    }));
    let verticals = curve
        .points
        .windows(2)
        .filter(|pair| !pair[1].change.is_empty())
        .map(|pair| Vertical { x: 0.5 * (pair[0].x + pair[1].x), words: clean(&pair[1].change) });
    let title = format!("{} over {}", titled(&curve.up), titled(&curve.across));
    let svg = plot(&Plot {
        id: curve.id.clone(),
        title: clean(&curve.heading),
        description: format!("{} points: {title}. Each can be chosen to show its mix.", curve.points.len()),
        across: Axis { title: titled(&curve.across), holds: Vec::new(), spread: Spread::Linear },
        up: Axis { title: titled(&curve.up), holds: Vec::new(), spread: Spread::Linear },
        series,
        verticals: verticals.collect(),
    });
    Drawn::new(&curve.id, title, svg)
}

/// The points as rows: figures, materials, what binds.
fn table(curve: &Curve, report: &Report) -> Table {
    let mut header: Vec<Head> = vec![words("Point")];
    let figures = curve.points.first().map_or(&[][..], |point| &point.figures);
    header.extend(figures.iter().map(|(name, _, unit)| numbers(clean(name), clean(&unit.text))));
    header.extend([words(format!("Materials, {}", report.units.content().text)), words("Stands at")]);
    let changes = curve.points.iter().any(|point| !point.change.is_empty());
    if changes {
        header.push(words("Change"));
    }
    let content = report.units.content();
    let row = |point: &CurvePoint| {
        let mut cells = vec![clean(&point.name)];
        cells.extend(
            point
                .figures
                .iter()
                .map(|(_, value, _)| value.map_or_else(String::new, |value| significant(value, 4))),
        );
        let mix: Vec<String> = point
            .mix
            .iter()
            .map(|(name, value)| format!("{} {}", clean(name), amount(content.from_base(*value))))
            .collect();
        cells.push(mix.join(", "));
        cells.push(clean(&point.binding.join(", ")));
        if changes {
            cells.push(clean(&point.change));
        }
        Row::of(cells)
    };
    Table { caption: clean(&curve.heading), header, rows: curve.points.iter().map(row).collect() }
}
