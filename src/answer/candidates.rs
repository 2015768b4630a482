//! Given mixes of one statement as the sheets of a workbook: the mixes, every limit against every mix, what is left of each.
//!
//! What enters: a problem and reports of mixes of it. What leaves: sheets, a row for each mix.

use super::block::{Cell, Column, Table};
use super::cautions::PROPOSAL;
use super::material_price::material_price;
use super::matrix::{Judged, LimitRow, Matrix, matrix};
use super::office;
use super::phrase::{Digits, Figure, Phrase};
use super::record::summary::SummaryLine;
use super::report::Report;
use super::sheet::Sheet;
use crate::problem::Problem;
use crate::quantity::as_written;

/// What is said of limits that nothing can judge.
const NOT_JUDGED: &str = "Not judged: a figure without a value, a prediction outside what its response is known for, or a demand that \
    nothing in the statement answers.";
/// What is left of a limit.
const LEFT: &str = "What is left of each limit, its margin taken off; below zero where it is not met, empty where it is no figure.";

/// The sheets.
pub fn candidate_sheets(problem: &Problem, reports: &[(String, Report)]) -> Vec<Sheet> {
    let matrix = matrix(reports);
    let lines: Vec<SummaryLine> = reports
        .iter()
        .map(|(name, report)| {
            let shelf =
                problem.mixture.catalogue.materials.ids().map(|at| material_price(problem, at, report.units));
            SummaryLine::given(name, report, shelf.collect())
        })
        .collect();
    let cautions = office::cautions(&lines);
    let sheet = |name: &'static str, table: Table, first: &str| Sheet {
        name,
        table,
        caution: PROPOSAL,
        remarks: std::iter::once(first.to_owned()).chain(cautions.iter().cloned()).collect(),
    };
    vec![
        sheet("mixes", mixes(&matrix, &lines), office::STATES),
        sheet("limits", judged(&matrix), NOT_JUDGED),
        sheet("slack", slack(&matrix), LEFT),
        sheet("prices", office::prices(&lines), "The prices at which the mixes are reckoned."),
    ]
}

/// Each mix in short, then its amounts and figures.
fn mixes(matrix: &Matrix, lines: &[SummaryLine]) -> Table {
    let short = [
        Column::words("mix"),
        Column::figures("meets"),
        Column::figures("fails"),
        Column::figures("not judged"),
        Column::figures("fills"),
        Column::words("misses"),
    ];
    let told = office::told(lines);
    let mut table = Table::new(short.into_iter().chain(told.columns.iter().cloned()));
    for (mix, row) in matrix.mixes.iter().zip(&told.rows) {
        let count = |count: usize| Cell::from(Figure::new(count as f64, Digits::Trimmed(6)));
        let first = [
            Cell::from(&mix.mix),
            count(mix.passes),
            count(mix.fails.len()),
            count(mix.not_judged),
            mix.fills.map(|fills| Figure::new(fills, Digits::Decimals(4))).into(),
            mix.fails.join("; ").into(),
        ];
        table.row(first.into_iter().chain(row.cells.iter().cloned()));
    }
    table
}

/// The head of a limit's column: its name and what is asked, without the unit.
fn head(row: &LimitRow) -> String {
    let wanted = row.wanted.map_or_else(String::new, |wanted| format!(" {}", as_written(wanted)));
    format!("{}, {}{wanted}", row.limit, row.side)
}

fn by_mix(matrix: &Matrix, columns: Vec<Column>, cell: impl Fn(&LimitRow, usize) -> Cell) -> Table {
    let mut table = Table::new(std::iter::once(Column::words("mix")).chain(columns));
    for (at, mix) in matrix.mixes.iter().enumerate() {
        let cells = matrix.limits.iter().map(|row| cell(row, at));
        table.row(std::iter::once(Cell::from(&mix.mix)).chain(cells));
    }
    table
}

fn judged(matrix: &Matrix) -> Table {
    let column = |row: &LimitRow| match row.wanted {
        Some(_) => Column::words(format!("{} {}", head(row), row.unit)),
        None => Column::words(head(row)),
    };
    by_mix(matrix, matrix.limits.iter().map(column).collect(), |row, at| {
        let word = match row.results[at].judged {
            Judged::Pass => "pass",
            Judged::Fail => "FAIL",
            Judged::NotJudged => "not judged",
        };
        Phrase::from(word).into()
    })
}

fn slack(matrix: &Matrix) -> Table {
    let column = |row: &LimitRow| Column { unit: row.unit.clone(), ..Column::figures(head(row)) };
    by_mix(matrix, matrix.limits.iter().map(column).collect(), |row, at| {
        row.results[at].slack.map(|slack| Figure::new(slack, Digits::Significant(3))).into()
    })
}
