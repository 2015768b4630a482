//! Bounds that trust no solver: any multipliers of the right signs bound a program whose columns are boxed.
//!
//! For `min c'x, low <= A x <= high, l <= x <= u` and any y, with r = c - A'y,
//! `sum (y > 0 ? y low : y high) + sum min(r l, r u)` is a lower bound. The multipliers come from the dual program;
//! whatever an engine makes of it, the bound computed from them holds.

use super::multipliers::eliminated;
use crate::model::{Program, RowOrigin};
use crate::solve::engine::solve_program;
use crate::solve::outcome::Outcome;

/// A lower bound of the program's optimum, from multipliers found at `point`; minus infinity if none were found.
pub fn certified_bound(program: &Program, point: &[f64]) -> f64 {
    let objective = program.objective(point);
    let mut best = f64::NEG_INFINITY;
    let attempts: [&dyn Fn() -> Option<Vec<f64>>; 3] =
        [&|| eliminated(program, point), &|| Some(multipliers(program, Some(point))), &|| {
            Some(multipliers(program, None))
        }];
    for attempt in attempts {
        best = attempt().map_or(best, |y| bound_by(program, &y).max(best));
        if objective - 1e-7 * objective.abs().max(1.0) <= best {
            break;
        }
    }
    best
}

/// Multipliers of rows and reduced costs of columns at an optimum, if they close the gap to its objective.
pub fn multipliers_at(program: &Program, point: &[f64]) -> Option<(Vec<f64>, Vec<f64>)> {
    let objective = program.objective(point);
    let closes = |y: &Vec<f64>| objective - 1e-7 * objective.abs().max(1.0) <= bound_by(program, y);
    let y = Some(multipliers(program, Some(point)))
        .filter(closes)
        .or_else(|| Some(multipliers(program, None)).filter(closes))?;
    let mut reduced: Vec<f64> = program.columns.iter().map(|column| column.cost).collect();
    for (row, y) in program.rows.iter().zip(&y) {
        for (column, factor) in &row.terms {
            reduced[*column] -= y * factor;
        }
    }
    Some((y, reduced))
}

/// Whether multipliers prove that no point satisfies the program: with them, or their opposites, its rows cannot hold
/// within its columns' boxes.
pub fn is_impossible_by(program: &Program, multipliers: &[f64]) -> bool {
    let nothing = || (vec![0.0; program.columns.len()], 0.0);
    let opposite: Vec<f64> = multipliers.iter().map(|y| -y).collect();
    1e-9 < bound_with(program, nothing(), multipliers).max(bound_with(program, nothing(), &opposite))
}

/// Whether multipliers prove that no point satisfies the program: its elastic program has a positive bound.
pub fn certified_infeasible(program: &Program) -> bool {
    if program.columns.iter().any(|column| column.high < column.low - 1e-9 * (1.0 + column.low.abs())) {
        return true;
    }
    let elastic = elastic(program);
    match solve_program(&elastic) {
        Outcome::Optimal(point, objective) if 1e-7 < objective => 1e-8 < certified_bound(&elastic, &point),
        _ => false,
    }
}

/// Every row may be missed at the price of one per unit; all elastic columns are boxed.
fn elastic(program: &Program) -> Program {
    let mut elastic = program.clone();
    for column in &mut elastic.columns {
        column.cost = 0.0;
    }
    elastic.offset = 0.0;
    for index in 0..elastic.rows.len() {
        let row = &elastic.rows[index];
        let reach: f64 = row
            .terms
            .iter()
            .map(|(column, factor)| {
                let column = &elastic.columns[*column];
                factor.abs() * column.low.abs().max(column.high.abs())
            })
            .sum();
        for (side, sign, label) in [(row.low, 1.0, "short"), (row.high, -1.0, "over")] {
            if side.is_finite() {
                let s = elastic.add_column(label, 0.0, reach + side.abs(), 1.0);
                elastic.rows[index].terms.push((s, sign));
            }
        }
    }
    elastic
}

/// The bound that a vector of row multipliers gives, with rounding taken off.
pub fn bound_by(program: &Program, multipliers: &[f64]) -> f64 {
    bound_with(
        program,
        (program.columns.iter().map(|column| column.cost).collect(), program.offset),
        multipliers,
    )
}

/// The same for other costs of the columns, with what is added to their sum.
pub fn bound_with(program: &Program, (costs, offset): (Vec<f64>, f64), multipliers: &[f64]) -> f64 {
    let mut reduced = costs;
    let mut size: Vec<f64> = reduced.iter().map(|cost| cost.abs()).collect();
    let mut bound = offset;
    let mut rounding = offset.abs();
    for (row, y) in program.rows.iter().zip(multipliers) {
        let side = if 0.0 < *y { row.low } else { row.high };
        if *y == 0.0 || !side.is_finite() {
            continue;
        }
        bound += y * side;
        rounding += (y * side).abs();
        for (column, factor) in &row.terms {
            reduced[*column] -= y * factor;
            size[*column] += (y * factor).abs();
        }
    }
    for ((column, r), size) in program.columns.iter().zip(&reduced).zip(&size) {
        let slack = 1e-14 * size;
        let least = |r: f64| {
            let least = (r * column.low).min(r * column.high);
            if least.is_nan() { 0.0 } else { least }
        };
        let least = least(r - slack).min(least(r + slack));
        bound += least;
        rounding += if least.is_finite() { least.abs() } else { 0.0 };
    }
    bound - 1e-13 * rounding
}

/// Row multipliers from the dual program: over the rows and bounds active at a point, or over all.
fn multipliers(program: &Program, point: Option<&[f64]>) -> Vec<f64> {
    let mut dual = Program { stop: program.stop, ..Program::default() };
    let mut rows: Vec<Vec<(usize, f64)>> = vec![Vec::new(); program.columns.len()];
    let mut of_row: Vec<(usize, usize, f64)> = Vec::new();
    let active = |value: f64, end: f64| end.is_finite() && (value - end).abs() <= 1e-7 * (1.0 + end.abs());
    let sides = |value: Option<f64>, low: f64, high: f64| match value {
        Some(value) => (active(value, low), active(value, high)),
        None => (low.is_finite(), high.is_finite()),
    };
    for (index, row) in program.rows.iter().enumerate() {
        let value = point.map(|point| row.terms.iter().map(|(column, factor)| factor * point[*column]).sum());
        let (at_low, at_high) = sides(value, row.low, row.high);
        for (is_active, side, sign) in [(at_low, row.low, 1.0), (at_high, row.high, -1.0)] {
            if !is_active {
                continue;
            }
            let column = dual.add_column("y", 0.0, f64::INFINITY, -sign * side);
            of_row.push((index, column, sign));
            for (primal, factor) in &row.terms {
                rows[*primal].push((column, sign * factor));
            }
        }
    }
    for (index, column) in program.columns.iter().enumerate() {
        let (at_low, at_high) = sides(point.map(|point| point[index]), column.low, column.high);
        if at_low {
            let p = dual.add_column("p", 0.0, f64::INFINITY, -column.low);
            rows[index].push((p, 1.0));
        }
        if at_high {
            let q = dual.add_column("q", 0.0, f64::INFINITY, column.high);
            rows[index].push((q, -1.0));
        }
        dual.add_row(
            RowOrigin::Derived,
            "reduced cost",
            std::mem::take(&mut rows[index]),
            column.cost,
            column.cost,
        );
    }
    let mut multipliers = vec![0.0; program.rows.len()];
    if let Outcome::Optimal(point, _) = solve_program(&dual) {
        for (row, column, sign) in of_row {
            multipliers[row] += sign * point[column];
        }
    }
    multipliers
}

#[cfg(test)]
mod tests {
    use super::*;

    /// min x + 2 y, x + y >= 3, x <= 2, y <= 5: optimum (2, 1), value 4.
    fn two_by_two() -> Program {
        let mut program = Program::default();
        let x = program.add_column("x", 0.0, 2.0, 1.0);
        let y = program.add_column("y", 0.0, 5.0, 2.0);
        program.add_row(RowOrigin::Derived, "sum", vec![(x, 1.0), (y, 1.0)], 3.0, f64::INFINITY);
        program
    }

    #[test]
    fn the_certified_bound_is_the_optimum_of_a_small_program() {
        let bound = certified_bound(&two_by_two(), &[2.0, 1.0]);
        assert!((bound - 4.0).abs() < 1e-9 && bound <= 4.0, "{bound}");
    }

    #[test]
    fn any_multipliers_give_a_valid_bound() {
        for y in [0.0, 1.7, -3.0, 1e6] {
            assert!(bound_by(&two_by_two(), &[y]) <= 4.0, "{y}");
        }
    }

    #[test]
    fn an_impossible_program_is_certified_and_a_possible_one_is_not() {
        let mut program = two_by_two();
        assert!(!certified_infeasible(&program));
        program.add_row(RowOrigin::Derived, "too much", vec![(0, 1.0), (1, 1.0)], 7.5, f64::INFINITY);
        assert!(certified_infeasible(&program));
    }
}
