//! `mixbound sweep` and `mixbound merge`: many cases of one statement.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::ending::{FAULT, INTERRUPTED, NO_MIX, WRONG, ended, width_of};
use super::opened::{UNREAD, unread};
use super::outside::{
    Folder, Output, is_interrupted, is_same, read_text, steps, stop, tell, undivided, undivided_until,
    was_read,
};
use super::priced::Prices;
use super::robust::{note_of_studies, solved_with_risk, with_risk_margins};
use super::study_arguments::{StudyArguments, SweepArguments};
use super::sweep_files::{Growing, Lines, Trouble, joined, read_lines};
use super::typed::{format_of, units_of};
use crate::analysis::explain;
use crate::answer::build::report;
use crate::answer::record::sweep::{SweepHeader, case_line, read_case};
use crate::finding::{Fault, Finding, Findings, Place, Sources};
use crate::parallel::{self, Stop, unless_due};
use crate::render::{Format, render, tables};
use crate::solve::{Limits, Settings};
use crate::statement::{Document, StudyEntry, Word};
use crate::study::{CaseResult, Outcome, Study};

/// A statement as a tree, with what it asks for besides; `None` if it is wrong, and its author has been told.
pub fn document_of(
    file: &Path,
    prices: &Prices,
) -> Result<Option<(Document, Sources, Option<StudyEntry>)>, Fault> {
    let mut sources = Sources::default();
    let source = sources.add(file.display().to_string(), read_text(file)?);
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
pub fn sweep_one(arguments: &SweepArguments, prices: &Prices) -> Result<u8, Fault> {
    let stop = stop(arguments.time_limit);
    // On threads of their own: where several statements are swept, the time of one must not end the others.
    let (file, list) = (arguments.study.file.clone(), prices.clone());
    let Some(read) = unless_due(stop, move || document_of(&file, &list)) else {
        tell(&unread(&arguments.study.file));
        return Ok(ended(NO_MIX));
    };
    let Some((document, mut sources, asked)) = read? else { return Ok(WRONG) };
    let vary = match typed(&arguments.vary, &mut sources) {
        Ok(vary) => vary,
        Err(findings) => {
            tell(&findings.render(&sources));
            return Ok(WRONG);
        }
    };
    let own = sources.clone();
    let Some(planned) = unless_due(stop, move || Study::plan(document, own, asked.as_ref(), &vary)) else {
        tell(&unread(&arguments.study.file));
        return Ok(ended(NO_MIX));
    };
    let study = match planned {
        Ok((study, warnings)) => {
            if !warnings.is_empty() {
                tell(&warnings.render(&sources));
            }
            study.solved_by(solved_with_risk)
        }
        Err(findings) => {
            tell(&findings.render(&sources));
            return Ok(WRONG);
        }
    };
    match arguments.case {
        Some(case) => one_case(&study, case, arguments, stop),
        None => with_jobs(arguments.study.jobs, || all_cases(&study, arguments, stop)),
    }
}

/// One case: printed as a statement, or solved and reported.
fn one_case(study: &Study, case: usize, arguments: &SweepArguments, stop: Stop) -> Result<u8, Fault> {
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
    match undivided_until(stop, UNREAD, || study.problem(case - 1)) {
        Ok(problem) => {
            let units = units_of(arguments.study.units, &problem);
            let with_margins = match with_risk_margins(&problem, &settings.until(stop), units) {
                Ok(with_margins) => with_margins,
                Err(why) => {
                    tell(why.told);
                    return Ok(super::ending::ended(NO_MIX));
                }
            };
            let (problem, settings) = with_margins.unwrap_or((problem, settings));
            let verdict = crate::solve::solve(&problem, &settings.until(stop));
            let told = report(&problem, &verdict, &explain(&problem, &verdict, stop), &study.sources, units);
            let width = width_of(&output);
            output.write(&render(&told, Format::Text, width))?;
            Ok(ended(super::ending::code_of(told.state)))
        }
        Err(findings) => {
            tell(&findings.render(&study.sources));
            Ok(WRONG)
        }
    }
}

fn all_cases(study: &Study, arguments: &SweepArguments, stop: Stop) -> Result<u8, Fault> {
    note_of_studies(&study.base);
    let settings = settings_of(&arguments.study);
    let header = SweepHeader::new(study, &settings, arguments.shard);
    let mut lines = Lines { header, cases: BTreeMap::new() };
    if let Some(path) = &arguments.resume {
        match undivided(|| known(path, &lines.header, study)) {
            Ok(cases) => lines.cases = cases,
            Err(trouble) => return refused(trouble),
        }
    }
    let path = arguments.study.output.as_deref().or(arguments.resume.as_deref());
    let lock = path.map(Growing::lock).transpose()?.flatten();
    if let Some(path) = path
        && let Some(why) = held(path, arguments.resume.as_deref(), &lines)
    {
        tell(&format!("error: {why}\n"));
        return Ok(WRONG);
    }
    let numbers = match arguments.shard {
        Some((shard, of)) => study.shard(shard, of),
        None => (0..study.count()).collect(),
    };
    if let Some(other) = lines.cases.keys().find(|number| numbers.binary_search(number).is_err()) {
        tell(&format!(
            "error: the results to go on from hold case {}, which is not of this shard\n  = help: name the same `--shard` as \
             before, or none for the whole sweep\n",
            other + 1
        ));
        return Ok(WRONG);
    }
    let left: Vec<usize> =
        numbers.iter().copied().filter(|number| !lines.cases.contains_key(number)).collect();
    let growing = path.map(|path| Growing::open(path, &lines, lock)).transpose()?;
    let progress = steps("solving", left.len());
    let results = study.run(&left, &settings.until(stop), &|case| {
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
    Output::Standard.write(&tables::sweep(
        &sweep,
        &study.base.currency,
        units,
        (format_of(arguments.study.format), width_of(&Output::Standard)),
    ))?;
    tell_wrong(&sweep.cases);
    let highest = sweep.cases.iter().map(|case| code_of(case.answer.outcome)).max().unwrap_or(0);
    let missing = numbers.len() - sweep.cases.len();
    if missing == 0 && !is_interrupted() {
        return Ok(highest);
    }
    let why = if is_interrupted() { "interrupted" } else { "stopped by the time limit" };
    let told = format!("{why}: {missing} of {} cases were not reached", numbers.len());
    let way = path.map_or_else(String::new, |path| {
        format!("; go on with `--resume {}`", crate::finding::clean(&path.display().to_string()))
    });
    tell(&format!("{told}{way}\n"));
    Ok(if is_interrupted() { INTERRUPTED } else { highest.max(NO_MIX) })
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

/// The lines of a results file that belong to this sweep; what failed is left out, to be tried again.
fn known(path: &Path, header: &SweepHeader, study: &Study) -> Result<BTreeMap<usize, String>, Trouble> {
    let mut lines = read_lines(path)?;
    let shown = crate::finding::clean(&path.display().to_string());
    let mut differences = header.differences(&lines.header);
    let read = |line: &str| read_case(line.trim_end()).ok();
    let misplaced = lines.cases.values().filter_map(|line| read(line));
    if let Some(case) = misplaced.into_iter().find(|case| case.at != study.at(case.number)) {
        differences.push(format!("case {} has other values in the file", case.number + 1));
    }
    if differences.is_empty() {
        lines.cases.retain(|_, line| read(line).is_some_and(|case| case.answer.outcome != Outcome::Failed));
        return Ok(lines.cases);
    }
    let list: Vec<String> =
        differences.iter().map(|one| format!("\n  = {}", crate::finding::clean(one))).collect();
    Err(Trouble::Wrong(format!("`{shown}` holds results of another sweep{}", list.concat())))
}

/// Why an output that holds something must not be written to; nothing if all that it holds is known.
fn held(path: &Path, resumed: Option<&Path>, known: &Lines) -> Option<String> {
    if !path.is_file() || resumed.is_some_and(|resumed| is_same(resumed, path)) {
        return None;
    }
    let shown = crate::finding::clean(&path.display().to_string());
    if was_read(path) {
        return Some(format!(
            "`{shown}` is one of the files that this run reads\n  = help: name another file"
        ));
    }
    let is_empty = path.metadata().is_ok_and(|metadata| metadata.len() == 0);
    match (resumed, read_lines(path)) {
        (None, Ok(lines)) if !lines.cases.is_empty() => Some(format!(
            "`{shown}` holds results of a sweep\n  = help: go on with `--resume {shown}`, or take it away"
        )),
        (Some(_), Ok(lines)) => {
            let same = known.header.differences(&lines.header).is_empty()
                && lines.cases.iter().all(|(number, line)| known.cases.get(number) == Some(line));
            (!same).then(|| {
                format!("`{shown}` holds other results\n  = help: name another file, or take it away")
            })
        }
        (Some(_), Err(_)) if !is_empty => {
            Some(format!("`{shown}` holds something else\n  = help: name another file, or take it away"))
        }
        _ => None,
    }
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
pub fn merge(files: &[PathBuf], output: Option<&Path>, stop: Stop) -> Result<u8, Fault> {
    match undivided_until(stop, "the results were read", || joined(files)) {
        Ok(lines) => {
            Output::open(output)?.write(&lines.text())?;
            Ok(0)
        }
        Err(trouble) => refused(trouble),
    }
}
