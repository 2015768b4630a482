//! Reports as Markdown, for a page or an issue.

use super::blocks::{escaped, markdown};
use crate::answer::block::Part;
use crate::answer::parts::whole::all;
use crate::answer::report::Report;

/// Writes the report, then more parts.
pub fn render(report: &Report, more: &[Part]) -> String {
    let title = escaped(report.title.as_deref().unwrap_or("Mix"));
    let note = report.note.as_deref().map_or_else(String::new, |note| format!("{}\n\n", escaped(note)));
    let text = markdown(&[all(report).as_slice(), more].concat());
    format!("# {title}\n\n{note}{}\n", text.trim_end())
}
