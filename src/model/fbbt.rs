//! Feasibility-based bound tightening: bounds of a program's columns by its rows, each column by what the others at
//! their best leave.

use super::program::Program;

/// Tightens in place, at most `rounds` times over all rows; `false` if some row cannot hold.
///
/// Every tightening leaves room for rounding, so that no true point is cut off.
pub fn fbbt(program: &mut Program, rounds: usize) -> bool {
    for _ in 0..rounds {
        let mut moved = false;
        for row in 0..program.rows.len() {
            match fbbt_by_row(program, row) {
                None => return false,
                Some(some) => moved |= some,
            }
        }
        if !moved {
            break;
        }
    }
    true
}

/// Rounding room relative to the size of the terms.
const ROOM: f64 = 1e-9;

fn fbbt_by_row(program: &mut Program, index: usize) -> Option<bool> {
    let row = &program.rows[index];
    let (mut least, mut most, mut size) = (0.0, 0.0, 0.0_f64);
    for (column, factor) in &row.terms {
        let (a, b) = (factor * program.columns[*column].low, factor * program.columns[*column].high);
        least += a.min(b);
        most += a.max(b);
        size += a.abs().max(b.abs());
    }
    if !size.is_finite() {
        return Some(false);
    }
    let room = ROOM * size.max(1e-9);
    if row.high + room < least || most < row.low - room {
        return None;
    }
    if least >= row.low && most <= row.high {
        return Some(false);
    }
    let mut moved = false;
    for (column, factor) in row.terms.clone() {
        let row = &program.rows[index];
        let (low, high) = (program.columns[column].low, program.columns[column].high);
        let (a, b) = (factor * low, factor * high);
        let others_least = least - a.min(b);
        let others_most = most - a.max(b);
        // row.low - others_most <= factor x <= row.high - others_least
        let (from, to) = ((row.low - others_most - room) / factor, (row.high - others_least + room) / factor);
        let (from, to) = if factor < 0.0 { (to, from) } else { (from, to) };
        let width = high - low;
        let target = &mut program.columns[column];
        if low + 1e-3 * width < from {
            target.low = from.min(high);
            moved = true;
        }
        if to < high - 1e-3 * width {
            target.high = to.max(low);
            moved = true;
        }
        if target.low != low || target.high != high {
            let (c, d) = (factor * target.low, factor * target.high);
            least += c.min(d) - a.min(b);
            most += c.max(d) - a.max(b);
        }
    }
    Some(moved)
}
