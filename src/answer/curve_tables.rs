//! Points of a front or a sweep as tables: goals and limits, amounts, other figures.
//!
//! What enters: a [`Curve`]. What leaves: tables that tell everything which a chart of it shows.

use super::block::{Column, Table};
use super::curve::{Curve, CurveFigure, CurvePoint};
use super::phrase::{Digits, Figure, Phrase};
use super::report::Report;

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
            used.map(|(_, value)| Figure::new(content.from_base(*value), Digits::Amount)).into()
        };
        (Column::of(material, content), amount_of)
    }));
    if let Some((_, named)) = curve.drawn().next() {
        let others = named.figures.len() - curve.first;
        list.extend(columns(curve, "other figures", others, |at| {
            let at = curve.first + at;
            (head(&named.figures[at]), move |point: &CurvePoint| point.figures[at].told())
        }));
    }
    list
}

/// Tables with a row for each point and columns of equal number in each table.
fn columns<Told: Fn(&CurvePoint) -> Phrase>(
    curve: &Curve,
    what: &str,
    count: usize,
    column: impl Fn(usize) -> (Column, Told),
) -> Vec<Table> {
    let parts = count.div_ceil(COLUMNS).max(1);
    let all: Vec<usize> = (0..count).collect();
    let table = |(number, part): (usize, &[usize])| {
        let (heads, cells): (Vec<Column>, Vec<Told>) = part.iter().map(|at| column(*at)).unzip();
        let part = if parts == 1 { String::new() } else { format!(", {} of {parts}", number + 1) };
        let mut table = Table::new(std::iter::once(Column::words("point")).chain(heads));
        table.caption = format!("{}: {what}{part}", curve.word).into();
        for (_, point) in curve.drawn() {
            table.row(std::iter::once(Phrase::from(&point.name)).chain(cells.iter().map(|cell| cell(point))));
        }
        table
    };
    all.chunks(count.div_ceil(parts).max(1)).enumerate().map(table).collect()
}

fn head(figure: &CurveFigure) -> Column {
    Column::of(&figure.name, &figure.unit)
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

/// Whether all points are of one state.
fn is_one_state(curve: &Curve) -> bool {
    curve.points.first().is_some_and(|first| curve.points.iter().all(|point| point.state == first.state))
}

/// What holds for all points, in sentences.
pub fn for_all(curve: &Curve) -> Vec<String> {
    let mut list = Vec::new();
    let first = curve.points.first().and_then(|point| point.state.as_ref());
    if let Some(state) = first.filter(|_| is_one_state(curve)) {
        list.push(format!("Every point: {state}."));
    }
    let everywhere = everywhere(curve);
    if !everywhere.is_empty() {
        list.push(format!("Every mix stands at: {}.", everywhere.join(", ")));
    }
    list
}

/// The table with what the curve is about.
fn leading(curve: &Curve) -> Table {
    let everywhere = everywhere(curve);
    let states = !is_one_state(curve);
    let changes = curve.points.iter().any(|point| !point.change.is_empty());
    let mut columns = vec![Column::words("point")];
    let first = curve.points.first().map_or(&[][..], |point| &point.figures[..curve.first]);
    columns.extend(first.iter().map(head));
    columns.extend(states.then(|| Column::words("answer")));
    let besides = |point: &CurvePoint| {
        let names = point.binding.iter().map(String::as_str).filter(|name| !everywhere.contains(name));
        names.collect::<Vec<_>>().join(", ")
    };
    let others = curve.points.iter().any(|point| !besides(point).is_empty());
    columns.extend(
        others.then(|| Column::words(if everywhere.is_empty() { "stands at" } else { "also stands at" })),
    );
    columns.extend(changes.then(|| Column::words("change")));
    let mut table = Table::new(columns);
    table.caption = format!("{}: goals and limits", curve.word).into();
    for point in &curve.points {
        let mut cells = vec![Phrase::from(&point.name)];
        cells.extend(point.figures.iter().take(curve.first).map(CurveFigure::told));
        cells.extend(states.then(|| Phrase::from(point.state.as_deref().unwrap_or_default())));
        cells.extend(others.then(|| Phrase::from(besides(point))));
        cells.extend(changes.then(|| Phrase::from(point.change.words())));
        table.row(cells);
    }
    table
}
