//! Prices and conflicts in a text report.

use std::fmt::Write;

use super::{align_numbers, push_table, table, wrapped};
use crate::answer::report::Report;
use crate::finding::clean;
use crate::quantity::{significant, trimmed};

/// What binding limits cost.
pub fn prices(text: &mut String, report: &Report) {
    let with_figures: Vec<_> = report.prices.iter().filter(|price| price.loosening.is_some()).collect();
    if with_figures.is_empty() {
        return;
    }
    let unit = &report.goal_unit.text;
    let _ = writeln!(text, "\nPRICES of the limits that bind, with the choices kept, {unit}");
    let remarks = with_figures.iter().any(|price| price.remark.is_some());
    let mut header =
        ["line", "limit", "moved by", "tighter costs", "looser saves"].map(str::to_owned).to_vec();
    if remarks {
        header.push(String::new());
    }
    let mut table = table(header);
    let figure = |value: Option<f64>| value.map_or_else(String::new, |value| significant(value, 3));
    for price in with_figures {
        let mut row = vec![
            price.line.to_string(),
            format!("{} ({})", clean(&price.name), price.side.words()),
            price.step.clone(),
            figure(price.tightening),
            figure(price.loosening),
        ];
        if remarks {
            row.push(price.remark.unwrap_or("").to_owned());
        }
        table.add_row(row);
    }
    align_numbers(&mut table, 0, 1);
    align_numbers(&mut table, 2, 5);
    push_table(text, &table);
}

/// Why nothing fits.
pub fn conflict(text: &mut String, report: &Report) {
    let Some(conflict) = &report.conflict else { return };
    text.push_str(if conflict.members.len() == 1 {
        "\nCONFLICT: this alone cannot be met\n"
    } else {
        "\nCONFLICT: these cannot hold together; leave out any one, and the others of this list can\n"
    });
    let mut table =
        table(["line", "demand", "asked", "mended alone, all else kept, by"].map(str::to_owned).to_vec());
    for member in &conflict.members {
        let mark = if member.settled { "" } else { " (not settled whether it belongs here)" };
        table.add_row(vec![
            member.line.to_string(),
            format!("{}{mark}", clean(&member.name)),
            member.asked.clone(),
            member.repair.clone(),
        ]);
    }
    align_numbers(&mut table, 0, 1);
    push_table(text, &table);
    let spread = match conflict.compromise {
        Some(share) => format!(
            "If every limit of the statement gives way alike, {} % of its value is enough.",
            trimmed(100.0 * share, 2)
        ),
        None => {
            "Moving all limits by the same share was not found to help, however large the share.".to_owned()
        }
    };
    let _ = writeln!(text, "{}", wrapped(&spread, 0));
}
