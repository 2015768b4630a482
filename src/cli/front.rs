//! `mixbound front`: the mixes among which goals that conflict leave the choice.

use super::ending::{FAULT, INTERRUPTED, NO_MIX, WRONG, width_of};
use super::opened::UNREAD;
use super::outside::{Output, is_interrupted, steps, stop, tell, undivided_until};
use super::robust::{note_of_studies, solved_with_risk};
use super::study_arguments::FrontArguments;
use super::sweep::{document_of, settings_of, with_jobs};
use super::typed::{format_of, units_of};
use crate::finding::{Fault, Place, Sources};
use crate::parallel::Stop;
use crate::render::tables;
use crate::statement::{Document, Word};
use crate::study::{Front, FrontPlan, GoalWish};

/// Seeks a front.
///
/// # Errors
/// If a file cannot be read or written.
pub fn front(arguments: &FrontArguments) -> Result<u8, Fault> {
    let stop = stop(arguments.time_limit);
    let files = std::slice::from_ref(&arguments.study.file);
    let Some(prices) = undivided_until(stop, UNREAD, || arguments.study.prices.open(files, None))? else {
        return Ok(WRONG);
    };
    let read = || document_of(&arguments.study.file, &prices);
    let Some((document, mut sources, _)) = undivided_until(stop, UNREAD, read)? else { return Ok(WRONG) };
    let wishes = arguments.goals.as_deref().map(|text| goals("--goals", text, &mut sources));
    with_jobs(arguments.study.jobs, || sought(document, &sources, wishes.as_deref(), arguments, stop))
}

fn sought(
    document: Document,
    sources: &Sources,
    wishes: Option<&[GoalWish]>,
    arguments: &FrontArguments,
    stop: Stop,
) -> Result<u8, Fault> {
    let plan = match undivided_until(stop, UNREAD, || FrontPlan::new(document, sources.clone(), wishes)) {
        Ok((plan, warnings)) => {
            if !warnings.is_empty() {
                tell(&warnings.render(sources));
            }
            plan.solved_by(solved_with_risk)
        }
        Err(findings) => {
            tell(&findings.render(sources));
            return Ok(WRONG);
        }
    };
    note_of_studies(plan.base());
    let output = Output::open(arguments.study.output.as_deref())?;
    let progress = steps("asking", arguments.points);
    let front =
        plan.run(arguments.points, arguments.resolution, &settings_of(&arguments.study).until(stop), &|| {
            progress.inc(1);
        });
    progress.finish_and_clear();
    for failure in &front.failures {
        tell(&format!(
            "error: a fault of this program on one question of the front: {}\n",
            crate::finding::clean(failure)
        ));
    }
    let code = match arguments.point {
        None => {
            let (currency, units) = (plan.currency(), units_of(arguments.study.units, plan.base()));
            let form = (format_of(arguments.study.format), width_of(&output));
            output.write(&tables::front(&front, currency, units, form))?;
            if front.points.is_empty() { NO_MIX } else { 0 }
        }
        Some(number) => printed(&plan, &front, number, output)?,
    };
    Ok(match (is_interrupted(), front.failures.is_empty()) {
        (true, _) => INTERRUPTED,
        (false, false) => FAULT,
        (false, true) => code,
    })
}

/// The statement that a point answers.
fn printed(plan: &FrontPlan, front: &Front, number: usize, output: Output) -> Result<u8, Fault> {
    let Some(point) = number.checked_sub(1).and_then(|at| front.points.get(at)) else {
        tell(&format!("error: there is no point {number}; allowed: 1 .. {}\n", front.points.len()));
        return Ok(WRONG);
    };
    let (document, sources) = plan.document(point);
    output.write(&document.printed(&sources))?;
    Ok(0)
}

/// `cost, most crack-free age`: goals with commas between them, typed behind an option.
pub fn goals(option: &str, text: &str, sources: &mut Sources) -> Vec<GoalWish> {
    let source = sources.add(option, text);
    let mut start = 0;
    let mut list = Vec::new();
    for piece in text.split(',') {
        let value = piece.trim().to_owned();
        let begin = start + (piece.len() - piece.trim_start().len());
        list.push(GoalWish {
            word: Word { place: Place { source, start: begin, end: begin + value.len() }, value },
        });
        start += piece.len() + 1;
    }
    list
}
