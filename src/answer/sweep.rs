//! A sweep as rows: a row for each case, with the materials that change along it.

use super::block::{Column, Part};
use super::phrase::{Digits, Figure, Phrase};
use super::study::{StudyRow, StudyRows};
use super::units::Units;
use crate::finding::numbered;
use crate::problem::convert;
use crate::quantity::Unit;
use crate::study::{CaseResult, Sweep};

/// Cases with goal and bound in the reader's unit.
pub fn shown(sweep: &Sweep, unit: &Unit) -> Vec<CaseResult> {
    let one = |case: &CaseResult| {
        let mut shown = case.clone();
        shown.answer.goal = shown.answer.goal.map(|value| convert(value, &sweep.unit, unit));
        shown.answer.bound = shown.answer.bound.map(|value| convert(value, &sweep.unit, unit));
        shown
    };
    sweep.cases.iter().map(one).collect()
}

/// The rows of these cases, which [`shown`] gave.
pub fn rows<'s>(
    sweep: &'s Sweep,
    cases: &'s [CaseResult],
    unit: &Unit,
    (units, currency): (Units, &'s str),
) -> StudyRows<'s> {
    let mut leading = vec![Column::figures("case")];
    leading.extend(sweep.axes.iter().map(|axis| Column::figures(&axis.name)));
    leading.push(Column::of(&sweep.goal, unit));
    let row = |case: &'s CaseResult| {
        let (enters, leaves) = sweep.changes(case);
        let mut leading: Vec<Phrase> = vec![(case.number + 1).to_string().into()];
        leading.extend(sweep.values(case).into_iter().map(Phrase::from));
        leading.push(case.answer.goal.map(|goal| Figure::new(goal, Digits::Significant(5))).into());
        StudyRow { leading, answer: &case.answer, enters, leaves }
    };
    StudyRows { leading, rows: cases.iter().map(row).collect(), figures: &sweep.figures, units, currency }
}

/// The sweep for people.
pub fn parts(sweep: &Sweep, rows: &StudyRows<'_>) -> Vec<Part> {
    let axes: Vec<String> = sweep
        .axes
        .iter()
        .map(|axis| format!("{} ({})", axis.name, numbered("value", axis.values.len())))
        .collect();
    let all: usize = sweep.axes.iter().map(|axis| axis.values.len()).product();
    let reached = if sweep.cases.len() == all {
        numbered("case", all)
    } else {
        format!("{} of {}", sweep.cases.len(), numbered("case", all))
    };
    rows.within(Part::new("Sweep,", format!("{}: {reached} over {}", sweep.goal, axes.join(" and "))))
}
