//! Statements and trial files as the commands about trials read them.
//!
//! A fit needs the materials of a statement, not its goal or its limits: the response that a limit speaks of may be the
//! one that is being fitted. What enters: file names. What leaves: a space of mixes and trials, or findings told.

use std::path::{Path, PathBuf};

use super::outside::{Folder, read_text, tell};
use crate::finding::{Fault, Findings, Sources, clean};
use crate::material::catalogue;
use crate::mixture::{Mixture, Quantities, mixture};
use crate::statement::{Statement, read_from};
use crate::trial::batch::Trials;
use crate::trial::header::Known;
use crate::trial::joined::joined;
use crate::trial::mixes::read_mixes_of_trials;
use crate::trial::rows::{Repeats, read_trials};

/// A statement as far as trials need it.
pub struct Shelf {
    /// Files read.
    pub sources: Sources,
    /// The statement.
    pub statement: Statement,
    /// The space of mixes.
    pub mixture: Mixture,
}

/// Opens a statement; nothing if it is wrong, and its author has been told.
pub fn shelf(file: &Path) -> Result<Option<Shelf>, Fault> {
    let mut sources = Sources::default();
    let source = sources.add(file.display().to_string(), read_text(file)?);
    let (statement, mut findings) = match read_from(&mut sources, source, &mut Folder::of(file)) {
        Ok(read) => read,
        Err(findings) => {
            tell(&findings.render(&sources));
            return Ok(None);
        }
    };
    let materials = catalogue(&statement.materials, &mut findings);
    let mixture = mixture(&statement, materials, &mut findings);
    let _ = Quantities::new(&mixture, &statement.currency, &statement.quantities, &mut findings);
    if !findings.is_empty() {
        tell(&findings.render(&sources));
    }
    Ok((!findings.has_errors()).then_some(Shelf { sources, statement, mixture }))
}

/// The name of a file, its folder left out.
pub fn name_of(file: &Path) -> String {
    file.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

impl Shelf {
    /// The quantities of the statement.
    pub fn quantities(&self) -> Quantities<'_> {
        let mut known = Findings::default();
        Quantities::new(&self.mixture, &self.statement.currency, &self.statement.quantities, &mut known)
    }

    /// Trials of all files as one; nothing if they are wrong, and their author has been told.
    pub fn trials(&mut self, files: &[PathBuf], repeats: Repeats) -> Result<Option<Trials>, Fault> {
        let mut read = Vec::new();
        for file in files {
            let Some(trials) = self.one_file(file, repeats)? else { return Ok(None) };
            read.push((clean(&name_of(file)), trials));
        }
        Ok(self.told(joined(read)))
    }

    fn one_file(&mut self, file: &Path, repeats: Repeats) -> Result<Option<Trials>, Fault> {
        let source = self.sources.add(file.display().to_string(), read_text(file)?);
        let quantities = self.quantities();
        let known =
            Known { mixture: &self.mixture, quantities: &quantities, responses: &self.statement.responses };
        let is_mixes = file.extension().is_some_and(|ending| {
            ["yaml", "yml", "json"].iter().any(|known| ending.eq_ignore_ascii_case(known))
        });
        let read = if is_mixes {
            let name = file.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
            let about = (self.statement.currency.as_str(), name.as_str());
            read_mixes_of_trials(&self.sources, source, known, repeats, about)
        } else {
            read_trials(&self.sources, source, known, repeats)
        };
        Ok(self.told(read))
    }

    /// What was read; its author is told what is wrong or odd about it.
    fn told(&self, read: Result<(Trials, Findings), Findings>) -> Option<Trials> {
        let (trials, findings) = match read {
            Ok((trials, warnings)) => (Some(trials), warnings),
            Err(findings) => (None, findings),
        };
        if !findings.is_empty() {
            tell(&findings.render(&self.sources));
        }
        trials
    }
}
