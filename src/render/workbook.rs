//! Sheets as a workbook that spreadsheets open: numbers as numbers, units in the heads of columns, cautions on each sheet.
//!
//! What enters: sheets. What leaves: the bytes of a file in Office Open XML (ECMA-376). They depend on nothing but the sheets:
//! no clock, no name of a machine or a user. Nothing in it is a formula.

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook, Worksheet, XlsxError,
};

use super::figures::told;
use crate::answer::block::{Column, Kind, RowKind, Table};
use crate::answer::phrase::{Digits, Figure};
use crate::answer::sheet::Sheet;
use crate::finding::clean;

/// The row of heads: the caution and an empty row stand above it.
const HEADS: u32 = 2;
/// Longest text of a cell; the format allows 32 767 characters.
const LONGEST: usize = 32_000;
/// Widths of columns, in letters.
const WIDTHS: (usize, usize) = (9, 44);
/// The date of the file: always the same, so that equal answers are equal bytes.
const DATE: (u16, u8, u8) = (2000, 1, 1);

/// Writes a workbook.
///
/// # Errors
/// What does not fit into one: more than 16 384 columns or a million rows.
pub fn workbook(sheets: &[Sheet]) -> Result<Vec<u8>, String> {
    written(sheets).map_err(|error| error.to_string())
}

fn written(sheets: &[Sheet]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let (year, month, day) = DATE;
    let date = ExcelDateTime::from_ymd(year, month, day)?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&date));
    for sheet in sheets {
        write(book.add_worksheet(), sheet)?;
    }
    book.save_to_buffer()
}

fn write(page: &mut Worksheet, sheet: &Sheet) -> Result<(), XlsxError> {
    let table = &sheet.table;
    let bold = Format::new().set_bold();
    let head = Format::new()
        .set_bold()
        .set_text_wrap()
        .set_align(FormatAlign::Top)
        .set_border_bottom(FormatBorder::Thin);
    page.set_name(sheet.name)?;
    page.write_string_with_format(0, 0, sheet.caution, &bold)?;
    for (at, column) in (0_u16..).zip(&table.columns) {
        page.write_string_with_format(HEADS, at, text(&head_of(column)), &head)?;
        page.set_column_width(at, width(table, usize::from(at)))?;
    }
    for (at, column) in (0_u16..).zip(&table.columns) {
        let format = number_format(table, usize::from(at)).map(|format| Format::new().set_num_format(format));
        for (row, line) in (HEADS + 1..).zip(&table.rows) {
            let Some(cell) = line.cells.get(usize::from(at)) else { continue };
            match (cell.text.figure(), &format) {
                (Some(figure), Some(format)) if figure.value.is_finite() && figure.unit.is_empty() => {
                    let format =
                        if line.kind == RowKind::Total { &format.clone().set_bold() } else { format };
                    page.write_number_with_format(row, at, figure.value, format)?;
                }
                _ if cell.text.is_empty() => {}
                _ => {
                    let align = match column.kind {
                        Kind::Words => FormatAlign::Left,
                        Kind::Figures => FormatAlign::Right,
                    };
                    let words = text(&told(&cell.text, clean, ' '));
                    page.write_string_with_format(row, at, words, &Format::new().set_align(align))?;
                }
            }
        }
    }
    let rows = u32::try_from(table.rows.len()).unwrap_or(u32::MAX);
    if let (1.., Some(last)) =
        (rows, u16::try_from(table.columns.len()).ok().and_then(|count| count.checked_sub(1)))
    {
        page.autofilter(HEADS, 0, HEADS + rows, last)?;
    }
    page.set_freeze_panes(HEADS + 1, 1)?;
    for (row, remark) in (HEADS + rows + 2..).zip(&sheet.remarks) {
        page.write_string(row, 0, text(&clean(remark)))?;
    }
    page.set_landscape();
    page.set_repeat_rows(HEADS, HEADS)?;
    page.set_print_fit_to_pages(1, 0);
    // An ampersand would begin a code of the format.
    page.set_footer(format!("&L{}&R&P / &N", sheet.caution.replace('&', "&&")));
    Ok(())
}

/// The name of a column with its unit.
fn head_of(column: &Column) -> String {
    let (name, unit) = (clean(&column.name), clean(&column.unit));
    if unit.is_empty() { name } else { format!("{name}, {unit}") }
}

/// A text that fits into a cell.
fn text(text: &str) -> String {
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    text.chars().take(LONGEST).chain(" ... (cut)".chars()).collect()
}

/// How wide a column has to be.
fn width(table: &Table, at: usize) -> f64 {
    let column = &table.columns[at];
    let longest_word = head_of(column).split(' ').map(|word| word.chars().count()).max().unwrap_or(0);
    let cells = table.rows.iter().filter_map(|row| row.cells.get(at));
    let longest = match column.kind {
        Kind::Words => cells.map(|cell| told(&cell.text, clean, ' ').chars().count()).max().unwrap_or(0),
        Kind::Figures => 0,
    };
    let (least, most) = WIDTHS;
    (longest.max(longest_word).clamp(least, most) + 2) as f64
}

/// How the figures of a column are shown, all alike: with as many decimals as its largest one asks for. None where it holds no
/// figure.
fn number_format(table: &Table, at: usize) -> Option<String> {
    let figures = table.rows.iter().filter_map(|row| row.cells.get(at)?.text.figure());
    let figures: Vec<&Figure> = figures.filter(|figure| figure.value.is_finite()).collect();
    let first = figures.first()?;
    let largest = figures.iter().map(|figure| figure.value.abs()).fold(0.0, f64::max);
    let decimals = match first.digits {
        Digits::Written => return Some("General".to_owned()),
        Digits::Money => 2,
        Digits::Decimals(decimals) => decimals,
        Digits::Amount if 100.0 <= largest => 1,
        Digits::Amount if 1.0 <= largest => 2,
        Digits::Amount => 3,
        Digits::Trimmed(_) if figures.iter().all(|figure| figure.value.fract() == 0.0) => 0,
        Digits::Significant(digits) | Digits::Trimmed(digits) => decimals_of(largest, digits),
    };
    Some(if decimals == 0 { "0".to_owned() } else { format!("0.{}", "0".repeat(decimals)) })
}

/// Decimals with which a value shows so many significant figures, at most five.
fn decimals_of(value: f64, digits: usize) -> usize {
    const MOST: usize = 5;
    let mut decimals = digits.saturating_sub(1);
    let mut above = value;
    while 10.0 <= above && 0 < decimals {
        above /= 10.0;
        decimals -= 1;
    }
    let mut below = value;
    while 0.0 < below && below < 1.0 && decimals < MOST {
        below *= 10.0;
        decimals += 1;
    }
    decimals
}
