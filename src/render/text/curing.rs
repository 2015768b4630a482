//! Internal curing on a terminal: water wanted and given, and how much of each aggregate is just enough.

use std::fmt::Write;

use super::{align_numbers, amount, push_table, table};
use crate::answer::report::Report;
use crate::finding::clean;

/// Writes the section, if the statement says what is wanted.
pub fn curing(text: &mut String, report: &Report) {
    let Some(line) = &report.curing else { return };
    let content = report.units.content();
    let _ = writeln!(text, "\nINTERNAL CURING\n{}", line.words(&content));
    if line.aggregates.is_empty() {
        return;
    }
    let mut table = table(vec![
        "lightweight aggregate".to_owned(),
        format!("oven-dry\n{}", content.text),
        format!("gives water\n{}", content.text),
        format!("just enough,\noven-dry {}", content.text),
    ]);
    for aggregate in &line.aggregates {
        let figures = [aggregate.dry, aggregate.gives, aggregate.enough];
        let mut row = vec![clean(&aggregate.material)];
        row.extend(figures.map(|value| amount(content.from_base(value))));
        table.add_row(row);
    }
    align_numbers(&mut table, 1, 4);
    push_table(text, &table);
    text.push_str("Just enough is what would just meet the demand, with all others as they are.\n");
}
