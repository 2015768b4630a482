//! Remarks on statements that can be solved but probably do not say what their author means.

use super::goal::Direction;
use super::requirement::{Origin, Subject, Wanted};
use super::whole::Problem;
use crate::finding::{Finding, Findings, listed};
use crate::listed::Id;
use crate::material::{Material, Role};
use crate::mixture::{Affine, Measure, Mixture};
use crate::quantity::trimmed;
use crate::response::Source;
use crate::standard::Side;
use crate::statement::{QuantityRef, Statement};

/// A goal or limit on carbon needs the carbon of every material.
pub fn carbon(statement: &Statement, mixture: &Mixture, findings: &mut Findings) {
    let is_carbon =
        |reference: &QuantityRef| matches!(reference, QuantityRef::Phrase(word) if word.value == "carbon");
    let goal = statement.goal.as_ref().filter(|goal| is_carbon(&goal.of) || goal.carbon_price.is_some());
    let limit = statement.limits.iter().find(|limit| is_carbon(&limit.on));
    let Some(place) = goal.map(|goal| goal.place).or_else(|| limit.map(|limit| limit.name.place)) else {
        return;
    };
    let silent: Vec<&str> = mixture
        .catalogue
        .materials
        .iter()
        .filter(|material| material.carbon.is_none())
        .map(|material| material.name.as_str())
        .collect();
    if !silent.is_empty() {
        findings.push(
            Finding::error(place, "the statement counts carbon, and not every material declares it")
                .note(format!("without `carbon`: {}", listed(&silent)))
                .help("add `carbon: ... kg/kg` to each of them; 0 kg/kg says that it has none"),
        );
    }
}

/// Times that a limit must be beyond all mixes to look like a slip of unit.
const FAR: f64 = 20.0;

/// Everything that is odd about a whole problem.
pub fn of_the_whole(problem: &Problem, findings: &mut Findings) {
    unrewarded(problem, findings);
    out_of_reach(problem, findings);
}

/// Limits on quantities that no mix comes near: mostly slips of unit, such as 55 for 55 %.
fn out_of_reach(problem: &Problem, findings: &mut Findings) {
    for requirement in &problem.requirements {
        let (Origin::Limit, Subject::Quantity(quantity), Wanted::Value(wanted)) =
            (requirement.origin, &requirement.subject, &requirement.wanted)
        else {
            continue;
        };
        let Some(range) = problem.reach.of_measure(&quantity.measure) else { continue };
        let [low, high] = [range.low(), range.high()].map(|end| requirement.unit.from_base(end));
        let far = match requirement.side {
            Side::AtMost => 0.0 < high && FAR * high < *wanted,
            Side::AtLeast => 0.0 < *wanted && FAR * wanted < low,
        };
        if !far || low.is_infinite() || high.is_infinite() {
            continue;
        }
        let shown = |value: f64| trimmed(value, 3);
        findings.push(
            Finding::warning(
                requirement.place,
                format!("no mix comes near the limit `{}`", requirement.name),
            )
            .note(format!(
                "it asks for {} {}; mixes lie between {} and {}",
                requirement.side.words(),
                requirement.unit.with_number(&trimmed(*wanted, 6)),
                shown(low),
                requirement.unit.with_number(&shown(high))
            ))
            .help("check the figure and its unit: `55 %` is 0.55"),
        );
    }
}

/// Costed admixtures and fibres that nothing rewards: the optimum leaves them out.
fn unrewarded(problem: &Problem, findings: &mut Findings) {
    for (index, material) in problem.mixture.catalogue.materials.named() {
        let costly = material.role.is_admixture()
            || material.role == Role::Fibre
            || material.role == Role::ExpansiveAgent;
        // What choices forbid is left out on purpose.
        let forbidden = problem.mixture.columns[index.index()].high == 0.0;
        if forbidden || !costly || material.price <= 0.0 || is_rewarded(problem, index) {
            continue;
        }
        findings.push(
            Finding::warning(
                material.place,
                format!(
                    "nothing asks for {} `{}`: the cheapest mix leaves it out",
                    material.role.word(),
                    material.name
                ),
            )
            .note("it has a price and neither a lower bound, nor a demand, nor a place in a response")
            .help("add a lower bound, a choice that needs it, or a limit such as `at least` its demand"),
        );
    }
}

fn is_rewarded(problem: &Problem, index: Id<Material>) -> bool {
    let material = &problem.mixture.catalogue.materials[index];
    let bounded = material.bounds.iter().any(|bounds| bounds.low.is_some_and(|low| 0.0 < low));
    let needed = problem.needs.iter().any(|need| need.material == index);
    let switch = problem.switches.find_id(|switch| switch.material == index);
    let chosen = switch.is_some_and(|switch| {
        problem.logic.iter().any(|logic| {
            0.0 < logic.low && logic.terms.iter().any(|(term, _)| *term == switch)
                || logic.terms.iter().any(|(term, factor)| *term == switch && 0.0 < *factor)
                    && logic.terms.iter().any(|(_, factor)| *factor < 0.0)
        })
    });
    let wished = problem.requirements.iter().any(|requirement| {
        requirement.origin == Origin::Limit
            && requirement.side == Side::AtLeast
            && (matches!(&requirement.subject, Subject::Quantity(quantity) if is_about(&quantity.measure, index, problem))
                || matches!(requirement.wanted, Wanted::Response(..)) && matches!(&requirement.subject, Subject::Quantity(quantity) if is_about(&quantity.measure, index, problem)))
    });
    let in_response = problem.responses.iter().any(|response| {
        response.factors.iter().any(|factor| matches!(&factor.source, Source::Quantity(quantity) if is_about(&quantity.measure, index, problem)))
    });
    let in_goal = problem.goal.direction == Direction::Most
        && problem.goal.objective.terms.iter().any(|(column, _)| *column == index.index());
    bounded || needed || chosen || wished || in_response || in_goal
}

/// Whether a measure counts this material and only materials of its role.
fn is_about(measure: &Measure, index: Id<Material>, problem: &Problem) -> bool {
    let above: &Affine = match measure {
        Measure::Linear(affine) => affine,
        Measure::Ratio(ratio) => &ratio.numerator,
    };
    let materials = &problem.mixture.catalogue.materials;
    let role = materials[index].role;
    above.terms.iter().any(|(column, _)| *column == index.index())
        && above
            .terms
            .iter()
            .all(|(column, _)| materials.get(*column).is_some_and(|material| material.role == role))
}
