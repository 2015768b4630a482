//! Answers that are one or a few tables, in the form asked for: limits, prices, sweeps, fronts, several statements.
//!
//! What enters: facts. What leaves: text. Markdown serves wherever text does.

use super::csv::line::cautioned as cautioned_csv;
use super::csv::study::with_unit;
use super::format::Format;
use super::layout::Width;
use super::{blocks, csv, json};
use crate::analysis::{MaterialRange, Tightness, Uncertainty};
use crate::answer::block::{Cell, Column, Part, Table};
use crate::answer::cautions::{PROPOSAL, cautioned};
use crate::answer::doubt::{is_doubtful, point_doubt, uncertainty_lines};
use crate::answer::goal_value::goal_value;
use crate::answer::parts::doubt::told_in_words;
use crate::answer::parts::since;
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::record::cells::with_semicolons;
use crate::answer::record::json::written;
use crate::answer::record::summary::{self, SummaryLine};
use crate::answer::units::Units;
use crate::answer::{front, office, price_ranges, sweep, tightness};
use crate::finding::Sources;
use crate::problem::Problem;
use crate::study::{Front, Sweep};

/// Parts for people, with the caution below them.
fn people(parts: &[Part], format: Format, width: Width) -> String {
    let mut parts = parts.to_vec();
    parts.push(Part::default().saying(PROPOSAL));
    if format == Format::Markdown { blocks::markdown(&parts) } else { blocks::text(&parts, width) }
}

/// Comma-separated values, or the same with semicolons.
pub fn separated(csv: String, format: Format) -> String {
    if format == Format::Semicolons { with_semicolons(&csv) } else { csv }
}

/// How tight each limit is.
pub fn tightness(
    problem: &Problem,
    (list, best): (&[Tightness], Option<(&[f64], &Uncertainty)>),
    sources: &Sources,
    units: Units,
    (format, width): (Format, Width),
) -> String {
    let unit = units.shown(&problem.goal.unit, &problem.currency);
    let here = best.and_then(|(mix, _)| goal_value(problem, mix, &unit));
    let entries = tightness::entries(problem, (list, here), sources, units);
    match format {
        Format::Json => written(&cautioned(&entries)),
        Format::Csv | Format::Semicolons => separated(cautioned_csv(&csv::tightness::csv(&entries)), format),
        Format::Text | Format::Markdown => {
            let mut parts = tightness::parts(&entries);
            let told = best.and_then(|(_, told)| {
                told_in_words(&uncertainty_lines(problem, told, (here, &unit))?, &unit)
            });
            parts.extend(told);
            people(&parts, format, width)
        }
    }
}

/// Over which prices of each material the choice stays the same.
pub fn price_ranges(
    problem: &Problem,
    ranges: &[MaterialRange],
    units: Units,
    (format, width): (Format, Width),
) -> String {
    let entries = price_ranges::entries(problem, ranges, units);
    match format {
        Format::Json => written(&cautioned(&entries)),
        Format::Csv | Format::Semicolons => {
            separated(cautioned_csv(&csv::price_ranges::csv(&entries)), format)
        }
        Format::Text | Format::Markdown => {
            people(&[price_ranges::part(&entries, &problem.currency)], format, width)
        }
    }
}

/// A sweep.
pub fn sweep(all: &Sweep, currency: &str, units: Units, (format, width): (Format, Width)) -> String {
    let unit = units.shown(&all.unit, currency);
    let cases = sweep::shown(all, &unit);
    let rows = sweep::rows(all, &cases, &unit, (units, currency));
    match format {
        Format::Json => json::study::sweep(all, &cases, &rows, &unit),
        Format::Csv | Format::Semicolons => {
            separated(cautioned_csv(&csv::study::csv(&rows, &with_unit("bound", &unit.text))), format)
        }
        Format::Text | Format::Markdown => people(&sweep::parts(all, &rows), format, width),
    }
}

/// A front.
pub fn front(all: &Front, currency: &str, units: Units, (format, width): (Format, Width)) -> String {
    let shown = front::goal_units(all, currency, units);
    let answers = front::shown(all, &shown);
    let mut rows = front::rows(all, &answers, &shown, (units, currency));
    match format {
        Format::Json => json::study::front(all, &rows, &shown),
        Format::Csv | Format::Semicolons => {
            rows.leading.push(Column::words("made best"));
            for (row, point) in rows.rows.iter_mut().zip(&all.points) {
                let goal = &all.goals[point.best];
                let name = format!("{} {}", front::side(goal), goal.name);
                row.leading.push(with_unit(&name, &shown[point.best].text).into());
            }
            if is_doubtful(all) {
                let names =
                    ["paid for uncertainty, of what was made best", "without the regions it stands at"];
                rows.leading.extend(names.map(Column::figures));
                for (row, point) in rows.rows.iter_mut().zip(&all.points) {
                    let told = point_doubt(point, all, &shown);
                    row.leading.extend(
                        [told.paid, told.beyond]
                            .map(|value| value.map(|value| Figure::new(value, Digits::Written)).into()),
                    );
                }
            }
            if all.stopped {
                rows.leading.push(Column::words("ended"));
                rows.rows.iter_mut().for_each(|row| row.leading.push("stopped before its end".into()));
            }
            separated(cautioned_csv(&csv::study::csv(&rows, "bound on what was made best")), format)
        }
        Format::Text | Format::Markdown => people(&front::parts(all, &rows, &shown), format, width),
    }
}

/// Several statements, a line for each, then what became of each since an earlier run.
pub fn summary(lines: &[SummaryLine], format: Format, width: Width) -> String {
    match format {
        Format::Json => summary::json(lines),
        Format::Csv | Format::Semicolons => {
            separated(cautioned_csv(&blocks::csv(&office::office(lines))), format)
        }
        Format::Text | Format::Markdown => {
            let first = Part::default().with(summed_up(lines));
            let parts: Vec<Part> = std::iter::once(first).chain(since::parts(lines)).collect();
            people(&parts, format, width)
        }
    }
}

/// Without columns that hold nothing.
fn summed_up(lines: &[SummaryLine]) -> Table {
    let mut table = Table::new([
        Column::words("file"),
        Column::words("state"),
        Column::words("goal"),
        Column::figures("value"),
        Column::words("unit"),
        Column::figures("gap"),
        Column::figures("change"),
        Column::figures("change, %"),
        Column::words("new trial"),
        Column::words("stands at"),
        Column::words("report"),
    ]);
    for line in lines {
        let change = |change: f64| -> Phrase {
            // What rounding leaves of none is none.
            let change = if change.abs() < 1e-6 { 0.0 } else { change };
            Figure::new(change, Digits::Significant(3)).signed().into()
        };
        let relative = line.since.as_ref().and_then(|since| since.relative);
        let new_trial = line.approved.as_ref().filter(|approval| approval.needs_new_trial);
        table.row([
            Cell::from(&line.file),
            (&line.state).into(),
            line.goal.as_ref().into(),
            line.value.map(|value| Figure::new(value, Digits::Significant(5))).into(),
            line.unit.as_ref().into(),
            line.gap.map(Figure::gap).into(),
            line.change.map(change).into(),
            relative.map(|share| change(100.0 * share)).into(),
            new_trial.map(|_| "NEEDED").into(),
            line.stands_at.join("; ").into(),
            line.report.as_ref().into(),
        ]);
    }
    table.without_empty_columns()
}
