//! Sweeps and fronts for programs: full digits, every figure beside its unit.

use schemars::JsonSchema;
use serde::Serialize;

use crate::answer::cautions::PROPOSAL;
use crate::answer::doubt::point_doubt;
use crate::answer::front::side;
use crate::answer::record::closed_words::states;
use crate::answer::record::json::written;
use crate::answer::study::{StudyRow, StudyRows};
use crate::problem::convert;
use crate::quantity::Unit;
use crate::study::{CaseResult, Front, Sweep};

/// An answer for programs.
#[derive(JsonSchema, Serialize)]
struct AnswerOut<'a> {
    /// What the solve came to.
    #[schemars(schema_with = "states")]
    state: &'static str,
    /// No mix has a better goal than this, in the goal's unit.
    bound: Option<f64>,
    /// Relative gap between goal and bound.
    gap: Option<f64>,
    /// Amounts of what the mix uses.
    mix: Vec<AmountOut<'a>>,
    /// Materials that came in since the row before.
    enters: &'a [String],
    /// Materials that went out since the row before.
    leaves: &'a [String],
    /// Names of the limits that bind.
    stands_at: &'a [String],
    /// What else is told of the mix.
    figures: Vec<FigureOut<'a>>,
    /// What is wrong with the case, where something is.
    #[serde(skip_serializing_if = "Option::is_none")]
    told: Option<&'a String>,
}

/// One material of a mix.
#[derive(JsonSchema, Serialize)]
struct AmountOut<'a> {
    /// Its name.
    material: &'a str,
    /// Mass in 1 unit of volume of concrete, in its reference state.
    amount: f64,
    /// Unit of the amount.
    unit: String,
}

/// A figure of a mix.
#[derive(JsonSchema, Serialize)]
struct FigureOut<'a> {
    /// Its name.
    name: &'a str,
    /// Its value; null where there is none.
    value: Option<f64>,
    /// Its unit.
    unit: String,
}

/// Many cases of one statement.
#[derive(JsonSchema, Serialize)]
pub(super) struct SweepOut<'s> {
    /// The goal in words.
    goal: &'s str,
    /// Its unit.
    unit: &'s str,
    /// What varies.
    axes: Vec<AxisOut<'s>>,
    /// What has to be known with the figures.
    caution: &'static str,
    /// The cases, the last axis running fastest.
    cases: Vec<CaseOut<'s>>,
}

/// One thing that varies.
#[derive(JsonSchema, Serialize)]
struct AxisOut<'s> {
    /// Its name.
    name: &'s str,
    /// Its values in words.
    values: &'s [String],
}

/// One case.
#[derive(JsonSchema, Serialize)]
struct CaseOut<'s> {
    /// Its number, from one.
    case: usize,
    /// Where it stands on each axis.
    values: Vec<&'s str>,
    /// What the goal came to.
    goal: Option<f64>,
    #[serde(flatten)]
    answer: AnswerOut<'s>,
}

/// The mixes among which goals that conflict leave the choice.
#[derive(JsonSchema, Serialize)]
pub(super) struct FrontOut<'f> {
    /// The goals.
    goals: Vec<GoalOut<'f>>,
    /// Whether they conflict at all; null where work had to end before that was known.
    conflict: Option<bool>,
    /// Whether it was stopped before its end: more points may lie between these, or beyond.
    stopped: bool,
    /// Whether every point is proven.
    proven: bool,
    /// Problems solved.
    questions: usize,
    /// How many of them have no mix.
    unmet: usize,
    /// What has to be known with the figures.
    caution: &'static str,
    /// The points.
    points: Vec<PointOut<'f>>,
}

/// One goal.
#[derive(JsonSchema, Serialize)]
struct GoalOut<'f> {
    /// Its name.
    name: &'f str,
    /// Which way it goes.
    wanted: &'static str,
    /// Its unit.
    unit: String,
}

/// One point.
#[derive(JsonSchema, Serialize)]
struct PointOut<'f> {
    /// Its number, from one.
    point: usize,
    /// Values of the goals; null for an age at cracking that there is none of by the last day.
    values: Vec<Option<f64>>,
    /// That last day, where so.
    none_by: Vec<Option<f64>>,
    /// The goal that was made best here.
    best: &'f str,
    /// Of the goal that was made best: what is paid because coefficients of fitted responses are estimates.
    #[serde(skip_serializing_if = "Option::is_none")]
    paid_for_uncertainty: Option<f64>,
    /// That goal without the regions that the mix stands at.
    #[serde(skip_serializing_if = "Option::is_none")]
    without_regions: Option<f64>,
    #[serde(flatten)]
    answer: AnswerOut<'f>,
}

/// One row for programs.
fn row<'a>(rows: &'a StudyRows<'_>, row: &'a StudyRow<'_>) -> AnswerOut<'a> {
    let answer = row.answer;
    let content = rows.units.content();
    AnswerOut {
        state: answer.outcome.words(),
        bound: answer.bound,
        gap: answer.gap,
        mix: answer
            .mix
            .iter()
            .map(|(material, amount)| AmountOut {
                material,
                amount: content.from_base(*amount),
                unit: content.text.clone(),
            })
            .collect(),
        enters: &row.enters,
        leaves: &row.leaves,
        stands_at: &answer.binding,
        figures: rows
            .figures
            .iter()
            .enumerate()
            .map(|(at, figure)| FigureOut {
                name: &figure.name,
                value: rows.figure(answer, at),
                unit: rows.shown(figure).text,
            })
            .collect(),
        told: (!answer.told.is_empty()).then_some(&answer.told),
    }
}

/// A sweep; cases in the reader's unit.
pub fn sweep(sweep: &Sweep, cases: &[CaseResult], rows: &StudyRows<'_>, unit: &Unit) -> String {
    written(&SweepOut {
        goal: &sweep.goal,
        unit: &unit.text,
        axes: sweep.axes.iter().map(|axis| AxisOut { name: &axis.name, values: &axis.values }).collect(),
        caution: PROPOSAL,
        cases: cases
            .iter()
            .zip(&rows.rows)
            .map(|(case, one)| CaseOut {
                case: case.number + 1,
                values: sweep.values(case),
                goal: case.answer.goal,
                answer: row(rows, one),
            })
            .collect(),
    })
}

/// A front.
pub fn front(front: &Front, rows: &StudyRows<'_>, shown: &[Unit]) -> String {
    let finite = |at: usize, value: f64| {
        Some(convert(value, &front.goals[at].unit, &shown[at])).filter(|value| value.is_finite())
    };
    let none_by = |at: usize, value: f64| {
        let last = front.goals[at].last.filter(|_| value.is_infinite())?;
        Some(convert(last, &front.goals[at].unit, &shown[at]))
    };
    written(&FrontOut {
        goals: front
            .goals
            .iter()
            .zip(shown)
            .map(|(goal, unit)| GoalOut { name: &goal.name, wanted: side(goal), unit: unit.text.clone() })
            .collect(),
        conflict: Some(front.conflict).filter(|conflict| *conflict || !front.stopped),
        stopped: front.stopped,
        proven: front.is_proven(),
        questions: front.asked,
        unmet: front.unmet,
        caution: PROPOSAL,
        points: front
            .points
            .iter()
            .zip(&rows.rows)
            .enumerate()
            .map(|(number, (point, one))| PointOut {
                point: number + 1,
                values: point.values.iter().enumerate().map(|(at, value)| finite(at, *value)).collect(),
                none_by: point.values.iter().enumerate().map(|(at, value)| none_by(at, *value)).collect(),
                best: &front.goals[point.best].name,
                paid_for_uncertainty: point_doubt(point, front, shown).paid,
                without_regions: point_doubt(point, front, shown).beyond,
                answer: row(rows, one),
            })
            .collect(),
    })
}
