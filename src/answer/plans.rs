//! The plan of a plant as facts and blocks: what to keep, each mix beside what it costs alone, what one more place saves.
//!
//! What enters: a plant and its plan. What leaves: facts in the reader's units, and blocks. It solves nothing.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, RowKind, Table};
use super::cautions::PROPOSAL;
use super::phrase::{Digits, Figure, Phrase};
use super::units::Units;
use crate::plant::{Plan, SharedPlant, members};
use crate::quantity::Unit;

/// A plan.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct Plans {
    /// Title of the plant.
    pub title: String,
    /// Its note.
    pub note: Option<String>,
    /// The currency.
    pub currency: String,
    /// Unit of the costs of mixes.
    pub cost_unit: String,
    /// Unit of volumes of concrete.
    pub volume_unit: String,
    /// Unit of amounts.
    pub content_unit: String,
    /// Cost of a year: proven to be no less, and found.
    pub total: [f64; 2],
    /// The same for all mixes alone.
    pub alone: [f64; 2],
    /// Gap of the total, per cent.
    pub gap: f64,
    /// Whether the gap asked for was reached; else the plan is the best found.
    pub proven: bool,
    /// Kinds of places.
    pub places: Vec<PlacesLine>,
    /// The mixes.
    pub mixes: Vec<PlanLine>,
    /// Limited stock.
    pub stock: Vec<StockLine>,
    /// Sets looked at, and mixes solved.
    pub effort: [usize; 2],
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// One kind of place.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct PlacesLine {
    /// Its name.
    pub places: String,
    /// How many there are.
    pub number: usize,
    /// How many materials need one.
    pub needed_by: usize,
    /// What is kept in them.
    pub kept: Vec<String>,
    /// What one more saves in a year, at least and at most; none where there is nothing more to keep, or where work
    /// ended before.
    pub one_more_saves: Option<[f64; 2]>,
    /// What would be kept besides.
    pub would_keep: Vec<String>,
}

/// One mix.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct PlanLine {
    /// Its name.
    pub mix: String,
    /// Concrete in a year.
    pub volume: f64,
    /// Cost alone.
    pub alone: f64,
    /// Cost in the plan.
    pub cost: f64,
    /// What the plan costs more in a year.
    pub premium: f64,
    /// Amounts by material.
    pub amounts: Vec<(String, f64)>,
}

/// One limited material.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct StockLine {
    /// The material.
    pub material: String,
    /// Used in a year, t or ton.
    pub used: f64,
    /// To be had in a year.
    pub stock: f64,
    /// Unit of both.
    pub unit: String,
    /// What one more of that unit would be worth.
    pub worth: f64,
}

/// The facts.
pub fn plans(plant: &SharedPlant, plan: &Plan, units: Units) -> Plans {
    let cost = units.cost(&plant.currency);
    let volume = Unit::known(units.body());
    let content = units.content();
    let ton = Unit::known(if units == Units::Si { "t" } else { "ton" });
    let names = |set| members(set).map(|at| plant.materials[at].clone()).collect::<Vec<_>>();
    let places = plant.places.iter().enumerate().map(|(at, places)| {
        let kind = places.of.iter().fold(0, |set: u64, material| set | 1 << material);
        let saving = plan.savings.iter().find(|saving| saving.places == at);
        PlacesLine {
            places: places.name.clone(),
            number: places.number,
            needed_by: places.of.len(),
            kept: names(plan.kept & kind),
            one_more_saves: saving.map(|saving| [saving.low, saving.high]),
            would_keep: saving.map(|saving| names(saving.added & kind)).unwrap_or_default(),
        }
    });
    let mixes = plant.mixes.iter().zip(&plan.mixes).map(|(mix, planned)| {
        let shelf = &mix.problem.mixture.catalogue.materials;
        let amounts = shelf.iter().zip(&planned.mix).filter(|(_, amount)| 1e-6 < **amount);
        PlanLine {
            mix: mix.name.clone(),
            volume: volume.from_base(mix.volume),
            alone: cost.from_base(planned.alone.1),
            cost: cost.from_base(planned.cost),
            premium: (planned.cost - planned.alone.1) * mix.volume,
            amounts: amounts
                .map(|(material, amount)| (material.name.clone(), content.from_base(*amount)))
                .collect(),
        }
    });
    let stock = plan.stock.iter().map(|stock| StockLine {
        material: plant.materials[stock.material].clone(),
        used: ton.from_base(stock.used),
        stock: ton.from_base(stock.stock),
        unit: ton.text.clone(),
        worth: stock.price * ton.factor,
    });
    Plans {
        title: plant.title.clone().unwrap_or_default(),
        note: plant.note.clone(),
        currency: plant.currency.clone(),
        cost_unit: cost.text.clone(),
        volume_unit: volume.text.clone(),
        content_unit: content.text.clone(),
        total: [plan.lower, plan.upper],
        alone: plan.alone.into(),
        gap: 100.0 * (plan.upper - plan.lower) / plan.upper.abs().max(1e-9),
        proven: plan.proven,
        places: places.collect(),
        mixes: mixes.collect(),
        stock: stock.collect(),
        effort: [plan.nodes, plan.solves],
        caution: PROPOSAL,
    }
}

/// The blocks, and the table for spreadsheets.
pub fn parts(plans: &Plans) -> (Vec<Part>, Table) {
    let content = unit(&plans.content_unit);
    let money = |value: f64| yearly(value, plans);
    let mut all =
        Table::new([Column::words("mix"), Column::words("material"), Column::of("amount", &content)]);
    let mut materials: Vec<&str> = Vec::new();
    for line in &plans.mixes {
        for (material, amount) in &line.amounts {
            if !materials.contains(&material.as_str()) {
                materials.push(material);
            }
            all.row([
                Phrase::from(line.mix.as_str()),
                material.as_str().into(),
                Figure::new(*amount, Digits::Amount).into(),
            ]);
        }
    }
    let mut proportions = Part::new("Proportions", "reference states");
    for lines in plans.mixes.chunks(ACROSS) {
        proportions = proportions.with(amounts(lines, &materials, &content));
    }
    let [lower, upper] = plans.total;
    let total = Phrase::from("The plan costs ")
        .and(money(upper))
        .and("; no plan costs less than ")
        .and(money(lower))
        .and(" (gap ")
        .and(Figure::new(plans.gap, Digits::Significant(2)))
        .and(" %). Each mix from whatever suits it alone would cost ")
        .and(money(plans.alone[1]))
        .and(": sharing costs ")
        .and(money(upper - plans.alone[1]))
        .and(".");
    let mut parts = vec![
        Part::new("", "").saying(plans.title.as_str()).saying(plans.note.clone().unwrap_or_default()),
        Part::new("Plan", "for a year")
            .saying(total)
            .saying((!plans.proven).then_some(
                "This plan is the best found, not proven: work ended before the gap asked for was reached.",
            ))
            .with(places(plans)),
        Part::new("Mixes", "").with(mixes(plans)),
    ];
    if !plans.stock.is_empty() {
        parts.push(Part::new("Stock", "in a year").with(stock(plans)));
    }
    parts.push(proportions);
    parts.push(Part::new("Cautions", "").listing([
        "These proportions are proposals for trial batches, never an approval. They are subject to a licensed engineer, to \
         local codes, and to trial batches with the actual materials.",
        "A shared material has to suit every mix that it goes into: what the statements do not limit, nobody has looked at.",
    ]));
    (parts, all)
}

/// A unit by its text.
fn unit(text: &str) -> Unit {
    Unit { text: text.to_owned(), ..Unit::number() }
}

/// Money in a year.
fn yearly(value: f64, plans: &Plans) -> Figure {
    Figure::new(value, Digits::Decimals(0)).of(&unit(&format!("{}/year", plans.currency)))
}

/// What the places keep, and what one more of each would save.
fn places(plans: &Plans) -> Table {
    let money = |value: f64| yearly(value, plans);
    let mut places = Table::new([
        Column::words("places"),
        Column::figures("number"),
        Column::words("kept"),
        Column::words("one more saves"),
        Column::words("and keeps"),
    ]);
    for line in &plans.places {
        let saves = match line.one_more_saves {
            None if line.number < line.needed_by => Phrase::from("not known: work ended before"),
            None => Phrase::from("nothing: there is no more to keep"),
            Some([low, _]) if 0.0 < low => money(low).into(),
            Some([_, high]) => Phrase::from("nothing proven, at most ").and(money(high.max(0.0))),
        };
        let saves = match line.one_more_saves {
            Some([low, high]) if 0.0 < low => saves.and(" to ").and(money(high)),
            _ => saves,
        };
        let claimed = line.one_more_saves.is_some_and(|[low, _]| 0.0 < low);
        places.row([
            Phrase::from(line.places.as_str()),
            Figure::new(line.number as f64, Digits::Decimals(0)).into(),
            line.kept.join(", ").into(),
            saves,
            if claimed { line.would_keep.join(", ").into() } else { Phrase::empty() },
        ]);
    }
    places
}

/// What each mix costs alone and in the plan.
fn mixes(plans: &Plans) -> Table {
    let (cost, volume) = (unit(&plans.cost_unit), unit(&plans.volume_unit));
    let mut mixes = Table::new([
        Column::words("mix"),
        Column::of("in a year", &volume),
        Column::of("alone", &cost),
        Column::of("in the plan", &cost),
        Column::of("more in a year", &unit(&plans.currency)),
    ]);
    for line in &plans.mixes {
        mixes.row([
            Phrase::from(line.mix.as_str()),
            Figure::new(line.volume, Digits::Decimals(0)).into(),
            Figure::new(line.alone, Digits::Money).into(),
            Figure::new(line.cost, Digits::Money).into(),
            Figure::new(line.premium, Digits::Decimals(0)).into(),
        ]);
    }
    let premium: f64 = plans.mixes.iter().map(|line| line.premium).sum();
    mixes.row_of(
        RowKind::Total,
        [
            Phrase::from("all"),
            Phrase::empty(),
            Phrase::empty(),
            Phrase::empty(),
            Figure::new(premium, Digits::Decimals(0)).into(),
        ],
    );
    mixes
}

/// What is used of what is scarce, and what one more is worth.
fn stock(plans: &Plans) -> Table {
    let mut stock = Table::new([
        Column::words("limited stock"),
        Column::figures("used"),
        Column::figures("to be had"),
        Column::figures("one more is worth"),
    ]);
    for line in &plans.stock {
        let own = unit(&line.unit);
        stock.row([
            Phrase::from(line.material.as_str()),
            Figure::new(line.used, Digits::Significant(4)).of(&own).into(),
            Figure::new(line.stock, Digits::Significant(4)).of(&own).into(),
            Figure::new(line.worth, Digits::Money).of(&unit(&plans.currency)).into(),
        ]);
    }
    stock
}

/// Mixes beside one another in a table.
const ACROSS: usize = 5;

/// Amounts of some mixes side by side.
fn amounts(lines: &[PlanLine], materials: &[&str], content: &Unit) -> Table {
    let columns = lines.iter().map(|line| Column::of(line.mix.as_str(), content));
    let mut table = Table::new([Column::words("material")].into_iter().chain(columns));
    let names: Vec<&str> = lines.iter().map(|line| line.mix.as_str()).collect();
    table.caption = Phrase::from(names.join("; ").as_str());
    for material in materials {
        let of = |line: &PlanLine| {
            line.amounts.iter().find(|(name, _)| name == material).map(|(_, amount)| *amount)
        };
        if lines.iter().all(|line| of(line).is_none()) {
            continue;
        }
        let told =
            lines.iter().map(|line| Phrase::from(of(line).map(|amount| Figure::new(amount, Digits::Amount))));
        table.row([Phrase::from(*material)].into_iter().chain(told));
    }
    table
}
