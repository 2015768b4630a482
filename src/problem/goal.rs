//! The goal: an affine function to make small, with a column of its own where the wish itself is curved.

use super::Problem;
use super::condition::Curved;
use crate::finding::{Finding, Findings, Place};
use crate::mixture::{Affine, Measure, Mixture, Quantities, carbon_unit, cost_unit};
use crate::quantity::Unit;
use crate::response::Response;
use crate::statement::{GoalEntry, QuantityRef};

/// What a goal column stands for.
#[derive(Clone, Debug)]
pub enum Level {
    /// A response, on its predictor's scale.
    Response(usize),
    /// A ratio.
    Ratio(Measure),
}

/// The goal.
#[derive(Clone, Debug)]
pub struct Goal {
    /// In words: `least cost`.
    pub label: String,
    /// What is made least or most, in base units; for a curved wish the level column.
    pub objective: Affine,
    /// Whether the most is wanted.
    pub most: bool,
    /// For a curved wish, what the level column stands for.
    pub level: Option<Level>,
    /// The price of carbon that is added to the cost, if any.
    pub carbon_price: Option<CarbonPrice>,
    /// Unit for the report.
    pub unit: Unit,
    /// Where it stands.
    pub place: Place,
}

/// A price of carbon.
#[derive(Clone, Debug)]
pub struct CarbonPrice {
    /// Currency per kg.
    pub per_mass: f64,
    /// As its author wrote it, with the currency.
    pub words: String,
}

impl Goal {
    /// The affine function to minimise.
    pub fn to_minimise(&self) -> Affine {
        self.objective.times(if self.most { -1.0 } else { 1.0 })
    }

    /// The condition that ties the level column to what it stands for.
    pub fn curved(&self) -> Option<Curved> {
        let column = self.objective.terms.first().map(|(column, _)| *column)?;
        let sign = if self.most { -1.0 } else { 1.0 };
        match self.level.as_ref()? {
            Level::Response(response) => Some(Curved::Level { response: *response, column, sign }),
            Level::Ratio(measure) => Some(Curved::LevelOfRatio { measure: measure.clone(), column, sign }),
        }
    }
}

impl Problem {
    /// Sets the column of a curved goal to what it stands for, so that a mix is judged by its true goal and no step is
    /// cut short because the column lags behind.
    pub fn settle_level(&self, mix: &mut [f64]) {
        let Some((column, _)) = self.goal.objective.terms.first() else { return };
        let value = match &self.goal.level {
            None => return,
            Some(Level::Response(response)) => {
                self.predict(*response, mix).map(|prediction| prediction.predictor)
            }
            Some(Level::Ratio(measure)) => measure.at(mix),
        };
        if let Some(value) = value.filter(|value| value.is_finite())
            && let Some(level) = mix.get_mut(*column)
        {
            *level = value;
        }
    }
}

/// Resolves the goal; a curved wish gets a new column in `level`.
pub fn goal(
    entry: &GoalEntry,
    quantities: &Quantities<'_>,
    mixture: &Mixture,
    responses: &[Response],
    currency: &str,
    findings: &mut Findings,
) -> Option<Goal> {
    let direction = if entry.most { "most" } else { "least" };
    let next_column = mixture.columns.len();
    let name = match &entry.of {
        QuantityRef::Phrase(word) => word.value.clone(),
        QuantityRef::Spec(spec) => spec.value.words(),
    };
    let label = format!("{direction} {name}");
    if let Some(index) = responses.iter().position(|response| response.name == name) {
        if super::restrained(&responses[index]).is_some() {
            findings.push(
                Finding::error(entry.place, format!("the goal is `{name}`, an age at cracking"))
                    .note("a mix need not crack at all, and then there is no age to make large")
                    .help("limit the age by `at least`, and raise the limit as far as mixes go"),
            );
            return None;
        }
        return Some(Goal {
            label,
            objective: Affine::column(next_column),
            most: entry.most,
            level: Some(Level::Response(index)),
            carbon_price: None,
            unit: responses[index].unit.clone(),
            place: entry.place,
        });
    }
    let quantity = quantities.resolve(&entry.of, "the goal", findings)?;
    let mut goal = match quantity.measure {
        Measure::Linear(objective) => Goal {
            label,
            objective,
            most: entry.most,
            level: None,
            carbon_price: None,
            unit: quantity.unit,
            place: entry.place,
        },
        measure @ Measure::Ratio(_) => Goal {
            label,
            objective: Affine::column(next_column),
            most: entry.most,
            level: Some(Level::Ratio(measure)),
            carbon_price: None,
            unit: quantity.unit,
            place: entry.place,
        },
    };
    if let Some(price) = &entry.carbon_price {
        if name != "cost" {
            findings.push(
                Finding::error(price.place, format!("`carbon price` stands with the goal `{}`", goal.label))
                    .note("a carbon price is added to the cost: `least: cost`"),
            );
            return None;
        }
        let carbon = mixture.sum(|material| material.carbon.unwrap_or(0.0));
        goal.objective = goal.objective.plus(price.value.base, &carbon);
        let unit = &price.value.unit;
        let by_mass = unit.text.trim_start_matches(currency);
        let figure = crate::quantity::trimmed(unit.from_base(price.value.base), 4);
        let words = format!("{figure} {currency}{by_mass}");
        goal.label = format!("least cost with carbon at {words}");
        goal.carbon_price = Some(CarbonPrice { per_mass: price.value.base, words });
        goal.unit = cost_unit(currency);
    }
    if name == "carbon" {
        goal.unit = carbon_unit();
    }
    Some(goal)
}
