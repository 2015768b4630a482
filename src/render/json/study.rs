//! Sweeps and fronts for programs: full digits, every figure beside its unit.

use serde::Serialize;

use crate::answer::cautions::PROPOSAL;
use crate::answer::doubt::point_doubt;
use crate::answer::front::side;
use crate::answer::record::json::written;
use crate::answer::study::{StudyRow, StudyRows};
use crate::problem::convert;
use crate::quantity::Unit;
use crate::study::{CaseResult, Front, Sweep};

/// An answer for programs.
#[derive(Serialize)]
struct AnswerOut<'a> {
    state: &'static str,
    bound: Option<f64>,
    gap: Option<f64>,
    mix: Vec<AmountOut<'a>>,
    enters: &'a [String],
    leaves: &'a [String],
    stands_at: &'a [String],
    figures: Vec<FigureOut<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    told: Option<&'a String>,
}

#[derive(Serialize)]
struct AmountOut<'a> {
    material: &'a str,
    amount: f64,
    unit: String,
}

#[derive(Serialize)]
struct FigureOut<'a> {
    name: &'a str,
    value: Option<f64>,
    unit: String,
}

#[derive(Serialize)]
struct SweepOut<'s> {
    goal: &'s str,
    unit: &'s str,
    axes: Vec<AxisOut<'s>>,
    caution: &'static str,
    cases: Vec<CaseOut<'s>>,
}

#[derive(Serialize)]
struct AxisOut<'s> {
    name: &'s str,
    values: &'s [String],
}

#[derive(Serialize)]
struct CaseOut<'s> {
    case: usize,
    values: Vec<&'s str>,
    goal: Option<f64>,
    #[serde(flatten)]
    answer: AnswerOut<'s>,
}

#[derive(Serialize)]
struct FrontOut<'f> {
    goals: Vec<GoalOut<'f>>,
    conflict: bool,
    proven: bool,
    questions: usize,
    unmet: usize,
    caution: &'static str,
    points: Vec<PointOut<'f>>,
}

#[derive(Serialize)]
struct GoalOut<'f> {
    name: &'f str,
    wanted: &'static str,
    unit: String,
}

#[derive(Serialize)]
struct PointOut<'f> {
    point: usize,
    /// An age at cracking that there is none of by the last day is absent.
    values: Vec<Option<f64>>,
    none_by: Vec<Option<f64>>,
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
        conflict: front.conflict,
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
