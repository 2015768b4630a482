//! The goal: an affine function to make small, with a column of its own where the wish itself is curved.

use super::condition::Curved;
use super::cracking::restrained;
use crate::finding::{Finding, Findings, Place};
use crate::listed::{Id, Listed};
use crate::mixture::{Affine, Measure, Mixture, Quantities, carbon_unit, cost_unit};
use crate::quantity::{Scalar, Unit};
use crate::response::Response;
use crate::statement::{GoalEntry, Located, QuantityRef};

/// What a goal column stands for.
#[derive(Clone, Debug)]
pub enum Level {
    /// A response, on its predictor's scale.
    Response(Id<Response>),
    /// A ratio.
    Ratio(Measure),
}

/// What a goal is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GoalKind {
    /// The cost of the materials, with a price of carbon or without.
    Cost,
    /// The carbon of the materials.
    Carbon,
    /// Another quantity of the mix.
    Quantity,
    /// A response.
    Response,
}

/// Whether little or much of it is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// As little as possible.
    Least,
    /// As much as possible.
    Most,
}

impl Direction {
    /// What the goal is multiplied by so that the least is wanted.
    pub fn sign(self) -> f64 {
        match self {
            Self::Least => 1.0,
            Self::Most => -1.0,
        }
    }

    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Least => "least",
            Self::Most => "most",
        }
    }
}

/// The goal.
#[derive(Clone, Debug)]
pub struct Goal {
    /// What it is about.
    pub kind: GoalKind,
    /// What it is about, in words: `cost`.
    pub name: String,
    /// Whether the least or the most is wanted.
    pub direction: Direction,
    /// What is made least or most, in base units; for a curved wish the level column.
    pub objective: Affine,
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
    /// In words: `least cost`.
    pub fn label(&self) -> String {
        format!("{} {}", self.direction.word(), self.name)
    }

    /// The affine function to minimise.
    pub fn to_minimise(&self) -> Affine {
        self.objective.times(self.direction.sign())
    }

    /// The condition that ties the level column to what it stands for.
    pub fn curved(&self) -> Option<Curved> {
        let column = self.objective.terms.first().map(|(column, _)| *column)?;
        let sign = self.direction.sign();
        match self.level.as_ref()? {
            Level::Response(response) => Some(Curved::Level { response: *response, column, sign }),
            Level::Ratio(measure) => Some(Curved::LevelOfRatio { measure: measure.clone(), column, sign }),
        }
    }
}

/// Resolves the goal; a curved wish gets a new column in `level`.
pub fn goal(
    entry: &GoalEntry,
    quantities: &Quantities<'_>,
    mixture: &Mixture,
    responses: &Listed<Response>,
    currency: &str,
    findings: &mut Findings,
) -> Option<Goal> {
    let direction = if entry.most { Direction::Most } else { Direction::Least };
    let next_column = mixture.columns.len();
    let name = match &entry.of {
        QuantityRef::Phrase(word) => word.value.clone(),
        QuantityRef::Spec(spec) => spec.value.words(),
    };
    if let Some(index) = responses.find_id(|response| response.name == name) {
        return of_response(entry, (direction, name), (index, &responses[index]), next_column, findings);
    }
    let quantity = quantities.resolve(&entry.of, "the goal", findings)?;
    let is =
        |built_in: &str| quantities.named(built_in).is_some_and(|known| known.measure == quantity.measure);
    let kind = if is("cost") {
        GoalKind::Cost
    } else if is("carbon") {
        GoalKind::Carbon
    } else {
        GoalKind::Quantity
    };
    let mut goal = match quantity.measure {
        Measure::Linear(objective) => Goal {
            kind,
            name,
            direction,
            objective,
            level: None,
            carbon_price: None,
            unit: quantity.unit,
            place: entry.place,
        },
        measure @ Measure::Ratio(_) => Goal {
            kind,
            name,
            direction,
            objective: Affine::column(next_column),
            level: Some(Level::Ratio(measure)),
            carbon_price: None,
            unit: quantity.unit,
            place: entry.place,
        },
    };
    if let Some(price) = &entry.carbon_price {
        goal = with_carbon_price(goal, price, mixture, currency, findings)?;
    }
    if kind == GoalKind::Carbon {
        goal.unit = carbon_unit();
    }
    Some(goal)
}

/// A response as the goal.
fn of_response(
    entry: &GoalEntry,
    (direction, name): (Direction, String),
    (index, response): (Id<Response>, &Response),
    next_column: usize,
    findings: &mut Findings,
) -> Option<Goal> {
    if restrained(response).is_some() {
        findings.push(
            Finding::error(entry.place, format!("the goal is `{name}`, an age at cracking"))
                .note("a mix need not crack at all, and then there is no age to make large")
                .help("limit the age by `at least`, and raise the limit as far as mixes go"),
        );
        return None;
    }
    Some(Goal {
        kind: GoalKind::Response,
        name,
        direction,
        objective: Affine::column(next_column),
        level: Some(Level::Response(index)),
        carbon_price: None,
        unit: response.unit.clone(),
        place: entry.place,
    })
}

/// The cost with what its carbon costs.
fn with_carbon_price(
    mut goal: Goal,
    price: &Located<Scalar>,
    mixture: &Mixture,
    currency: &str,
    findings: &mut Findings,
) -> Option<Goal> {
    if goal.kind != GoalKind::Cost {
        findings.push(
            Finding::error(price.place, format!("`carbon price` stands with the goal `{}`", goal.label()))
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
    goal.name = format!("cost with carbon at {words}");
    goal.carbon_price = Some(CarbonPrice { per_mass: price.value.base, words });
    goal.unit = cost_unit(currency);
    Some(goal)
}
