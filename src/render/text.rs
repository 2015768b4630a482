//! Reports for a terminal: no colours, no drawing beyond rules and letters.

use super::blocks::text;
use super::layout::{Width, wrapped};
use crate::answer::block::Part;
use crate::answer::parts::whole::all;
use crate::answer::report::Report;
use crate::finding::clean;

/// Writes the report, then more parts.
pub fn render(report: &Report, more: &[Part], width: Width) -> String {
    let mut out = String::new();
    for line in [&report.title, &report.note].into_iter().flatten() {
        out.push_str(&wrapped(&clean(line), width.columns(), "", ""));
        out.push('\n');
    }
    out.push('\n');
    out.push_str(&text(&[all(report).as_slice(), more].concat(), width));
    out
}
