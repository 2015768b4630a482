//! The first lines of a text report: what it came to, and how certain that is.

use std::fmt::Write;

use super::answer::{Report, Standing, State};
use super::text::wrapped;
use crate::finding::{clean, numbered};
use crate::problem::{FULL, Origin};
use crate::quantity::{significant, trimmed};

/// What the solve came to, in a few lines.
pub fn headline(text: &mut String, report: &Report) {
    let mut lines = String::new();
    outcome(&mut lines, report);
    for line in lines.lines() {
        let _ = writeln!(text, "{}", wrapped(line, 0));
    }
}

/// The same, each sentence on a line of its own however long.
pub fn outcome(text: &mut String, report: &Report) {
    let value = report.goal_value.map_or_else(String::new, |value| {
        format!(": {}", report.goal_unit.with_number(&significant(value, 5)))
    });
    let tried = match (report.effort.patterns, report.effort.tried) {
        (0, 0) => String::new(),
        (0, tried) => format!("; {} of choices tried, not all", numbered("pattern", tried)),
        (1, 1) => String::new(),
        (all, tried) if tried == all => format!("; all {all} patterns of choices tried"),
        (all, tried) => format!("; {tried} of {all} patterns of choices could hold and were tried"),
    };
    let programs = numbered("linear program", report.effort.programs);
    match report.state {
        State::Optimal | State::BestFound => {
            let _ = writeln!(text, "{}, {}{value}", report.goal, report.state.words());
            certainty(text, report, &format!("{programs}{tried}"));
            let error = report.linearisation_error.unwrap_or(0.0);
            let _ = writeln!(
                text,
                "Recomputed from the curved responses. Largest violation of a limit: {}; linearisation error of the last step: {}.",
                relative(report.worst),
                relative(error)
            );
        }
        State::Infeasible => {
            let parts = report.certainty.map_or(0, |certainty| certainty.parts);
            let _ = writeln!(
                text,
                "PROVEN INFEASIBLE: no mix meets everything ({}, {programs}).",
                numbered("part", parts)
            );
            text.push_str("The figures below belong to a mix that comes near. It is NOT a proposal.\n");
        }
        State::NothingFound => {
            let _ =
                writeln!(text, "NOTHING FOUND: no mix was found that meets everything ({programs}{tried}).");
            text.push_str(
                "Not proven that none exists. The figures below are those of the mix that comes nearest.\n",
            );
            text.push_str("It is NOT a proposal.\n");
        }
        State::Unsettled => {
            let _ = writeln!(
                text,
                "UNSETTLED: the search stopped while the linear model and the responses differ ({programs}{tried})."
            );
            text.push_str("The figures below are where it stopped. They are NOT a proposal.\n");
        }
        State::Given => given(text, report, &value),
        State::Failed => {
            let _ =
                writeln!(text, "FAILED: {}", clean(report.reason.as_deref().unwrap_or("no reason given")));
        }
    }
    for choice in &report.broken_choices {
        let _ = writeln!(text, "Choice not met: {}", clean(&choice.name));
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
    let _ = if limits + bounds + report.broken_choices.len() == 0 {
        writeln!(text, "It meets every limit.")
    } else {
        writeln!(
            text,
            "It does not meet {}, {} of materials and {}.",
            numbered("limit", limits),
            numbered("bound", bounds),
            numbered("choice", report.broken_choices.len())
        )
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
            "The amounts and the air fill {} m3, not 1 m3: check them, nothing was scaled.",
            significant(fills, 4)
        );
    }
}

/// What is proven about better mixes.
fn certainty(text: &mut String, report: &Report, effort: &str) {
    let Some(certainty) = report.certainty else {
        let _ = writeln!(text, "Not proven to be the best ({effort}).");
        return;
    };
    let Some((bound, gap)) = certainty.bound.zip(certainty.gap) else {
        let _ = writeln!(text, "No bound was proven ({effort}).");
        return;
    };
    let side = if report.goal.starts_with("most") { "above" } else { "below" };
    let bound = report.goal_unit.with_number(&significant(bound, 6));
    let found = format!("no mix that meets everything lies {side} {bound}, a gap of {} %", percent(gap));
    let parts = numbered("part", certainty.parts);
    let _ = if certainty.complete {
        writeln!(
            text,
            "Proven: {found} ({parts} of the space, {}).",
            numbered("linear program", report.effort.programs)
        )
    } else {
        writeln!(text, "Proven so far: {found}; {} of {parts} of the space are still open.", certainty.open)
    };
}

fn relative(value: f64) -> String {
    if value < 1e-12 { "none".to_owned() } else { format!("{value:.0e}") }
}

/// A gap in per cent; what is below the rounding of the figures beside it is none.
fn percent(gap: f64) -> String {
    trimmed(if gap < 1e-8 { 0.0 } else { 100.0 * gap }, 2)
}
