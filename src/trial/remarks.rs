//! What is remarked on batches, told once for each batch and not without end.
//!
//! What enters: batches whose amounts do not fill their volume, and figures written beside amounts that give another one.
//! What leaves: findings, the first few one by one, the others in one sentence.

use super::weights::{does_not_fill, yield_remark};
use crate::finding::{Finding, Findings, Place};

/// How many remarks of a kind are told one by one.
const ONE_BY_ONE: usize = 4;
/// How many others are named.
const NAMED: usize = 12;

/// Remarks of one file.
#[derive(Debug, Default)]
pub struct Remarks {
    yields: Vec<(String, f64, Place)>,
    written: Vec<(String, Place, Finding)>,
}

impl Remarks {
    /// A batch whose amounts fill this share of the volume as written.
    pub fn fills(&mut self, batch: &str, share: f64, place: Place) {
        if does_not_fill(share) {
            self.yields.push((batch.to_owned(), share, place));
        }
    }

    /// A figure beside the amounts of a batch that is not the one they give: once for each batch and quantity.
    pub fn differs(&mut self, batch: &str, quantity: &str, place: Place, finding: Finding) {
        let name = format!("{quantity} of {batch}");
        if !self.written.iter().any(|(known, ..)| *known == name) {
            self.written.push((name, place, finding));
        }
    }

    /// Tells them.
    pub fn tell(self, findings: &mut Findings) {
        let (mut yields, mut written) = (self.yields, self.written);
        // The worst first: they are told one by one.
        yields.sort_by(|a, b| (b.1 - 1.0).abs().total_cmp(&(a.1 - 1.0).abs()));
        let others = yields.split_off(yields.len().min(ONE_BY_ONE));
        if let Some((.., place)) = others.first() {
            findings.push(
                Finding::warning(
                    *place,
                    format!(
                        "the amounts of {} do not fill their volume",
                        more_of("batch", "batches", others.len())
                    ),
                )
                .note(named(
                    others.iter().map(|(name, share, _)| {
                        format!("`{name}` {}", crate::trial::weights::percent(*share))
                    }),
                ))
                .help(
                    "check units and weights, the air, and the densities of the materials in the statement",
                ),
            );
        }
        for (_, share, place) in yields {
            findings.push(yield_remark(share, place));
        }
        let more = written.split_off(written.len().min(ONE_BY_ONE));
        if let Some((_, place, _)) = more.first() {
            findings.push(
                Finding::warning(
                    *place,
                    format!(
                        "{} written beside amounts differ from what they give",
                        more_of("figure", "figures", more.len())
                    ),
                )
                .note(named(more.iter().map(|(name, ..)| format!("`{name}`")))),
            );
        }
        for (.., finding) in written {
            findings.push(finding);
        }
    }
}

fn more_of(one: &str, many: &str, count: usize) -> String {
    if count == 1 { format!("one more {one}") } else { format!("{count} more {many}") }
}

/// The first of many names.
fn named(names: impl ExactSizeIterator<Item = String>) -> String {
    let rest = names.len().saturating_sub(NAMED);
    let list: Vec<String> = names.take(NAMED).collect();
    let more = if rest == 0 { String::new() } else { format!(" and {rest} more") };
    format!("{}{more}", list.join(", "))
}
