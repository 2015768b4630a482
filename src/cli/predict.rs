//! Mixes that are given: predicted without seeking, and held against what was found.

use std::path::{Path, PathBuf};

use super::files::read_text;
use super::output::Output;
use super::run::{WRONG, tell};
use crate::finding::{Fault, Findings, Sources};
use crate::problem::{Given, Problem, given};
use crate::report::{Format, Report, Standing, Units, comparison, render, report_given};
use crate::statement::read_mix;

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
    format: Format,
    units: Units,
    output: Option<&Path>,
) -> Result<u8, Fault> {
    if 1 < files.len() && matches!(format, Format::Csv | Format::Markdown) {
        tell("error: several mixes are written as text or JSON; CSV and Markdown hold one\n");
        return Ok(WRONG);
    }
    let Some(mixes) = read_mixes(problem, files)? else { return Ok(WRONG) };
    let output = Output::open(output)?;
    let reports: Vec<(String, Report)> =
        mixes.iter().map(|mix| (mix.title.clone(), report_given(problem, mix, sources, units))).collect();
    let mut text = String::new();
    let json = format == Format::Json && 1 < reports.len();
    for (at, (_, report)) in reports.iter().enumerate() {
        if 0 < at {
            text.push_str(if json { ",\n" } else { "\n" });
        }
        text.push_str(render(report, format).trim_end_matches('\n'));
        text.push('\n');
    }
    if json {
        text = format!("[\n{}\n]\n", text.trim_end());
    }
    if format == Format::Text {
        text.push_str(&comparison(problem, &reports));
    }
    output.write(&text)?;
    let met = |(_, report): &(String, Report)| {
        report.broken_choices.is_empty()
            && report.limits.iter().all(|line| line.standing != Standing::Violated)
    };
    Ok(if reports.iter().all(met) { 0 } else { NOT_MET })
}

/// The change from today's mix to the one that was found, as text.
pub fn against(problem: &Problem, sources: &Sources, today: &Given, found: &Report, units: Units) -> String {
    let proposed = "proposed".to_owned();
    let mixes =
        [(today.title.clone(), report_given(problem, today, sources, units)), (proposed, found.clone())];
    comparison(problem, &mixes)
}
