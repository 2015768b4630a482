//! What became of a mix since an earlier run, as facts: the value, materials that came in and went out, amounts, limits, and
//! what staying with the earlier mix comes to today. How they are found is not known here.

use schemars::JsonSchema;
use serde::Serialize;

/// What became of one mix.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Since {
    /// The value of the goal then, in the goal's unit; absent where there was no mix, or another goal or unit.
    pub before: Option<f64>,
    /// Today's value less that.
    pub change: Option<f64>,
    /// The change as a share of what was before.
    pub relative: Option<f64>,
    /// The goal's unit.
    pub unit: String,
    /// Prices that changed, as far as the earlier run told them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub prices: Vec<PriceSince>,
    /// What became of the mix; absent where one of the two runs has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mix: Option<MixSince>,
    /// The earlier mix today; absent where none was told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub earlier_mix_today: Option<Staying>,
}

/// One price that changed.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct PriceSince {
    /// The material.
    pub material: String,
    /// Its price then, in `unit`.
    pub before: f64,
    /// Its price now, in `unit`.
    pub now: f64,
    /// The currency and what the price is per.
    pub unit: String,
    /// The change as a share of what it was.
    pub relative: Option<f64>,
}

/// What became of amounts and limits.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct MixSince {
    /// Materials that were not used then.
    pub came_in: Vec<String>,
    /// Materials that are not used now.
    pub went_out: Vec<String>,
    /// Amounts that changed by more than the scale shows.
    pub amounts: Vec<AmountSince>,
    /// The unit of amounts.
    pub unit: String,
    /// Limits that the mix stands at now and did not then.
    pub began_to_bind: Vec<String>,
    /// Limits that it stood at then and does not now.
    pub ceased_to_bind: Vec<String>,
}

/// One amount, in the unit of amounts.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct AmountSince {
    /// The material.
    pub material: String,
    /// Its amount then.
    pub before: f64,
    /// Its amount now.
    pub now: f64,
    /// Now less before.
    pub change: f64,
    /// The least change that the scale shows: the step of `rounding`, or the last digit of a table.
    pub scale: f64,
}

/// The earlier mix on today's materials, prices and limits.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub struct Staying {
    /// The value of the goal, in its unit; absent where it has none, or a material is gone.
    pub value: Option<f64>,
    /// That less the value of today's mix.
    pub difference: Option<f64>,
    /// Whether the difference is no more than the gap of today's proof leaves open.
    pub within_gap: bool,
    /// Whether it meets everything today.
    pub holds: bool,
    /// Limits, bounds and choices that it misses today.
    pub misses: Vec<String>,
    /// What it fills today, in the reader's volume of concrete, where that is not one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fills: Option<f64>,
    /// Materials that it needs and today's statement does not have.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub lacks: Vec<String>,
}
