//! Which predictions take no account of a material in the mix that is used for its effect on them.
//!
//! What enters: the problem and which materials a mix holds. What leaves: for one response, names of materials. A
//! material counts as heeded where a factor is about it (its dose, its share, its volume, what it brings), directly or
//! through another response; being part of the binder, of all sand or of all water is not enough. Whether a formula
//! with such a factor is right, nothing here knows.

use crate::listed::Id;
use crate::material::{Material, MeantFor, Role};
use crate::mixture::{Affine, BUILT_IN, Measure, Quantity, Shown};
use crate::problem::{Level, Origin, Problem, Subject, Wanted};
use crate::quantity::Dimension;
use crate::response::{Response, Rule, Source};

/// Materials that are in a mix for what they do to shrinkage, cracking, stiffness or strength.
fn is_meant_to_act(role: Role) -> bool {
    role.meant_for() == MeantFor::Cracking
}

/// Names of the materials in use that this response takes no account of, if anything is asked of it.
pub fn unheeded(problem: &Problem, response: Id<Response>, used: &[bool]) -> Vec<String> {
    if !is_such_a_property(&problem.responses[response]) || !is_asked(problem, response) {
        return Vec::new();
    }
    let materials = &problem.mixture.catalogue.materials;
    materials
        .named()
        .zip(used)
        .filter(|((index, material), used)| {
            **used && is_meant_to_act(material.role) && !is_heeded(problem, response, *index)
        })
        .map(|((_, material), _)| material.name.clone())
        .collect()
}

/// Whether a response depends on a material as such, directly or through another response.
pub fn is_heeded(problem: &Problem, response: Id<Response>, material: Id<Material>) -> bool {
    problem.responses[response].factors.iter().any(|factor| match &factor.source {
        Source::Quantity(quantity) => is_about(problem, quantity, material),
        Source::Response(inner) => is_heeded(problem, *inner, material),
    })
}

/// Strength, modulus, shrinkage or an age: by what it is, or by its unit.
fn is_such_a_property(response: &Response) -> bool {
    response.strength.is_some()
        || response.unit.dimension == Dimension::TIME
        || response.unit.dimension == Dimension::STRESS
        || is_strain(response)
        || matches!(response.rule, Rule::Cracking(_))
}

fn is_strain(response: &Response) -> bool {
    response.unit.dimension == Dimension::NONE && response.unit.factor == 1e-6
}

/// Whether it is limited or the goal, or is a shrinkage behind one that is.
fn is_asked(problem: &Problem, response: Id<Response>) -> bool {
    let itself = |index: Id<Response>| {
        matches!(problem.goal.level, Some(Level::Response(goal)) if goal == index)
            || problem.requirements.iter().any(|requirement| {
                requirement.origin == Origin::Limit
                    && (matches!(requirement.subject, Subject::Response(about) if about == index)
                        || matches!(requirement.wanted, Wanted::Response(_, about) if about == index))
            })
    };
    let behind = |outer: &Response| {
        outer
            .factors
            .iter()
            .any(|factor| matches!(factor.source, Source::Response(inner) if inner == response))
    };
    itself(response)
        || is_strain(&problem.responses[response])
            && problem
                .responses
                .ids()
                .any(|outer| behind(&problem.responses[outer]) && is_asked(problem, outer))
}

/// Whether a quantity is a density of the concrete.
fn is_density(problem: &Problem, quantity: &Quantity) -> bool {
    let built_in = BUILT_IN.iter().filter(|built_in| built_in.shown == Shown::Density);
    built_in
        .map(|built_in| built_in.quantity(&problem.mixture, &problem.currency))
        .any(|known| known.measure == quantity.measure)
}

/// Whether a quantity counts this material for what it is: no other kinds stand beside it above or below the line. Light
/// aggregate shows in a density too, and in a sum that weighs it otherwise than by its mass or volume.
fn is_about(problem: &Problem, quantity: &Quantity, material: Id<Material>) -> bool {
    let materials = &problem.mixture.catalogue.materials;
    let only_such = |sum: &Affine| {
        sum.terms.iter().any(|(column, _)| *column == material.index())
            && sum
                .terms
                .iter()
                .all(|(column, _)| materials.get(*column).is_some_and(|other| is_meant_to_act(other.role)))
    };
    // Coefficients are per kg: those of a sum by volume are even after multiplication by the density.
    let stands_out = |sum: &Affine| {
        let even = |density: &dyn Fn(usize) -> f64| {
            let own = sum.terms.iter().find(|(column, _)| *column == material.index());
            own.is_none_or(|(_, own)| {
                let own = own * density(material.index());
                sum.terms.iter().any(|(column, other)| {
                    *column != material.index()
                        && *column < materials.len()
                        && (other * density(*column) - own).abs() <= 1e-9 * own.abs()
                })
            })
        };
        !even(&|_| 1.0) && !even(&|column| materials.get(column).map_or(0.0, |other| other.density))
    };
    let told_apart =
        |sum: &Affine| only_such(sum) || materials[material].role.is_lightweight() && stands_out(sum);
    if materials[material].role.is_lightweight() && is_density(problem, quantity) {
        return true;
    }
    match &quantity.measure {
        Measure::Linear(sum) => told_apart(sum),
        Measure::Ratio(ratio) => told_apart(&ratio.numerator) || told_apart(&ratio.denominator),
    }
}
