//! Mixes that are given: predicted without seeking, and held against what was found.

use std::path::{Path, PathBuf};

use super::outside::Output;
use super::outside::read_text;
use super::run::{WRONG, tell, width_of};
use crate::answer::block::Part;
use crate::answer::build::report_given;
use crate::answer::compare::changes;
use crate::answer::matrix::{matrix, parts, tidy};
use crate::answer::parts::compared::compared;
use crate::answer::report::{Report, Standing};
use crate::answer::units::Units;
use crate::finding::{Fault, Findings, Sources};
use crate::problem::{Given, Problem, given};
use crate::render::{Format, render_all, written};
use crate::statement::read_mix;

/// How much is told of each mix.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// A whole report, and what changes.
    Whole,
    /// A line, and the limits that it meets.
    Short,
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
pub fn predict(
    (problem, sources): (&Problem, &Sources),
    files: &[PathBuf],
    (format, detail): (Format, Detail),
    units: Units,
    output: Option<&Path>,
) -> Result<u8, Fault> {
    let Some(mixes) = read_mixes(problem, files)? else { return Ok(WRONG) };
    let output = Output::open(output)?;
    let mut reports: Vec<(String, Report)> =
        mixes.iter().map(|mix| (mix.title.clone(), report_given(problem, mix, sources, units))).collect();
    if let [(reference, first), others @ ..] = reports.as_mut_slice() {
        for (_, report) in others {
            report.changes = Some(changes(problem, reference, first, report));
        }
    }
    let width = width_of(&output);
    let text = match detail {
        Detail::Whole => render_all(problem, &reports, format, width),
        Detail::Short => {
            let matrix = matrix(&reports);
            written(&matrix, &parts(&matrix, units.body()), &tidy(&matrix), format, width)
        }
    };
    output.write(&text)?;
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
