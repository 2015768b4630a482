//! `mixbound solve` on several statements: in parallel, one summary, failures told at the end.

use std::path::{Path, PathBuf};
use std::sync::atomic::Ordering;

use super::arguments::UnitsWord;
use super::files::read_text;
use super::output::Output;
use super::run::{FAULT, INTERRUPTED, WRONG, checked, code_of, interrupt_flag, steps, tell, units_of};
use crate::finding::{Fault, Sources};
use crate::parallel;
use crate::report::{Format, SummaryLine, render, render_summary, report};
use crate::solve::{Settings, solve_watched};

/// What one statement came to.
struct Case {
    line: SummaryLine,
    code: u8,
    /// The whole report.
    text: Option<String>,
    /// Findings or a fault, told at the end.
    told: String,
}

/// Solves several statements and writes the summary; with a folder, the whole reports into it.
///
/// # Errors
/// If the folder cannot be written; nothing is solved then, nor if two reports would have one name.
pub fn solve_files(
    files: &[PathBuf],
    format: Format,
    units: Option<UnitsWord>,
    settings: &Settings,
    folder: Option<&Path>,
) -> Result<u8, Fault> {
    let outputs = match folder.map(|folder| named(files, format, folder)) {
        None => None,
        Some(Ok(paths)) => Some(open_all(paths, folder.unwrap_or(Path::new(".")))?),
        Some(Err(twice)) => {
            let path = crate::finding::clean(&twice.display().to_string());
            tell(&format!("error: two of the statements would write `{path}`\n"));
            return Ok(WRONG);
        }
    };
    let progress = steps("solving", files.len());
    let interrupted = interrupt_flag();
    let cases = parallel::in_order(
        files,
        |_, file| one(file, format, units, settings, &|| !interrupted.load(Ordering::Relaxed)),
        |_| progress.inc(1),
    );
    progress.finish_and_clear();
    let mut lines = Vec::with_capacity(cases.len());
    let mut told = String::new();
    let mut highest = 0;
    let mut outputs = outputs.map(Vec::into_iter);
    for case in cases {
        let mut line = case.line;
        highest = highest.max(case.code);
        told.push_str(&case.told);
        if let Some((path, output)) = outputs.as_mut().and_then(Iterator::next)
            && let Some(text) = &case.text
        {
            match output.write(text) {
                Ok(()) => line.report = Some(path.display().to_string()),
                Err(fault) => {
                    highest = highest.max(FAULT);
                    told.push_str(&format!("error: {fault}\n"));
                }
            }
        }
        lines.push(line);
    }
    Output::Standard.write(&render_summary(&lines, format))?;
    tell(&told);
    Ok(if interrupted.load(Ordering::Relaxed) { INTERRUPTED } else { highest })
}

fn one(
    file: &Path,
    format: Format,
    units: Option<UnitsWord>,
    settings: &Settings,
    go_on: &(dyn Fn() -> bool + Sync),
) -> Case {
    let name = file.display().to_string();
    let mut sources = Sources::default();
    let text = match read_text(file) {
        Ok(text) => text,
        Err(fault) => {
            let line = SummaryLine::not_solved(name, "cannot be read");
            return Case { line, code: FAULT, text: None, told: format!("error: {fault}\n") };
        }
    };
    match checked(file, text, &mut sources) {
        Ok((problem, warnings)) => {
            let verdict = solve_watched(&problem, settings, &|_| go_on());
            let report = report(&problem, &verdict, &sources, units_of(units, &problem));
            Case {
                code: code_of(report.state),
                text: Some(render(&report, format)),
                told: if warnings.is_empty() { String::new() } else { warnings.render(&sources) },
                line: SummaryLine::solved(name, &report),
            }
        }
        Err(findings) => Case {
            line: SummaryLine::not_solved(name, "wrong"),
            code: WRONG,
            text: None,
            told: findings.render(&sources),
        },
    }
}

/// The path of each report, or one that two of them would have.
fn named(files: &[PathBuf], format: Format, folder: &Path) -> Result<Vec<PathBuf>, PathBuf> {
    let ending = match format {
        Format::Text => "txt",
        Format::Json => "json",
        Format::Csv => "csv",
        Format::Markdown => "md",
    };
    let mut paths: Vec<PathBuf> = Vec::with_capacity(files.len());
    for file in files {
        let mut name = file.file_stem().unwrap_or(file.as_os_str()).to_owned();
        name.push(".");
        name.push(ending);
        let path = folder.join(name);
        if paths.contains(&path) {
            return Err(path);
        }
        paths.push(path);
    }
    Ok(paths)
}

/// The files of all reports, opened before anything is solved; the folder is made if there is none.
fn open_all(paths: Vec<PathBuf>, folder: &Path) -> Result<Vec<(PathBuf, Output)>, Fault> {
    let fault = |reason: String| Fault::Write { path: folder.display().to_string(), reason };
    if folder.exists() && !folder.is_dir() {
        return Err(fault("several results need a folder, and this is a file".to_owned()));
    }
    std::fs::create_dir_all(folder).map_err(|error| fault(super::files::reason(&error)))?;
    paths.into_iter().map(|path| Ok((path.clone(), Output::open(Some(&path))?))).collect()
}
