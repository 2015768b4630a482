//! A statement read and checked with the files that it includes.

use std::path::Path;

use super::outside::Folder;
use crate::admit::admit;
use crate::finding::{Findings, Sources};
use crate::problem::Problem;
use crate::statement;

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
