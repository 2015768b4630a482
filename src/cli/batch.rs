//! `mixbound solve` on several statements: in parallel, one summary, failures told at the end.

use std::path::{Path, PathBuf};

use super::arguments::UnitsWord;
use super::outside::{Lock, Output, Purpose, is_interrupted, read_text, remember, steps, stop};
use super::priced::Prices;
use super::run::{FAULT, INTERRUPTED, WRONG, code_of, tell, units_of, width_of};
use crate::analysis::{Explanation, explain};
use crate::answer::build::report;
use crate::answer::record::earlier::{Previous, Since};
use crate::answer::record::summary::SummaryLine;
use crate::finding::{Fault, Sources};
use crate::parallel;
use crate::render::layout::Width;
use crate::render::tables::summary;
use crate::render::{Format, render};
use crate::solve::{Settings, solve};

/// What one statement came to.
struct Case {
    line: SummaryLine,
    code: u8,
    /// The whole report.
    text: Option<String>,
    /// Findings or a fault, told at the end.
    told: String,
}

/// What is asked of statements, one or several.
#[derive(Clone, Copy, Debug)]
pub struct BatchAsked<'a> {
    /// The statements.
    pub files: &'a [PathBuf],
    /// How results are written.
    pub format: Format,
    /// Their units.
    pub units: Option<UnitsWord>,
    /// How statements are solved.
    pub settings: &'a Settings,
    /// How long each of them may take.
    pub time_limit: Option<std::time::Duration>,
    /// Where reports go: a file for one statement, a folder for several.
    pub folder: Option<&'a Path>,
}

/// Solves several statements and writes the summary; with a folder, the whole reports into it.
///
/// # Errors
/// If the folder cannot be written, or the earlier run cannot be read; nothing is solved then, nor if two reports would
/// have one name.
pub fn solve_files(asked: &BatchAsked<'_>, prices: &Prices, previous: Option<&Path>) -> Result<u8, Fault> {
    let Some(previous) = earlier(previous, asked.files)? else { return Ok(WRONG) };
    asked.files.iter().for_each(|file| remember(file));
    let outputs = match asked.folder.map(|folder| named(asked.files, ending(asked.format), folder)) {
        None => None,
        Some(Ok(paths)) => Some(tried(paths, asked.folder.unwrap_or(Path::new(".")))?),
        Some(Err(twice)) => {
            let path = crate::finding::clean(&twice.display().to_string());
            tell(&format!("error: two of the statements would write `{path}`\n"));
            return Ok(WRONG);
        }
    };
    let progress = steps("solving", asked.files.len());
    let cases = parallel::cases_in_order(asked.files, |_, file| {
        let case = one(file, asked, prices);
        progress.inc(1);
        case
    });
    let cases =
        asked.files.iter().zip(cases).map(|(file, case)| case.unwrap_or_else(|why| failed(file, &why)));
    let cases: Vec<Case> = cases.collect();
    progress.finish_and_clear();
    let mut lines = Vec::with_capacity(cases.len());
    let mut told = String::new();
    let mut highest = 0;
    let (outputs, _lock) = outputs.map_or((None, None), |(paths, lock)| (Some(paths), lock));
    let mut outputs = outputs.map(Vec::into_iter);
    for case in cases {
        told.push_str(&unlike(&case.line, &previous));
        let mut line = case.line.since(&previous);
        highest = highest.max(case.code);
        told.push_str(&case.told);
        if let Some(path) = outputs.as_mut().and_then(Iterator::next)
            && let Some(text) = &case.text
        {
            match Output::file(&path, Purpose::Several).and_then(|output| output.write(text)) {
                Ok(()) => line.report = Some(path.display().to_string()),
                Err(fault) => {
                    highest = highest.max(FAULT);
                    told.push_str(&format!("error: {fault}\n"));
                }
            }
        }
        lines.push(line);
    }
    Output::Standard.write(&summary(&lines, asked.format, width_of(&Output::Standard)))?;
    tell(&told);
    tell(&missing(&previous, asked.files));
    Ok(if is_interrupted() { INTERRUPTED } else { highest })
}

/// The summary of an earlier run, empty if none is given: `None` if it is none, or none of these statements, and the user has been told.
fn earlier(path: Option<&Path>, files: &[PathBuf]) -> Result<Option<Previous>, Fault> {
    let Some(path) = path else { return Ok(Some(Previous::default())) };
    let shown = crate::finding::clean(&path.display().to_string());
    let previous = match Previous::read(&read_text(path)?) {
        Ok(previous) => previous,
        Err(why) => {
            tell(&format!(
                "error: `{shown}` holds no results of an earlier run: {why}\n  = help: write one with `mixbound solve FILE \
                 FILE ... --format json > results.json`\n"
            ));
            return Ok(None);
        }
    };
    let known = |file: &PathBuf| previous.files().any(|name| name == file.display().to_string());
    if files.iter().any(known) {
        return Ok(Some(previous));
    }
    let first = previous.files().next().map_or_else(String::new, crate::finding::clean);
    tell(&format!(
        "error: none of the statements stands in `{shown}`\n  = it begins with: {first}\n  = help: name the statements as in \
         the earlier run\n"
    ));
    Ok(None)
}

/// A value that cannot be compared with the earlier one is told.
fn unlike(line: &SummaryLine, previous: &Previous) -> String {
    let (Some(goal), Some(unit), Some(_)) = (&line.goal, &line.unit, line.value) else {
        return String::new();
    };
    match previous.since(&line.file, goal, unit) {
        Since::Unlike => format!(
            "note: `{}` had another goal or unit in the earlier run: its change is not told\n",
            crate::finding::clean(&line.file)
        ),
        Since::New | Since::Value(_) => String::new(),
    }
}

/// Statements of the earlier run that are not in this one.
fn missing(previous: &Previous, files: &[PathBuf]) -> String {
    let here: std::collections::BTreeSet<String> =
        files.iter().map(|file| file.display().to_string()).collect();
    let missing: Vec<String> =
        previous.files().filter(|name| !here.contains(*name)).map(crate::finding::clean).collect();
    if missing.is_empty() {
        return String::new();
    }
    format!("note: in the earlier run and not in this one: {}\n", crate::finding::listed(&missing))
}

/// A statement in which this program failed; the others go on.
fn failed(file: &Path, why: &str) -> Case {
    let name = file.display().to_string();
    let told = format!(
        "error: FAILED at `{}`: a fault of this program: {}\n",
        crate::finding::clean(&name),
        crate::finding::clean(why)
    );
    Case { line: SummaryLine::not_solved(name, "failed"), code: FAULT, text: None, told }
}

fn one(file: &Path, asked: &BatchAsked<'_>, prices: &Prices) -> Case {
    let stop = stop(asked.time_limit);
    let name = file.display().to_string();
    let mut sources = Sources::default();
    let text = match read_text(file) {
        Ok(text) => text,
        Err(fault) => {
            let line = SummaryLine::not_solved(name, "cannot be read");
            return Case { line, code: FAULT, text: None, told: format!("error: {fault}\n") };
        }
    };
    match prices.checked(file, text, &mut sources) {
        Ok((problem, warnings)) => {
            let verdict = solve(&problem, &asked.settings.until(stop));
            // The summary tells neither prices of limits nor conflicts: they are sought for whole reports alone.
            let explanation = if asked.folder.is_some() {
                explain(&problem, &verdict, stop)
            } else {
                Explanation::default()
            };
            let report = report(&problem, &verdict, &explanation, &sources, units_of(asked.units, &problem));
            Case {
                code: code_of(report.state),
                text: Some(render(&report, asked.format, Width::PIPED)),
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

/// The ending of a report's file.
fn ending(format: Format) -> &'static str {
    match format {
        Format::Text => "txt",
        Format::Json => "json",
        Format::Csv => "csv",
        Format::Markdown => "md",
    }
}

/// A path in a folder for each file, by its name and with another ending; or one that two of them would have.
pub fn named(files: &[PathBuf], ending: &str, folder: &Path) -> Result<Vec<PathBuf>, PathBuf> {
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

/// The folder for several results, made if there is none.
pub fn made(folder: &Path) -> Result<(), Fault> {
    let fault = |reason: String| Fault::Write { path: folder.display().to_string(), reason };
    if folder.exists() && !folder.is_dir() {
        return Err(fault("several results need a folder, and this is a file".to_owned()));
    }
    std::fs::create_dir_all(folder).map_err(|error| fault(super::outside::reason(&error)))
}

/// The folder of all reports, made if there is none and locked, and their files, tried before anything is solved.
pub fn tried(paths: Vec<PathBuf>, folder: &Path) -> Result<(Vec<PathBuf>, Option<Lock>), Fault> {
    made(folder)?;
    let lock = Lock::of(&folder.join("reports"))?;
    for path in &paths {
        Output::try_several(path)?;
    }
    Ok((paths, lock))
}
