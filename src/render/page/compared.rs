//! Given mixes beside the one that was found: a table of changes, bars of relative change, and points to choose from.

use serde::Serialize;

use super::Sheet;
use super::curves::{Points, chart, points};
use super::tables::{Drawn, Row, Table, numbers, words};
use crate::answer::compare::{Change, Row as Property, SAME, rows};
use crate::answer::curve::{Curve, CurveFigure, CurvePoint, Joined};
use crate::answer::report::{Report, Standing};
use crate::finding::clean;
use crate::quantity::trimmed;
use crate::render::chart::{Bar, Bars, Filling, bars};
use crate::render::comparison::cell;

/// The part of the page.
#[derive(Debug, Serialize)]
pub struct Compared {
    /// Changes from the reference.
    pub table: Table,
    /// The points to choose from, then bars of the changes of each mix.
    pub charts: Vec<Drawn>,
    /// Id of the chart whose points can be chosen; empty if there is none.
    pub chosen: &'static str,
    /// What the script knows of the points.
    #[serde(skip)]
    pub points: Option<Points<'static>>,
}

const CHOSEN: &str = "given-mixes";

/// Everything about given mixes; none without any.
pub fn compared(sheet: &Sheet<'_>) -> Option<Compared> {
    let mut mixes = sheet.given.to_vec();
    if sheet.report.state.is_proposal() {
        mixes.push(("proposed".to_owned(), sheet.report.clone()));
    }
    let [(reference, first), others @ ..] = mixes.as_slice() else { return None };
    if sheet.given.is_empty() || others.is_empty() {
        return None;
    }
    let reports: Vec<&Report> = mixes.iter().map(|(_, report)| report).collect();
    let properties = rows(sheet.problem, &reports, first);
    let curve = mixes_over_two_figures(&properties, &mixes);
    let mut charts: Vec<Drawn> = curve.iter().map(chart).collect();
    for (at, (name, _)) in mixes.iter().enumerate().skip(1) {
        charts.extend(change_bars(&properties, at, name, reference));
    }
    let points = curve.as_ref().and_then(|curve| points(curve, sheet.report)).map(|points| points.of(CHOSEN));
    Some(Compared {
        table: table(&properties, &mixes),
        charts,
        chosen: if points.is_some() { CHOSEN } else { "" },
        points,
    })
}

fn table(properties: &[Property], mixes: &[(String, Report)]) -> Table {
    let mut header = vec![words("Property"), words("Unit")];
    header.extend(mixes.iter().map(|(name, _)| numbers(clean(name), "")));
    let row = |property: &Property| {
        let mut cells = vec![clean(&property.name), clean(&property.unit.text)];
        cells.extend(
            (property.values.iter().enumerate())
                .map(|(at, value)| cell(*value, property.values[0], at, property)),
        );
        Row::of(cells)
    };
    let reference = mixes.first().map_or("", |(name, _)| name);
    Table {
        caption: format!("Mixes beside one another, each change from {}", clean(reference)),
        header,
        rows: properties.iter().map(row).collect(),
    }
}

/// Bars of the relative changes of one mix from the reference.
fn change_bars(properties: &[Property], at: usize, name: &str, reference: &str) -> Option<Drawn> {
    let bar = |property: &Property| {
        let (value, reference) = (property.values[at]?, property.values[0]?);
        let change = 100.0 * (value - reference) / reference.abs();
        if property.change == Change::Absolute && property.better.is_none() || !change.is_finite() {
            return None;
        }
        let same = change.abs() <= 100.0 * SAME;
        let (filling, word) = match property.better {
            Some(side) if !same && 0.0 < side.sign() * change => (Filling::Solid, ", better"),
            Some(_) if !same => (Filling::Hatched, ", worse"),
            _ => (Filling::Open, ""),
        };
        let sign = if 0.0 < change && !same { "+" } else { "" };
        let figure = if same { "same".to_owned() } else { format!("{sign}{} %{word}", trimmed(change, 2)) };
        Some(Bar { name: clean(&property.name), value: change, figure, filling })
    };
    let list: Vec<Bar> = properties.iter().filter_map(bar).collect();
    if list.is_empty() {
        return None;
    }
    let id = format!("change-{at}");
    let title = format!("Change of {} from {}", clean(name), clean(reference));
    let said: Vec<String> = list.iter().map(|bar| format!("{} {}", bar.name, bar.figure)).collect();
    let svg = bars(&Bars {
        id: id.clone(),
        title: title.clone(),
        description: format!("{}.", said.join("; ")),
        axis: "change, %; full: better, hatched: worse, open: no direction".to_owned(),
        bars: list,
        mark: None,
    });
    Some(Drawn::new(&id, title, svg))
}

/// All mixes over the goal and the first other figure in which they differ.
fn mixes_over_two_figures(properties: &[Property], mixes: &[(String, Report)]) -> Option<Curve> {
    let all = |property: &&Property| property.values.iter().all(Option::is_some);
    let varies = |property: &&Property| {
        let first = property.values[0].unwrap_or_default();
        property.values.iter().flatten().any(|value| SAME * first.abs() < (value - first).abs())
    };
    let goal = properties.first().filter(all)?;
    let up = properties[1..]
        .iter()
        .filter(all)
        .filter(varies)
        .max_by_key(|property| (property.better.is_some(), property.change == Change::Relative))?;
    let figure = |property: &Property, at: usize| {
        CurveFigure::new(property.name.clone(), property.values[at], property.unit.clone())
    };
    let others = |at: usize| {
        (properties.iter())
            .filter(|property| property.change == Change::Relative)
            .filter(|property| property.name != goal.name && property.name != up.name)
            .map(move |property| figure(property, at))
    };
    let figures = |at: usize| [figure(goal, at), figure(up, at)].into_iter().chain(others(at)).collect();
    let points = mixes.iter().enumerate().map(|(at, (name, report))| CurvePoint {
        name: name.clone(),
        x: goal.values[at].unwrap_or(f64::NAN),
        y: up.values[at].unwrap_or(f64::NAN),
        group: name.clone(),
        state: String::new(),
        figures: figures(at),
        mix: report.amounts.iter().map(|line| (line.material.clone(), line.amount)).collect(),
        binding: report
            .limits
            .iter()
            .filter(|line| line.standing == Standing::Binding)
            .map(|line| line.name.clone())
            .collect(),
        change: String::new(),
    });
    Some(Curve {
        id: CHOSEN.to_owned(),
        word: "Mixes",
        heading: "Mixes beside one another".to_owned(),
        remarks: Vec::new(),
        across: (goal.name.clone(), goal.unit.clone()),
        names: Vec::new(),
        up: (up.name.clone(), up.unit.clone()),
        first: 2,
        joined: Joined::Apart,
        points: points.collect(),
    })
}
