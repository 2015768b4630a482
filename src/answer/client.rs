//! A report for the producer's client: the mix and what it meets, without what it costs and without the statement.
//!
//! What enters: a report. What leaves: the same without prices, costs, goals of money, and everything that only the statement
//! explains. Cautions, measured values and demands that nothing checks stay: whoever hands the copy on must not lose them.

use super::report::{AmountLine, Audience, CertaintyLine, Report};
use crate::quantity::{Dimension, Unit};

/// Whether figures of this unit tell money.
fn is_money(unit: &Unit) -> bool {
    matches!(unit.dimension, Dimension::MONEY | Dimension::PRICE_BY_VOLUME | Dimension::PRICE_BY_MASS)
}

/// The report as a client reads it.
pub fn for_client(report: &Report) -> Report {
    let hidden = is_money(&report.goal_unit);
    let told = |line: CertaintyLine| {
        if hidden { CertaintyLine { bound: None, gap: None, ..line } } else { line }
    };
    let mut copy = Report {
        audience: Audience::Client,
        note: None,
        goal_value: report.goal_value.filter(|_| !hidden),
        sum: None,
        amounts: report.amounts.iter().map(|line| AmountLine { cost: None, ..line.clone() }).collect(),
        prices: Vec::new(),
        conflict: None,
        certainty: report.certainty.map(told),
        since: None,
        changes: None,
        uncertainty: report.uncertainty.clone().filter(|_| !hidden),
        ..report.clone()
    };
    copy.limits.retain(|line| !is_money(&line.unit));
    copy.totals.retain(|line| !is_money(&line.unit));
    copy
}
