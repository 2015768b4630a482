//! `mixbound export`: the problem and its answer as files that other solvers read.

use std::path::Path;

use super::outside::{Output, undivided_until};
use crate::analysis::{assignment_of, last_program};
use crate::answer::cautions::PROPOSAL;
use crate::finding::Fault;
use crate::model::{Frame, Remarks, mps, pip, point_at, unlinearised};
use crate::problem::{Direction, Problem};
use crate::solve::{Found, Settings, Verdict, solve};

/// What an export came to.
pub enum Exported {
    /// Written, with the answer in it.
    WithAnswer,
    /// Written, or nothing to write, since there is no mix.
    WithoutAnswer,
    /// The problem cannot be stated so; every reason.
    Refused(Vec<String>),
}

/// Writes the last linear program in the MPS format. There is none without a mix.
pub fn linear_program(
    problem: &Problem,
    settings: &Settings,
    output: Option<&Path>,
) -> Result<Exported, Fault> {
    let output = Output::open(output)?;
    let Some(found) = answer(problem, settings)? else { return Ok(Exported::WithoutAnswer) };
    let last = last_program(problem, &found.mix, settings.stop);
    let mut lines = vec![
        "The tangent program at the mix found, its decisions taken: its optimum is that mix.".to_owned(),
        PROPOSAL.to_owned(),
        goal(problem),
    ];
    if last.radius.is_finite() {
        lines.push(format!(
            "Columns stay within {:e} of the mix: beyond, the tangents leave the curves that hold the optimum.",
            last.radius
        ));
    }
    let scales = Frame::new(problem).scales;
    output.write(&mps(&last.program, &Remarks { lines, scales, answer: Some(last.point) }))?;
    Ok(Exported::WithAnswer)
}

/// Writes the whole problem in the PIP format, with the answer in comments if there is one.
pub fn whole_problem(
    problem: &Problem,
    settings: &Settings,
    output: Option<&Path>,
) -> Result<Exported, Fault> {
    let frame = Frame::new(problem);
    let stated = undivided_until(settings.stop, "the problem was stated", || unlinearised(&frame));
    let program = match stated {
        Ok(program) => program,
        Err(reasons) => return Ok(Exported::Refused(reasons)),
    };
    let output = Output::open(output)?;
    let found = answer(problem, settings)?;
    let mut lines =
        vec!["The whole problem, nothing linearised.".to_owned(), PROPOSAL.to_owned(), goal(problem)];
    let point =
        found.map(|found| point_at(&frame, &program, &found.mix, &assignment_of(problem, &found.mix)));
    if point.is_none() {
        lines.push("No mix was found.".to_owned());
    }
    let exported = if point.is_some() { Exported::WithAnswer } else { Exported::WithoutAnswer };
    let scales = program.scales.clone();
    output.write(&pip(&program, &Remarks { lines, scales, answer: point }))?;
    Ok(exported)
}

fn goal(problem: &Problem) -> String {
    let sign = if problem.goal.direction == Direction::Most {
        "the negative of what is wanted"
    } else {
        "what is wanted"
    };
    format!("Minimised is {sign}, in base units (kg, m, s, {}): {}.", problem.currency, problem.goal.label())
}

fn answer(problem: &Problem, settings: &Settings) -> Result<Option<Found>, Fault> {
    match solve(problem, settings) {
        Verdict::Found(found) => Ok(Some(found)),
        Verdict::Nothing(_) | Verdict::Unsettled(_) => Ok(None),
        Verdict::Failed(reason) => Err(Fault::Solver { reason }),
    }
}
