//! Residuals of all mixes by response and age, pooled in one table; and residuals as a chart.
//!
//! What enters: results with their predictions, of fits or of confirmations. What leaves: parts. Nothing is judged here.

use super::block::{Column, Part, RowKind, Table};
use super::chart::{Axis, Chart, Line, Lines, Stroke};
use super::phrase::{Digits, Figure, Phrase};

/// One result beside its prediction.
#[derive(Clone, Debug)]
pub struct Residual {
    /// Response.
    pub response: String,
    /// Its unit.
    pub unit: String,
    /// Age, d.
    pub age: Option<f64>,
    /// Mix.
    pub mix: String,
    /// Measured less predicted, in the unit.
    pub value: f64,
    /// Predicted.
    pub predicted: f64,
    /// The residual over its deviation.
    pub deviations: f64,
}

/// Most mixes told one by one for people.
const MIXES: usize = 40;
/// Most columns of one table.
const COLUMNS: usize = 6;

struct Kind<'r> {
    response: &'r str,
    unit: &'r str,
    age: Option<f64>,
}

impl Kind<'_> {
    fn holds(&self, residual: &Residual) -> bool {
        residual.response == self.response && residual.age == self.age
    }
}

/// All mixes by response and age: the mean residual of each, and below them the mean and the root mean square of all.
pub fn pooled(residuals: &[Residual]) -> Option<Part> {
    let mut kinds: Vec<Kind<'_>> = Vec::new();
    let mut mixes: Vec<&str> = Vec::new();
    for residual in residuals {
        if !kinds.iter().any(|kind| kind.holds(residual)) {
            kinds.push(Kind { response: &residual.response, unit: &residual.unit, age: residual.age });
        }
        if !mixes.contains(&residual.mix.as_str()) {
            mixes.push(&residual.mix);
        }
    }
    // Ages of one response beside one another, in their order.
    let order: Vec<&str> = kinds.iter().map(|kind| kind.response).collect();
    kinds.sort_by(|a, b| {
        let place = |kind: &Kind<'_>| order.iter().position(|name| *name == kind.response);
        place(a).cmp(&place(b)).then(a.age.unwrap_or(0.0).total_cmp(&b.age.unwrap_or(0.0)))
    });
    if mixes.len() < 2 || kinds.is_empty() {
        return None;
    }
    let largest = |mix: &str| {
        let own = residuals.iter().filter(|residual| residual.mix == mix);
        own.map(|residual| residual.deviations.abs()).fold(0.0, f64::max)
    };
    let all = mixes.len();
    if MIXES < all {
        let mut by_size: Vec<(f64, &str)> = mixes.iter().map(|mix| (largest(mix), *mix)).collect();
        by_size.sort_by(|a, b| b.0.total_cmp(&a.0));
        let kept: Vec<&str> = by_size.iter().take(MIXES).map(|(_, mix)| *mix).collect();
        mixes.retain(|mix| kept.contains(mix));
    }
    let mut part = Part::new("Residuals of all mixes", "by response and age: measured less predicted");
    if mixes.len() < all {
        part = part.saying(format!(
            "The {MIXES} mixes with the largest residuals of {all}; means and deviations are those of all. CSV holds every result."
        ));
    }
    for some in kinds.chunks(COLUMNS) {
        part = part.with(table(residuals, some, &mixes));
    }
    Some(part)
}

fn table(residuals: &[Residual], kinds: &[Kind<'_>], mixes: &[&str]) -> Table {
    let heading = |kind: &Kind<'_>| {
        // One age alone distinguishes nothing.
        let has_others =
            residuals.iter().any(|other| other.response == kind.response && other.age != kind.age);
        let name = match kind.age.filter(|_| has_others) {
            Some(age) => format!("{} at {age} d", kind.response),
            None => kind.response.to_owned(),
        };
        Column { unit: kind.unit.to_owned(), ..Column::figures(name) }
    };
    let mut table = Table::new(std::iter::once(Column::words("mix")).chain(kinds.iter().map(heading)));
    let figure = |value: f64| Phrase::from(Figure::new(value, Digits::Significant(3)).signed());
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let of = |kind: &Kind<'_>, mix: Option<&str>| -> Vec<f64> {
        let is = |residual: &&Residual| kind.holds(residual) && mix.is_none_or(|mix| residual.mix == mix);
        residuals.iter().filter(is).map(|residual| residual.value).collect()
    };
    for mix in mixes {
        let cells = kinds.iter().map(|kind| {
            let own = of(kind, Some(mix));
            if own.is_empty() { Phrase::empty() } else { figure(mean(&own)) }
        });
        table.row(std::iter::once(Phrase::from(*mix)).chain(cells));
    }
    let mut last = |name: &str, value: &dyn Fn(&[f64]) -> Phrase| {
        let cells: Vec<Phrase> = kinds.iter().map(|kind| value(&of(kind, None))).collect();
        table.row_of(RowKind::Total, std::iter::once(Phrase::from(name)).chain(cells));
    };
    let size = |all: &[f64]| (all.iter().map(|value| value * value).sum::<f64>() / all.len() as f64).sqrt();
    // What rounding leaves of no mean is none.
    last("mean", &|all| figure(if mean(all).abs() < 1e-9 * size(all) { 0.0 } else { mean(all) }));
    last("root mean square", &|all| Figure::new(size(all), Digits::Significant(3)).into());
    last("results", &|all| all.len().to_string().into());
    table
}

/// The response of these residuals, with its age where all are of one.
fn of(residuals: &[Residual]) -> String {
    let Some(first) = residuals.first() else { return String::new() };
    match first.age.filter(|_| residuals.iter().all(|other| other.age == first.age)) {
        Some(age) => format!("{} at {age} d", first.response),
        None => first.response.clone(),
    }
}

/// Residuals in deviations over predictions: what widens, bends or stands apart.
pub fn residuals_chart(id: &str, residuals: &[Residual], unit: &str) -> Chart {
    let point = |residual: &Residual| {
        let told = format!("{}: {:+.2} deviations", residual.mix, residual.deviations);
        (residual.predicted, residual.deviations, Phrase::from(told))
    };
    let across = residuals.iter().map(|residual| residual.predicted);
    let low = across.clone().fold(f64::INFINITY, f64::min);
    let high = across.fold(f64::NEG_INFINITY, f64::max);
    let level = |at: f64| vec![(low, at, Phrase::empty()), (high, at, Phrase::empty())];
    Chart::Lines(Lines {
        id: id.to_owned(),
        title: Phrase::from(format!("{}: residuals over predictions", of(residuals))),
        said: Phrase::from(
            "Each point is a batch, its residual over the deviation estimated without it; a fan or a bend tells that scatter \
             or form are not those of the fit.",
        ),
        across: Axis::linear("predicted", unit),
        up: Axis { holds: vec![-3.0, 3.0], ..Axis::linear("residual, in deviations", "") },
        lines: vec![
            Line {
                name: "batches".to_owned(),
                points: residuals.iter().map(point).collect(),
                stroke: Stroke::Points,
            },
            Line { name: "none".to_owned(), points: level(0.0), stroke: Stroke::Plain },
        ],
        marks: Vec::new(),
    })
}

/// Measured over predicted.
pub fn measured_chart(id: &str, residuals: &[Residual], unit: &str) -> Chart {
    let measured = |residual: &Residual| residual.predicted + residual.value;
    let point = |residual: &Residual| {
        let told = format!("{}: measured {:.4}", residual.mix, measured(residual));
        (residual.predicted, measured(residual), Phrase::from(told))
    };
    let ends = residuals.iter().flat_map(|residual| [residual.predicted, measured(residual)]);
    let low = ends.clone().fold(f64::INFINITY, f64::min);
    let high = ends.fold(f64::NEG_INFINITY, f64::max);
    Chart::Lines(Lines {
        id: id.to_owned(),
        title: Phrase::from(format!("{}: measured over predicted", of(residuals))),
        said: Phrase::from("Each point is a batch; on the line both agree."),
        across: Axis::linear("predicted", unit),
        up: Axis::linear("measured", unit),
        lines: vec![
            Line {
                name: "batches".to_owned(),
                points: residuals.iter().map(point).collect(),
                stroke: Stroke::Points,
            },
            Line {
                name: "both agree".to_owned(),
                points: vec![(low, low, Phrase::empty()), (high, high, Phrase::empty())],
                stroke: Stroke::Plain,
            },
        ],
        marks: Vec::new(),
    })
}
