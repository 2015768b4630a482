//! Liquids as plants meter them: water in gallons, admixtures in fluid ounces.
//!
//! What enters: a report. What leaves: volumes to batch, beside aggregates as delivered where their moisture is known.
//! In SI the volume column of every report is in litres already.

use super::phrase::{Digits, Figure, Phrase};
use super::report::Report;
use super::units::Units;
use crate::material::Role;
use crate::quantity::Unit;

/// One liquid.
#[derive(Clone, Debug)]
pub struct LiquidLine<'r> {
    /// The material.
    pub material: &'r str,
    /// Volume to batch per volume of concrete, in `unit`.
    pub volume: f64,
    /// Its unit.
    pub unit: Unit,
}

/// The liquids of a mix for readers of US customary units.
pub fn liquids(report: &Report) -> Vec<LiquidLine<'_>> {
    if report.units == Units::Si {
        return Vec::new();
    }
    let lines = report.amounts.iter().filter_map(|line| {
        if !line.role.is_liquid() {
            return None;
        }
        let unit = Unit::known(if line.role == Role::Water { "gal/yd3" } else { "fl oz/yd3" });
        let weighed = line.delivered.unwrap_or(line.amount);
        let share = line.volume * weighed / line.amount;
        Some(LiquidLine { material: &line.material, volume: unit.from_base(share), unit })
    });
    lines.filter(|line| line.volume.is_finite()).collect()
}

/// The same in one sentence; empty without any.
pub fn in_words(report: &Report) -> Phrase {
    let list: Vec<Phrase> = liquids(report)
        .iter()
        .map(|line| {
            let volume = Figure::new(line.volume, Digits::Trimmed(4)).of(&line.unit);
            Phrase::from(format!("{} ", line.material)).and(volume)
        })
        .collect();
    if list.is_empty() {
        return Phrase::empty();
    }
    let delivered = report.amounts.iter().any(|line| line.delivered.is_some());
    let beside = if delivered { ", water beside aggregates as delivered" } else { "" };
    Phrase::from(format!("Liquids by volume{beside}: ")).and(Phrase::joined(list, ", ")).and(".")
}
