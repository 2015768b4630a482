//! `mixbound sweep` and `mixbound merge`: many cases of one statement.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::Ordering;

use super::files::read_text;
use super::folder::Folder;
use super::output::Output;
use super::priced::Prices;
use super::progress::steps;
use super::run::{FAULT, INTERRUPTED, NO_MIX, WRONG, interrupt_flag, table_format, tell, units_of};
use super::study_arguments::{StudyArguments, SweepArguments};
use super::sweep_files::{Growing, Lines, Trouble, joined, read_lines};
use crate::analysis::explain;
use crate::answer::build::report;
use crate::answer::record::sweep::{SweepHeader, case_line, read_case};
use crate::finding::{Fault, Finding, Findings, Place, Sources};
use crate::parallel;
use crate::render::sweep_table::sweep_table;
use crate::render::{Format, render};
use crate::solve::{Limits, Settings};
use crate::statement::{Document, StudyEntry, Word};
use crate::study::{CaseResult, Outcome, Study};

/// A statement as a tree, with what it asks for besides; `None` if it is wrong, and its author has been told.
pub fn document_of(
    file: &Path,
    prices: Option<&Path>,
) -> Result<Option<(Document, Sources, Option<StudyEntry>)>, Fault> {
    let mut sources = Sources::default();
    let source = sources.add(file.display().to_string(), read_text(file)?);
    let Some(prices) = Prices::open(prices, &[file.to_owned()])? else { return Ok(None) };
    let read = Document::read(&mut sources, source, &mut Folder::of(file)).and_then(|document| {
        let study = document.study(&sources)?;
        let (document, _) = prices.over(document, &mut sources)?;
        Ok((document, study))
    });
    match read {
        Ok((document, study)) => Ok(Some((document, sources, study))),
        Err(findings) => {
            tell(&findings.render(&sources));
            Ok(None)
        }
    }
}

/// Settings of studies: never a clock, so that results repeat.
pub fn settings_of(arguments: &StudyArguments) -> Settings {
    if arguments.no_proof {
        Settings::local()
    } else {
        Settings::proven(Limits { gap: arguments.gap, ..Limits::default() })
    }
}

/// Runs a task with so many threads, or with all there are.
pub fn with_jobs<Result: Send>(
    jobs: Option<usize>,
    task: impl FnOnce() -> std::result::Result<Result, Fault> + Send,
) -> std::result::Result<Result, Fault> {
    match jobs {
        None => task(),
        Some(jobs) => parallel::with_threads(jobs, task).map_err(|reason| Fault::Solver { reason })?,
    }
}

/// `KEY=VALUES` as typed; a text without `=` is a finding.
pub fn typed(vary: &[String], sources: &mut Sources) -> Result<Vec<(Word, Vec<Word>)>, Findings> {
    let mut list = Vec::new();
    let mut findings = Findings::default();
    for text in vary {
        let source = sources.add("--vary", text.as_str());
        let word = |start: usize, end: usize| {
            let piece = &text[start..end];
            let start = start + (piece.len() - piece.trim_start().len());
            let value = piece.trim().to_owned();
            Word { place: Place { source, start, end: start + value.len() }, value }
        };
        match text.find('=') {
            Some(at) => list.push((word(0, at), vec![word(at + 1, text.len())])),
            None => findings.push(
                Finding::error(Place { source, start: 0, end: text.len() }, format!("`{text}` has no `=`"))
                    .note("a key of the statement and its values are needed")
                    .help("write `limits.binder.at most=400 kg/m3 .. 480 kg/m3 : 5`"),
            ),
        }
    }
    if findings.is_empty() { Ok(list) } else { Err(findings) }
}

/// Runs a sweep.
///
/// # Errors
/// If a file cannot be read or written.
pub fn sweep_one(arguments: &SweepArguments) -> Result<u8, Fault> {
    let Some((document, mut sources, asked)) =
        document_of(&arguments.study.file, arguments.study.prices.as_deref())?
    else {
        return Ok(WRONG);
    };
    let vary = match typed(&arguments.vary, &mut sources) {
        Ok(vary) => vary,
        Err(findings) => {
            tell(&findings.render(&sources));
            return Ok(WRONG);
        }
    };
    let study = match Study::plan(document, sources.clone(), asked.as_ref(), &vary) {
        Ok((study, warnings)) => {
            if !warnings.is_empty() {
                tell(&warnings.render(&sources));
            }
            study
        }
        Err(findings) => {
            tell(&findings.render(&sources));
            return Ok(WRONG);
        }
    };
    match arguments.case {
        Some(case) => one_case(&study, case, arguments),
        None => with_jobs(arguments.study.jobs, || all_cases(&study, arguments)),
    }
}

/// One case: printed as a statement, or solved and reported.
fn one_case(study: &Study, case: usize, arguments: &SweepArguments) -> Result<u8, Fault> {
    if case == 0 || study.count() < case {
        tell(&format!("error: there is no case {case}; allowed: 1 .. {}\n", study.count()));
        return Ok(WRONG);
    }
    let output = Output::open(arguments.study.output.as_deref())?;
    if arguments.print {
        return match study.document(case - 1) {
            Ok(document) => {
                output.write(&document.printed(&study.sources))?;
                Ok(0)
            }
            Err(findings) => {
                tell(&findings.render(&study.sources));
                Ok(WRONG)
            }
        };
    }
    let settings = settings_of(&arguments.study);
    match study.problem(case - 1) {
        Ok(problem) => {
            let verdict = crate::solve::solve(&problem, &settings);
            let units = units_of(arguments.study.units, &problem);
            let told = report(&problem, &verdict, &explain(&problem, &verdict), &study.sources, units);
            output.write(&render(&told, Format::Text))?;
            Ok(super::run::code_of(told.state))
        }
        Err(findings) => {
            tell(&findings.render(&study.sources));
            Ok(WRONG)
        }
    }
}

fn all_cases(study: &Study, arguments: &SweepArguments) -> Result<u8, Fault> {
    let settings = settings_of(&arguments.study);
    let header = SweepHeader::new(study, &settings, arguments.shard);
    let mut lines = Lines { header, cases: BTreeMap::new() };
    if let Some(path) = &arguments.resume {
        match known(path, &lines.header) {
            Ok(cases) => lines.cases = cases,
            Err(trouble) => return refused(trouble),
        }
    }
    let path = arguments.study.output.as_deref().or(arguments.resume.as_deref());
    if let Some(path) = path
        && arguments.resume.is_none()
        && read_lines(path).is_ok_and(|lines| !lines.cases.is_empty())
    {
        let shown = crate::finding::clean(&path.display().to_string());
        tell(&format!(
            "error: `{shown}` holds results of a sweep\n  = help: go on with `--resume {shown}`, or take it away\n"
        ));
        return Ok(WRONG);
    }
    let numbers = match arguments.shard {
        Some((shard, of)) => study.shard(shard, of),
        None => (0..study.count()).collect(),
    };
    lines.cases.retain(|number, _| numbers.binary_search(number).is_ok());
    let left: Vec<usize> =
        numbers.iter().copied().filter(|number| !lines.cases.contains_key(number)).collect();
    let growing = path.map(|path| Growing::open(path, &lines)).transpose()?;
    let progress = steps("solving", left.len());
    let interrupted = interrupt_flag();
    let results = study.run(&left, &settings, &|| !interrupted.load(Ordering::Relaxed), &|case| {
        if let Some(growing) = &growing {
            growing.add(&case_line(case));
        }
        progress.inc(1);
    });
    progress.finish_and_clear();
    let mut cases: Vec<CaseResult> = Vec::with_capacity(numbers.len());
    for line in lines.cases.values() {
        cases.extend(read_case(line.trim_end()));
    }
    if growing.is_some() {
        lines.cases.extend(results.iter().map(|case| (case.number, case_line(case))));
    }
    cases.extend(results);
    if let Some(growing) = growing {
        growing.finish(&lines)?;
    }
    let sweep = study.sweep(cases);
    let units = units_of(arguments.study.units, &study.base);
    Output::Standard.write(&sweep_table(
        &sweep,
        &study.base.currency,
        units,
        table_format(arguments.study.format),
    ))?;
    tell_wrong(&sweep.cases);
    if interrupted.load(Ordering::Relaxed) {
        if let Some(path) = path {
            let shown = crate::finding::clean(&path.display().to_string());
            tell(&format!("interrupted; go on with `--resume {shown}`\n"));
        }
        return Ok(INTERRUPTED);
    }
    Ok(sweep.cases.iter().map(|case| code_of(case.answer.outcome)).max().unwrap_or(0))
}

/// The exit code of one case.
fn code_of(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::Optimal | Outcome::BestFound => 0,
        Outcome::Infeasible | Outcome::NothingFound | Outcome::Unsettled => NO_MIX,
        Outcome::Wrong => WRONG,
        Outcome::Failed => FAULT,
    }
}

/// Cases whose statement is wrong are told at the end, each mistake once.
fn tell_wrong(cases: &[CaseResult]) {
    const MOST: usize = 3;
    let mut told: Vec<&str> = Vec::new();
    for case in cases.iter().filter(|case| !case.answer.told.is_empty()) {
        let text = case.answer.told.as_str();
        if told.contains(&text) {
            continue;
        }
        told.push(text);
        if told.len() <= MOST {
            tell(&format!("case {}:\n{text}\n", case.number + 1));
        }
    }
    if MOST < told.len() {
        tell(&format!("... and {} more cases that cannot be solved\n", told.len() - MOST));
    }
}

/// The lines of a results file that belong to this sweep.
fn known(path: &Path, header: &SweepHeader) -> Result<BTreeMap<usize, String>, Trouble> {
    let lines = read_lines(path)?;
    let differences = header.differences(&lines.header);
    if differences.is_empty() {
        return Ok(lines.cases);
    }
    let shown = crate::finding::clean(&path.display().to_string());
    let list: Vec<String> =
        differences.iter().map(|one| format!("\n  = {}", crate::finding::clean(one))).collect();
    Err(Trouble::Wrong(format!("`{shown}` holds results of another sweep{}", list.concat())))
}

fn refused(trouble: Trouble) -> Result<u8, Fault> {
    match trouble {
        Trouble::Fault(fault) => Err(fault),
        Trouble::Wrong(why) => {
            tell(&format!("error: {why}\n"));
            Ok(WRONG)
        }
    }
}

/// Joins results files.
///
/// # Errors
/// If a file cannot be read or written.
pub fn merge(files: &[PathBuf], output: Option<&Path>) -> Result<u8, Fault> {
    let output = Output::open(output)?;
    match joined(files) {
        Ok(lines) => {
            output.write(&lines.text())?;
            Ok(0)
        }
        Err(trouble) => refused(trouble),
    }
}
