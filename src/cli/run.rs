//! From arguments to an exit code.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;

use super::aids;
use super::arguments::{Arguments, Command, ExportWord, FormatWord, UnitsWord};
use super::batch::{BatchAsked, solve_files};
use super::batch_sheet::write_batch_sheet;
use super::calibrate::calibrate;
use super::export::{Exported, linear_program, whole_problem};
use super::fit::fit;
use super::front::front;
use super::guide;
use super::limits::{limits, prices};
pub use super::outside::tell;
use super::outside::{
    Folder, Output, columns, has_told_an_error, install, is_interrupted, read_text, spinner, steps, stop,
    tell_faults_briefly,
};
use super::page::write_page;
use super::plan::{confirm, plan};
use super::plant::write_plan;
use super::predict::{Detail, against, predict, read_mixes};
use super::priced::Prices;
use super::risk::write_risk;
use super::robust::with_risk_margins;
use super::round::write_rounded;
use super::sweep::merge;
use super::sweeps::sweep;
use crate::admit::admit;
use crate::analysis::explain;
use crate::answer::build::report;
use crate::answer::report::State;
use crate::answer::units::Units;
use crate::finding::{Fault, Findings, Sources};
use crate::parallel::{Stop, caught};
use crate::problem::{Origin, Problem, usual};
use crate::render::layout::Width;
use crate::render::{Format, render_with};
use crate::solve::{Limits, Settings, solve_watched};
use crate::statement;

/// Exit code when some case has no mix.
pub const NO_MIX: u8 = 1;
/// Exit code when the statement or the arguments are wrong.
pub const WRONG: u8 = 2;
/// Exit code when the world failed.
pub const FAULT: u8 = 3;

/// Exit code when the user stopped the work; what was found is still told.
pub const INTERRUPTED: u8 = 130;

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
        Command::Solve {
            files,
            format,
            units,
            gap,
            time_limit,
            no_proof,
            prices,
            previous,
            against,
            output,
        } => {
            let settings = if no_proof {
                Settings::local()
            } else {
                Settings::proven(Limits { gap, ..Limits::default() })
            };
            let format = format_of(format);
            if against.is_some() && (files.len() != 1 || previous.is_some()) {
                tell("error: `--against` stands with one statement, and without `--previous`\n");
                return Ok(WRONG);
            }
            let (settings, folder) = (&settings, output.as_deref());
            let asked = BatchAsked { files: &files, format, units, settings, time_limit, folder };
            Prices::open(prices.as_deref(), &files).and_then(|prices| match (prices, files.as_slice()) {
                (None, _) => Ok(WRONG),
                (Some(prices), [file]) if previous.is_none() => {
                    solve_file(file, &prices, &asked, against.as_deref())
                }
                (Some(prices), _) => solve_files(&asked, &prices, previous.as_deref()),
            })
        }
        Command::Predict { file, mix, short, format, units, output } => {
            let detail = if short { Detail::Short } else { Detail::Whole };
            predict_mixes(&file, &mix, (format_of(format), detail), units, output.as_deref())
        }
        Command::Limits { file, format, units, gap, time_limit, output } => {
            limits_of_file(&file, format, units, (gap, stop(time_limit)), output.as_deref())
        }
        Command::Prices { file, format, units, time_limit, output } => {
            prices_of_file(&file, format, units, stop(time_limit), output.as_deref())
        }
        Command::Report(asked) => write_page(&asked),
        Command::Sweep(arguments) => sweep(&arguments),
        Command::Merge { files, output } => merge(&files, output.as_deref()),
        Command::Front(arguments) => front(&arguments),
        Command::Fit(arguments) => fit(&arguments),
        Command::Calibrate(arguments) => calibrate(&arguments),
        Command::Plan(arguments) => plan(&arguments),
        Command::Confirm(arguments) => confirm(&arguments),
        Command::BatchSheet(arguments) => write_batch_sheet(&arguments),
        Command::Round(arguments) => write_rounded(&arguments),
        Command::Risk(arguments) => write_risk(&arguments),
        Command::Plant(arguments) => write_plan(&arguments),
        Command::Export { file, what, time_limit, output } => {
            export_file(&file, what, stop(time_limit), output.as_deref())
        }
        Command::Check { file } => check_file(&file),
        Command::New { output } => aids::new(output.as_deref()),
        Command::Guide { chapter } => guide::print(chapter.as_deref()),
        Command::Laws { name } => aids::laws(&name.join(" ")),
        Command::Keys { output } => aids::keys(output.as_deref()),
        Command::Schema { of, output } => aids::schema(of, output.as_deref()),
        Command::Completions { shell } => aids::completions(shell),
        Command::Man => aids::man(),
    }
}

fn solve_file(
    file: &Path,
    prices: &Prices,
    asked: &BatchAsked<'_>,
    today: Option<&Path>,
) -> Result<u8, Fault> {
    let stop = stop(asked.time_limit);
    let Some((problem, sources)) = opened_with(file, prices)? else { return Ok(WRONG) };
    let today: Vec<PathBuf> = today.map(Path::to_path_buf).into_iter().collect();
    let Some(today) = read_mixes(&problem, &today)? else { return Ok(WRONG) };
    let output = Output::open(asked.folder)?;
    let progress = spinner("solving");
    let settings = asked.settings.until(stop);
    let Ok(with_margins) = with_risk_margins(&problem, &settings) else {
        progress.finish_and_clear();
        return Ok(NO_MIX);
    };
    let (problem, settings) = with_margins.unwrap_or((problem, settings));
    let verdict = solve_watched(&problem, &settings, &|so_far| {
        if so_far.best.is_finite() && so_far.bound.is_finite() {
            let gap = 100.0 * (so_far.best - so_far.bound) / so_far.best.abs().max(1e-9);
            progress.set_message(format!("proving: gap {gap:.3} %, {} parts", so_far.nodes));
        }
    });
    let explanation = explain(&problem, &verdict, stop);
    progress.finish_and_clear();
    let units = units_of(asked.units, &problem);
    let mut report = report(&problem, &verdict, &explanation, &sources, units);
    let today = today.first().filter(|_| report.state.is_proposal());
    let compared = today.and_then(|today| against(&problem, &sources, today, &mut report, units));
    let text = render_with(&report, compared.as_slice(), asked.format, width_of(&output));
    output.write(&text)?;
    Ok(ended(code_of(report.state)))
}

fn predict_mixes(
    file: &Path,
    mixes: &[PathBuf],
    form: (Format, Detail),
    units: Option<UnitsWord>,
    output: Option<&Path>,
) -> Result<u8, Fault> {
    let Some((problem, sources)) = opened(file)? else { return Ok(WRONG) };
    let units = units_of(units, &problem);
    predict((&problem, &sources), mixes, form, units, output)
}

/// The exit code of work that came to this one, unless a signal has ended it.
pub fn ended(code: u8) -> u8 {
    if is_interrupted() { INTERRUPTED } else { code }
}

/// The exit code of one answer.
pub fn code_of(state: State) -> u8 {
    match state {
        State::Optimal | State::BestFound | State::Given => 0,
        State::Infeasible | State::NothingFound | State::Unsettled => NO_MIX,
        State::Failed => FAULT,
    }
}

/// The form that was asked for.
pub fn format_of(word: FormatWord) -> Format {
    match word {
        FormatWord::Text => Format::Text,
        FormatWord::Json => Format::Json,
        FormatWord::Csv => Format::Csv,
        FormatWord::Markdown => Format::Markdown,
    }
}

/// The problem in a file; `None` if it is wrong, and its author has been told.
pub fn opened(file: &Path) -> Result<Option<(Problem, Sources)>, Fault> {
    opened_with(file, &Prices::default())
}

/// The problem in a file with other prices; `None` if it is wrong, and its author has been told.
fn opened_with(file: &Path, prices: &Prices) -> Result<Option<(Problem, Sources)>, Fault> {
    let mut sources = Sources::default();
    let text = read_text(file)?;
    match prices.checked(file, text, &mut sources) {
        Ok((problem, warnings)) => {
            if !warnings.is_empty() {
                tell(&warnings.render(&sources));
            }
            Ok(Some((problem, sources)))
        }
        Err(findings) => {
            tell(&findings.render(&sources));
            Ok(None)
        }
    }
}

/// The units asked for, or those of the statement.
pub fn units_of(units: Option<UnitsWord>, problem: &Problem) -> Units {
    match units {
        Some(UnitsWord::Si) => Units::Si,
        Some(UnitsWord::Us) => Units::Customary,
        None => Units::from(problem.system),
    }
}

fn limits_of_file(
    file: &Path,
    format: FormatWord,
    units: Option<UnitsWord>,
    (gap, stop): (f64, Stop),
    output: Option<&Path>,
) -> Result<u8, Fault> {
    let Some((problem, sources)) = opened(file)? else { return Ok(WRONG) };
    let asked = problem.requirements.iter().filter(|requirement| requirement.origin == Origin::Limit);
    let progress = steps("asking every limit", asked.count());
    let units = units_of(units, &problem);
    let has_mix = limits(&problem, &sources, units, (gap, stop), format_of(format), output, &progress)?;
    Ok(ended(if has_mix { 0 } else { NO_MIX }))
}

fn prices_of_file(
    file: &Path,
    format: FormatWord,
    units: Option<UnitsWord>,
    stop: Stop,
    output: Option<&Path>,
) -> Result<u8, Fault> {
    let Some((problem, _)) = opened(file)? else { return Ok(WRONG) };
    if !problem.is_about_cost() {
        tell("error: the goal of this statement is not its cost, so that no price decides what is chosen\n");
        return Ok(WRONG);
    }
    let progress = steps("varying every price", problem.mixture.materials());
    let has_mix = prices(&problem, units_of(units, &problem), stop, format_of(format), output, &progress)?;
    if !has_mix && stop.is_due() {
        tell("stopped before a mix was found\n");
    } else if !has_mix {
        tell("no mix meets everything: `mixbound solve` tells why\n");
    }
    Ok(ended(if has_mix { 0 } else { NO_MIX }))
}

fn export_file(file: &Path, what: ExportWord, stop: Stop, output: Option<&Path>) -> Result<u8, Fault> {
    let Some((problem, _)) = opened(file)? else { return Ok(WRONG) };
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

fn check_file(file: &Path) -> Result<u8, Fault> {
    let mut sources = Sources::default();
    let text = read_text(file)?;
    match checked(file, text, &mut sources) {
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

/// Reads and checks one statement: everything that can be said about it without solving it.
///
/// Adds the file to `sources`, so that the findings can be drawn.
///
/// # Errors
/// All findings, if any of them is an error.
pub fn checked(file: &Path, text: String, sources: &mut Sources) -> Result<(Problem, Findings), Findings> {
    let source = sources.add(file.display().to_string(), text);
    let (statement, findings) = statement::read_from(sources, source, &mut Folder::of(file))?;
    admit(&statement, findings, sources)
}

/// How wide lines are where results go: as the terminal, or as a page where there is none.
pub fn width_of(output: &Output) -> Width {
    match output {
        Output::Standard => columns().map_or(Width::PIPED, Width::of),
        Output::File { .. } | Output::Device { .. } => Width::PIPED,
    }
}
