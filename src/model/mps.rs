//! A program in the free MPS format, which every linear and mixed-integer solver reads.
//!
//! What enters: a [`Program`], a point of it if there is one, remarks. What leaves: text. Names are made safe (no
//! blanks, unique); comments map them back. A constant of the objective is a column of its own, fixed at one, since
//! readers differ on the sign of a right-hand side of the objective.

use std::fmt::Write;

use super::names::{Named, Remarks, safe_names, written};
use super::program::{Program, Row};

/// Writes a program to minimise. Comments begin with `*`:
/// `* column NAME = SCALE x LABEL`, `* row NAME = LABEL`, `* answer NAME VALUE` and `* answer goal VALUE`.
pub fn mps(program: &Program, remarks: &Remarks) -> String {
    let columns = safe_names('x', program.columns.iter().map(|column| &*column.label));
    let rows = safe_names('r', program.rows.iter().map(|row| &*row.label));
    let named_columns: Vec<Named<'_>> =
        columns.iter().zip(&program.columns).map(|(name, column)| (name.as_str(), &*column.label)).collect();
    let named_rows: Vec<Named<'_>> =
        rows.iter().zip(&program.rows).map(|(name, row)| (name.as_str(), &*row.label)).collect();
    let mut text = String::new();
    for comment in remarks.comments(&named_columns, &named_rows, |point| program.objective(point)) {
        let _ = writeln!(text, "* {comment}");
    }
    text.push_str("NAME mixbound\nROWS\n N goal\n");
    for (name, row) in rows.iter().zip(&program.rows) {
        if let Some(sense) = sense(row) {
            let _ = writeln!(text, " {sense} {name}");
        }
    }
    push_columns(&mut text, program, &columns, &rows);
    push_sides(&mut text, program, &rows);
    push_bounds(&mut text, program, &columns);
    text.push_str("ENDATA\n");
    text
}

/// `E`, `G` or `L`; a row without ends limits nothing.
fn sense(row: &Row) -> Option<char> {
    if row.low == row.high {
        Some('E')
    } else if row.low.is_finite() {
        Some('G')
    } else if row.high.is_finite() {
        Some('L')
    } else {
        None
    }
}

fn push_columns(text: &mut String, program: &Program, columns: &[String], rows: &[String]) {
    let mut entries: Vec<Vec<(&str, f64)>> = vec![Vec::new(); program.columns.len()];
    for (row, name) in program.rows.iter().zip(rows).filter(|(row, _)| sense(row).is_some()) {
        for (column, coefficient) in &row.terms {
            entries[*column].push((name, *coefficient));
        }
    }
    text.push_str("COLUMNS\n");
    for kind in [false, true] {
        let wanted = program.columns.iter().zip(columns).zip(&entries);
        let wanted: Vec<_> = wanted.filter(|((column, _), _)| column.integer == kind).collect();
        if kind && !wanted.is_empty() {
            text.push_str(" M1 'MARKER' 'INTORG'\n");
        }
        for ((column, name), entries) in &wanted {
            // A column without entries must still be known.
            if column.cost != 0.0 || entries.is_empty() {
                let _ = writeln!(text, " {name} goal {}", written(column.cost));
            }
            for (row, coefficient) in *entries {
                let _ = writeln!(text, " {name} {row} {}", written(*coefficient));
            }
        }
        if kind && !wanted.is_empty() {
            text.push_str(" M2 'MARKER' 'INTEND'\n");
        }
    }
    if program.offset != 0.0 {
        let _ = writeln!(text, " constant goal {}", written(program.offset));
    }
}

fn push_sides(text: &mut String, program: &Program, rows: &[String]) {
    text.push_str("RHS\n");
    for (row, name) in program.rows.iter().zip(rows) {
        let side = match sense(row) {
            Some('L') => row.high,
            Some(_) => row.low,
            None => continue,
        };
        if side != 0.0 {
            let _ = writeln!(text, " side {name} {}", written(side));
        }
    }
    text.push_str("RANGES\n");
    for (row, name) in program.rows.iter().zip(rows) {
        if sense(row) == Some('G') && row.high.is_finite() {
            let _ = writeln!(text, " range {name} {}", written(row.high - row.low));
        }
    }
}

fn push_bounds(text: &mut String, program: &Program, columns: &[String]) {
    text.push_str("BOUNDS\n");
    for (column, name) in program.columns.iter().zip(columns) {
        if column.low == column.high {
            let _ = writeln!(text, " FX box {name} {}", written(column.low));
            continue;
        }
        if column.low.is_finite() {
            let _ = writeln!(text, " LO box {name} {}", written(column.low));
        } else {
            let _ = writeln!(text, " MI box {name}");
        }
        if column.high.is_finite() {
            let _ = writeln!(text, " UP box {name} {}", written(column.high));
        } else {
            let _ = writeln!(text, " PL box {name}");
        }
    }
    if program.offset != 0.0 {
        text.push_str(" FX box constant 1\n");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::program::RowOrigin;

    #[test]
    fn a_small_program_is_written_line_by_line() {
        let mut program = Program { offset: 2.0, ..Program::default() };
        let sand = program.add_column("sand", 0.0, 4.0, 1.0);
        let use_it = program.add_column("use sand", 0.0, 1.0, 0.5);
        program.columns[use_it].integer = true;
        let free = program.add_column("level", f64::NEG_INFINITY, f64::INFINITY, 0.0);
        program.add_row(RowOrigin::Derived, "enough sand", vec![(sand, 1.0), (free, -1.0)], 0.5, 3.0);
        program.add_row(
            RowOrigin::Derived,
            "only if used",
            vec![(sand, -1.0), (use_it, 1.5)],
            f64::NEG_INFINITY,
            0.0,
        );
        let text = mps(
            &program,
            &Remarks {
                lines: vec!["made for a test".to_owned()],
                scales: vec![2.0],
                answer: Some(vec![1.0, 0.0, 0.0]),
            },
        );
        let expected = "\
* made for a test
* column x1_sand = 2.0 x sand
* column x2_use_sand = 1.0 x use sand
* column x3_level = 1.0 x level
* row r1_enough_sand = enough sand
* row r2_only_if_used = only if used
* answer x1_sand 1.0
* answer x2_use_sand 0
* answer x3_level 0
* answer goal 3.0
NAME mixbound
ROWS
 N goal
 G r1_enough_sand
 L r2_only_if_used
COLUMNS
 x1_sand goal 1.0
 x1_sand r1_enough_sand 1.0
 x1_sand r2_only_if_used -1.0
 x3_level r1_enough_sand -1.0
 M1 'MARKER' 'INTORG'
 x2_use_sand goal 0.5
 x2_use_sand r2_only_if_used 1.5
 M2 'MARKER' 'INTEND'
 constant goal 2.0
RHS
 side r1_enough_sand 0.5
RANGES
 range r1_enough_sand 2.5
BOUNDS
 LO box x1_sand 0
 UP box x1_sand 4.0
 LO box x2_use_sand 0
 UP box x2_use_sand 1.0
 MI box x3_level
 PL box x3_level
 FX box constant 1
ENDATA
";
        assert_eq!(text, expected);
    }
}
