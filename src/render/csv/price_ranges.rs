//! Over which prices of each material the choice stays the same, as comma-separated values.

use std::fmt::Write;

use crate::answer::price_ranges::Entry;
use crate::answer::record::cells::cell;

/// Writes the price ranges, a line for each material.
pub fn csv(entries: &[Entry]) -> String {
    let mut text = String::from(
        "material,state,used,price,unit,stays_from,stays_to,used_below,settled,proven,not_used_from\n",
    );
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    for entry in entries {
        let cells = [
            cell(&entry.material),
            entry.state.to_owned(),
            entry.used.to_string(),
            entry.price.to_string(),
            cell(&entry.unit),
            number(entry.stays_from),
            number(entry.stays_to),
            number(entry.used_below),
            entry.settled.to_string(),
            entry.proven.to_string(),
            number(entry.not_used_from),
        ];
        let _ = writeln!(text, "{}", cells.join(","));
    }
    text
}
