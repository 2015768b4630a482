//! Over which prices of each material the choice stays the same, in the reader's units.
//!
//! What enters: what was found of every price. What leaves: figures as programs read them, and a table of them.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Cell, Column, Part, Table};
use super::material_price::{material_price, price_unit};
use super::phrase::{Digits, Figure, Phrase};
use super::units::Units;
use crate::analysis::{MaterialRange, PriceRange, highest_multiple};
use crate::problem::Problem;

/// Over which prices of one material the choice stays the same. Prices in `unit`.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct Entry {
    /// Its name.
    pub material: String,
    /// The state that is priced.
    pub state: &'static str,
    /// What the price is per, with the state of aggregates.
    #[serde(skip)]
    pub per: String,
    /// Whether the mix uses it.
    pub used: bool,
    /// Today's price.
    pub price: f64,
    /// The unit of prices.
    pub unit: String,
    /// The price down to which the choice stays; none if even free.
    pub stays_from: Option<f64>,
    /// The price up to which it stays; none if as high as was tried.
    pub stays_to: Option<f64>,
    /// The price below which it would be used.
    pub used_below: Option<f64>,
    /// The price from which on it was found not to be worth using.
    pub not_used_from: Option<f64>,
    /// Whether that could be found.
    pub settled: bool,
    /// Whether it is proven.
    pub proven: bool,
}

/// The price ranges in the reader's units.
pub fn entries(problem: &Problem, ranges: &[MaterialRange], units: Units) -> Vec<Entry> {
    ranges.iter().map(|range| entry(problem, range, units)).collect()
}

fn entry(problem: &Problem, range: &MaterialRange, units: Units) -> Entry {
    let material = &problem.mixture.catalogue.materials[range.material];
    let told = material_price(problem, range.material, units);
    let unit = price_unit(&material.priced.unit, units);
    let shown = |price: f64| unit.from_base(material.priced.written(price));
    let mut not_used_from = None;
    let (used, from, to, below) = match range.range {
        PriceRange::Used { low, high } => (true, low, high, None),
        PriceRange::Unused { below, not_from } => {
            not_used_from = not_from;
            (false, None, None, below)
        }
        PriceRange::Unsettled => (false, None, None, None),
    };
    Entry {
        material: material.name.clone(),
        state: told.state,
        per: if material.role.is_aggregate() { format!("{} {}", told.per, told.state) } else { told.per },
        used,
        price: told.price,
        unit: told.unit,
        stays_from: from.map(shown),
        stays_to: to.map(shown),
        used_below: below.map(shown),
        not_used_from: not_used_from.map(shown),
        settled: range.range != PriceRange::Unsettled,
        proven: range.proven,
    }
}

/// The prices as a part for people.
pub fn part(entries: &[Entry], currency: &str) -> Part {
    let mut table = Table::new([
        Column::words("material"),
        Column::words("per"),
        Column::figures("price"),
        Column::figures("stays from"),
        Column::figures("to"),
        Column::figures("would be used below"),
    ]);
    for entry in entries {
        let end = |end: Option<f64>, otherwise: &str| -> Phrase {
            let figure = |end| Figure::new(end, Digits::Significant(3)).proven(Some(entry.proven));
            end.map_or_else(|| otherwise.into(), |end| figure(end).into())
        };
        let none = Phrase::empty;
        let (from, to, below) = match (entry.settled, entry.used) {
            (false, _) => ("not settled".into(), none(), none()),
            (true, true) => (end(entry.stays_from, "free"), end(entry.stays_to, "any tried"), none()),
            (true, false) => (none(), none(), end(entry.used_below, "saves nothing even free")),
        };
        let price = Figure::new(entry.price, Digits::Written);
        table.row([
            Cell::from(&entry.material),
            (&entry.per).into(),
            price.into(),
            from.into(),
            to.into(),
            below.into(),
        ]);
    }
    let tried = Phrase::from("Tried: from free to ")
        .and(Figure::new(highest_multiple(), Digits::Trimmed(4)))
        .and(" times today's price, one material at a time.");
    let about = format!("{currency}, each as it was written: where the chosen materials stay the same");
    let part = Part::new("Prices,", about).with(table).saying(tried);
    part.saying(entries.iter().any(|entry| !entry.proven).then_some("? best found, not proven"))
}
