//! What a report tells of internal curing: the water wanted, the water that aggregates give, and how much of each would
//! just be enough.
//!
//! What enters: the problem and a mix. What leaves: figures in base units. What is wanted is what the statement says:
//! its `internal curing`, a limit that asks for as much as a response, or a response by the law of that name; without
//! any of them nothing is told.

use super::phrase::{Digits, Figure, Phrase};
use crate::material::Base;
use crate::mixture::INTERNAL_CURING_WATER;
use crate::problem::{Origin, Problem, Subject, Wanted, convert};
use crate::quantity::Unit;
use crate::response::Rule;
use crate::response::law::Law;
use crate::standard::Side;

/// Demand and supply of internal-curing water. Masses in kg per m3 of concrete.
#[derive(Clone, Debug)]
pub struct CuringLine {
    /// Water wanted.
    pub demand: f64,
    /// Water given.
    pub supply: f64,
    /// Each lightweight aggregate of the statement that gives water, used or not.
    pub aggregates: Vec<CuringAggregate>,
}

impl CuringLine {
    /// Water wanted and given, in words.
    pub fn phrase(&self, content: &Unit) -> Phrase {
        let shown = |value: f64| Figure::new(content.from_base(value), Digits::Significant(4)).of(content);
        let share = self.ratio().map(|ratio| {
            Phrase::from(": ").and(Figure::percent(ratio, Digits::Significant(3))).and(" of the demand")
        });
        Phrase::from("demand ")
            .and(shown(self.demand))
            .and(" of water, supply ")
            .and(shown(self.supply))
            .and(share)
    }

    /// Supply over demand; absent where nothing is wanted.
    pub fn ratio(&self) -> Option<f64> {
        (0.0 < self.demand).then(|| self.supply / self.demand)
    }
}

/// One aggregate that gives water. Masses in kg per m3 of concrete.
#[derive(Clone, Debug)]
pub struct CuringAggregate {
    /// Its name.
    pub material: String,
    /// Its oven-dry mass in the mix.
    pub dry: f64,
    /// Water that it gives.
    pub gives: f64,
    /// Oven-dry mass with which the demand would just be met, all others as they are; zero if they are enough.
    pub enough: f64,
}

/// What is told of internal curing, if the statement says what is wanted.
pub fn curing_line(problem: &Problem, mix: &[f64]) -> Option<CuringLine> {
    let demand = demand(problem, mix).filter(|demand| demand.is_finite())?;
    let materials = || problem.mixture.catalogue.materials.iter().zip(mix);
    let supply: f64 = materials().map(|(material, amount)| amount * material.curing_water()).sum();
    let aggregates = materials()
        .filter(|(material, _)| 0.0 < material.curing_water())
        .map(|(material, amount)| {
            let (dry, water) = (material.dry(), material.curing_water());
            let wanted = demand - (supply - amount * water);
            CuringAggregate {
                material: material.name.clone(),
                dry: amount * dry,
                gives: amount * water,
                enough: (wanted / water * dry).max(0.0),
            }
        })
        .collect();
    Some(CuringLine { demand, supply, aggregates })
}

/// The water wanted, kg per m3.
fn demand(problem: &Problem, mix: &[f64]) -> Option<f64> {
    if let Some((dose, base)) = problem.mixture.curing_demand {
        return Some(dose * of_base(problem, base, mix));
    }
    let water = INTERNAL_CURING_WATER.quantity(&problem.mixture, &problem.currency).measure;
    let asked = problem.requirements.iter().find_map(|requirement| {
        match (&requirement.subject, &requirement.wanted) {
            (Subject::Quantity(quantity), Wanted::Response(factor, index))
                if requirement.origin == Origin::Limit
                    && requirement.side == Side::AtLeast
                    && quantity.measure == water =>
            {
                Some((*factor, *index))
            }
            _ => None,
        }
    });
    let by_law = || {
        let is_demand =
            |rule: &Rule| matches!(rule, Rule::Law(formula) if formula.law == Law::InternalCuringDemand);
        problem.responses.find_id(|response| is_demand(&response.rule)).map(|index| (1.0, index))
    };
    let (factor, index) = asked.or_else(by_law)?;
    let response = &problem.responses[index];
    let value = problem.predict(index, mix)?.value;
    let dose = response.base;
    match dose {
        Some(base) => Some(factor * response.unit.to_base(value) * of_base(problem, base, mix)),
        None => Some(factor * convert(value, &response.unit, &Unit::known("kg/m3"))),
    }
}

fn of_base(problem: &Problem, base: Base, mix: &[f64]) -> f64 {
    problem.mixture.base(base).at(mix)
}
