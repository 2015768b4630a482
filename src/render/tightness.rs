//! How tight each limit is, as text, CSV and JSON.

use std::fmt::Write;

use serde::Serialize;

use super::TableFormat;
use super::text::{align_numbers, push_table, table};
use crate::analysis::{Judgement, Tightness, Value};
use crate::answer::record::cells::cell;
use crate::answer::record::json::written;
use crate::answer::units::Units;
use crate::finding::{Sources, clean};
use crate::problem::{Problem, convert};
use crate::quantity::{Unit, significant};

#[derive(Serialize)]
pub(super) struct Entry {
    pub line: usize,
    pub limit: String,
    pub side: &'static str,
    pub unit: String,
    pub asked: f64,
    pub got: Option<f64>,
    pub tightest: Option<f64>,
    pub tightest_proven: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beyond: Option<f64>,
    pub loosest: Option<f64>,
    pub loosest_proven: Option<bool>,
    pub verdict: &'static str,
    pub goal_unit: String,
    pub between: Vec<Between>,
}

#[derive(Clone, Serialize)]
pub(super) struct Between {
    pub limit: f64,
    pub goal: Option<f64>,
    pub proven: bool,
}

impl Entry {
    /// The tightest value, marked where it is not proven or where mixes go beyond it.
    pub fn tightest_text(&self) -> String {
        match (self.beyond, self.tightest) {
            (Some(last), _) => format!("beyond {}", significant(last, 4)),
            (None, value) => number(value, self.tightest_proven),
        }
    }
}

/// A value, with a mark where it is not proven.
fn number(value: Option<f64>, proven: Option<bool>) -> String {
    let mark = if proven == Some(false) { "?" } else { "" };
    value.map_or_else(String::new, |value| format!("{}{mark}", significant(value, 4)))
}

/// Writes the tightness of all limits.
pub fn tightness_report(
    problem: &Problem,
    list: &[Tightness],
    sources: &Sources,
    units: Units,
    format: TableFormat,
) -> String {
    let goal = units.shown(&problem.goal.unit, &problem.currency);
    let lines = entries(problem, list, sources, units);
    match format {
        TableFormat::Text => text(&lines, &goal.text),
        TableFormat::Csv => csv(&lines),
        TableFormat::Json => written(&lines),
    }
}

/// The tightness of all limits in the reader's units.
pub(super) fn entries(problem: &Problem, list: &[Tightness], sources: &Sources, units: Units) -> Vec<Entry> {
    let goal = units.shown(&problem.goal.unit, &problem.currency);
    list.iter().map(|tightness| line(problem, tightness, sources, units, &goal)).collect()
}

fn line(problem: &Problem, tightness: &Tightness, sources: &Sources, units: Units, goal: &Unit) -> Entry {
    let requirement = &problem.requirements[tightness.requirement];
    let unit = units.shown(&requirement.unit, &problem.currency);
    let shown = |value: f64| convert(value, &requirement.unit, &unit);
    let goal_value = |value: Value| match &problem.goal.level {
        Some(crate::problem::Level::Response(index)) => {
            let response = &problem.responses[*index];
            convert(response.natural(value.value), &response.unit, goal)
        }
        _ => goal.from_base(value.value),
    };
    Entry {
        line: sources.line(requirement.place),
        limit: requirement.name.clone(),
        side: requirement.side.words(),
        asked: shown(tightness.asked),
        got: tightness.got.map(shown),
        tightest: tightness.tightest.map(|value| shown(value.value)),
        tightest_proven: tightness.tightest.map(|value| value.proven),
        beyond: tightness.tightest.filter(|_| tightness.beyond).map(|value| shown(value.value)),
        loosest: tightness.loosest.map(|value| shown(value.value)),
        loosest_proven: tightness.loosest.map(|value| value.proven),
        verdict: tightness.word.word(),
        goal_unit: goal.text.clone(),
        between: tightness
            .costs
            .iter()
            .map(|(limit, value)| Between {
                limit: shown(*limit),
                goal: value.map(goal_value),
                proven: value.is_some_and(|value| value.proven),
            })
            .collect(),
        unit: unit.text,
    }
}

fn text(lines: &[Entry], goal: &str) -> String {
    let mut text =
        String::from("LIMITS, each with all others kept: the tightest value any mix reaches, and the\n");
    text.push_str("loosest value beyond which it changes nothing; margins are taken off what a mix gives\n");
    let header =
        ["line", "limit", "asked", "got", "tightest", "loosest", "verdict"].map(str::to_owned).to_vec();
    let mut limits = table(header);
    for line in lines {
        limits.add_row(vec![
            line.line.to_string(),
            clean(&line.limit),
            asked(line),
            number(line.got, None),
            line.tightest_text(),
            number(line.loosest, line.loosest_proven),
            line.verdict.to_owned(),
        ]);
    }
    align_numbers(&mut limits, 0, 1);
    align_numbers(&mut limits, 3, 6);
    push_table(&mut text, &limits);
    let unproven = |line: &Entry| {
        line.tightest_proven == Some(false)
            || line.loosest_proven == Some(false)
            || line.between.iter().any(|b| !b.proven && b.goal.is_some())
    };
    if lines.iter().any(unproven) {
        text.push_str("? best found, not proven\n");
    }
    let words = [
        (Judgement::Idle, "left out, the best mix stays the same"),
        (Judgement::Binding, "shapes the mix"),
        (Judgement::Strained, "shapes the mix, and little more can be asked"),
        (Judgement::Impossible, "no mix meets it together with the others"),
        (Judgement::NoHelp, "no mix meets the others even without it"),
    ];
    for (word, meaning) in
        words.iter().filter(|(word, _)| lines.iter().any(|line| line.verdict == word.word()))
    {
        let _ = writeln!(text, "{}: {meaning}", word.word());
    }
    let _ = writeln!(text, "\nWHAT EACH LIMIT COSTS, {goal}, from the tightest value to the loosest");
    let mut costs = table(["limit", "value and goal, tight to loose"].map(str::to_owned).to_vec());
    for line in lines.iter().filter(|line| !line.between.is_empty() && line.verdict != Judgement::Idle.word())
    {
        let steps: Vec<String> = line
            .between
            .iter()
            .map(|between| {
                let mark = if between.proven { "" } else { "?" };
                let goal = between.goal.map_or_else(|| "none".to_owned(), |goal| significant(goal, 4));
                format!("{}: {goal}{mark}", significant(between.limit, 4))
            })
            .collect();
        let name = format!("{}, {}", clean(&line.limit), line.side);
        let name = if line.unit.is_empty() { name } else { format!("{name}, {}", line.unit) };
        costs.add_row(vec![name, steps.join("   ")]);
    }
    push_table(&mut text, &costs);
    text
}

/// What is asked, in words; what is compared with something else has no figure where there is no mix.
fn asked(line: &Entry) -> String {
    if !line.asked.is_finite() {
        return format!("{} something else", line.side);
    }
    format!("{} {} {}", line.side, significant(line.asked, 4), line.unit).trim_end().to_owned()
}

fn csv(lines: &[Entry]) -> String {
    let mut text = String::from(
        "line,limit,side,unit,asked,got,tightest,tightest_proven,loosest,loosest_proven,verdict,goal_unit,between,beyond\n",
    );
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let word = |value: Option<bool>| value.map_or_else(String::new, |value| value.to_string());
    for line in lines {
        let between: Vec<String> =
            line.between.iter().map(|b| format!("{}={}", b.limit, number(b.goal))).collect();
        let cells = [
            line.line.to_string(),
            cell(&line.limit),
            line.side.to_owned(),
            cell(&line.unit),
            number(Some(line.asked).filter(|asked| asked.is_finite())),
            number(line.got),
            number(line.tightest),
            word(line.tightest_proven),
            number(line.loosest),
            word(line.loosest_proven),
            line.verdict.to_owned(),
            cell(&line.goal_unit),
            cell(&between.join(";")),
            number(line.beyond),
        ];
        let _ = writeln!(text, "{}", cells.join(","));
    }
    text
}
