//! From arguments to an exit code.

use std::ffi::OsString;
use std::io::Write;
use std::path::Path;
use std::process::ExitCode;
use std::time::Duration;

use clap::Parser;
use indicatif::{ProgressBar, ProgressDrawTarget};

use super::arguments::{Arguments, Command, FormatWord, UnitsWord};
use super::files::read_text;
use super::output::Output;
use crate::finding::{Fault, Findings, Sources};
use crate::problem::{Problem, build};
use crate::report::{Format, State, Units, render, report};
use crate::solve::{Settings, examine, solve};
use crate::statement;

/// Exit code when some case has no mix.
const NO_MIX: u8 = 1;
/// Exit code when the statement or the arguments are wrong.
const WRONG: u8 = 2;
/// Exit code when the world failed.
const FAULT: u8 = 3;

/// Runs the program.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            let wrong = error.use_stderr();
            // Help goes to a pipe that may be closed already; there is nobody left to tell.
            let _ = error.print();
            return ExitCode::from(if wrong { WRONG } else { 0 });
        }
    };
    let result = match arguments.command {
        Command::Solve { file, format, units, output } => solve_file(&file, format, units, output.as_deref()),
        Command::Check { file } => check_file(&file),
    };
    match result {
        Ok(code) => ExitCode::from(code),
        Err(fault) => {
            tell(&format!("error: {fault}\n"));
            ExitCode::from(FAULT)
        }
    }
}

fn solve_file(
    file: &Path,
    format: FormatWord,
    units: Option<UnitsWord>,
    output: Option<&Path>,
) -> Result<u8, Fault> {
    let mut sources = Sources::default();
    let text = read_text(file)?;
    let (problem, warnings) = match checked(file, text, &mut sources) {
        Ok(checked) => checked,
        Err(findings) => {
            tell(&findings.render(&sources));
            return Ok(WRONG);
        }
    };
    if !warnings.is_empty() {
        tell(&warnings.render(&sources));
    }
    let output = Output::open(output)?;
    let progress = spinner("solving");
    let verdict = solve(&problem, &Settings::default());
    progress.finish_and_clear();
    let units = match units {
        Some(UnitsWord::Si) => Units::Si,
        Some(UnitsWord::Us) => Units::Customary,
        None => Units::from(problem.system),
    };
    let report = report(&problem, &verdict, &sources, units);
    let format = match format {
        FormatWord::Text => Format::Text,
        FormatWord::Json => Format::Json,
    };
    output.write(&render(&report, format))?;
    Ok(match report.state {
        State::BestFound => 0,
        State::NothingFound | State::Unsettled => NO_MIX,
        State::Failed => FAULT,
    })
}

fn check_file(file: &Path) -> Result<u8, Fault> {
    let mut sources = Sources::default();
    let text = read_text(file)?;
    match checked(file, text, &mut sources) {
        Ok((problem, findings)) => {
            let mut text = if findings.is_empty() { String::new() } else { findings.render(&sources) };
            text.push_str(&format!(
                "{}: {} materials, {} responses, {} limits, {} choices: can be solved\n",
                crate::finding::clean(&file.display().to_string()),
                problem.mixture.materials(),
                problem.responses.len(),
                problem.requirements.iter().filter(|r| r.origin == crate::problem::Origin::Limit).count(),
                problem.logic.len() + problem.needs.len(),
            ));
            Output::Standard.write(&text)?;
            Ok(0)
        }
        Err(findings) => {
            Output::Standard.write(&findings.render(&sources))?;
            Ok(WRONG)
        }
    }
}

fn checked(file: &Path, text: String, sources: &mut Sources) -> Result<(Problem, Findings), Findings> {
    let source = sources.add(file.display().to_string(), text);
    let (statement, mut findings) = statement::read(sources, source)?;
    match build(&statement, sources) {
        Ok((problem, more)) => {
            findings.extend(more);
            findings.extend(examine(&problem));
            if findings.has_errors() { Err(findings) } else { Ok((problem, findings)) }
        }
        Err(more) => {
            findings.extend(more);
            Err(findings)
        }
    }
}

/// A spinner that shows itself on a terminal once the work has taken a second.
fn spinner(what: &'static str) -> ProgressBar {
    let bar = ProgressBar::new_spinner();
    bar.set_draw_target(ProgressDrawTarget::stderr_with_hz(4));
    bar.set_message(what);
    bar.enable_steady_tick(Duration::from_secs(1));
    bar
}

/// Text to standard error; a closed standard error is nobody's fault.
fn tell(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}
