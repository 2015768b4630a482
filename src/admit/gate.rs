//! The gate: a statement that was read becomes a problem, or findings say why not.
//!
//! What enters: a statement and the findings of reading it. What leaves: a problem with warnings, or all findings. No other
//! code outside tests builds a problem. Nothing is solved here for its own sake.

use super::examine::examine;
use crate::finding::{Findings, RestsOn, Sources};
use crate::parallel::{Stop, unless_due};
use crate::problem::{Problem, build};
use crate::statement::{Document, Statement};

/// The gate of every statement that was read, from a file or a case of a study: its meaning, and what can be said of
/// it without solving. `findings` are those of reading it.
///
/// # Errors
/// All findings, if any of them is an error.
pub fn admit(
    statement: &Statement,
    mut findings: Findings,
    sources: &Sources,
) -> Result<(Problem, Findings), Findings> {
    match build(statement, sources) {
        Ok((problem, more)) => {
            findings.extend(more);
            let told = examine(&problem);
            if told.has_errors() {
                findings.without_echoes_resting_on(RestsOn::Regions);
            }
            findings.extend(told);
            if findings.has_errors() { Err(findings) } else { Ok((problem, findings)) }
        }
        Err(more) => {
            findings.extend(more);
            Err(findings)
        }
    }
}

/// The gate of every document: reading, meaning, and what can be said without solving.
///
/// # Errors
/// All findings, if any of them is an error.
pub fn admit_document(document: &Document, sources: &Sources) -> Result<(Problem, Findings), Findings> {
    let (statement, findings) = document.statement(sources)?;
    admit(&statement, findings, sources)
}

/// Size of all texts, in bytes, from which a document is not admitted within a blink, so that the clock is asked.
const LONG: usize = 32_000;

/// The same; `None` if work had to end before it was done.
pub fn admit_document_until(
    document: &Document,
    sources: &Sources,
    stop: Stop,
) -> Option<Result<(Problem, Findings), Findings>> {
    if stop.is_due() {
        return None;
    }
    if stop == Stop::NEVER || sources.size() < LONG {
        return Some(admit_document(document, sources));
    }
    let (document, sources) = (document.clone(), sources.clone());
    unless_due(stop, move || admit_document(&document, &sources))
}
