//! A mix that is given, as a vector of the problem's columns: what is not a mix of these materials is a finding.

use super::requirement::Subject;
use super::whole::Problem;
use crate::finding::{Finding, Findings};
use crate::listed::Id;
use crate::material::{Material, State};
use crate::mixture::{Air, Quantities};
use crate::quantity::{Dimension, Scalar, Unit, trimmed};
use crate::statement::{Located, MixEntry, Volume, Word};

/// A given mix.
#[derive(Clone, Debug)]
pub struct Given {
    /// Its name.
    pub title: String,
    /// Values of the problem's columns.
    pub mix: Vec<f64>,
    /// What was measured: name, value in base units.
    pub measured: Vec<(String, f64)>,
    /// Volume that amounts and air fill per m3 of concrete, m3.
    pub fills: f64,
}

/// How far the volume may be from 1 m3 before it is remarked on.
pub const FULL: f64 = 2e-3;

/// Builds a given mix; `name` stands where it has no title.
///
/// # Errors
/// All findings.
pub fn given(problem: &Problem, entry: &MixEntry, name: &str) -> Result<Given, Findings> {
    let mut findings = Findings::default();
    let mut mix = vec![0.0; problem.mixture.columns.len().max(problem.reach.columns.len())];
    for (word, amount) in &entry.amounts {
        let Some(column) = problem.mixture.catalogue.find(&word.value) else {
            findings.push(
                Finding::error(
                    word.place,
                    format!("unknown material `{}` in `amounts` of the mix", word.value),
                )
                .known("materials", &word.value, problem.mixture.catalogue.names()),
            );
            continue;
        };
        mix[column.index()] += amount_of(problem, column, word, amount, &mut findings);
    }
    if let Air::Variable(column) = problem.mixture.air {
        mix[column] = match &entry.air {
            Some(air) => air.value,
            None => (-problem.reach.balance.at(&mix)).max(0.0),
        };
    } else if let Some(air) = &entry.air {
        let fixed = problem.mixture.air_volume().constant;
        if 1e-9 < (air.value - fixed).abs() {
            findings.push(
                Finding::error(air.place, format!("the mix has {} % of air", trimmed(100.0 * air.value, 4)))
                    .note(format!(
                        "the statement fixes it at {} %, and its responses are for that",
                        trimmed(100.0 * fixed, 4)
                    ))
                    .help("take `air` out, or give the statement a range"),
            );
        }
    }
    if entry.volume == Volume::ToYield {
        // What the materials fill, and what the air leaves them.
        let air = problem.mixture.air_volume().at(&mix);
        let solid = 1.0 + problem.reach.balance.at(&mix) - air;
        if 0.0 < solid {
            for amount in mix.iter_mut().take(problem.mixture.materials()) {
                *amount *= (1.0 - air) / solid;
            }
        }
    }
    let settled = settled(problem, String::new(), mix);
    let quantities = Quantities::new(&problem.mixture, &problem.currency, &[], &mut findings);
    let mut measured = Vec::new();
    for (word, value) in &entry.measured {
        if let Some(dimension) = dimension_of(problem, &quantities, word, &mut findings) {
            if dimension == value.value.unit.dimension {
                measured.push((word.value.clone(), value.value.base));
            } else {
                findings.push(
                    Finding::error(
                        value.place,
                        format!(
                            "`{}` is {dimension}, and {} was measured",
                            word.value, value.value.unit.dimension
                        ),
                    )
                    .note(format!("allowed units: {}", crate::quantity::accepted(&[dimension]))),
                );
            }
        }
    }
    if findings.has_errors() {
        return Err(findings);
    }
    let title = entry.title.as_ref().map_or_else(|| name.to_owned(), |title| title.value.clone());
    Ok(Given { title, measured, ..settled })
}

/// A mix as this program told it: amounts in kg per m3 in reference states, by material, and air where it is variable.
///
/// # Errors
/// Materials that the problem does not have.
pub fn given_amounts(
    problem: &Problem,
    title: &str,
    amounts: &[(String, f64)],
    air: Option<f64>,
) -> Result<Given, Vec<String>> {
    let mut mix = vec![0.0; problem.mixture.columns.len().max(problem.reach.columns.len())];
    let mut unknown = Vec::new();
    for (name, amount) in amounts {
        match problem.mixture.catalogue.find(name) {
            Some(column) => mix[column.index()] = *amount,
            None => unknown.push(name.clone()),
        }
    }
    if !unknown.is_empty() {
        return Err(unknown);
    }
    if let Air::Variable(column) = problem.mixture.air {
        mix[column] = air.unwrap_or_else(|| (-problem.reach.balance.at(&mix)).max(0.0));
    }
    Ok(settled(problem, title.to_owned(), mix))
}

/// A mix whose columns for counted additions and the goal's level follow from its amounts.
fn settled(problem: &Problem, title: String, mut mix: Vec<f64>) -> Given {
    problem.mixture.settle(&mut mix);
    problem.settle_level(&mut mix);
    Given { title, fills: 1.0 + problem.reach.balance.at(&mix), mix, measured: Vec::new() }
}

/// An amount in the reference state, kg per m3.
fn amount_of(
    problem: &Problem,
    column: Id<Material>,
    word: &Word,
    amount: &Located<Scalar>,
    findings: &mut Findings,
) -> f64 {
    let material = &problem.mixture.catalogue.materials[column];
    let words = amount.value.words.as_str();
    let named = if words.is_empty() { Some(material.role.reference_state()) } else { State::named(words) };
    let Some(state) = named else {
        findings.push(
            Finding::error(amount.place, format!("`{words}` is no state of `{}`", word.value))
                .note("states: dry, surface-dry, prewetted, as delivered"),
        );
        return 0.0;
    };
    let Some(mass) = material.mass_in(state) else {
        findings.push(
            Finding::error(
                amount.place,
                format!("the moisture of `{}` as delivered is not known", word.value),
            )
            .help("add `moisture` to the material, or give the amount surface-dry"),
        );
        return 0.0;
    };
    let by_volume = amount.value.is_volume_by_volume();
    if by_volume && !material.role.is_liquid() {
        findings.push(
            Finding::error(amount.place, format!("the amount of `{}` is a volume", word.value))
                .note(
                    "water and liquid admixtures may be given by volume; a bulk volume holds an unknown mass",
                )
                .help("give it by mass: `kg/m3` or `lb/yd3`"),
        );
        return 0.0;
    }
    let given = amount.value.base * if by_volume { material.density } else { 1.0 };
    if given < 0.0 || material.density < given {
        findings.push(
            Finding::error(amount.place, format!("the amount of `{}` cannot be", word.value)).note(format!(
                "allowed: 0 .. {}, its density",
                Unit::known("kg/m3").with_number(&trimmed(material.density, 5))
            )),
        );
    }
    given / mass
}

fn dimension_of(
    problem: &Problem,
    quantities: &Quantities<'_>,
    word: &Word,
    findings: &mut Findings,
) -> Option<Dimension> {
    if let Some(response) = problem.responses.iter().find(|response| response.name == word.value) {
        return Some(response.unit.dimension);
    }
    let demand = problem.unchecked.iter().find(|demand| demand.figure == word.value);
    if let Some((_, _, unit)) = demand.and_then(|demand| demand.wanted.first()) {
        return Some(unit.dimension);
    }
    let limit = problem.requirements.iter().find(|requirement| requirement.name == word.value);
    if let Some(Subject::Quantity(quantity)) = limit.map(|requirement| &requirement.subject) {
        return Some(quantity.dimension);
    }
    match quantities.phrase(word) {
        Ok(quantity) => Some(quantity.dimension),
        Err(unknown) => {
            let names: Vec<&str> = problem
                .responses
                .iter()
                .map(|response| response.name.as_str())
                .chain(problem.unchecked.iter().map(|demand| demand.figure.as_str()))
                .collect();
            findings.push(
                Finding::error(
                    word.part(&unknown),
                    format!("unknown name `{unknown}` in `measured` of the mix"),
                )
                .known("responses and figures of classes", &unknown, names),
            );
            None
        }
    }
}
