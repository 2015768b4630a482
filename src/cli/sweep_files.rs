//! Results files of sweeps: written line by line as cases end, gone on from, joined.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use super::files::reason;
use super::output::Output;
use crate::answer::record::sweep::{SweepHeader, read_case};
use crate::finding::{Fault, clean};

/// Lines of a results file by the number of their case, from 0, and what was swept.
#[derive(Clone, Debug)]
pub struct Lines {
    /// The first line.
    pub header: SweepHeader,
    /// Lines of cases, with their ends.
    pub cases: BTreeMap<usize, String>,
}

/// Why a results file cannot be used.
#[derive(Debug)]
pub enum Trouble {
    /// The world failed.
    Fault(Fault),
    /// It is not what it should be, in words.
    Wrong(String),
}

impl From<Fault> for Trouble {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

/// Reads a results file. A last line that was cut off when the program ended is left out.
///
/// # Errors
/// If it cannot be read, or is no results file.
pub fn read_lines(path: &Path) -> Result<Lines, Trouble> {
    let shown = clean(&path.display().to_string());
    let fault = |reason: String| Trouble::Fault(Fault::Read { path: path.display().to_string(), reason });
    let wrong = |what: String| Trouble::Wrong(format!("`{shown}`: {what}"));
    if path.is_dir() {
        return Err(fault("it is a folder, not a results file".to_owned()));
    }
    let file = File::open(path).map_err(|error| fault(reason(&error)))?;
    let mut reader = BufReader::new(file);
    let mut line = String::new();
    let mut next = |line: &mut String| -> Result<bool, Trouble> {
        line.clear();
        let length = reader.read_line(line).map_err(|error| fault(reason(&error)))?;
        Ok(0 < length)
    };
    if !next(&mut line)? {
        return Err(wrong("it is empty".to_owned()));
    }
    let header = SweepHeader::read(line.trim_end()).map_err(wrong)?;
    let mut cases: BTreeMap<usize, String> = BTreeMap::new();
    let mut number = 1;
    while next(&mut line)? {
        number += 1;
        if !line.ends_with('\n') {
            break;
        }
        let case = read_case(line.trim_end()).map_err(|why| wrong(format!("line {number}: {why}")))?;
        if header.cases <= case.number {
            return Err(wrong(format!("line {number}: case {} of {}", case.number + 1, header.cases)));
        }
        if let Some(earlier) = cases.get(&case.number)
            && *earlier != line
        {
            return Err(wrong(format!("line {number}: case {} stands twice and differs", case.number + 1)));
        }
        cases.insert(case.number, line.clone());
    }
    Ok(Lines { header, cases })
}

impl Lines {
    /// The whole file, cases in order.
    pub fn text(&self) -> String {
        let mut text = self.header.line();
        for line in self.cases.values() {
            text.push_str(line);
        }
        text
    }
}

/// A results file that grows while cases end.
#[derive(Debug)]
pub struct Growing {
    path: PathBuf,
    lines: Mutex<(File, Option<Fault>)>,
}

impl Growing {
    /// Writes what is known and stays open for more.
    ///
    /// # Errors
    /// If the file cannot be written.
    pub fn open(path: &Path, known: &Lines) -> Result<Self, Fault> {
        Output::open(Some(path))?.write(&known.text())?;
        let file = File::options()
            .append(true)
            .open(path)
            .map_err(|error| Fault::Write { path: path.display().to_string(), reason: reason(&error) })?;
        Ok(Self { path: path.to_owned(), lines: Mutex::new((file, None)) })
    }

    /// Adds the line of a case; the first fault is kept for the end.
    pub fn add(&self, line: &str) {
        let mut lines = self.lines.lock().unwrap_or_else(PoisonError::into_inner);
        if lines.1.is_none()
            && let Err(error) = lines.0.write_all(line.as_bytes())
        {
            lines.1 = Some(Fault::Write { path: self.path.display().to_string(), reason: reason(&error) });
        }
    }

    /// Puts the lines in order.
    ///
    /// # Errors
    /// The first fault on the way.
    pub fn finish(self, all: &Lines) -> Result<(), Fault> {
        let (_, fault) = self.lines.into_inner().unwrap_or_else(PoisonError::into_inner);
        match fault {
            Some(fault) => Err(fault),
            None => Output::open(Some(&self.path))?.write(&all.text()),
        }
    }
}

/// Joins results files of one sweep into what a single run would have written.
///
/// # Errors
/// If a file cannot be used, or if they do not fit together: the reason in words.
pub fn joined(paths: &[PathBuf]) -> Result<Lines, Trouble> {
    let mut whole: Option<(Lines, &Path)> = None;
    for path in paths {
        let mut lines = read_lines(path)?;
        lines.header.shard = None;
        let Some((known, first)) = &mut whole else {
            whole = Some((lines, path));
            continue;
        };
        let shown = |path: &Path| clean(&path.display().to_string());
        let differences = known.header.differences(&lines.header);
        if !differences.is_empty() {
            return Err(Trouble::Wrong(format!(
                "`{}` and `{}` are not of one sweep:\n  = {}",
                shown(first),
                shown(path),
                clean(&differences.join("; "))
            )));
        }
        for (number, line) in lines.cases {
            match known.cases.get(&number) {
                Some(earlier) if *earlier != line => {
                    return Err(Trouble::Wrong(format!(
                        "case {} differs between `{}` and an earlier file",
                        number + 1,
                        shown(path)
                    )));
                }
                _ => known.cases.insert(number, line),
            };
        }
    }
    let Some((lines, _)) = whole else { return Err(Trouble::Wrong("no files are given".to_owned())) };
    let missing: Vec<usize> =
        (0..lines.header.cases).filter(|number| !lines.cases.contains_key(number)).collect();
    if !missing.is_empty() {
        let numbers: Vec<String> = missing.iter().map(|number| (number + 1).to_string()).collect();
        return Err(Trouble::Wrong(format!(
            "{} of {} cases are in none of these files: {}\n  = help: a shard is missing, or was stopped before its end: go on with `--resume`",
            missing.len(),
            lines.header.cases,
            crate::finding::listed(&numbers)
        )));
    }
    Ok(lines)
}
