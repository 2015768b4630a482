//! A batch sheet as blocks: weights and water load by load, yield, what is to be watched, the order of addition.
//!
//! What enters: the facts of a sheet. What leaves: parts, and one table for spreadsheets.

use crate::answer::batch_sheet::{BatchSheet, MadeLine};
use crate::answer::block::{Column, Part, RowKind, Table};
use crate::answer::phrase::{Digits, Figure, Phrase};
use crate::quantity::Unit;

/// The blocks of one sheet, and the table for spreadsheets.
pub fn parts(sheet: &BatchSheet) -> (Vec<Part>, Table) {
    let named = |text: &str| Unit { text: text.to_owned(), ..Unit::number() };
    let mass = named(&sheet.mass_unit);
    let volume = named(&sheet.volume_unit);
    let figure = |value: f64| Figure::new(value, Digits::Amount);
    let mix = sheet.mix.as_ref().map(|mix| format!("Mix: {mix}"));
    let mut parts = vec![Part::new("", "").saying(sheet.title.as_str()).saying(mix.unwrap_or_default())];
    let mut all = Table::new([
        Column::figures("load"),
        Column::words("item"),
        Column::words("role"),
        Column::of("dry", &mass),
        Column::of("surface-dry", &mass),
        Column::of("prewetted", &mass),
        Column::figures("moisture, %"),
        Column::words("moisture from"),
        Column::of("batch", &mass),
        Column::figures("volume"),
        Column::words("volume unit"),
        Column::of("each mixing", &mass),
    ]);
    for line in &sheet.lines {
        let optional = |value: Option<f64>| Phrase::from(value.map(figure));
        all.row([
            Phrase::from(Figure::new(line.load as f64, Digits::Decimals(0))),
            line.item.as_str().into(),
            line.role.into(),
            optional(line.dry),
            optional(line.surface_dry),
            optional(line.prewetted),
            optional(line.moisture),
            line.moisture_from.into(),
            figure(line.batch).into(),
            optional(line.volume),
            line.volume_unit.as_str().into(),
            optional(line.each_mixing),
        ]);
    }
    let mut start = 0;
    while start < sheet.loads.len() {
        let first = &sheet.loads[start];
        let same = sheet.loads[start..]
            .iter()
            .take_while(|load| {
                (load.volume - first.volume).abs() <= 1e-9 * first.volume && load.mixings == first.mixings
            })
            .count();
        parts.push(load_part(sheet, start, same, &mass, &volume));
        start += same;
    }
    if let Some(made) = &sheet.made {
        parts.push(made_part(made, &mass, &volume));
    }
    if !sheet.remarks.is_empty() {
        parts.push(Part::new("To be watched", "").listing(sheet.remarks.iter().map(String::as_str)));
    }
    parts.push(
        Part::new("Order of addition", "tick each line")
            .listing(sheet.steps.iter().map(|step| format!("[ ] {step}"))),
    );
    parts.push(Part::new("Cautions", "").listing(sheet.cautions.iter().map(String::as_str)));
    (parts, all)
}

/// Loads that are alike, as one part: weights, then the water balance.
fn load_part(sheet: &BatchSheet, start: usize, same: usize, mass: &Unit, volume: &Unit) -> Part {
    let load = &sheet.loads[start];
    let figure = |value: f64| Figure::new(value, Digits::Amount);
    let several = 1 < load.mixings;
    let mut weights = Table::new([
        Column::words("weigh or meter"),
        Column::of("dry", mass),
        Column::of("surface-dry", mass),
        Column::of("prewetted", mass),
        Column::figures("moisture"),
        Column::of("BATCH", mass),
        Column::of("each mixing", mass),
        Column::figures("by volume"),
    ]);
    let percent = Unit::known("%");
    for line in sheet.lines.iter().filter(|line| line.load == load.load) {
        let optional = |value: Option<f64>| Phrase::from(value.map(figure));
        let by_volume = line.volume.map(|value| {
            let unit = Unit { text: line.volume_unit.clone(), ..Unit::number() };
            Figure::new(value, Digits::Significant(4)).of(&unit)
        });
        let moisture = line.moisture.map(|value| Figure::new(value, Digits::Trimmed(3)).of(&percent));
        weights.row([
            Phrase::from(line.item.as_str()),
            optional(line.dry),
            optional(line.surface_dry),
            optional(line.prewetted),
            moisture.into(),
            figure(line.batch).into(),
            optional(line.each_mixing),
            by_volume.into(),
        ]);
    }
    let mut water = Table::new([Column::words("water"), Column::of("", mass)]);
    let mut row = |name: &str, value: f64| {
        if value != 0.0 {
            water.row([Phrase::from(name), figure(value).into()]);
        }
    };
    row("of the design, without that in admixtures", load.design);
    if load.aggregates < 0.0 {
        row("and what the aggregates take up", -load.aggregates);
    } else {
        row("less free water of the aggregates", -load.aggregates);
    }
    row("less ice", -load.ice);
    row("less water in the wash water", -load.wash_water);
    row("less water in the drum", -load.drum);
    row("less water held back: the most that may be added on site", -load.held_back);
    water.row_of(RowKind::Total, [Phrase::from("WATER TO ADD"), figure(load.to_add).into()]);
    let which = match same {
        1 => format!("{}", load.load),
        _ => format!("{} to {}", load.load, load.load + same - 1),
    };
    water.caption = Phrase::from("Mixing water of load ").and(which.as_str());
    let about = Phrase::from(which.as_str())
        .and(": ")
        .and(Figure::new(load.volume, Digits::Trimmed(4)).of(volume))
        .and(if 1 < same { " each" } else { "" });
    let about = if several { about.and(format!(", in {} mixings", load.mixings).as_str()) } else { about };
    let total = Phrase::from("The load weighs ")
        .and(Figure::new(load.mass, Digits::Significant(5)).of(mass))
        .and(if 0.0 < load.held_back { ", water held back among it." } else { "." });
    let beside = (0.0 < load.admixtures).then(|| {
        Phrase::from("Admixtures bring ")
            .and(figure(load.admixtures).of(mass))
            .and(" of mixing water beside.")
    });
    let heading = if 1 < same { "Loads" } else { "Load" };
    Part::new(heading, about)
        .with(weights.without_empty_columns())
        .with(water)
        .saying(total)
        .saying(Phrase::from(beside))
}

fn made_part(made: &MadeLine, mass: &Unit, volume: &Unit) -> Part {
    let mut table = Table::new([Column::words("measured load"), Column::figures("")]);
    let figure = |value: f64, unit: &Unit| Figure::new(value, Digits::Significant(5)).of(unit);
    let percent = Unit::known("%");
    table.row([Phrase::from("mass batched"), figure(made.mass, mass).into()]);
    table.row([Phrase::from("volume made, mass over density"), figure(made.volume, volume).into()]);
    table.row([Phrase::from("volume ordered"), figure(made.ordered, volume).into()]);
    table.row([
        Phrase::from("relative yield, made over ordered"),
        Figure::new(made.relative_yield, Digits::Decimals(4)).into(),
    ]);
    if let Some(air) = made.gravimetric_air {
        table.row([
            Phrase::from("air by weighing"),
            Figure::new(air, Digits::Decimals(1)).of(&percent).into(),
        ]);
    }
    if let Some(air) = made.measured_air {
        table.row([
            Phrase::from("air as measured"),
            Figure::new(air, Digits::Decimals(1)).of(&percent).into(),
        ]);
    }
    let mut part = Part::new("Yield", "ASTM C138").with(table);
    if !made.assumed.is_empty() {
        part = part.saying(
            format!("Not read back, and taken as on the sheet: {}.", made.assumed.join(", ")).as_str(),
        );
    }
    let part = part.with(holds(made, mass, volume));
    if made.limits.is_empty() { part } else { part.with(made_limits(made)) }
}

/// What one volume really made holds, beside the design.
fn holds(made: &MadeLine, mass: &Unit, volume: &Unit) -> Table {
    let content = Unit { text: format!("{}/{}", mass.text, volume.text), ..Unit::number() };
    let mut table = Table::new([
        Column::words("material"),
        Column::of("as designed", &content),
        Column::of("as made", &content),
    ]);
    table.caption = Phrase::from("What one volume really made holds");
    for line in &made.holds {
        let figure = |value: f64| Phrase::from(Figure::new(value, Digits::Amount));
        table.row([Phrase::from(line.material.as_str()), figure(line.designed), figure(line.made)]);
    }
    table
}

/// Limits on contents and ratios at what was made.
fn made_limits(made: &MadeLine) -> Table {
    let mut table = Table::new([
        Column::words("limit"),
        Column::words("wanted"),
        Column::figures("as made"),
        Column::words("standing"),
    ]);
    table.caption = Phrase::from("Limits on contents and ratios, at what was made");
    for line in &made.limits {
        let unit = Unit { text: line.unit.clone(), ..Unit::number() };
        let wanted = Phrase::from(line.side).and(" ");
        table.row_of(
            if line.is_met { RowKind::Usual } else { RowKind::Missed },
            [
                Phrase::from(line.limit.as_str()),
                wanted.and(Figure::new(line.wanted, Digits::Written).of(&unit)),
                Figure::new(line.got, Digits::Significant(4)).of(&unit).into(),
                Phrase::from(if line.is_met { "met" } else { "missed" }),
            ],
        );
    }
    table
}
