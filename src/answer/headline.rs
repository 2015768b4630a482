//! The first lines of every report: what it came to, and how certain that is.
//!
//! What enters: a report. What leaves: sentences. How wide a line may be, nothing here knows.

use std::fmt::Write;

use super::report::{Report, Standing, State};
use crate::finding::{clean, numbered};
use crate::problem::{FULL, Origin};
use crate::quantity::{significant, trimmed};

/// Violation, relative to what is wanted, that is rounding and no violation.
const ROUNDING: f64 = 1e-9;

/// What the solve came to, each sentence on a line of its own however long.
pub fn outcome(text: &mut String, report: &Report) {
    let value = report.goal_value.map_or_else(String::new, |value| {
        format!(": {}", report.goal_unit.with_number(&significant(value, 5)))
    });
    let effort = effort(report);
    match report.state {
        State::Optimal | State::BestFound => {
            let _ = writeln!(text, "{}, {}{value}", report.goal, report.state.words());
            sum(text, report);
            certainty(text, report);
            let within = if report.worst < ROUNDING {
                String::new()
            } else {
                format!(", within {:.0e} of its value", report.worst)
            };
            let (which, not) = match not_checked(report) {
                Some(told) => (" that could be checked", format!(", {told}")),
                None => ("", String::new()),
            };
            let _ = writeln!(
                text,
                "Measured again as written: every limit{which} is met{within}{not}. Effort: {effort}."
            );
        }
        State::Infeasible => {
            let _ = writeln!(text, "PROVEN INFEASIBLE: no mix meets everything. Effort: {effort}.");
            text.push_str("The figures below belong to a mix that comes near. It is NOT a proposal.\n");
        }
        State::NothingFound => {
            let _ =
                writeln!(text, "NOTHING FOUND: no mix was found that meets everything. Effort: {effort}.");
            text.push_str(
                "Not proven that none exists. The figures below are those of the mix that comes nearest.\n",
            );
            text.push_str("It is NOT a proposal.\n");
        }
        State::Unsettled => {
            let _ = writeln!(
                text,
                "UNSETTLED: the search stopped before its figures could be trusted. Effort: {effort}."
            );
            text.push_str("The figures below are where it stopped. They are NOT a proposal.\n");
        }
        State::Given => given(text, report, &value),
        State::Failed => {
            let _ =
                writeln!(text, "FAILED: {}", clean(report.reason.as_deref().unwrap_or("no reason given")));
        }
    }
    for demand in &report.unchecked {
        let _ = writeln!(text, "{}.", clean(&demand.words()));
    }
    for choice in &report.broken_choices {
        let _ = writeln!(text, "Choice not met: {}", clean(&choice.name));
    }
}

/// How many demands of classes nothing checked, if any.
fn not_checked(report: &Report) -> Option<String> {
    match report.unchecked.len() {
        0 => None,
        1 => Some("1 demand of a class was not".to_owned()),
        count => Some(format!("{count} demands of classes were not")),
    }
}

/// A mix that nobody sought: what it costs, what it breaks, what it fills.
fn given(text: &mut String, report: &Report, value: &str) {
    let goal = report.goal.trim_start_matches("least ").trim_start_matches("most ");
    let _ = writeln!(text, "Predicted for the mix as given; {goal}{value}");
    let count = |origins: fn(Origin) -> bool| {
        report
            .limits
            .iter()
            .filter(|line| line.standing == Standing::Violated && origins(line.origin))
            .count()
    };
    let limits = count(|origin| origin == Origin::Limit);
    let bounds = count(|origin| matches!(origin, Origin::Material(_)));
    let outside = count(|origin| matches!(origin, Origin::Region { .. } | Origin::Leverage(_)));
    sum(text, report);
    let missed: Vec<String> = [
        ("limit", limits, ""),
        ("bound", bounds, " of materials"),
        ("choice", report.broken_choices.len(), ""),
    ]
    .into_iter()
    .filter(|(_, count, _)| 0 < *count)
    .map(|(noun, count, of)| format!("{}{of}", numbered(noun, count)))
    .collect();
    let _ = match missed.as_slice() {
        [] => match not_checked(report) {
            Some(told) => writeln!(text, "It meets every limit that could be checked, {told}."),
            None => writeln!(text, "It meets every limit."),
        },
        [one] => writeln!(text, "It does not meet {one}."),
        [first @ .., last] => writeln!(text, "It does not meet {} and {last}.", first.join(", ")),
    };
    if 0 < outside {
        let _ = writeln!(
            text,
            "OUTSIDE what responses are known for in {}: those predictions are extrapolations.",
            numbered("place", outside)
        );
    }
    if let Some(fills) = report.fills.filter(|fills| FULL < (fills - 1.0).abs()) {
        let _ = writeln!(
            text,
            "The amounts and the air fill {} {unit}, not 1 {unit}: check them, nothing was scaled.",
            significant(fills, 4),
            unit = report.units.body()
        );
    }
}

/// What is proven about better mixes.
fn certainty(text: &mut String, report: &Report) {
    let Some(certainty) = report.certainty else {
        text.push_str("Not proven to be the best.\n");
        return;
    };
    let Some((bound, gap)) = certainty.bound.zip(certainty.gap) else {
        text.push_str("No bound was proven.\n");
        return;
    };
    let side = if report.goal.starts_with("most") { "above" } else { "below" };
    let bound = report.goal_unit.with_number(&significant(bound, 6));
    let found = format!("no mix that meets everything lies {side} {bound}, a gap of {} %", percent(gap));
    let _ = if certainty.complete {
        writeln!(text, "Proven: {found}.")
    } else {
        let (open, parts) = (certainty.open, certainty.parts);
        writeln!(text, "Proven so far: {found}; {open} of the {parts} parts of the proof are still open.")
    };
}

/// The goal as the sum of cost and priced carbon.
fn sum(text: &mut String, report: &Report) {
    if let Some(sum) = &report.sum {
        let _ = writeln!(text, "{}", sum.words(&report.goal_unit, &report.units.carbon()));
    }
}

/// What it took.
fn effort(report: &Report) -> String {
    let mut told = vec![numbered("linear program", report.effort.programs)];
    if let Some(parts) = report.certainty.map(|certainty| certainty.parts).filter(|parts| 1 < *parts) {
        told.push(format!("a proof in {parts} parts"));
    }
    match (report.effort.assignments, report.effort.tried) {
        (0, 0) | (1, 1) => {}
        (0, tried) => told.push(format!("{}, not all", numbered("combination", tried) + " of choices")),
        (1, _) => told.push("the only combination of choices breaks limits that are exact sums".to_owned()),
        (all, 0) => {
            told.push(format!("all {all} combinations of choices break limits that are exact sums"));
        }
        (all, tried) if tried == all => told.push(format!("all {all} combinations of choices")),
        (all, tried) => told.push(format!(
            "{tried} of {all} combinations of choices, the others break limits that are exact sums"
        )),
    }
    told.join(", ")
}

/// A gap in per cent; what is below the rounding of the figures beside it is none.
fn percent(gap: f64) -> String {
    trimmed(if gap < 1e-8 { 0.0 } else { 100.0 * gap }, 2)
}
