//! One sheet of a workbook: a table, and what has to be read with it.

use super::block::Table;

/// A sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Its name, in our words.
    pub name: &'static str,
    /// Its table; figures stand in the unit of their column.
    pub table: Table,
    /// What stands above the table and on every printed page.
    pub caution: &'static str,
    /// What stands below it.
    pub remarks: Vec<String>,
}
