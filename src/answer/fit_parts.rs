//! Fitted responses as blocks for people, and one table of batches for spreadsheets.
//!
//! What enters: facts. What leaves: parts and a table.

use super::block::{Column, Part, RowKind, Table};
use super::fit::{BatchLine, FitFacts, OneFit};
use super::phrase::{Digits, Figure, Phrase};
use super::residuals::{Residual, measured_chart, pooled, residuals_chart};
use crate::response::Link;

/// All batches of all fits in one table, for spreadsheets.
pub fn table(facts: &FitFacts) -> Table {
    let mut table =
        Table::new([Column::words("response"), Column::words("unit")].into_iter().chain(batch_columns("")));
    for fit in &facts.fits {
        for line in &fit.batches {
            push_batch(&mut table, line, &[&line.response, &fit.unit]);
        }
    }
    table
}

fn batch_columns(unit: &str) -> [Column; 8] {
    let in_unit = |name: &str| Column { unit: unit.to_owned(), ..Column::figures(name) };
    [
        Column::words("mix"),
        Column::words("batch"),
        Column::figures("age, d"),
        in_unit("measured"),
        in_unit("predicted"),
        Column::figures("studentised residual"),
        Column::figures("leverage"),
        Column::words("remark"),
    ]
}

fn push_batch(table: &mut Table, line: &BatchLine, leading: &[&str]) {
    let figure = |value: f64, digits: usize| Phrase::from(Figure::new(value, Digits::Significant(digits)));
    let mut cells: Vec<Phrase> = leading.iter().map(|word| Phrase::from(*word)).collect();
    cells.extend([
        Phrase::from(line.mix.as_str()),
        Phrase::from(line.batch.as_str()),
        line.age.map_or_else(Phrase::empty, |age| Figure::new(age, Digits::Trimmed(4)).into()),
        figure(line.measured, 4),
        figure(line.predicted, 4),
        Phrase::from(Figure::new(line.studentised, Digits::Decimals(2)).signed()),
        Phrase::from(Figure::new(line.leverage, Digits::Decimals(2))),
        Phrase::from(if line.outlier { "outlier, kept" } else { "" }),
    ]);
    let kind = if line.outlier { RowKind::Missed } else { RowKind::Usual };
    table.row_of(kind, cells);
}

/// The results of a fit with what they differ by.
fn residuals(fit: &OneFit) -> Vec<Residual> {
    let one = |line: &BatchLine| Residual {
        response: line.response.clone(),
        unit: fit.unit.clone(),
        age: line.age,
        mix: line.mix.clone(),
        value: line.measured - line.predicted,
        predicted: line.predicted,
        deviations: line.studentised,
    };
    fit.batches.iter().map(one).collect()
}

/// Blocks for people.
pub fn parts(facts: &FitFacts) -> Vec<Part> {
    let mut parts: Vec<Part> = facts.fits.iter().flat_map(parts_of).collect();
    let mut last = Part::new("Trials", Phrase::empty()).saying(format!("Data: {}", facts.data));
    if !facts.left_out.is_empty() {
        let lines = facts.left_out.iter().map(|left| match &left.file {
            Some(file) => format!("{file}, line {}: {}", left.line, left.reason),
            None => format!("line {}: {}", left.line, left.reason),
        });
        last = last.saying("Left out:").listing(lines);
    }
    if !facts.not_fitted.is_empty() {
        last = last.saying("Not fitted:").listing(facts.not_fitted.iter().cloned());
    }
    let all: Vec<Residual> = facts.fits.iter().flat_map(residuals).collect();
    parts.extend(pooled(&all));
    parts.push(last.saying(
        "A fitted response is an estimate from these trials: what is proposed with it is for trial batches, no approval.",
    ));
    parts
}

fn parts_of(fit: &OneFit) -> Vec<Part> {
    let about = match fit.age {
        Some(age) => format!("{} at {age} d, from {} batches", fit.response, fit.batches.len()),
        None => format!("{}, from {} results", fit.response, fit.batches.len()),
    };
    let scale = if fit.link == Link::Identity.word() { fit.unit.as_str() } else { "" };
    let in_scale = |name: &str| Column { unit: scale.to_owned(), ..Column::figures(name) };
    let mut terms = Table::new([
        Column::words(if fit.coded { "term (factors coded -1 .. 1)" } else { "term" }),
        in_scale("coefficient"),
        in_scale("standard error"),
    ]);
    for line in &fit.terms {
        terms.row([
            Phrase::from(line.term.as_str()),
            Figure::new(line.coefficient, Digits::Trimmed(5)).into(),
            Figure::new(line.error, Digits::Trimmed(3)).into(),
        ]);
    }
    let mut judged = Table::new([Column::words("what judges it"), Column::figures("figure")]);
    for (name, figure) in figures(fit) {
        judged.row([Phrase::from(name), figure]);
    }
    let mut batches = Table::new(batch_columns(&fit.unit));
    // An age that all results share, or that is told above, distinguishes nothing.
    let one_age = fit.batches.iter().all(|line| line.age == fit.batches[0].age);
    for line in &fit.batches {
        let age = line.age.filter(|_| !one_age);
        push_batch(&mut batches, &BatchLine { age, ..line.clone() }, &[]);
    }
    let residuals = residuals(fit);
    vec![
        Part::new("Fit", about)
            .saying(format!("Link: {}.", fit.link))
            .with(spans(fit))
            .with(terms)
            .with(judged)
            .listing(fit.remarks.iter().cloned()),
        Part::new("Measured and predicted", fit.response.clone())
            .with(batches.without_empty_columns())
            .with(measured_chart(&format!("fit-{}", id_of(fit)), &residuals, &fit.unit))
            .with(residuals_chart(&format!("residuals-{}", id_of(fit)), &residuals, &fit.unit)),
    ]
}

/// What the factors are, and what the trials span.
fn spans(fit: &OneFit) -> Table {
    let mut table = Table::new([
        Column::words("factor"),
        Column::words("quantity"),
        Column::figures(if fit.coded { "least (-1)" } else { "least" }),
        Column::figures(if fit.coded { "greatest (+1)" } else { "greatest" }),
    ]);
    for factor in &fit.factors {
        let end = |value: f64| with_unit(&Figure::new(value, Digits::Significant(4)), &factor.unit);
        table.row([
            Phrase::from(factor.name.as_str()),
            factor.is.as_str().into(),
            end(factor.between.0),
            end(factor.between.1),
        ]);
    }
    table
}

fn figures(fit: &OneFit) -> Vec<(String, Phrase)> {
    let in_unit = |value: f64, digits: usize| {
        let figure = Figure::new(value, Digits::Trimmed(digits));
        if fit.link == Link::Identity.word() { with_unit(&figure, &fit.unit) } else { figure.into() }
    };
    let share = |value: f64| Phrase::from(Figure::new(value, Digits::Decimals(3)));
    let scale = if fit.link == Link::Identity.word() { "" } else { ", on the link's scale" };
    let mut list = vec![
        (format!("residual deviation{scale}"), in_unit(fit.residual, 3)),
        (
            "degrees of freedom (batches)".to_owned(),
            Figure::new(fit.degrees_of_freedom, Digits::Trimmed(4)).into(),
        ),
    ];
    if fit.power != 0.0 {
        list.push((
            "it grows with the prediction to the power".to_owned(),
            Phrase::from(Figure::new(fit.power, Digits::Decimals(2)))
                .and(", holding at ")
                .and(with_unit(&Figure::new(fit.at, Digits::Trimmed(3)), &fit.unit)),
        ));
    }
    list.push(("R2".to_owned(), share(fit.r2)));
    list.push(("R2 of results left out one by one".to_owned(), share(fit.r2_left_out)));
    if let Some(error) = fit.error_of_other_mixes {
        let figure = with_unit(&Figure::new(error, Digits::Trimmed(3)), &fit.unit);
        list.push(("error for mixes left out in folds".to_owned(), figure));
    }
    if let Some(held) = fit.bounds_held {
        let share = |value: f64| Figure::new(100.0 * value, Digits::Decimals(1));
        let phrase = Phrase::from(share(held[0]))
            .and(", ")
            .and(share(held[1]))
            .and(", ")
            .and(Figure { unit: "%".to_owned(), ..share(held[2]) });
        list.push(("95 % bounds of left-out mixes hold (low, middle, high predictions)".to_owned(), phrase));
    }
    if let Some(deviation) = fit.batch_deviation {
        list.push((format!("deviation between repeated batches{scale}"), in_unit(deviation, 3)));
    }
    if let Some((ratio, probability)) = fit.lack_of_fit {
        let phrase = Phrase::from(Figure::new(ratio, Digits::Decimals(2)))
            .and(", probability ")
            .and(Figure::new(probability, Digits::Decimals(3)));
        list.push(("F of the lack of fit".to_owned(), phrase));
    }
    if let Some((deviation, freedom)) = fit.specimens {
        let phrase = with_unit(&Figure::new(deviation, Digits::Trimmed(3)), &fit.unit)
            .and(format!(" ({freedom} degrees of freedom)"));
        list.push(("deviation of specimens within a batch".to_owned(), phrase));
    }
    list.push(("largest leverage of the region".to_owned(), share(fit.leverage_limit)));
    list.push(("condition number".to_owned(), Figure::new(fit.condition, Digits::Trimmed(3)).into()));
    list
}

fn with_unit(figure: &Figure, unit: &str) -> Phrase {
    Figure { unit: unit.to_owned(), ..figure.clone() }.into()
}

/// Letters, digits and hyphens for response and age.
fn id_of(fit: &OneFit) -> String {
    let name: String =
        fit.response.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    format!("{name}-{}", fit.age.unwrap_or(0.0)).replace('.', "-")
}
