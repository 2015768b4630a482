//! All parts of a report, in the order in which a reader needs them.

use super::conflict::conflict;
use super::doubt::part as uncertainty;
use super::limits::{limits, prices};
use super::mix::{curing, mix, totals};
use super::outcome::outcome;
use super::responses::{measured, responses};
use super::since;
use crate::answer::block::Part;
use crate::answer::report::{Report, State};

/// What it came to, without a heading.
pub fn first(report: &Report) -> Part {
    outcome(report).into_iter().fold(Part::default(), Part::saying)
}

/// The parts after that, but for the cautions; none where the solver failed.
pub fn parts(report: &Report) -> Vec<Part> {
    if report.state == State::Failed {
        return Vec::new();
    }
    let mut list: Vec<Part> = conflict(report);
    list.extend(since::part(report));
    list.extend([mix(report), totals(report)]);
    list.extend(curing(report));
    list.extend(limits(report));
    list.extend(prices(report));
    list.extend(uncertainty(report));
    list.extend(responses(report));
    list.extend(measured(report));
    list
}

/// Everything for a reader of text.
pub fn all(report: &Report) -> Vec<Part> {
    let mut list = vec![first(report)];
    list.extend(parts(report));
    if report.state != State::Failed {
        list.push(Part::new("Cautions", "").listing(&report.cautions));
    }
    list
}
