//! What points of fronts and of sweeps share: figures in the reader's units, how far they are proven, what changes.

use super::curve::CurveFigure;
use super::units::Units;
use crate::problem::convert;
use crate::quantity::{Unit, trimmed};
use crate::study::{Answer, Figure};

/// The figures of an answer but those with these names.
pub fn figures(
    answer: &Answer,
    figures: &[Figure],
    but: &[&str],
    (units, currency): (Units, &str),
) -> Vec<CurveFigure> {
    (figures.iter().enumerate())
        .filter(|(_, figure)| !but.contains(&figure.name.as_str()))
        .map(|(at, figure)| {
            let shown = units.shown(&figure.unit, currency);
            let value = answer.figures.get(at).copied().flatten();
            let value = value.map(|value| convert(value, &figure.unit, &shown));
            CurveFigure::new(figure.name.clone(), value, shown)
        })
        .collect()
}

/// How far an answer is proven, or why there is no mix.
pub fn state(answer: &Answer) -> String {
    let words = answer.outcome.words();
    match answer.gap {
        _ if !answer.outcome.has_mix() => {
            let first = answer.told.lines().next().unwrap_or("").trim_start_matches("error: ");
            if first.is_empty() { words.to_owned() } else { format!("{words}: {first}") }
        }
        None => format!("{words}, not proven"),
        Some(gap) => format!("{words}, gap {}", percent_of(gap)),
    }
}

/// What the signs of changes mean, where there are any.
pub const SIGNS: &str = "Change: + comes in from the point before, - goes out.";

/// A number of a unit with its unit.
pub fn with_unit(value: f64, unit: &Unit) -> String {
    unit.with_number(&crate::quantity::significant(value, 4))
}

/// A gap in per cent; what rounding leaves of none is none.
pub fn percent_of(gap: f64) -> String {
    format!("{} %", trimmed(if gap < 1e-8 { 0.0 } else { 100.0 * gap }, 2))
}
