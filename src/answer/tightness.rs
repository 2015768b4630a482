//! How tight each limit is, in the reader's units.
//!
//! What enters: what was found of every limit. What leaves: figures as programs read them, and tables of them.

use crate::standard::Side;
use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use super::block::{Cell, Column, Part, Spot, Table};
use super::chart::{Axis, Chart, Line, Lines, Stroke};
use super::phrase::{Digits, Figure, Phrase};
use super::reasons::included;
use super::units::Units;
use crate::analysis::{Judgement, Tightness, Value};
use crate::finding::Sources;
use crate::problem::{Direction, Level, Problem, convert};
use crate::quantity::Unit;

/// How tight one limit is. Figures in `unit`, goals in `goal_unit`.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct Entry {
    /// The file it stands in, if that is an included one.
    #[serde(skip)]
    pub file: Option<String>,
    /// Line in the statement.
    pub line: usize,
    /// The limit's name. With a value: where it was put.
    pub limit: String,
    /// Its side.
    #[serde(serialize_with = "side")]
    #[schemars(schema_with = "crate::answer::record::closed_words::sides")]
    pub side: Side,
    /// Its unit.
    pub unit: String,
    /// What it asks; null where that is another quantity and there is no mix.
    #[schemars(with = "Option<f64>")]
    pub asked: f64,
    /// What the best mix gives.
    pub got: Option<f64>,
    /// The tightest value any mix reaches.
    pub tightest: Option<f64>,
    /// Whether that is proven.
    pub tightest_proven: Option<bool>,
    /// Present where mixes go beyond the tightest value that was looked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beyond: Option<f64>,
    /// The loosest value that matters.
    pub loosest: Option<f64>,
    /// Whether that is proven.
    pub loosest_proven: Option<bool>,
    /// In a word.
    #[serde(serialize_with = "in_a_word")]
    #[schemars(schema_with = "crate::answer::record::closed_words::judgements")]
    pub verdict: Judgement,
    /// The unit of the goal.
    pub goal_unit: String,
    /// The goal between, from tight to loose.
    pub between: Vec<Between>,
    /// What the limit would come to if the coefficients of its fitted response were known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub known: Option<KnownEntry>,
}

/// A limit if the coefficients of its fitted response were known: scatter and regions kept.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct KnownEntry {
    /// The part of the goal that is paid because they are not, in the goal's unit.
    pub paid: Option<f64>,
    /// The tightest value any mix would reach.
    pub tightest: Option<f64>,
    /// Whether that is proven.
    pub tightest_proven: Option<bool>,
}

/// The goal where a limit has another value.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct Between {
    /// The limit's name. With a value: where it was put.
    pub limit: f64,
    /// The goal there, if any mix meets it.
    pub goal: Option<f64>,
    /// Whether that is proven.
    pub proven: bool,
}

impl Entry {
    /// The tightest value, marked where it is not proven or where mixes go beyond it.
    pub fn tightest_told(&self) -> Phrase {
        match self.beyond {
            Some(last) => Phrase::from("beyond ").and(Figure::new(last, Digits::Significant(4))),
            None => number(self.tightest, self.tightest_proven),
        }
    }

    /// What is asked; what is compared with something else has no figure where there is no mix.
    pub fn asked_told(&self) -> Phrase {
        let side = Phrase::from(self.side.words());
        if !self.asked.is_finite() {
            return side.and(" something else");
        }
        let asked = Figure::new(self.asked, Digits::Significant(4));
        side.and(" ").and(Figure { unit: self.unit.clone(), ..asked })
    }

    fn is_unproven(&self) -> bool {
        self.tightest_proven == Some(false)
            || self.loosest_proven == Some(false)
            || self.between.iter().any(|between| !between.proven && between.goal.is_some())
    }
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
fn in_a_word<To: Serializer>(word: &Judgement, to: To) -> Result<To::Ok, To::Error> {
    to.serialize_str(word.word())
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
fn side<To: Serializer>(side: &Side, to: To) -> Result<To::Ok, To::Error> {
    to.serialize_str(side.words())
}

/// A value, marked where it is not proven.
fn number(value: Option<f64>, proven: Option<bool>) -> Phrase {
    value.map(|value| Figure::new(value, Digits::Significant(4)).proven(proven)).into()
}

/// The tightness of all limits in the reader's units.
///
/// `best` is the goal of the best mix in the reader's unit, if there is one.
pub fn entries(
    problem: &Problem,
    (list, best): (&[Tightness], Option<f64>),
    sources: &Sources,
    units: Units,
) -> Vec<Entry> {
    let goal = units.shown(&problem.goal.unit, &problem.currency);
    list.iter().map(|tightness| line(problem, (tightness, best), sources, units, &goal)).collect()
}

fn line(
    problem: &Problem,
    (tightness, best): (&Tightness, Option<f64>),
    sources: &Sources,
    units: Units,
    goal: &Unit,
) -> Entry {
    let requirement = &problem.requirements[tightness.requirement];
    let unit = units.shown(&requirement.unit, &problem.currency);
    let shown = |value: f64| convert(value, &requirement.unit, &unit);
    let goal_value = |value: Value| match &problem.goal.level {
        Some(Level::Response(index)) => {
            let response = &problem.responses[*index];
            convert(response.natural(value.value), &response.unit, goal)
        }
        _ => goal.from_base(value.value),
    };
    Entry {
        file: included(problem, requirement.place, sources),
        line: sources.line(requirement.place),
        limit: requirement.name.clone(),
        side: requirement.side,
        asked: shown(tightness.asked),
        got: tightness.got.map(shown),
        tightest: tightness.tightest.map(|value| shown(value.value)),
        tightest_proven: tightness.tightest.map(|value| value.proven),
        beyond: tightness.tightest.filter(|_| tightness.beyond).map(|value| shown(value.value)),
        loosest: tightness.loosest.map(|value| shown(value.value)),
        loosest_proven: tightness.loosest.map(|value| value.proven),
        verdict: tightness.word,
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
        known: tightness.known.map(|known| KnownEntry {
            paid: best.zip(known.goal).map(|(best, goal)| paid(best, goal_value(goal), problem)),
            tightest: known.tightest.map(|value| shown(value.value)),
            tightest_proven: known.tightest.map(|value| value.proven),
        }),
        unit: unit.text,
    }
}

/// What is paid of the goal. A local answer that is worse than the best mix says nothing: none.
fn paid(best: f64, known: f64, problem: &Problem) -> f64 {
    match problem.goal.direction {
        Direction::Least => (best - known).max(0.0),
        Direction::Most => (known - best).max(0.0),
    }
}

/// The limits as parts for people; goals are in the unit of the goal.
pub fn parts(entries: &[Entry]) -> Vec<Part> {
    let mut limits = Table::new([
        Column::words("limit"),
        Column::figures("line"),
        Column::words("asked"),
        Column::figures("got"),
        Column::figures("tightest"),
        Column::figures("loosest"),
        Column::words("verdict"),
    ]);
    for entry in entries {
        limits.row([
            Cell::from(&entry.limit),
            Spot::cell(entry.file.as_ref(), entry.line),
            entry.asked_told().into(),
            number(entry.got, None).into(),
            entry.tightest_told().into(),
            number(entry.loosest, entry.loosest_proven).into(),
            entry.verdict.word().into(),
        ]);
    }
    let about = "all others kept: the tightest value any mix reaches, and the loosest value beyond which it \
                 changes nothing; margins are taken off what a mix gives";
    let mut part = Part::new("How tight each limit is,", about).with(limits);
    if entries.iter().any(Entry::is_unproven) {
        part = part.saying("? best found, not proven");
    }
    let words = [
        (Judgement::Idle, "left out, the best mix stays the same"),
        (Judgement::Binding, "shapes the mix"),
        (Judgement::Strained, "shapes the mix, and little more can be asked"),
        (Judgement::Impossible, "no mix meets it together with the others"),
        (Judgement::NoHelp, "no mix meets the others even without it"),
        (Judgement::Unsettled, "stopped before it was known"),
    ];
    for (word, meaning) in words {
        if entries.iter().any(|entry| entry.verdict == word) {
            part = part.saying(format!("{}: {meaning}", word.word()));
        }
    }
    let mut parts = vec![part];
    parts.extend(costs(entries));
    parts.extend(known_coefficients(entries));
    parts
}

/// What the limits on fitted responses would come to if coefficients were known.
pub fn known_coefficients(entries: &[Entry]) -> Option<Part> {
    let unit = &entries.first()?.goal_unit;
    let mut table = Table::new([
        Column::words("limit"),
        Column { unit: unit.clone(), ..Column::figures("paid for uncertainty") },
        Column::figures("tightest"),
        Column::figures("tightest if known"),
    ]);
    for entry in entries {
        let Some(known) = &entry.known else { continue };
        let name = format!("{}, {}", entry.limit, entry.side.words());
        let name = if entry.unit.is_empty() { name } else { format!("{name}, {}", entry.unit) };
        table.row([
            Cell::from(name),
            known.paid.map(|paid| Figure::new(paid, Digits::Significant(3))).into(),
            entry.tightest_told().into(),
            number(known.tightest, known.tightest_proven).into(),
        ]);
    }
    let about = "of fitted responses: each limit as if the coefficients of its response were known, the scatter of \
                 batches and the regions kept";
    (!table.rows.is_empty()).then(|| Part::new("Uncertainty", about).with(table))
}

/// What each limit costs between its tightest and its loosest value.
fn costs(entries: &[Entry]) -> Option<Part> {
    let mut table = Table::new([Column::words("limit"), Column::words("value and goal, tight to loose")]);
    for entry in entries.iter().filter(|entry| !entry.between.is_empty() && entry.verdict != Judgement::Idle)
    {
        let step = |between: &Between| {
            let goal: Phrase = between.goal.map_or_else(
                || "none".into(),
                |goal| Figure::new(goal, Digits::Significant(4)).proven(Some(between.proven)).into(),
            );
            Phrase::from(Figure::new(between.limit, Digits::Significant(4))).and(":\u{a0}").and(goal)
        };
        let name = format!("{}, {}", entry.limit, entry.side.words());
        let name = if entry.unit.is_empty() { name } else { format!("{name}, {}", entry.unit) };
        table.row([Cell::from(name), Phrase::joined(entry.between.iter().map(step), "  ").into()]);
    }
    let unit = &entries.first()?.goal_unit;
    Some(
        Part::new(
            "What each limit costs,",
            format!("{unit}, from just inside the tightest value to the loosest"),
        )
        .with(table),
    )
}

/// The goal over each limit that matters.
pub fn charts(entries: &[Entry]) -> Vec<Chart> {
    entries.iter().enumerate().filter_map(|(number, entry)| chart(number, entry)).collect()
}

fn chart(number: usize, entry: &Entry) -> Option<Chart> {
    let figure = |value: f64, unit: &str| Figure {
        unit: unit.to_owned(),
        ..Figure::new(value, Digits::Significant(4))
    };
    let point = |between: &Between| {
        let goal = between.goal?;
        let mark = if between.proven { "" } else { ", best found" };
        let words = Phrase::from(figure(between.limit, &entry.unit))
            .and(": ")
            .and(figure(goal, &entry.goal_unit))
            .and(mark);
        Some((between.limit, goal, words))
    };
    let points: Vec<(f64, f64, Phrase)> = entry.between.iter().filter_map(point).collect();
    let low = points.iter().map(|point| point.1).fold(f64::INFINITY, f64::min);
    let high = points.iter().map(|point| point.1).fold(f64::NEG_INFINITY, f64::max);
    if points.len() < 3 || (high - low) / high.abs().max(low.abs()).max(1e-9) < 1e-5 {
        return None;
    }
    let name = format!("{} {}", entry.limit, entry.side.words());
    Some(Chart::Lines(Lines {
        id: format!("limit-{number}"),
        title: format!("What the limit on {name} costs").into(),
        said: Phrase::joined(points.iter().map(|point| point.2.clone()), "; ").and("."),
        across: Axis { holds: vec![entry.asked], ..Axis::linear(name, &entry.unit) },
        up: Axis::linear("goal", &entry.goal_unit),
        lines: vec![Line { name: String::new(), points, stroke: Stroke::Marked }],
        marks: vec![(entry.asked, "asked".into())],
    }))
}
