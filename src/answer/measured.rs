//! Measured values of a given mix: beside what is predicted, and judged.
//!
//! What enters: a problem, a mix that was given, and a value measured on it. What leaves: a line of the report. Whether the
//! test was done well, nothing here knows.

use super::predicted::response_line;
use super::report::{JudgedLine, MeasuredLine};
use super::units::Units;
use crate::finding::Findings;
use crate::mixture::Quantities;
use crate::problem::{
    Given, Origin, Problem, Side, Subject, TOLERANCE, Unchecked, Wanted, in_unit, restrained,
};
use crate::quantity::{Unit, as_written, tidied};
use crate::response::law::cracking::Cracking;
use crate::solve::used;

/// A measured value beside what is predicted, judged by every limit and every demand of a class on it.
pub fn measured_line(
    problem: &Problem,
    given: &Given,
    name: &str,
    base: f64,
    units: Units,
) -> Option<MeasuredLine> {
    let mut scatter = None;
    let (predicted, deviation, unit) = if let Some(index) =
        problem.responses.find_id(|response| response.name == name)
    {
        let line = response_line(problem, index, &given.mix, &used(problem, &given.mix), units)?;
        scatter = line.cracking.as_ref().zip(restrained(&problem.responses[index])).map(|(told, rule)| {
            let [early, late] = told
                .interval
                .map(|age| age.map_or(f64::INFINITY, |age| in_unit(Cracking::At(age), rule, &line.unit)));
            (early, late)
        });
        (Some(line.value), line.deviation.map(|(below, above)| 0.5 * (below + above)), line.unit)
    } else if let Some((_, _, unit)) = open(problem, name).find_map(|demand| demand.wanted.first()) {
        (None, None, units.shown(unit, &problem.currency))
    } else {
        let quantities = Quantities::new(&problem.mixture, &problem.currency, &[], &mut Findings::default());
        let limited = problem.requirements.iter().find(|requirement| requirement.name == name);
        let quantity = match limited.map(|requirement| &requirement.subject) {
            Some(Subject::Quantity(quantity)) => quantity.clone(),
            _ => quantities.named(name)?,
        };
        let unit = units.shown(&quantity.unit, &problem.currency);
        (quantity.measure.at(&given.mix).map(|value| unit.from_base(value)), None, unit)
    };
    let predicted = predicted.filter(|value| value.is_finite());
    Some(MeasuredLine {
        name: name.to_owned(),
        value: unit.from_base(base),
        predicted,
        deviation,
        scatter,
        demands: judged(problem, name, base, units),
        unit,
    })
}

/// The demands of classes on a figure that nothing predicts.
fn open<'p>(problem: &'p Problem, figure: &'p str) -> impl Iterator<Item = &'p Unchecked> {
    problem.unchecked.iter().filter(move |demand| demand.figure == figure)
}

/// Whether a given mix holds a measured value for the demand of that name.
pub fn answered(problem: &Problem, given: &Given, name: &str) -> bool {
    let figure = |demand: &Unchecked| given.measured.iter().any(|(measured, _)| *measured == demand.figure);
    problem
        .unchecked
        .iter()
        .any(|demand| demand.name() == name && !demand.wanted.is_empty() && figure(demand))
}

/// A measured value, in base units, against limits with a plain figure and against demands of classes that nothing
/// predicts. A result is taken as it stands, without a margin. Ages at cracking are left out: they count as their test
/// does.
fn judged(problem: &Problem, name: &str, base: f64, units: Units) -> Vec<JudgedLine> {
    let line = |name: String, side: Side, wanted: f64, unit: &Unit| {
        let met = side.sign() * (base - unit.to_base(wanted)) >= -TOLERANCE * unit.to_base(wanted).abs();
        let shown = units.shown(unit, &problem.currency);
        let wanted = shown.with_number(&as_written(tidied(crate::problem::convert(wanted, unit, &shown))));
        JudgedLine { name, wanted: format!("{} {wanted}", side.words()), met }
    };
    let is_it = |subject: &Subject| match subject {
        Subject::Response(index) => {
            let response = &problem.responses[*index];
            response.name == name && restrained(response).is_none()
        }
        Subject::Quantity(quantity) => quantity.label == name,
    };
    let limits = problem.requirements.iter().filter_map(|requirement| match requirement.wanted {
        Wanted::Value(wanted)
            if requirement.origin == Origin::Limit
                && (is_it(&requirement.subject)
                    || (requirement.name == name && matches!(requirement.subject, Subject::Quantity(_)))) =>
        {
            Some(line(requirement.name.clone(), requirement.side, wanted, &requirement.unit))
        }
        _ => None,
    });
    let demands = open(problem, name).flat_map(|demand| {
        demand.wanted.iter().map(|(side, wanted, unit)| line(demand.name(), *side, *wanted, unit))
    });
    limits.chain(demands).collect()
}
