//! A basis put down and taken up again: what a program that differs little from a solved one starts from.
//!
//! What enters: a basis, or a solved program with other ends. What leaves: a table of the tight rows alone, in which the
//! columns that were inside their ends are basic again as far as a safe pivot is found; the steps mend the rest.

use std::sync::Arc;

use super::{DenseSimplex, fits};
use crate::model::{Basis, Program, ProgramColumn, Stand};

/// Smallest pivot with which a column becomes basic again.
const SAFE: f64 = 1e-4;
/// Distance from its ends at which a row is slack.
const SLACK: f64 = 1e-6;

impl DenseSimplex {
    /// A program with the columns of another, begun from a basis; `None` where the columns do not fit.
    pub fn begun(columns: &Program, basis: &Basis) -> Option<Self> {
        if basis.columns.len() != columns.columns.len() {
            return None;
        }
        let mut simplex = Self::without_rows(columns)?;
        let places = simplex.places();
        for (row, _) in &basis.rows {
            simplex.add_row_by(row.clone(), &places);
        }
        let mut order: Vec<usize> = (0..basis.rows.len()).collect();
        order.sort_by_key(|row| basis.rows[*row].0.terms.len());
        for row in order {
            let line = simplex.line(row);
            let wanted = |variable: usize| basis.columns.get(variable) == Some(&Stand::Basic);
            let best = (0..line.len())
                .filter(|place| wanted(simplex.nonbasic[*place]))
                .max_by(|a, b| line[*a].abs().total_cmp(&line[*b].abs()).then(b.cmp(a)));
            if let Some(place) = best.filter(|place| SAFE < line[*place].abs()) {
                simplex.exchange(row, place);
            }
        }
        let count = basis.columns.len();
        for place in 0..count {
            let variable = simplex.nonbasic[place];
            let stand =
                variable.checked_sub(count).map_or_else(|| basis.columns[variable], |row| basis.rows[row].1);
            let (low, high) = simplex.bounds[variable];
            simplex.at[place] = if stand == Stand::High { high } else { low };
        }
        Some(simplex)
    }

    /// Where the optimum stands.
    pub fn basis(&self) -> Basis {
        let count = self.program.columns.len();
        let mut columns = vec![Stand::Basic; count];
        let mut rows = Vec::new();
        for (variable, at) in self.nonbasic.iter().zip(&self.at) {
            let stand = if *at == self.bounds[*variable].1 { Stand::High } else { Stand::Low };
            match variable.checked_sub(count) {
                None => columns[*variable] = stand,
                Some(row) => rows.push((row, stand)),
            }
        }
        rows.sort_by_key(|(row, _)| *row);
        let rows = rows.into_iter().map(|(row, stand)| (self.program.rows[row].clone(), stand)).collect();
        Basis { columns, rows }
    }

    /// The same with the ends of other columns, never wider than its own, which the next optimum obeys. `None` for columns
    /// that this method does not take, crossed ones among them.
    pub fn within(mut self, columns: &[ProgramColumn]) -> Option<Self> {
        if !columns.iter().all(fits) {
            return None;
        }
        for (place, variable) in self.nonbasic.iter().enumerate() {
            if let Some(column) = columns.get(*variable) {
                let was_high = self.at[place] == self.bounds[*variable].1;
                self.at[place] = if was_high { column.high } else { column.low };
            }
        }
        for (bounds, column) in self.bounds.iter_mut().zip(columns) {
            *bounds = (column.low, column.high);
        }
        Arc::make_mut(&mut self.program).columns = columns.to_vec();
        Some(self)
    }

    /// Drops the rows that the optimum does not touch.
    pub fn drop_slack_rows(&mut self) {
        let (count, width) = (self.program.columns.len(), self.nonbasic.len());
        let mut place = vec![Some(0); self.program.rows.len()];
        for (variable, value) in self.basic.iter().zip(&self.values) {
            if let Some(row) = variable.checked_sub(count) {
                let (low, high) = self.bounds[*variable];
                if low + SLACK < *value && *value < high - SLACK {
                    place[row] = None;
                }
            }
        }
        for (next, place) in place.iter_mut().flatten().enumerate() {
            *place = next;
        }
        let stays = |variable: usize| variable.checked_sub(count).is_none_or(|row| place[row].is_some());
        let moved = |variable: usize| match variable.checked_sub(count) {
            Some(row) => count + place[row].unwrap_or(0),
            None => variable,
        };
        let kept: Vec<usize> = (0..self.basic.len()).filter(|row| stays(self.basic[*row])).collect();
        let mut table = Vec::with_capacity(kept.len() * width);
        for row in &kept {
            table.extend_from_slice(self.line(*row));
        }
        let rows = std::mem::take(&mut Arc::make_mut(&mut self.program).rows);
        let rows = rows.into_iter().zip(&place).filter(|(_, place)| place.is_some()).map(|(row, _)| row);
        Arc::make_mut(&mut self.program).rows = rows.collect();
        self.values = kept.iter().map(|row| self.values[*row]).collect();
        self.basic = kept.iter().map(|row| moved(self.basic[*row])).collect();
        let ends =
            (0..self.bounds.len()).filter(|variable| stays(*variable)).map(|variable| self.bounds[variable]);
        self.bounds = ends.collect();
        for variable in &mut self.nonbasic {
            *variable = moved(*variable);
        }
        self.table = table;
    }
}
