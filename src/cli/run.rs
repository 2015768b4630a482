//! From arguments to an exit code.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;

use super::aids;
use super::arguments::{Arguments, Command};
use super::batch_sheet::write_batch_sheet;
use super::calibrate::calibrate;
use super::checked::checked;
use super::ending::{FAULT, INTERRUPTED, NO_MIX, WRONG, ended, failed};
use super::export::{Exported, linear_program, whole_problem};
use super::fit::fit;
use super::front::front;
use super::guide;
use super::limits::{write_limits, write_prices};
use super::opened::{UNREAD, opened_at};
use super::outside::{
    Output, has_told_an_error, install, read_text, spinner, stop, tell, tell_faults_briefly, undivided_until,
};
use super::page::write_page;
use super::plan::{confirm, plan};
use super::plant::write_plan;
use super::predict::predict;
use super::priced::PriceArguments;
use super::risk::write_risk;
use super::robust::note_of_scatter;

use super::round::write_rounded;
use super::solve::solve_statements;
use super::sweep::merge;
use super::sweeps::sweep;
use super::typed::ExportWord;
use crate::finding::{Fault, Sources};
use crate::parallel::{Stop, caught};
use crate::problem::{Origin, usual};
use crate::solve::Settings;

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
    install(INTERRUPTED);
    tell_faults_briefly();
    let code = match caught(|| dispatched(arguments.command)) {
        Ok(Ok(code)) => code,
        Ok(Err(fault)) => {
            tell(&format!("error: {fault}\n"));
            FAULT
        }
        Err(message) => {
            tell(&format!("error: a fault of this program: {}\n", crate::finding::clean(&message)));
            FAULT
        }
    };
    // Whoever says that something is wrong has said what.
    debug_assert!(code != WRONG || has_told_an_error(), "an exit code of 2 without any error");
    if code == WRONG && !has_told_an_error() {
        tell("error: this is wrong, and the program does not know how to say why; please report it\n");
    }
    ExitCode::from(code)
}

/// Does what is asked; the exit code.
fn dispatched(command: Command) -> Result<u8, Fault> {
    match command {
        Command::Solve(arguments) => solve_statements(&arguments),
        Command::Predict(arguments) => predict(&arguments),
        Command::Limits(arguments) => write_limits(&arguments),
        Command::Prices(arguments) => write_prices(&arguments),
        Command::Report(asked) => write_page(&asked),
        Command::Sweep(arguments) => sweep(&arguments),
        Command::Merge { files, time_limit, output } => merge(&files, output.as_deref(), stop(time_limit)),
        Command::Front(arguments) => front(&arguments),
        Command::Fit(arguments) => fit(&arguments),
        Command::Calibrate(arguments) => calibrate(&arguments),
        Command::Plan(arguments) => plan(&arguments),
        Command::Confirm(arguments) => confirm(&arguments),
        Command::BatchSheet(arguments) => write_batch_sheet(&arguments),
        Command::Round(arguments) => write_rounded(&arguments),
        Command::Risk(arguments) => write_risk(&arguments),
        Command::Plant(arguments) => write_plan(&arguments),
        Command::Export { file, prices, what, time_limit, output } => {
            export_file((&file, &prices), what, stop(time_limit), output.as_deref())
        }
        Command::Check { files, time_limit } => check_files(&files, stop(time_limit)),
        Command::New { output } => aids::new(output.as_deref()),
        Command::Guide { chapter } => guide::print(chapter.as_deref()),
        Command::Laws { name } => aids::laws(&name.join(" ")),
        Command::Keys { output } => aids::keys(output.as_deref()),
        Command::Schema { of, output } => aids::schema(of, output.as_deref()),
        Command::Completions { shell } => aids::completions(shell),
        Command::Man => aids::man(),
    }
}

fn export_file(
    (file, prices): (&Path, &PriceArguments),
    what: ExportWord,
    stop: Stop,
    output: Option<&Path>,
) -> Result<u8, Fault> {
    let Some((problem, _)) = opened_at(file, prices, stop)? else { return Ok(WRONG) };
    note_of_scatter(&problem);
    let progress = spinner("solving");
    let settings = Settings::default().until(stop);
    let exported = match what {
        ExportWord::Lp => linear_program(&problem, &settings, output)?,
        ExportWord::Full => whole_problem(&problem, &settings, output)?,
    };
    progress.finish_and_clear();
    Ok(ended(match exported {
        Exported::WithAnswer => 0,
        Exported::WithoutAnswer if stop.is_due() => {
            tell("stopped before a mix was found\n");
            NO_MIX
        }
        Exported::WithoutAnswer => {
            tell("no mix meets everything: `mixbound solve` tells why\n");
            NO_MIX
        }
        Exported::Refused(reasons) => {
            tell("error: this problem cannot be written as polynomials\n");
            for reason in reasons {
                tell(&format!("  = {}\n", crate::finding::clean(&reason)));
            }
            WRONG
        }
    }))
}

/// Checks statements one after another; the exit code is the highest of all.
fn check_files(files: &[PathBuf], stop: Stop) -> Result<u8, Fault> {
    let mut worst = 0;
    for (at, file) in files.iter().enumerate() {
        if 0 < at {
            Output::Standard.write("\n")?;
        }
        let code = match caught(|| check_file(file, stop)) {
            Ok(Err(fault)) if 1 < files.len() => {
                tell(&format!("error: {fault}\n"));
                FAULT
            }
            Ok(told) => told?,
            Err(why) => failed(file, &why),
        };
        worst = worst.max(code);
    }
    Ok(worst)
}

fn check_file(file: &Path, stop: Stop) -> Result<u8, Fault> {
    let mut sources = Sources::default();
    let read =
        undivided_until(stop, UNREAD, || read_text(file).map(|text| checked(file, text, &mut sources)));
    match read? {
        Ok((problem, mut findings)) => {
            findings.extend(usual(&problem));
            let mut text = if findings.is_empty() { String::new() } else { findings.render(&sources) };
            text.push_str(&format!(
                "{}: {} materials, {} responses, {} limits, {} choices: well formed; nothing was solved\n",
                crate::finding::clean(&file.display().to_string()),
                problem.mixture.materials(),
                problem.responses.len(),
                problem.requirements.iter().filter(|r| r.origin == Origin::Limit).count(),
                problem.logic.len() + problem.needs.len(),
            ));
            for basis in &problem.bases {
                text.push_str(&format!("{basis}\n"));
            }
            Output::Standard.write(&text)?;
            Ok(0)
        }
        Err(findings) => {
            Output::Standard.write(&findings.render(&sources))?;
            Ok(WRONG)
        }
    }
}
