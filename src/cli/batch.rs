//! `mixbound solve` on several statements: in parallel, one summary, failures told at the end.

use std::path::{Path, PathBuf};

use super::ending::{FAULT, INTERRUPTED, NO_MIX, WRONG, code_of, failure, width_of};
use super::form::Form;
use super::opened::{opened_beside_others, unread};
use super::outside::{Lock, Output, Purpose, is_interrupted, read_text, remember, steps, stop, tell};
use super::priced::Prices;
use super::robust::with_risk_margins;
use super::typed::{UnitsWord, units_of};
use crate::analysis::{Explanation, explain};
use crate::answer::build::report;
use crate::answer::material_price::material_price;
use crate::answer::office::sheets;
use crate::answer::overnight::since;
use crate::answer::record::earlier::Previous;
use crate::answer::record::summary::SummaryLine;
use crate::answer::report::State;
use crate::finding::Fault;
use crate::parallel;
use crate::render::layout::Width;
use crate::render::tables::summary;
use crate::render::{Format, render, workbook};
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
    pub form: Form,
    /// Their units.
    pub units: Option<UnitsWord>,
    /// How statements are solved.
    pub settings: &'a Settings,
    /// How long each of them may take.
    pub time_limit: Option<std::time::Duration>,
    /// Where they go.
    pub goes: Goes<'a>,
}

/// Where results go.
#[derive(Clone, Copy, Debug)]
pub enum Goes<'a> {
    /// The table to standard output.
    Standard,
    /// The table to one file.
    File(&'a Path),
    /// The table to standard output, the whole reports into a folder.
    Folder(&'a Path),
}

impl<'a> BatchAsked<'a> {
    fn folder(&self) -> Option<&'a Path> {
        match self.goes {
            Goes::Folder(folder) => Some(folder),
            Goes::Standard | Goes::File(_) => None,
        }
    }

    /// The format of whole reports.
    fn format(&self) -> Format {
        match self.form {
            Form::Text(format) => format,
            Form::Workbook => Format::Text,
        }
    }
}

/// Solves several statements and writes the table of them; with a folder, the whole reports into it.
///
/// # Errors
/// If the file or the folder cannot be written; nothing is solved then, nor if two reports would have one name.
pub fn solve_files(asked: &BatchAsked<'_>, prices: &Prices, previous: &Previous) -> Result<u8, Fault> {
    asked.files.iter().for_each(|file| remember(file));
    let table = match asked.goes {
        Goes::File(path) => Output::open(Some(path))?,
        Goes::Standard | Goes::Folder(_) => Output::Standard,
    };
    let outputs = match asked.folder().map(|folder| named(asked.files, ending(asked.format()), folder)) {
        None => None,
        Some(Ok(paths)) => Some(tried(paths, asked.folder().unwrap_or(Path::new(".")))?),
        Some(Err(twice)) => {
            let path = crate::finding::clean(&twice.display().to_string());
            tell(&format!("error: two of the statements would write `{path}`\n"));
            return Ok(WRONG);
        }
    };
    let progress = steps("solving", asked.files.len());
    let cases = parallel::cases_in_order(asked.files, |_, file| {
        let case = one(file, asked, prices, previous);
        progress.inc(1);
        case
    });
    let cases =
        asked.files.iter().zip(cases).map(|(file, case)| case.unwrap_or_else(|why| failed(file, &why)));
    let cases: Vec<Case> = cases.collect();
    progress.finish_and_clear();
    let mut lines = Vec::with_capacity(cases.len());
    let mut told = Told::default();
    let mut highest = 0;
    let (outputs, _lock) = outputs.map_or((None, None), |(paths, lock)| (Some(paths), lock));
    let mut outputs = outputs.map(Vec::into_iter);
    for case in cases {
        told.add(&unlike(&case.line));
        let mut line = case.line;
        highest = highest.max(case.code);
        told.add(&case.told);
        if let Some(path) = outputs.as_mut().and_then(Iterator::next)
            && let Some(text) = &case.text
        {
            match Output::file(&path, Purpose::Several).and_then(|output| output.write(text)) {
                Ok(()) => line.report = Some(path.display().to_string()),
                Err(fault) => {
                    highest = highest.max(FAULT);
                    told.add(&format!("error: {fault}\n"));
                }
            }
        }
        lines.push(line);
    }
    match asked.form {
        Form::Text(format) => {
            let width = width_of(&table);
            table.write(&summary(&lines, format, width))?;
        }
        Form::Workbook => table.write_book(workbook(&sheets(&lines)))?,
    }
    tell(&told.text());
    tell(&missing(previous, asked.files));
    Ok(if is_interrupted() { INTERRUPTED } else { highest })
}

/// What an earlier run told, empty if none is named: `None` if it is nothing of that, or none of these statements, and the
/// user has been told.
pub fn earlier(path: Option<&Path>, files: &[PathBuf]) -> Result<Option<Previous>, Fault> {
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
    if previous.is_one_report() && files.len() == 1 {
        return Ok(Some(previous));
    }
    if previous.is_one_report() {
        tell(&format!(
            "error: `{shown}` is the report of one statement, and {} are solved\n  = help: name the summary of several, or \
             one statement\n",
            files.len()
        ));
        return Ok(None);
    }
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

/// What is told at the end: what several statements say alike, such as of a shelf that they share, once.
#[derive(Default)]
struct Told {
    texts: Vec<String>,
    again: usize,
}

impl Told {
    fn add(&mut self, text: &str) {
        if self.texts.iter().any(|known| known == text) {
            self.again += usize::from(!text.is_empty());
        } else {
            self.texts.push(text.to_owned());
        }
    }

    fn text(&self) -> String {
        let again = match self.again {
            0 => String::new(),
            1 => "note: one more statement has a remark that stands above\n".to_owned(),
            count => format!("note: {count} more statements have remarks that stand above\n"),
        };
        self.texts.concat() + &again
    }
}

/// A value that cannot be compared with the earlier one is told.
fn unlike(line: &SummaryLine) -> String {
    let compared =
        line.since.as_ref().is_none_or(|since| since.before.is_some() || since.earlier_mix_today.is_none());
    if compared || line.value.is_none() {
        return String::new();
    }
    format!(
        "note: `{}` had another goal or unit in the earlier run: its change is not told\n",
        crate::finding::clean(&line.file)
    )
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
    let line = SummaryLine::not_solved(file.display().to_string(), State::Failed.words());
    Case { line, code: FAULT, text: None, told: failure(file, why) }
}

fn one(file: &Path, asked: &BatchAsked<'_>, prices: &Prices, previous: &Previous) -> Case {
    let stop = stop(asked.time_limit);
    let name = file.display().to_string();
    let Some((read, sources)) = opened_beside_others(file, prices, stop) else {
        if !stop.is_due() {
            return failed(file, "the system gives it no thread to be read on");
        }
        let line = SummaryLine::not_solved(name, State::Unsettled.words());
        return Case { line, code: NO_MIX, text: None, told: unread(file) };
    };
    let checked = match read {
        Ok(checked) => checked,
        Err(fault) => {
            let line = SummaryLine::not_solved(name, "cannot be read");
            return Case { line, code: FAULT, text: None, told: format!("error: {fault}\n") };
        }
    };
    match checked {
        Ok((problem, warnings)) => {
            let settings = asked.settings.until(stop);
            let units = units_of(asked.units, &problem);
            let with_margins = match with_risk_margins(&problem, &settings, units) {
                Ok(with_margins) => with_margins,
                Err(why) => {
                    let told = format!("`{}`: {}", crate::finding::clean(&name), why.told);
                    let line = SummaryLine::not_solved(name, why.state.words());
                    return Case { line, code: NO_MIX, text: None, told };
                }
            };
            let (problem, settings) = with_margins.unwrap_or((problem, settings));
            let verdict = solve(&problem, &settings);
            // The summary tells neither prices of limits nor conflicts: they are sought for whole reports alone.
            let explanation = if asked.folder().is_some() {
                explain(&problem, &verdict, stop)
            } else {
                Explanation::default()
            };
            let mut report = report(&problem, &verdict, &explanation, &sources, units);
            report.since = previous.of(&name).map(|earlier| since(&problem, &report, earlier, &sources));
            let shelf =
                problem.mixture.catalogue.materials.ids().map(|at| material_price(&problem, at, units));
            let shelf = shelf.collect();
            Case {
                code: code_of(report.state),
                text: asked.folder().map(|_| render(&report, asked.format(), Width::PIPED)),
                told: if warnings.is_empty() { String::new() } else { warnings.render(&sources) },
                line: SummaryLine::solved(name, &report, shelf),
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
        Format::Csv | Format::Semicolons => "csv",
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
