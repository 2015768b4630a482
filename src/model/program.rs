//! A linear or mixed-integer program as plain data.

use crate::listed::Id;
use crate::mixture::Counted;
use crate::problem::{Count, Logic, Need, Requirement, Switch};
use std::borrow::Cow;
use std::fmt::Write;

use crate::parallel::Stop;

/// One column.
#[derive(Clone, Debug, PartialEq)]
pub struct ProgramColumn {
    /// For people; most rows of a relaxation have a fixed one.
    pub label: Cow<'static, str>,
    /// Lowest value.
    pub low: f64,
    /// Highest value.
    pub high: f64,
    /// Whether only whole numbers are allowed.
    pub integer: bool,
    /// Coefficient in the objective, which is minimised.
    pub cost: f64,
}

/// Where a row comes from. Labels are for people: no decision looks at one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowOrigin {
    /// The volume balance.
    Volume,
    /// A requirement.
    Requirement(Id<Requirement>),
    /// Something divides by it, and what kept it above zero is left out.
    Divisor,
    /// Bounds of a switch that hold if its material is used, or tie its decision to its amount.
    Use(Id<Switch>),
    /// A condition on decisions.
    Choice(Id<Logic>),
    /// An "if used, at least so much of that".
    Need(Id<Need>),
    /// A counted addition.
    Counted(Id<Counted>),
    /// Amounts in steps.
    Steps(Id<Count>),
    /// A curved goal.
    Goal,
    /// The mathematics alone: planes of a relaxation, multipliers, a cut-off.
    Derived,
}

/// One row: `low <= sum of coefficient x column <= high`.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Where it comes from.
    pub origin: RowOrigin,
    /// For people; most rows of a relaxation have a fixed one.
    pub label: Cow<'static, str>,
    /// Columns, rising, with their coefficients.
    pub terms: Vec<(usize, f64)>,
    /// Lowest sum; may be minus infinity.
    pub low: f64,
    /// Highest sum; may be infinity.
    pub high: f64,
}

/// A program to minimise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Program {
    /// Columns.
    pub columns: Vec<ProgramColumn>,
    /// Rows.
    pub rows: Vec<Row>,
    /// Added to the objective.
    pub offset: f64,
    /// When an engine has to give it up.
    pub stop: Stop,
}

/// Share of a row's largest coefficient up to which another term is a rounding.
const DUST: f64 = 1e-12;

impl Program {
    /// Adds a column and returns its index.
    pub fn add_column(
        &mut self,
        label: impl Into<Cow<'static, str>>,
        low: f64,
        high: f64,
        cost: f64,
    ) -> usize {
        self.columns.push(ProgramColumn { label: label.into(), low, high, integer: false, cost });
        self.columns.len() - 1
    }

    /// Adds a row, divided by a power of two so that its largest coefficient lies between one and two.
    pub fn add_row(
        &mut self,
        origin: RowOrigin,
        label: impl Into<Cow<'static, str>>,
        terms: Vec<(usize, f64)>,
        low: f64,
        high: f64,
    ) {
        let largest = terms.iter().map(|(_, coefficient)| coefficient.abs()).fold(0.0, f64::max);
        let factor = if largest > 0.0 { power_of_two(largest) } else { 1.0 };
        let terms = terms.into_iter().map(|(column, coefficient)| (column, coefficient / factor)).collect();
        self.rows.push(Row { origin, label: label.into(), terms, low: low / factor, high: high / factor });
    }

    /// Adds a row that holds wherever the given one does, without terms that move its sum by no more than a rounding
    /// over their columns' bounds: its sides give way by as much. Products of roundings (1e-300 and less) would
    /// otherwise stand beside coefficients of one, and no engine keeps its footing there.
    pub fn add_loose_row(
        &mut self,
        label: impl Into<Cow<'static, str>>,
        terms: Vec<(usize, f64)>,
        low: f64,
        high: f64,
    ) {
        let largest = terms.iter().map(|(_, coefficient)| coefficient.abs()).fold(0.0, f64::max);
        let (mut least, mut most) = (0.0, 0.0);
        let mut kept = terms;
        kept.retain(|(_, coefficient)| *coefficient != 0.0);
        kept.retain(|(column, coefficient)| {
            let column = &self.columns[*column];
            let ends = (coefficient * column.low, coefficient * column.high);
            let matters = DUST * largest < coefficient.abs().max(ends.0.abs()).max(ends.1.abs());
            if !matters {
                least += ends.0.min(ends.1);
                most += ends.0.max(ends.1);
            }
            matters
        });
        self.add_row(RowOrigin::Derived, label, kept, low - most, high - least);
    }

    /// The first number that is not finite where it must be, in words.
    pub fn fault(&self) -> Option<String> {
        for column in &self.columns {
            if column.low.is_nan() || column.high.is_nan() || !column.cost.is_finite() {
                return Some(format!("column `{}` holds a number that is not finite", column.label));
            }
        }
        for row in &self.rows {
            let bad = row.low.is_nan()
                || row.high.is_nan()
                || row.terms.iter().any(|(_, coefficient)| !coefficient.is_finite());
            if bad {
                return Some(format!("row `{}` holds a number that is not finite", row.label));
            }
        }
        None
    }

    /// The objective at a point.
    pub fn objective(&self, point: &[f64]) -> f64 {
        self.offset + self.columns.iter().zip(point).map(|(column, value)| column.cost * value).sum::<f64>()
    }

    /// The largest violation of a bound, row or integrality at a point.
    pub fn violation(&self, point: &[f64]) -> f64 {
        let outside = |value: f64, low: f64, high: f64| (low - value).max(value - high).max(0.0);
        let columns = self.columns.iter().zip(point).map(|(column, value)| {
            let fraction = if column.integer { (value - value.round()).abs() } else { 0.0 };
            outside(*value, column.low, column.high).max(fraction)
        });
        let rows = self.rows.iter().map(|row| {
            let sum: f64 = row.terms.iter().map(|(column, coefficient)| coefficient * point[*column]).sum();
            outside(sum, row.low, row.high)
        });
        columns.chain(rows).fold(0.0, f64::max)
    }

    /// The program as readable text, for snapshots.
    pub fn text(&self) -> String {
        let mut text = String::from("minimise");
        for column in self.columns.iter().filter(|column| column.cost != 0.0) {
            let _ = write!(text, " {:+} {}", column.cost, column.label);
        }
        text.push('\n');
        for row in &self.rows {
            let _ = write!(text, "{}: {} <=", row.label, row.low);
            for (column, coefficient) in &row.terms {
                let _ = write!(text, " {coefficient:+} {}", self.columns[*column].label);
            }
            let _ = writeln!(text, " <= {}", row.high);
        }
        for column in &self.columns {
            let kind = if column.integer { " whole" } else { "" };
            let _ = writeln!(text, "{} <= {} <= {}{kind}", column.low, column.label, column.high);
        }
        text
    }
}

/// The largest power of two not above a positive number.
pub fn power_of_two(value: f64) -> f64 {
    value.log2().floor().exp2()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loose_row_leaves_roundings_out_and_gives_way_by_what_they_could_move() {
        let mut program = Program::default();
        let x = program.add_column("x", 0.0, 4.0, 1.0);
        let dust = program.add_column("dust", -2.0, 3.0, 0.0);
        let free = program.add_column("free", 0.0, f64::INFINITY, 0.0);
        program.add_loose_row("row", vec![(x, 1.0), (dust, 1e-14), (free, 1e-300)], 1.0, 2.0);
        let row = &program.rows[0];
        assert_eq!(row.terms, [(x, 1.0), (free, 1e-300)], "what may grow without end is no rounding");
        assert_eq!((row.low, row.high), (1.0 - 3e-14, 2.0 + 2e-14));
        program.add_loose_row("small", vec![(x, 1e-20), (dust, 2e-20)], 0.0, 1.0);
        assert_eq!(program.rows[1].terms.len(), 2, "small beside each other is not small");
    }
}
