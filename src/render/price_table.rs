//! Over which prices of each material the choice stays the same, as text, CSV and JSON.

use std::fmt::Write;

use serde::Serialize;

use super::TableFormat;
use super::text::{align_numbers, push_table, table};
use crate::analysis::{MaterialRange, PriceRange, highest_multiple};
use crate::answer::record::cells::cell;
use crate::answer::record::json::written;
use crate::answer::units::Units;
use crate::finding::clean;
use crate::problem::Problem;
use crate::quantity::{Dimension, System, Unit, as_written, significant, tidied};

#[derive(Serialize)]
struct Entry {
    material: String,
    state: &'static str,
    #[serde(skip)]
    per: String,
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
    let entries: Vec<Entry> = ranges.iter().map(|range| entry(problem, range, units)).collect();
    match format {
        TableFormat::Text => text(&entries, &problem.currency),
        TableFormat::Csv => csv(&entries),
        TableFormat::Json => written(&entries),
    }
}

/// The unit in which a price is told: as its author wrote it, unless the reader's system is another.
fn told_in(unit: &Unit, units: Units) -> Unit {
    let Some(system) = unit.system().filter(|system| Units::from(*system) != units) else {
        return unit.clone();
    };
    Unit::known(match (system, unit.dimension) {
        (System::Customary, Dimension::PRICE_BY_VOLUME) => "/L",
        (System::Customary, _) => "/t",
        (System::Si, Dimension::PRICE_BY_VOLUME) => "/gal",
        (System::Si, _) => "/ton",
    })
}

fn entry(problem: &Problem, range: &MaterialRange, units: Units) -> Entry {
    let material = &problem.mixture.catalogue.materials[range.material];
    let unit = told_in(&material.priced.unit, units);
    let shown = |price: f64| unit.from_base(material.priced.written(price));
    let (used, from, to, below) = match range.range {
        PriceRange::Used { low, high } => (true, low, high, None),
        PriceRange::Unused { below } => (false, None, None, below),
        PriceRange::Unsettled => (false, None, None, None),
    };
    let state = material.priced.state.unwrap_or(material.role.reference_state()).word();
    let per = unit.text.trim_start_matches(problem.currency.as_str()).trim_start();
    Entry {
        material: material.name.clone(),
        state,
        per: if material.role.is_aggregate() { format!("{per} {state}") } else { per.to_owned() },
        used,
        price: tidied(shown(material.price)),
        unit: format!("{}{per}", problem.currency),
        stays_from: from.map(shown),
        stays_to: to.map(shown),
        used_below: below.map(shown),
        settled: range.range != PriceRange::Unsettled,
        proven: range.proven,
    }
}

fn text(entries: &[Entry], currency: &str) -> String {
    let mut text =
        format!("PRICES, {currency}, each as it was written: where the chosen materials stay the same\n");
    let header = ["material", "per", "price", "stays from", "to", "would be used below"];
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
            entry.per.clone(),
            as_written(entry.price),
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
