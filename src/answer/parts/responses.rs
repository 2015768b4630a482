//! Responses with what they are known for, ages at cracking, and measured values beside predicted ones.

use crate::answer::block::{Cell, Column, Mark, Part, RowKind, Table};
use crate::answer::chart::{Axis, Chart, Line, Lines, Spread, Stroke};
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::report::{FactorLine, Report, ResponseLine};
use crate::answer::restraint::CrackingLine;
use crate::finding::listed;
use crate::problem::convert;
use crate::quantity::Unit;

/// A row for each response, and one for each of its factors; then what is told of ages at cracking.
pub fn responses(report: &Report) -> Option<Part> {
    if report.responses.is_empty() {
        return None;
    }
    let mut table = Table::new([
        Column::words("response, and what it depends on"),
        Column::words("value"),
        Column::words("known for"),
        Column::words("remark"),
    ]);
    for response in &report.responses {
        let value = response.value_told().into();
        table.head([Cell::from(&response.name), value, Cell::empty(), remark(response).into()]);
        for factor in &response.factors {
            factor_row(&mut table, factor);
        }
    }
    let part = Part::new("Responses", "").with(table);
    let lines = report.responses.iter().filter_map(|response| Some((response, response.cracking.as_ref()?)));
    Some(
        lines
            .enumerate()
            .fold(part, |part, (number, (response, line))| cracking(part, number, response, line)),
    )
}

/// What belongs to the value.
fn remark(response: &ResponseLine) -> Phrase {
    let figure = |value: f64| Figure::new(value, Digits::Significant(2));
    let mut told: Vec<Phrase> = Vec::new();
    told.extend(response.strength.as_ref().map(Into::into));
    let corrected = if response.is_corrected { ", corrected by own results" } else { "" };
    told.extend(response.law.map(|law| format!("by the law {law}{corrected}").into()));
    if response.is_median {
        told.push("a median, fitted to logarithms".into());
    }
    if let Some((below, above)) = response.deviation {
        told.push(if (below - above).abs() <= 0.02 * above.abs() {
            Phrase::from("standard deviation of one result ").and(figure(above).of(&response.unit))
        } else {
            Phrase::from("one standard deviation ")
                .and(figure(-below))
                .and(" ")
                .and(figure(above).signed().of(&response.unit))
        });
    }
    told.extend(response.leverage.map(|leverage| Phrase::from("leverage ").and(figure(leverage))));
    if !response.unheeded.is_empty() {
        told.push(format!("takes no account of {}", listed(&response.unheeded)).into());
    }
    Phrase::joined(told, ", ")
}

fn factor_row(table: &mut Table, factor: &FactorLine) {
    let (low, high) = factor.region;
    let (remark, kind) = match (factor.is_beyond(), factor.at_edge) {
        (true, _) => ("OUTSIDE: extrapolated", RowKind::Missed),
        (false, true) => ("at its edge", RowKind::Binding),
        (false, false) => ("", RowKind::Usual),
    };
    let end = |value: f64| Figure::new(value, Digits::Trimmed(4));
    table.under(
        kind,
        [
            Cell::from(&factor.name),
            Figure::new(factor.value, Digits::Significant(4)).of(&factor.unit).into(),
            Cell::from(Phrase::from(end(low)).and(" .. ").and(end(high))).marked(Some(Mark::Within {
                low,
                high,
                value: factor.value,
            })),
            remark.into(),
        ],
    );
}

/// What is told of one age at cracking.
fn cracking(part: Part, number: usize, response: &ResponseLine, line: &CrackingLine) -> Part {
    let mut told = vec![line.interval_phrase(), (&line.restraint).into()];
    told.extend(line.classes.iter().map(Into::into));
    if let (Some(age), Some(finer)) = (line.age, line.finer)
        && 0.01 * age < (age - finer).abs()
    {
        told.push(
            Phrase::from("with steps half as long ")
                .and(Figure { unit: "d".to_owned(), ..Figure::new(finer, Digits::Trimmed(3)) })
                .and(": take it as rough"),
        );
    }
    part.saying(Phrase::from(&response.name).and(": ").and(line.phrase()))
        .listing(told)
        .listing(&line.remarks)
        .with(chart(number, response, line))
}

/// Stress and the level at which it cracks over age.
fn chart(number: usize, response: &ResponseLine, line: &CrackingLine) -> Chart {
    let history = &line.history;
    let shown = |stress: f64| convert(stress, &Unit::known("MPa"), &line.stress_unit);
    let drawn = |name: &str, values: &[f64]| Line {
        name: name.to_owned(),
        points: history
            .ages
            .iter()
            .zip(values)
            .map(|(age, at)| (*age, shown(*at), Phrase::empty()))
            .collect(),
        stroke: Stroke::Plain,
    };
    let day = |age: f64| Figure { unit: "d".to_owned(), ..Figure::new(age, Digits::Trimmed(3)) };
    Chart::Lines(Lines {
        id: format!("stress-{number}"),
        title: Phrase::from("Stress under restraint and the stress at which it cracks: ").and(&response.name),
        said: Phrase::from(&response.name).and(": ").and(line.phrase()).and("."),
        across: Axis { spread: Spread::Logarithmic, ..Axis::linear("age since casting", "d") },
        up: Axis { holds: vec![0.0], ..Axis::linear("stress", &line.stress_unit.text) },
        lines: vec![
            drawn("stress under restraint", &history.stress),
            drawn("stress at which it cracks", &history.level),
        ],
        marks: line.age.map(|age| (age, Phrase::from("cracks at ").and(day(age)))).into_iter().collect(),
    })
}

/// Measured values of a given mix beside what is predicted.
pub fn measured(report: &Report) -> Option<Part> {
    let mut table = Table::new([
        Column::words("figure"),
        Column::figures("measured"),
        Column::figures("predicted"),
        Column::figures("difference"),
        Column::words("remark"),
        Column::words("asked"),
    ]);
    for line in &report.measured {
        let figure = |value: f64| Figure::new(value, Digits::Significant(4)).of(&line.unit);
        let predicted: Phrase = line.predicted.map_or_else(|| "none".into(), |value| figure(value).into());
        let difference = line.predicted.map(|value| Figure::new(line.value - value, Digits::Significant(3)));
        table.row([
            Cell::from(&line.name),
            figure(line.value).into(),
            predicted.into(),
            difference.into(),
            line.judged().into(),
            line.meets().into(),
        ]);
    }
    (!table.rows.is_empty())
        .then(|| Part::new("Measured", "beside predicted").with(table.without_empty_columns()))
}
