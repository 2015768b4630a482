//! What a reader is told of fitted responses.
//!
//! What enters: fits with what judges them, and the trials. What leaves: facts for programs, blocks for people, one table
//! of batches for spreadsheets.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, RowKind, Table};
use super::cautions::PROPOSAL;
use super::phrase::{Digits, Figure, Phrase};
use super::residuals::{Residual, measured_chart, pooled, residuals_chart};
use crate::quantity::Unit;
use crate::response::Link;
use crate::trial::batch::Trials;
use crate::trial::fitting::Fitted;
use crate::trial::judged::{
    LackOfFit, confounded_with_blocks, crossed, crossed_error, lack_of_fit, outliers,
};

/// Everything about some fits.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FitFacts {
    /// Digest of the data.
    pub data: String,
    /// Fits in the order asked for.
    pub fits: Vec<OneFit>,
    /// Rows and values that are not used.
    pub left_out: Vec<LeftOutLine>,
    /// Measured columns that were not fitted, and why.
    pub not_fitted: Vec<String>,
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// A row that is not used.
#[derive(Debug, JsonSchema, Serialize)]
pub struct LeftOutLine {
    /// Line of the file.
    pub line: usize,
    /// Why.
    pub reason: String,
}

/// One fit.
#[derive(Debug, JsonSchema, Serialize)]
pub struct OneFit {
    /// Response.
    pub response: String,
    /// Its unit.
    pub unit: String,
    /// Age, d.
    pub age: Option<f64>,
    /// Link.
    pub link: &'static str,
    /// Terms that stand.
    pub terms: Vec<TermLine>,
    /// Residual deviation on the link's scale.
    pub residual: f64,
    /// Degrees of freedom.
    pub degrees_of_freedom: f64,
    /// Power of the prediction by which the residual grows.
    pub power: f64,
    /// Prediction at which the residual holds.
    pub at: f64,
    /// Share of variance explained.
    #[schemars(with = "Option<f64>")]
    pub r2: f64,
    /// The same for results left out one by one.
    #[schemars(with = "Option<f64>")]
    pub r2_left_out: f64,
    /// Root mean square error for left-out mixes, in the response's unit.
    pub error_of_other_mixes: Option<f64>,
    /// Deviation between repeated batches.
    pub batch_deviation: Option<f64>,
    /// F of the lack of fit and its probability.
    pub lack_of_fit: Option<(f64, f64)>,
    /// Deviation of specimens within a batch, and degrees of freedom.
    pub specimens: Option<(f64, usize)>,
    /// Largest leverage allowed.
    pub leverage_limit: f64,
    /// Condition number of the scaled columns.
    pub condition: f64,
    /// Batches.
    pub batches: Vec<BatchLine>,
    /// What the reader should know.
    pub remarks: Vec<String>,
}

/// One coefficient.
#[derive(Debug, JsonSchema, Serialize)]
pub struct TermLine {
    /// The term, factors coded.
    pub term: String,
    /// Coefficient.
    pub coefficient: f64,
    /// Standard error.
    pub error: f64,
}

/// One result.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct BatchLine {
    /// Response.
    pub response: String,
    /// Mix.
    pub mix: String,
    /// Batch.
    pub batch: String,
    /// Age, d.
    pub age: Option<f64>,
    /// Measured, mean of the specimens.
    pub measured: f64,
    /// Predicted.
    pub predicted: f64,
    /// Residual over its deviation as estimated without this result.
    #[schemars(with = "Option<f64>")]
    pub studentised: f64,
    /// Leverage.
    pub leverage: f64,
    /// Whether it is an outlier.
    pub outlier: bool,
}

/// Gathers the facts.
pub fn facts(fits: &[Fitted], trials: &Trials, not_fitted: Vec<String>) -> FitFacts {
    let left_out = trials
        .left_out
        .iter()
        .map(|left| LeftOutLine { line: left.line, reason: left.reason.clone() })
        .collect();
    let fits = fits.iter().map(|fit| one(fit, trials)).collect();
    FitFacts { data: trials.digest.clone(), fits, left_out, not_fitted, caution: PROPOSAL }
}

fn one(fit: &Fitted, trials: &Trials) -> OneFit {
    let form = &fit.form;
    let names: Vec<String> = fit.asked.factors.iter().map(|factor| factor.name.clone()).collect();
    let measured = trials.measured.iter().position(|measured| measured.name == fit.asked.name);
    let unit = measured.map_or_else(Unit::number, |at| trials.measured[at].unit.clone());
    let terms = form.kept.iter().enumerate().map(|(at, term)| TermLine {
        term: form.candidates[*term].words(&names),
        coefficient: form.fit.coefficients[at],
        error: form.fit.errors[at],
    });
    let outliers = outliers(fit);
    let batches = fit.rows.iter().enumerate().map(|(at, row)| BatchLine {
        response: fit.asked.name.clone(),
        mix: trials.mixes[row.mix].clone(),
        batch: trials.batches[row.batch].name.clone(),
        age: row.age,
        measured: row.measured,
        predicted: form.link.response(form.fit.predicted[at]),
        studentised: form.fit.studentised[at],
        leverage: form.fit.leverages[at],
        outlier: outliers.contains(&at),
    });
    let lack = lack_of_fit(fit);
    let mut remarks = fit.remarks.clone();
    remarks.extend(told(fit, trials, lack.as_ref()));
    let fitted_power = form.power;
    OneFit {
        response: fit.asked.name.clone(),
        unit: unit.text,
        age: fit.asked.age,
        link: form.link.word(),
        terms: terms.collect(),
        residual: form.fit.deviation,
        degrees_of_freedom: form.fit.freedom,
        power: fitted_power,
        at: form.at,
        r2: form.fit.explained,
        r2_left_out: form.fit.explained_left_out,
        error_of_other_mixes: crossed(fit, 0).map(|list| crossed_error(fit, &list)),
        batch_deviation: lack.map(|lack| lack.deviation),
        lack_of_fit: lack.filter(|lack| 0.0 < lack.above).map(|lack| (lack.ratio, lack.probability)),
        specimens: measured.and_then(|at| trials.specimen_scatter(at)),
        leverage_limit: fit.region.limit,
        condition: form.fit.condition,
        batches: batches.collect(),
        remarks,
    }
}

/// What is told of a fit in sentences.
fn told(fit: &Fitted, trials: &Trials, lack: Option<&LackOfFit>) -> Vec<String> {
    let mut told = confounded_with_blocks(fit, trials);
    if fit.form.link == Link::Log {
        told.push("predictions of a log response are medians; means lie above them".to_owned());
    }
    if let Some(lack) = lack.filter(|lack| lack.probability < 0.05) {
        told.push(format!(
            "repeated batches scatter less than the form misses (F {:.2}, probability {:.3}): the form is too simple",
            lack.ratio, lack.probability
        ));
    }
    if lack.is_none() {
        told.push(
            "no mix was batched twice: the scatter between batches cannot be told from what the form misses"
                .to_owned(),
        );
    }
    if 1 < fit.compared.len() {
        let list: Vec<String> =
            fit.compared.iter().map(|(link, criterion)| format!("{} {criterion:.1}", link.word())).collect();
        told.push(format!("links by corrected criterion, less is better: {}", list.join(", ")));
    }
    told
}

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
        let lines = facts.left_out.iter().map(|left| format!("line {}: {}", left.line, left.reason));
        last = last.saying("Left out:").listing(lines);
    }
    last = last.listing(facts.not_fitted.iter().cloned());
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
        Column::words("term (factors coded -1 .. 1)"),
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
            .with(terms)
            .with(judged)
            .listing(fit.remarks.iter().cloned()),
        Part::new("Measured and predicted", fit.response.clone())
            .with(batches.without_empty_columns())
            .with(measured_chart(&format!("fit-{}", id_of(fit)), &residuals, &fit.unit))
            .with(residuals_chart(&format!("residuals-{}", id_of(fit)), &residuals, &fit.unit)),
    ]
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
