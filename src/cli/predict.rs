//! Mixes that are given: predicted without seeking, and held against what was found.

use std::path::PathBuf;

use clap::Args;

use super::ending::{WRONG, width_of};
use super::form::{Form, form_of};
use super::opened::{UNREAD, opened_at};
use super::outside::{Output, read_text, stop, tell, undivided_until};
use super::priced::PriceArguments;
use super::robust::note_of_scatter;
use super::typed::{FormatWord, UnitsWord, seconds, units_of};
use crate::answer::block::Part;
use crate::answer::build::report_given;
use crate::answer::candidates::candidate_sheets;
use crate::answer::compare::changes;
use crate::answer::matrix::{matrix, parts, tidy};
use crate::answer::parts::compared::compared;
use crate::answer::report::{Report, Standing};
use crate::answer::units::Units;
use crate::finding::{Fault, Findings, Sources};
use crate::problem::{Given, Problem, given};
use crate::render::{render_all, workbook, written};
use crate::statement::read_mix;

/// Arguments of `predict`.
#[derive(Debug, Args)]
pub struct PredictArguments {
    /// The statement.
    file: PathBuf,
    /// The mixes: files with `amounts`, and `measured` where there are results.
    #[arg(long, required = true, num_args = 1.., value_name = "MIX")]
    mix: Vec<PathBuf>,
    /// In short: a line for each mix, and every limit against every mix.
    #[arg(long)]
    short: bool,
    /// How the result is written; as the ending of the output says when left out, else as text.
    #[arg(long, value_enum)]
    format: Option<FormatWord>,
    /// Units of the result; those of the statement when left out.
    #[arg(long, value_enum)]
    units: Option<UnitsWord>,
    #[command(flatten)]
    prices: PriceArguments,
    /// Stop after so many seconds, whatever is done by then.
    #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
    time_limit: Option<std::time::Duration>,
    /// Write the result to this file instead of standard output: `.csv`, `.json`, `.md`, `.txt`, or `.xlsx` for a workbook
    /// with the mixes, every limit against every mix, and what is left of each.
    #[arg(short, long)]
    output: Option<PathBuf>,
}

/// Exit code when a given mix does not meet everything.
const NOT_MET: u8 = 1;

/// Reads the given mixes; their findings are told.
pub fn read_mixes(problem: &Problem, files: &[PathBuf]) -> Result<Option<Vec<Given>>, Fault> {
    let mut mixes = Vec::new();
    let mut wrong = false;
    for file in files {
        let mut sources = Sources::default();
        let source = sources.add(file.display().to_string(), read_text(file)?);
        let name = file.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
        let built: Result<Given, Findings> =
            read_mix(&sources, source, &problem.currency).and_then(|entry| given(problem, &entry, &name));
        match built {
            Ok(mix) => mixes.push(mix),
            Err(findings) => {
                wrong = true;
                tell(&findings.render(&sources));
            }
        }
    }
    Ok((!wrong).then_some(mixes))
}

/// Predicts every given mix; several are compared with the first.
///
/// # Errors
/// If a file cannot be read or written.
pub fn predict(arguments: &PredictArguments) -> Result<u8, Fault> {
    let Some(form) = form_of(arguments.format, arguments.output.as_deref()) else { return Ok(WRONG) };
    let stop = stop(arguments.time_limit);
    let Some((problem, sources)) = opened_at(&arguments.file, &arguments.prices, stop)? else {
        return Ok(WRONG);
    };
    let units = units_of(arguments.units, &problem);
    let Some(mixes) = undivided_until(stop, UNREAD, || read_mixes(&problem, &arguments.mix))? else {
        return Ok(WRONG);
    };
    note_of_scatter(&problem);
    let output = Output::open(arguments.output.as_deref())?;
    let mut reports: Vec<(String, Report)> = undivided_until(stop, "the mixes were predicted", || {
        mixes.iter().map(|mix| (mix.title.clone(), report_given(&problem, mix, &sources, units))).collect()
    });
    if let [(reference, first), others @ ..] = reports.as_mut_slice() {
        for (_, report) in others {
            report.changes = Some(changes(&problem, reference, first, report));
        }
    }
    let width = width_of(&output);
    match form {
        Form::Text(format) if arguments.short => {
            let matrix = matrix(&reports);
            output.write(&written(&matrix, &parts(&matrix, units.body()), &tidy(&matrix), format, width))?;
        }
        Form::Text(format) => output.write(&render_all(&problem, &reports, format, width))?,
        Form::Workbook => output.write_book(workbook(&candidate_sheets(&problem, &reports)))?,
    }
    let met = |(_, report): &(String, Report)| {
        report.broken_choices.is_empty()
            && report.limits.iter().all(|line| line.standing != Standing::Violated)
    };
    Ok(if reports.iter().all(met) { 0 } else { NOT_MET })
}

/// Tells the change from today's mix to the one that was found: within the report, and for people as the part
/// given back.
pub fn against(
    problem: &Problem,
    sources: &Sources,
    today: &Given,
    found: &mut Report,
    units: Units,
) -> Option<Part> {
    let reference = report_given(problem, today, sources, units);
    found.changes = Some(changes(problem, &today.title, &reference, found));
    compared(problem, &[(today.title.clone(), reference), ("proposed".to_owned(), found.clone())])
}
