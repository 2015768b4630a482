//! The first sentences of every report: what it came to, and how certain that is.
//!
//! What enters: a report. What leaves: phrases, one a sentence or two.

use crate::answer::approval::ApprovalLine;
use crate::answer::conflict::ConflictLines;
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::answer::report::{Audience, Report, Standing, State};
use crate::finding::numbered;
use crate::problem::{FULL, Origin, Side};
use crate::solve::Ended;

/// Violation, relative to what is wanted, that is rounding and no violation.
const ROUNDING: f64 = 1e-9;

/// What the solve came to, each line a phrase.
pub fn outcome(report: &Report) -> Vec<Phrase> {
    let mut lines = match report.state {
        State::Optimal | State::BestFound => found(report),
        State::Infeasible => vec![
            format!("PROVEN INFEASIBLE: no mix meets everything. Effort: {}.", effort(report)).into(),
            shown_instead(report).into(),
        ],
        State::NothingFound => vec![
            format!("NOTHING FOUND: no mix was found that meets everything. Effort: {}.", effort(report)).into(),
            "Not proven that none exists. The figures below are those of the mix that comes nearest. It is NOT a proposal."
                .into(),
        ],
        State::Unsettled => vec![
            format!(
                "UNSETTLED: the search stopped before its figures could be trusted. Effort: {}.",
                effort(report)
            )
            .into(),
            "The figures below are where it stopped. They are NOT a proposal.".into(),
        ],
        State::Given => given(report),
        State::Failed => {
            vec![Phrase::from("FAILED: ").and(report.reason.as_deref().unwrap_or("no reason given"))]
        }
    };
    lines.extend(
        report.broken_choices.iter().map(|choice| Phrase::from("Choice not met: ").and(&choice.name)),
    );
    let mix = report.state.is_proposal() || report.state == State::Given;
    lines.extend(report.approval.iter().filter(|_| mix).map(ApprovalLine::phrase));
    lines.extend(report.unchecked.iter().map(|demand| Phrase::from(format!("{}.", demand.words()))));
    lines
}

/// Which mix is shown where nothing fits.
fn shown_instead(report: &Report) -> String {
    let conflict = report.conflict.as_ref();
    let single = conflict.and_then(ConflictLines::shown_alone);
    let whose = match (conflict.and_then(|conflict| conflict.compromise), single) {
        (Some(_), _) => "the nearest mix: all limits give way alike".to_owned(),
        (None, Some(member)) => format!("the mix of repair {}: all else is met", member + 1),
        (None, None) => "a mix that comes near".to_owned(),
    };
    format!("The figures below belong to {whose}. It is NOT a proposal.")
}

/// How many demands of classes nothing checked, if any.
fn not_checked(report: &Report) -> Option<String> {
    match report.unchecked.len() {
        0 => None,
        1 => Some("1 demand of a class was not".to_owned()),
        count => Some(format!("{count} demands of classes were not")),
    }
}

/// A mix that meets everything.
fn found(report: &Report) -> Vec<Phrase> {
    let is_author = report.audience == Audience::Author;
    let mut lines = Vec::new();
    if is_author || report.goal_value.is_some() {
        lines.push(valued(format!("{}, {}", report.goal, report.state.words()), report));
    }
    lines.extend(sum(report));
    if is_author {
        lines.push(certainty(report));
    }
    let within = if report.worst < ROUNDING {
        Phrase::empty()
    } else {
        Phrase::from(", within ").and(Figure::new(report.worst, Digits::Significant(1))).and(" of its value")
    };
    let (which, not) = match not_checked(report) {
        Some(told) => (" that could be checked", format!(", {told}")),
        None => ("", String::new()),
    };
    lines.push(
        Phrase::from(format!("Measured again as written: every limit{which} is met"))
            .and(within)
            .and(if is_author { format!("{not}. Effort: {}.", effort(report)) } else { format!("{not}.") }),
    );
    lines
}

/// Words, then the value of the goal if there is one.
fn valued(words: String, report: &Report) -> Phrase {
    let phrase = Phrase::from(words);
    match report.goal_value {
        Some(value) => phrase.and(": ").and(Figure::new(value, Digits::Significant(5)).of(&report.goal_unit)),
        None => phrase,
    }
}

/// A mix that nobody sought: what it costs, what it breaks, what it fills.
fn given(report: &Report) -> Vec<Phrase> {
    let mut lines = vec![match report.goal_value {
        Some(_) => valued(format!("Predicted for the mix as given; {}", report.goal_name), report),
        None => "Predicted for the mix as given.".into(),
    }];
    lines.extend(sum(report));
    let count = |origins: fn(Origin) -> bool| {
        let lines = report.limits.iter().filter(|line| line.standing == Standing::Violated);
        lines.filter(|line| origins(line.origin)).count()
    };
    let outside = count(|origin| matches!(origin, Origin::Region { .. } | Origin::Leverage(_)));
    let missed: Vec<String> = [
        ("limit", count(|origin| origin == Origin::Limit), ""),
        ("bound", count(|origin| matches!(origin, Origin::Material(_))), " of materials"),
        ("choice", report.broken_choices.len(), ""),
    ]
    .into_iter()
    .filter(|(_, count, _)| 0 < *count)
    .map(|(noun, count, of)| format!("{}{of}", numbered(noun, count)))
    .collect();
    lines.push(match missed.as_slice() {
        [] => match not_checked(report) {
            Some(told) => format!("It meets every limit that could be checked, {told}.").into(),
            None => "It meets every limit.".into(),
        },
        [one] => format!("It does not meet {one}.").into(),
        [first @ .., last] => format!("It does not meet {} and {last}.", first.join(", ")).into(),
    });
    if 0 < outside {
        let places = numbered("place", outside);
        lines.push(
            format!(
                "OUTSIDE what responses are known for in {places}: those predictions are extrapolations."
            )
            .into(),
        );
    }
    if let Some(fills) = report.fills.filter(|fills| FULL < (fills - 1.0).abs()) {
        let unit = report.units.body();
        lines.push(
            Phrase::from("The amounts and the air fill ")
                .and(Figure::new(fills, Digits::Significant(4)))
                .and(format!(" {unit}, not 1 {unit}: check them, nothing was scaled.")),
        );
    }
    lines
}

/// What is proven about better mixes.
fn certainty(report: &Report) -> Phrase {
    let Some(certainty) = report.certainty else { return "Not proven to be the best.".into() };
    let Some((bound, gap)) = certainty.bound.zip(certainty.gap) else {
        return "No bound was proven.".into();
    };
    let side = match report.better {
        Side::AtLeast => "above",
        Side::AtMost => "below",
    };
    let phrase = Phrase::from(if certainty.complete { "Proven: " } else { "Proven so far: " })
        .and(format!("no mix that meets everything lies {side} "))
        .and(Figure::new(bound, Digits::Significant(6)).of(&report.goal_unit))
        .and(", a gap of ")
        .and(Figure::gap(gap));
    if certainty.complete {
        return phrase.and(".");
    }
    let (open, parts) = (certainty.open, certainty.parts);
    phrase.and(format!("; {open} of the {parts} parts of the proof are still open."))
}

/// The goal as the sum of cost and priced carbon.
fn sum(report: &Report) -> Option<Phrase> {
    let sum = report.sum.as_ref()?;
    let carbon = report.units.carbon();
    let money = |value: f64| Figure::new(value, Digits::Money).of(&report.goal_unit);
    Some(
        Phrase::from("That is ")
            .and(money(sum.cost))
            .and(" of cost and ")
            .and(money(sum.priced))
            .and(" for ")
            .and(Figure::new(carbon.from_base(sum.carbon), Digits::Significant(4)).of(&carbon))
            .and(format!(" at {}.", sum.price)),
    )
}

/// What it took.
fn effort(report: &Report) -> String {
    let mut told = vec![numbered("linear program", report.effort.programs)];
    if let Some(parts) = report.certainty.map(|certainty| certainty.parts).filter(|parts| 1 < *parts) {
        told.push(format!("a proof in {parts} parts"));
    }
    let stopped = match report.effort.ended {
        Ended::ByItself => None,
        Ended::OutOfTime => Some("stopped by its time limit: this is what was known by then"),
        Ended::Interrupted => Some("interrupted: this is what was known by then"),
    };
    match (report.effort.assignments, report.effort.tried) {
        (0, 0) | (1, 1) => {}
        // What was not tried says nothing then.
        (_, tried) if stopped.is_some() => told.push(numbered("combination", tried) + " of choices"),
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
    told.extend(stopped.map(str::to_owned));
    told.join(", ")
}
