//! A polynomial program in the PIP format, the polynomial extension of the LP format that open global solvers read.
//!
//! What enters: a [`PolynomialProgram`], a point of it if there is one, remarks. What leaves: text. Names are made
//! safe; comments (from a backslash to the end of the line) map them back.

use std::fmt::Write;

use super::names::{Named, Remarks, safe_names, written};
use super::polynomial::{PolynomialProgram, Sense};

/// Terms on one line.
const TERMS: usize = 6;

/// Writes a polynomial program to minimise. Comments begin with `\`: `\ column NAME = SCALE x LABEL`,
/// `\ row NAME = LABEL`, `\ answer NAME VALUE`, `\ answer goal VALUE`, and `\ define COLUMN by ROW` where a row
/// defines a column.
pub fn pip(program: &PolynomialProgram, remarks: &Remarks) -> String {
    let linear = &program.linear;
    let columns = safe_names('x', linear.columns.iter().map(|column| &*column.label));
    let linear_rows = safe_names('r', linear.rows.iter().map(|row| &*row.label));
    let curved_rows = safe_names('p', program.rows.iter().map(|row| row.label.as_str()));
    let named_columns: Vec<Named<'_>> =
        columns.iter().zip(&linear.columns).map(|(name, column)| (name.as_str(), &*column.label)).collect();
    let labels = linear.rows.iter().map(|row| &*row.label).chain(program.rows.iter().map(|row| &*row.label));
    let named_rows: Vec<Named<'_>> = linear_rows
        .iter()
        .chain(&curved_rows)
        .zip(labels)
        .map(|(name, label)| (name.as_str(), label))
        .collect();
    let mut text = String::new();
    for comment in remarks.comments(&named_columns, &named_rows, |point| linear.objective(point)) {
        let _ = writeln!(text, "\\ {comment}");
    }
    for (name, row) in curved_rows.iter().zip(&program.rows) {
        if let Some(column) = row.defines {
            let _ = writeln!(text, "\\ define {} by {name}", columns[column]);
        }
    }
    text.push_str("Minimize\n goal:");
    let costs = linear.columns.iter().enumerate().filter(|(_, column)| column.cost != 0.0);
    let costs: Vec<(f64, Vec<usize>)> = costs.map(|(index, column)| (column.cost, vec![index])).collect();
    push_sum(&mut text, &costs, &columns);
    if linear.offset != 0.0 {
        let _ = write!(text, " {}", signed(linear.offset));
    }
    text.push_str("\nSubject to\n");
    for (name, row) in linear_rows.iter().zip(&linear.rows) {
        let terms: Vec<(f64, Vec<usize>)> =
            row.terms.iter().map(|(column, factor)| (*factor, vec![*column])).collect();
        let sides = if row.low == row.high {
            vec![("", "=", row.low)]
        } else {
            vec![("", ">=", row.low), ("_most", "<=", row.high)]
        };
        for (ending, sign, side) in sides.into_iter().filter(|(.., side)| side.is_finite()) {
            push_row(&mut text, &format!("{name}{ending}"), &terms, &columns, sign, side);
        }
    }
    for (name, row) in curved_rows.iter().zip(&program.rows) {
        let terms: Vec<(f64, Vec<usize>)> = row
            .polynomial
            .terms()
            .filter(|(product, _)| !product.is_empty())
            .map(|(product, factor)| (factor, product.to_vec()))
            .collect();
        let sign = match row.sense {
            Sense::Zero => "=",
            Sense::NotNegative => ">=",
        };
        push_row(&mut text, name, &terms, &columns, sign, -row.polynomial.offset());
    }
    push_bounds(&mut text, program, &columns);
    text.push_str("End\n");
    text
}

fn push_row(
    text: &mut String,
    name: &str,
    terms: &[(f64, Vec<usize>)],
    columns: &[String],
    sign: &str,
    side: f64,
) {
    let _ = write!(text, " {name}:");
    if terms.is_empty() {
        // A row about numbers alone: readers want a column in it.
        let _ = write!(text, " 0 {}", columns.first().map_or("x", String::as_str));
    }
    push_sum(text, terms, columns);
    let _ = writeln!(text, " {sign} {}", written(side));
}

fn push_sum(text: &mut String, terms: &[(f64, Vec<usize>)], columns: &[String]) {
    for (at, (factor, product)) in terms.iter().enumerate() {
        if at > 0 && at % TERMS == 0 {
            text.push_str("\n ");
        }
        let names: Vec<&str> = product.iter().map(|column| columns[*column].as_str()).collect();
        let _ = write!(text, " {} {}", signed(*factor), names.join(" "));
    }
}

fn signed(value: f64) -> String {
    if value < 0.0 { format!("- {}", written(-value)) } else { format!("+ {}", written(value)) }
}

fn push_bounds(text: &mut String, program: &PolynomialProgram, columns: &[String]) {
    text.push_str("Bounds\n");
    for (name, column) in columns.iter().zip(&program.linear.columns) {
        let low = if column.low.is_finite() { written(column.low) } else { "-inf".to_owned() };
        let high = if column.high.is_finite() { written(column.high) } else { "+inf".to_owned() };
        let _ = writeln!(text, " {low} <= {name} <= {high}");
    }
    let whole: Vec<&str> = columns
        .iter()
        .zip(&program.linear.columns)
        .filter(|(_, column)| column.integer)
        .map(|(name, _)| name.as_str())
        .collect();
    if !whole.is_empty() {
        text.push_str("Binaries\n");
        for name in whole {
            let _ = writeln!(text, " {name}");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::polynomial::{Polynomial, PolynomialRow};
    use crate::model::program::RowOrigin;

    #[test]
    fn a_small_program_is_written_line_by_line() {
        let mut program = PolynomialProgram::default();
        let water = program.linear.add_column("water", 0.0, 1.0, 0.5);
        let ratio = program.linear.add_column("w/b", 0.3, 0.6, 0.0);
        program.linear.add_row(RowOrigin::Derived, "at least", vec![(water, 1.0)], 0.25, f64::INFINITY);
        program.rows.push(PolynomialRow {
            label: "w/b".to_owned(),
            polynomial: Polynomial::constant(-0.2).plus_term(1.0, &[ratio, water]),
            sense: Sense::Zero,
            defines: Some(ratio),
        });
        let expected = "\\ column x1_water = 1.0 x water\n\\ column x2_w_b = 1.0 x w/b\n\\ row r1_at_least = at least\n\
            \\ row p1_w_b = w/b\n\\ define x2_w_b by p1_w_b\nMinimize\n goal: + 0.5 x1_water\nSubject to\n \
            r1_at_least: + 1.0 x1_water >= 0.25\n p1_w_b: + 1.0 x1_water x2_w_b = 0.2\nBounds\n \
            0 <= x1_water <= 1.0\n 0.3 <= x2_w_b <= 0.6\nEnd\n";
        assert_eq!(pip(&program, &Remarks::default()), expected);
    }
}
