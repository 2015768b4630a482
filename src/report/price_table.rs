//! Over which prices of each material the choice stays the same, as text, CSV and JSON.

use std::fmt::Write;

use serde::Serialize;

use super::csv::cell;
use super::json::written;
use super::text::{align_numbers, push_table, table};
use super::tightness::TableFormat;
use crate::finding::clean;
use crate::problem::Problem;
use crate::quantity::{Unit, significant};
use crate::report::Units;
use crate::solve::{MaterialRange, PriceRange, highest_multiple};

#[derive(Serialize)]
struct Entry {
    material: String,
    state: &'static str,
    used: bool,
    price: f64,
    unit: String,
    stays_from: Option<f64>,
    stays_to: Option<f64>,
    used_below: Option<f64>,
    settled: bool,
    proven: bool,
}

/// Writes the price ranges.
pub fn price_table(problem: &Problem, ranges: &[MaterialRange], units: Units, format: TableFormat) -> String {
    let mass = Unit::known(match units {
        Units::Si => "t",
        Units::Customary => "ton",
    });
    let entries: Vec<Entry> = ranges.iter().map(|range| entry(problem, range, &mass)).collect();
    match format {
        TableFormat::Text => text(&entries, &problem.currency, &mass.text),
        TableFormat::Csv => csv(&entries),
        TableFormat::Json => written(&entries),
    }
}

fn entry(problem: &Problem, range: &MaterialRange, mass: &Unit) -> Entry {
    let material = &problem.mixture.catalogue.materials[range.material];
    let per_mass = |price: f64| price * mass.factor;
    let (used, from, to, below) = match range.range {
        PriceRange::Used { low, high } => (true, low, high, None),
        PriceRange::Unused { below } => (false, None, None, below),
        PriceRange::Unsettled => (false, None, None, None),
    };
    Entry {
        material: material.name.clone(),
        state: material.role.reference_state().word(),
        used,
        price: per_mass(material.price),
        unit: format!("{}/{}", problem.currency, mass.text),
        stays_from: from.map(per_mass),
        stays_to: to.map(per_mass),
        used_below: below.map(per_mass),
        settled: range.range != PriceRange::Unsettled,
        proven: range.proven,
    }
}

fn text(entries: &[Entry], currency: &str, mass: &str) -> String {
    let mut text =
        format!("PRICES, {currency}/{mass} in the state named: where the chosen materials stay the same\n");
    let header = ["material", "state", "price", "stays from", "to", "would be used below"];
    let mut prices = table(header.map(str::to_owned).to_vec());
    let number = |value: f64, entry: &Entry| {
        format!("{}{}", significant(value, 3), if entry.proven { "" } else { "?" })
    };
    for entry in entries {
        let (from, to, below) = if !entry.settled {
            ("not settled".to_owned(), String::new(), String::new())
        } else if entry.used {
            let end = |end: Option<f64>, otherwise: &str| {
                end.map_or_else(|| otherwise.to_owned(), |end| number(end, entry))
            };
            (end(entry.stays_from, "free"), end(entry.stays_to, "any tried"), String::new())
        } else {
            let below =
                entry.used_below.map_or_else(|| "not even free".to_owned(), |price| number(price, entry));
            (String::new(), String::new(), below)
        };
        prices.add_row(vec![
            clean(&entry.material),
            entry.state.to_owned(),
            significant(entry.price, 3),
            from,
            to,
            below,
        ]);
    }
    align_numbers(&mut prices, 2, 6);
    push_table(&mut text, &prices);
    let _ = writeln!(
        text,
        "Tried: from free to {} times today's price, one material at a time.",
        highest_multiple()
    );
    if entries.iter().any(|entry| !entry.proven) {
        text.push_str("? best found, not proven\n");
    }
    text
}

fn csv(entries: &[Entry]) -> String {
    let mut text =
        String::from("material,state,used,price,unit,stays_from,stays_to,used_below,settled,proven\n");
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
        ];
        let _ = writeln!(text, "{}", cells.join(","));
    }
    text
}
