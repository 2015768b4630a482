//! Results files of sweeps: written line by line as cases end, gone on from, joined.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use super::outside::{Lock, Output, Purpose, halt, plain_file, reason};
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

/// Longest line of a results file, in bytes.
const LONGEST: u64 = 1 << 20;
/// Largest results file, in bytes: its lines are held in memory.
const LARGEST: u64 = 1 << 30;
/// Most cases of a sweep.
const MOST_CASES: usize = 1_000_000;

/// Reads a results file. A last line that was cut off when the program ended is left out.
///
/// # Errors
/// If it cannot be read, or is no results file.
pub fn read_lines(path: &Path) -> Result<Lines, Trouble> {
    let shown = clean(&path.display().to_string());
    let fault = |reason: String| Trouble::Fault(Fault::Read { path: path.display().to_string(), reason });
    let wrong = |what: String| Trouble::Wrong(format!("`{shown}`: {what}"));
    let mut reader = BufReader::new(plain_file(path)?);
    let mut line = String::new();
    let mut all = 0;
    let mut next = |line: &mut String| -> Result<bool, Trouble> {
        line.clear();
        let length = (&mut reader).take(LONGEST).read_line(line).map_err(|error| match error.kind() {
            std::io::ErrorKind::InvalidData => wrong("it is no text".to_owned()),
            _ => fault(reason(&error)),
        })? as u64;
        all += length;
        if length == LONGEST || LARGEST < all {
            return Err(wrong(format!(
                "it is too large for a results file\n  = allowed: {} MB a line, {} MB in all",
                LONGEST >> 20,
                LARGEST >> 20
            )));
        }
        Ok(0 < length)
    };
    if !next(&mut line)? {
        return Err(wrong("it is empty".to_owned()));
    }
    let header = SweepHeader::read(line.trim_end()).map_err(wrong)?;
    if MOST_CASES < header.cases {
        return Err(wrong(format!("it is of a sweep of {} cases\n  = allowed: {MOST_CASES}", header.cases)));
    }
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
    lines: Mutex<Written>,
    /// Whether it is a plain file, whose lines are put in order at the end.
    is_plain: bool,
    _lock: Option<Lock>,
}

/// What has been written so far.
#[derive(Debug)]
struct Written {
    file: File,
    /// Length up to the last whole line.
    length: u64,
    fault: Option<Fault>,
}

impl Growing {
    /// Locks the file, for as long as this lasts; nothing is written yet.
    ///
    /// # Errors
    /// If another run writes it, or if it cannot be written.
    pub fn lock(path: &Path) -> Result<Option<Lock>, Fault> {
        if path.exists() && !path.is_file() { Ok(None) } else { Lock::of(path) }
    }

    /// Writes what is known and stays open for more.
    ///
    /// # Errors
    /// If the file cannot be written.
    pub fn open(path: &Path, known: &Lines, lock: Option<Lock>) -> Result<Self, Fault> {
        let text = known.text();
        Output::file(path, Purpose::Continued)?.write(&text)?;
        let file = File::options()
            .append(true)
            .open(path)
            .map_err(|error| Fault::Write { path: path.display().to_string(), reason: reason(&error) })?;
        let is_plain = path.is_file();
        let written = Written { file, length: text.len() as u64, fault: None };
        Ok(Self { path: path.to_owned(), lines: Mutex::new(written), is_plain, _lock: lock })
    }

    /// Adds the line of a case. A fault, such as a full disk, ends the work; what was written stays whole.
    pub fn add(&self, line: &str) {
        let mut written = self.lines.lock().unwrap_or_else(PoisonError::into_inner);
        if written.fault.is_some() {
            return;
        }
        if let Err(error) = written.file.write_all(line.as_bytes()) {
            if self.is_plain {
                // Half a line is taken away again; if that fails too, the reader leaves it out.
                let length = written.length;
                let _ = written.file.set_len(length);
            }
            written.fault =
                Some(Fault::Write { path: self.path.display().to_string(), reason: reason(&error) });
            halt();
        } else {
            written.length += line.len() as u64;
        }
    }

    /// Puts the lines in order.
    ///
    /// # Errors
    /// The first fault on the way.
    pub fn finish(self, all: &Lines) -> Result<(), Fault> {
        let written = self.lines.into_inner().unwrap_or_else(PoisonError::into_inner);
        match written.fault {
            Some(fault) => Err(fault),
            None if self.is_plain => Output::file(&self.path, Purpose::Continued)?.write(&all.text()),
            None => Ok(()),
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
