//! Rows of a dense simplex: added to a table as sums of its nonbasic variables, and stated where a point misses them.
//!
//! What enters: rows. What leaves: lines of the table. Most rows of a program are never tight; those that no point on the way
//! to the optimum misses cost no pivot.

use std::sync::Arc;

use super::DenseSimplex;
use super::table::{add_times, sum_of_products};
use crate::model::Row;

/// Where a column stands in the table.
#[derive(Clone, Copy, Debug)]
pub(super) enum Place {
    /// Nonbasic.
    Column(usize),
    /// Basic.
    Row(usize),
}

/// So many times that is the miss from which on a row is stated; most rows stated at once.
const STATED: f64 = 20.0;
const AT_ONCE: usize = 24;

impl DenseSimplex {
    /// Adds a row; the next optimum obeys it.
    pub fn add_row(&mut self, row: Row) {
        let places = self.places();
        self.add_row_by(row, &places);
    }

    pub(super) fn add_row_by(&mut self, row: Row, places: &[Place]) {
        let (mut least, mut most) = (0.0, 0.0);
        let mut line = vec![0.0; self.nonbasic.len()];
        for (column, factor) in &row.terms {
            let (low, high) = self.bounds[*column];
            least += (factor * low).min(factor * high);
            most += (factor * low).max(factor * high);
            self.add_to(&mut line, places[*column], *factor);
        }
        // A reach that the row's ends cut empty shows itself as a miss.
        let low = row.low.max(least - 1.0);
        let bounds = (low, row.high.min(most + 1.0).max(low));
        self.bounds.push(bounds);
        self.basic.push(self.program.columns.len() + self.program.rows.len());
        self.values.push(sum_of_products(&line, &self.at));
        self.table.extend(line);
        Arc::make_mut(&mut self.program).rows.push(row);
    }

    /// Where each column stands in the table.
    pub(super) fn places(&self) -> Vec<Place> {
        let mut places = vec![Place::Row(0); self.program.columns.len()];
        for (number, variable) in self.nonbasic.iter().enumerate() {
            if let Some(place) = places.get_mut(*variable) {
                *place = Place::Column(number);
            }
        }
        for (number, variable) in self.basic.iter().enumerate() {
            if let Some(place) = places.get_mut(*variable) {
                *place = Place::Row(number);
            }
        }
        places
    }

    /// Adds a column, as a sum of nonbasic variables, to a line.
    pub(super) fn add_to(&self, line: &mut [f64], place: Place, factor: f64) {
        match place {
            Place::Column(number) => line[number] += factor,
            Place::Row(number) => add_times(line, factor, self.line(number)),
        }
    }

    /// States those rows that the present point misses most; whether there were any.
    pub(super) fn state_missed(&mut self, rows: &[Row]) -> bool {
        let point = self.point();
        let mut missed: Vec<(f64, &Row)> = Vec::new();
        for row in rows {
            let sum: f64 = row.terms.iter().map(|(column, factor)| factor * point[*column]).sum();
            let (by, end) = if sum < row.low { (row.low - sum, row.low) } else { (sum - row.high, row.high) };
            if STATED * self.missed * (1.0 + end.abs()) < by {
                missed.push((by, row));
            }
        }
        missed.sort_by(|a, b| b.0.total_cmp(&a.0));
        missed.truncate(AT_ONCE);
        let places = self.places();
        for (_, row) in &missed {
            self.add_row_by((*row).clone(), &places);
        }
        !missed.is_empty()
    }
}
