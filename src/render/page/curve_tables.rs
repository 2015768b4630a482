//! Points of a front or a sweep as tables: goals and limits, amounts, other figures.
//!
//! What enters: a [`Curve`]. What leaves: tables that tell everything which the chart and the script show.

use super::tables::{Head, Row, Table, numbers, words};
use crate::answer::curve::{Curve, CurveFigure, CurvePoint};
use crate::answer::report::Report;
use crate::finding::clean;
use crate::render::text::amount;

/// Columns of numbers in one table: more do not fit on paper.
const COLUMNS: usize = 7;

/// The points as rows of tables: what leads, amounts, other figures.
pub fn tables(curve: &Curve, report: &Report) -> Vec<Table> {
    if curve.points.is_empty() {
        return Vec::new();
    }
    let mut list = vec![leading(curve)];
    let content = &report.units.content();
    let mut materials: Vec<&str> = Vec::new();
    for (name, _) in curve.points.iter().flat_map(|point| &point.mix) {
        if !materials.contains(&name.as_str()) {
            materials.push(name);
        }
    }
    list.extend(columns(curve, "amounts", materials.len(), |at| {
        let material = materials[at];
        let amount_of = move |point: &CurvePoint| {
            let used = point.mix.iter().find(|(used, _)| used == material);
            used.map_or_else(String::new, |(_, value)| amount(content.from_base(*value)))
        };
        (numbers(clean(material), content.text.clone()), amount_of)
    }));
    if let Some((_, named)) = curve.drawn().next() {
        let others = named.figures.len() - curve.first;
        list.extend(columns(curve, "other figures", others, |at| {
            let at = curve.first + at;
            (head(&named.figures[at]), move |point: &CurvePoint| point.figures[at].bare())
        }));
    }
    list
}

/// Tables with a row for each point and columns of equal number in each table.
fn columns<Cell: Fn(&CurvePoint) -> String>(
    curve: &Curve,
    what: &str,
    count: usize,
    column: impl Fn(usize) -> (Head, Cell),
) -> Vec<Table> {
    let parts = count.div_ceil(COLUMNS).max(1);
    let all: Vec<usize> = (0..count).collect();
    let table = |(number, part): (usize, &[usize])| {
        let (heads, cells): (Vec<Head>, Vec<Cell>) = part.iter().map(|at| column(*at)).unzip();
        let row = |(_, point): (_, &CurvePoint)| {
            Row::of(std::iter::once(clean(&point.name)).chain(cells.iter().map(|cell| cell(point))))
        };
        let part = if parts == 1 { String::new() } else { format!(", {} of {parts}", number + 1) };
        Table {
            caption: format!("{}: {what}{part}", curve.word),
            header: std::iter::once(words("Point")).chain(heads).collect(),
            rows: curve.drawn().map(row).collect(),
        }
    };
    all.chunks(count.div_ceil(parts).max(1)).enumerate().map(table).collect()
}

fn head(figure: &CurveFigure) -> Head {
    numbers(clean(&figure.name), clean(&figure.unit.text))
}

/// What every mix stands at.
fn everywhere(curve: &Curve) -> Vec<&str> {
    let mut points = curve.drawn().map(|(_, point)| point);
    let Some(first) = points.next() else { return Vec::new() };
    let rest: Vec<&CurvePoint> = points.collect();
    if rest.is_empty() {
        return Vec::new();
    }
    let all = |name: &&String| rest.iter().all(|point| point.binding.contains(name));
    first.binding.iter().filter(all).map(String::as_str).collect()
}

/// The state of all points, if it is one.
fn one_state(curve: &Curve) -> Option<&str> {
    let first = curve.points.first()?.state.as_str();
    curve.points.iter().all(|point| point.state == first).then_some(first)
}

/// What holds for all points, in sentences.
pub fn for_all(curve: &Curve) -> Vec<String> {
    let mut list = Vec::new();
    if let Some(state) = one_state(curve).filter(|state| !state.is_empty()) {
        list.push(format!("Every point: {}.", clean(state)));
    }
    let everywhere = everywhere(curve);
    if !everywhere.is_empty() {
        list.push(format!("Every mix stands at: {}.", clean(&everywhere.join(", "))));
    }
    list
}

/// The table with what the curve is about.
fn leading(curve: &Curve) -> Table {
    let everywhere = everywhere(curve);
    let states = one_state(curve).is_none();
    let changes = curve.points.iter().any(|point| !point.change.is_empty());
    let mut header = vec![words("Point")];
    let first = curve.points.first().map_or(&[][..], |point| &point.figures[..curve.first]);
    header.extend(first.iter().map(head));
    header.extend(states.then(|| words("Answer")));
    let besides = |point: &CurvePoint| {
        let names = point.binding.iter().map(String::as_str).filter(|name| !everywhere.contains(name));
        clean(&names.collect::<Vec<_>>().join(", "))
    };
    let others = curve.points.iter().any(|point| !besides(point).is_empty());
    header.extend(others.then(|| words(if everywhere.is_empty() { "Stands at" } else { "Also stands at" })));
    header.extend(changes.then(|| words("Change")));
    let row = |point: &CurvePoint| {
        let mut cells = vec![clean(&point.name)];
        cells.extend(point.figures.iter().take(curve.first).map(CurveFigure::bare));
        cells.extend(states.then(|| clean(&point.state)));
        cells.extend(others.then(|| besides(point)));
        cells.extend(changes.then(|| clean(&point.change)));
        Row::of(cells)
    };
    Table {
        caption: format!("{}: goals and limits", curve.word),
        header,
        rows: curve.points.iter().map(row).collect(),
    }
}
