//! What changes from one given mix to another: kilograms, cost and carbon, properties, each with the direction that is
//! better for this use.
//!
//! What enters: reports of two mixes of one problem. What leaves: figures in the reader's units.

use super::compare::{Row, SAME, rows};
use super::report::Report;
use crate::problem::Problem;
use crate::quantity::Unit;

/// Changes from a reference mix.
#[derive(Clone, Debug)]
pub struct Changes {
    /// Name of the reference.
    pub from: String,
    /// One for each material in either mix, each total and each response.
    pub lines: Vec<ChangeLine>,
}

/// One figure of both mixes.
#[derive(Clone, Debug)]
pub struct ChangeLine {
    /// Its name.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// In the reference; absent where there is none, such as an age at cracking of a mix that does not crack.
    pub before: Option<f64>,
    /// In the other mix.
    pub after: Option<f64>,
    /// What the statement makes of the change.
    pub verdict: Direction,
}

impl ChangeLine {
    /// After less before.
    pub fn change(&self) -> Option<f64> {
        Some(self.after? - self.before?)
    }

    /// The change as a share of what was before.
    pub fn relative(&self) -> Option<f64> {
        let before = self.before.filter(|before| *before != 0.0)?;
        Some(self.change()? / before.abs())
    }
}

/// What a change is worth for this use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Towards what the statement asks for.
    Better,
    /// Away from it.
    Worse,
    /// No change worth telling.
    Same,
    /// The statement does not say.
    Open,
}

impl Direction {
    /// In a word; empty where the statement does not say.
    pub fn word(self) -> &'static str {
        match self {
            Self::Better => "better",
            Self::Worse => "worse",
            Self::Same => "same",
            Self::Open => "",
        }
    }

    /// Of a change from one value to another.
    pub fn of(before: Option<f64>, after: Option<f64>, row: &Row) -> Self {
        // An age that there is none of lies beyond the last day.
        let beyond = |value: Option<f64>| value.or(row.last.map(|_| f64::INFINITY));
        let (Some(before), Some(after)) = (beyond(before), beyond(after)) else { return Self::Open };
        let is_close = || (after - before).abs() <= SAME * after.abs().max(before.abs());
        if before == after || before.is_finite() && after.is_finite() && is_close() {
            return Self::Same;
        }
        match row.better {
            None => Self::Open,
            Some(side) if 0.0 < side.sign() * (after - before) => Self::Better,
            Some(_) => Self::Worse,
        }
    }
}

/// The changes from the mix of one report to that of another.
pub fn changes(problem: &Problem, from: &str, before: &Report, after: &Report) -> Changes {
    let line = |row: Row| ChangeLine {
        verdict: Direction::of(row.values[0], row.values[1], &row),
        before: row.values[0],
        after: row.values[1],
        name: row.name,
        unit: row.unit,
    };
    Changes {
        from: from.to_owned(),
        lines: rows(problem, &[before, after], before).into_iter().map(line).collect(),
    }
}
