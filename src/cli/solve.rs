//! `mixbound solve`: the best mix of one statement, or of several.

use std::path::{Path, PathBuf};

use clap::Args;

use super::batch::{BatchAsked, Goes, earlier, solve_files};
use super::ending::{WRONG, code_of, ended, width_of};
use super::form::{Form, form_of, is_one_file};
use super::opened::{UNREAD, opened_with};
use super::outside::{Output, spinner, stop, tell, undivided, undivided_until};
use super::predict::{against, read_mixes};
use super::priced::{PriceArguments, Prices};
use super::robust::margins_or_told;
use super::typed::{FormatWord, UnitsWord, gap, seconds, units_of};
use crate::analysis::{Stage, explain_watched};
use crate::answer::build::report;
use crate::answer::overnight::since;
use crate::answer::record::earlier::Previous;
use crate::finding::Fault;
use crate::parallel::Stop;
use crate::render::{Format, render_with};
use crate::solve::{Limits, Settings, solve_watched};

/// Arguments of `solve`.
#[derive(Debug, Args)]
pub struct SolveArguments {
    /// The statement; several are solved in parallel and summed up in one table.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// How the result is written; as the ending of the output says when left out, else as text.
    #[arg(long, value_enum)]
    format: Option<FormatWord>,
    /// Units of the result; those of the statement when left out.
    #[arg(long, value_enum)]
    units: Option<UnitsWord>,
    /// Relative gap at which the answer counts as proven, in per cent.
    #[arg(long, value_name = "PERCENT", default_value = "0.1", value_parser = gap, allow_negative_numbers = true)]
    gap: f64,
    /// Stop after so many seconds and tell what is known by then.
    #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
    time_limit: Option<std::time::Duration>,
    /// The fast local answer, without a proven bound.
    #[arg(long, conflicts_with = "gap")]
    no_proof: bool,
    #[command(flatten)]
    prices: PriceArguments,
    /// Tell what became of each mix since this earlier run: the table of several statements as JSON or CSV, or the report
    /// of one as JSON.
    #[arg(long, value_name = "FILE")]
    previous: Option<PathBuf>,
    /// Show the change from this mix, a file with `amounts`; for one statement.
    #[arg(long, value_name = "MIX")]
    against: Option<PathBuf>,
    /// Write the result to this file instead of standard output: `.csv`, `.json`, `.md`, `.txt`, or `.xlsx` for a workbook.
    /// With several statements and no such ending it is a folder for the reports.
    #[arg(short, long)]
    output: Option<PathBuf>,
}

/// Solves what was asked for.
///
/// # Errors
/// If a file cannot be read or written.
pub fn solve_statements(arguments: &SolveArguments) -> Result<u8, Fault> {
    let SolveArguments { files, output, .. } = arguments;
    if arguments.against.is_some() && (files.len() != 1 || arguments.previous.is_some()) {
        tell("error: `--against` stands with one statement, and without `--previous`\n");
        return Ok(WRONG);
    }
    let Some(form) = form_of(arguments.format, output.as_deref()) else { return Ok(WRONG) };
    let settings = if arguments.no_proof {
        Settings::local()
    } else {
        Settings::proven(Limits { gap: arguments.gap, ..Limits::default() })
    };
    let limit = stop(arguments.time_limit);
    let Some(prices) = beside(files, limit, || arguments.prices.open(files, arguments.time_limit))? else {
        return Ok(WRONG);
    };
    let Some(previous) = beside(files, limit, || earlier(arguments.previous.as_deref(), files))? else {
        return Ok(WRONG);
    };
    let goes = match output.as_deref() {
        None => Goes::Standard,
        Some(path) if is_one_file(path) => Goes::File(path),
        Some(folder) => Goes::Folder(folder),
    };
    let asked = BatchAsked {
        files,
        form,
        units: arguments.units,
        settings: &settings,
        time_limit: arguments.time_limit,
        goes,
    };
    match (files.as_slice(), form) {
        ([file], Form::Text(format)) => {
            let place = (format, output.as_deref());
            solve_file(file, (&prices, &previous), &asked, arguments.against.as_deref(), place)
        }
        (_, Form::Workbook) if arguments.against.is_some() => {
            tell(
                "error: a workbook holds no comparison with a given mix\n  = help: give the file another ending\n",
            );
            Ok(WRONG)
        }
        _ => solve_files(&asked, &prices, &previous),
    }
}

/// Reads what stands beside the statements: nothing is known before that is done. The time limit is that of one
/// statement; with several it begins with each of them.
fn beside<Result>(files: &[PathBuf], stop: Stop, read: impl FnOnce() -> Result) -> Result {
    if files.len() == 1 { undivided_until(stop, UNREAD, read) } else { undivided(read) }
}

/// Solves one statement and writes its report.
fn solve_file(
    file: &Path,
    (prices, previous): (&Prices, &Previous),
    asked: &BatchAsked<'_>,
    today: Option<&Path>,
    (format, output): (Format, Option<&Path>),
) -> Result<u8, Fault> {
    let stop = stop(asked.time_limit);
    let Some((problem, sources)) = opened_with(file, prices, stop)? else { return Ok(WRONG) };
    let today: Vec<PathBuf> = today.map(Path::to_path_buf).into_iter().collect();
    let Some(today) = undivided_until(stop, UNREAD, || read_mixes(&problem, &today))? else {
        return Ok(WRONG);
    };
    let output = Output::open(output)?;
    let progress = spinner("solving");
    let settings = asked.settings.until(stop);
    let units = units_of(asked.units, &problem);
    let before = || progress.finish_and_clear();
    let with_margins = match margins_or_told(&problem, &settings, units, before) {
        Ok(with_margins) => with_margins,
        Err(code) => return Ok(ended(code)),
    };
    let (problem, settings) = with_margins.unwrap_or((problem, settings));
    let verdict = solve_watched(&problem, &settings, &|so_far| {
        if so_far.best.is_finite() && so_far.bound.is_finite() {
            let gap = 100.0 * (so_far.best - so_far.bound) / so_far.best.abs().max(1e-9);
            progress.set_message(format!("proving: gap {gap:.3} %, {} parts", so_far.nodes));
        }
    });
    let explanation = explain_watched(&problem, &verdict, stop, &|stage| {
        progress.set_message(match stage {
            Stage::Nearest => "no mix meets everything: seeking the nearest".to_owned(),
            Stage::Members(count) => format!("no mix meets everything: {count} demands in question"),
            Stage::Repair(number, count) => format!("no mix meets everything: repair {number} of {count}"),
        });
    });
    progress.finish_and_clear();
    let mut report = report(&problem, &verdict, &explanation, &sources, units);
    let earlier = previous.of(&file.display().to_string());
    report.since = earlier.map(|earlier| since(&problem, &report, earlier, &sources));
    let today = today.first().filter(|_| report.state.is_proposal());
    let compared = today.and_then(|today| against(&problem, &sources, today, &mut report, units));
    let text = render_with(&report, compared.as_slice(), format, width_of(&output));
    output.write(&text)?;
    Ok(ended(code_of(report.state)))
}
