//! The gate: everything a statement says, checked together.

use super::approved::approved;
use super::bounds::{material_bounds, regions, used};
use super::choices::{Choices, choices};
use super::classes::{ByClasses, add_classes};
use super::context::Context;
use super::goal::goal;
use super::limits::limits;
use super::named_figures::NamedFigures;
use super::production::production;
use super::requirement::{Origin, Requirement, Subject, Wanted};
use super::rounding::rounding;
use super::whole::{Draft, Problem};
use super::{advice, shelf};
use crate::finding::{Finding, Findings, RestsOn, Sources, listed};
use crate::listed::{Id, Listed};
use crate::material::{Catalogue, catalogue};
use crate::mixture::{Affine, Air, Column, Measure, Mixture, Quantities, mixture};
use crate::quantity::trimmed;
use crate::response::{Response, depends_on, responses};
use crate::standard::{Codes, Side};
use crate::statement::{MaterialEntry, Statement};

/// Checks a statement; warnings are returned beside the problem.
///
/// # Errors
/// All findings, if any of them forbids solving.
pub fn build(statement: &Statement, sources: &Sources) -> Result<(Problem, Findings), Findings> {
    let mut findings = Findings::default();
    let mut lost = statement.unread.clone();
    let problem = checked(statement, sources, &mut lost, &mut findings);
    let whole = findings.clone();
    findings.without_echoes_of(&lost);
    if !statement.unread.is_empty()
        || statement.materials.iter().any(|entry| lost.contains(&entry.name.value))
    {
        findings.without_echoes_resting_on(RestsOn::Materials);
    }
    if whole.has_errors() && !findings.has_errors() && !statement.faulty {
        // What was lost is not told by anything else, such as names that use one another in a circle. Where reading went
        // wrong, it has been told.
        findings = whole;
    }
    match problem {
        Some(problem) if !findings.has_errors() && !statement.faulty => Ok((problem, findings)),
        _ => Err(findings),
    }
}

/// Everything is checked even if parts could not be built; their names are `lost`, and nothing more is said of them.
fn checked(
    statement: &Statement,
    sources: &Sources,
    lost: &mut Vec<String>,
    findings: &mut Findings,
) -> Option<Problem> {
    let shelf = catalogue(&statement.materials, findings);
    lost.extend(lost_of_shelf(statement, &shelf));
    let shelf_is_whole = lost.is_empty() && !(statement.faulty && statement.materials.is_empty());
    let mut mixture = mixture(statement, shelf, findings);
    shelf::names(&mixture.catalogue, findings);
    if shelf_is_whole {
        shelf::check(&mixture, statement.place, findings);
    }
    let quantities = Quantities::new(&mixture, &statement.currency, &statement.quantities, findings);
    let responses = responses(&statement.responses, &quantities, findings);
    lost.extend(lost_names(statement, &quantities, &responses));
    let codes = Codes::of(statement.system);
    let context = Context { quantities: &quantities, mixture: &mixture, responses: &responses, codes };
    if lost.is_empty() {
        check_air(statement, &context, findings);
    }
    let (requirements, by_classes) = requirements(statement, &context, findings);
    let on = &mixture.catalogue;
    let rounding = statement.rounding.as_ref().and_then(|entry| rounding(entry, on, findings));
    let approved = statement.approved.as_ref().map(|entry| approved(entry, &context, findings));
    let produced = statement.production.as_ref();
    let production = produced.and_then(|entry| production(entry, on, &responses, findings));
    let decisions = choices(
        &statement.choices,
        &mixture.catalogue,
        &|material, by, owner, findings| used(material, by, owner, &context, findings),
        findings,
    );
    if shelf_is_whole {
        shelf::fills(&mixture, &decisions.forbidden, statement.place, findings);
    }
    let goal = statement
        .goal
        .as_ref()
        .and_then(|entry| goal(entry, &quantities, &mixture, &responses, &statement.currency, findings));
    contradictions(&requirements, sources, findings);
    constants(&requirements, findings);
    advice::carbon(statement, &mixture, findings);
    let goal = goal?;
    let Choices { switches, logic, needs, forbidden } = decisions;
    if findings.has_errors() || statement.faulty {
        return None;
    }
    for (material, _) in &forbidden {
        mixture.columns[material.index()].high = 0.0;
    }
    mixture.columns.extend(goal.level.as_ref().map(|_| Column::level()));
    empty_columns(&mixture, codes, findings);
    if findings.has_errors() {
        return None;
    }
    let problem = Problem::new(Draft {
        place: statement.begins,
        title: statement.title.as_ref().map(|word| word.value.clone()),
        note: statement.note.as_ref().map(|word| word.value.clone()),
        currency: statement.currency.clone(),
        system: statement.system,
        dropped: vec![false; requirements.len()],
        divisors: Vec::new(),
        figures: NamedFigures::found(&responses, &mixture),
        mixture,
        responses,
        classes: by_classes.classes,
        bases: by_classes.bases,
        unchecked: by_classes.unchecked,
        requirements: requirements.into(),
        switches,
        counts: Listed::default(),
        weighed_for: None,
        logic,
        needs,
        production,
        approved,
        rounding,
        goal,
    });
    advice::of_the_whole(&problem, findings);
    Some(problem)
}

/// Names of materials and of their contents that could not be taken onto the shelf.
fn lost_of_shelf(statement: &Statement, shelf: &Catalogue) -> Vec<String> {
    let lost = statement.materials.iter().filter(|entry| shelf.find(&entry.name.value).is_none());
    let names = |entry: &MaterialEntry| {
        let contents = entry.contents.iter().map(|(content, _)| content.value.clone());
        [entry.name.value.clone()].into_iter().chain(contents).collect::<Vec<_>>()
    };
    lost.flat_map(names).collect()
}

/// Names of quantities and responses that could not be built.
fn lost_names(
    statement: &Statement,
    quantities: &Quantities<'_>,
    responses: &Listed<Response>,
) -> Vec<String> {
    let known = quantities.names();
    let own = statement.quantities.iter().map(|entry| entry.name.value.clone());
    let predicted = statement.responses.iter().map(|entry| entry.name.value.clone());
    let is_lost = |name: &String| responses.iter().all(|response| response.name != *name);
    own.filter(|name| !known.contains(name)).chain(predicted.filter(is_lost)).collect()
}

/// Limits, those of classes among them, then bounds of materials, then regions.
fn requirements(
    statement: &Statement,
    context: &Context<'_>,
    findings: &mut Findings,
) -> (Vec<Requirement>, ByClasses) {
    let mut list = limits(&statement.limits, context, findings);
    let by_classes = match &statement.classes {
        Some(entry) => add_classes(entry, context, &mut list, findings),
        None => ByClasses::default(),
    };
    list.extend(material_bounds(context, findings));
    list.extend(regions(context));
    (list, by_classes)
}

/// Variable air needs strengths that know of it.
fn check_air(statement: &Statement, context: &Context<'_>, findings: &mut Findings) {
    let (Air::Variable(column), Some(air)) = (context.mixture.air, &statement.air) else { return };
    let measure = Measure::Linear(Affine::column(column));
    let strengths: Vec<Id<Response>> =
        context.responses.ids().filter(|index| context.responses[*index].strength.is_some()).collect();
    let blind: Vec<&str> = strengths
        .iter()
        .filter(|index| !depends_on(context.responses, **index, &measure))
        .map(|index| context.responses[*index].name.as_str())
        .collect();
    if strengths.is_empty() || !blind.is_empty() {
        let why = if strengths.is_empty() {
            "no strength is predicted".to_owned()
        } else {
            format!("no factor `air` in: {}", listed(&blind))
        };
        findings.push(
            Finding::error(air.place, "air is variable, and not every strength depends on it")
                .note(format!("air costs nothing, so the mix would fill up on it; {why}"))
                .help("give one value, or add the factor `air` to every strength"),
        );
    }
}

/// Requirements on one and the same measure whose sides cross.
fn contradictions(requirements: &[Requirement], sources: &Sources, findings: &mut Findings) {
    let side_of = |requirement: &Requirement| {
        let Wanted::Value(value) = &requirement.wanted else { return None };
        let base = requirement.unit.to_base(value + requirement.side.sign() * requirement.margin.natural);
        let leverage = matches!(requirement.origin, Origin::Leverage(_));
        (requirement.margin.doubt.is_none() && !leverage).then_some(base)
    };
    let same = |a: &Subject, b: &Subject| match (a, b) {
        (Subject::Quantity(a), Subject::Quantity(b)) => a.measure == b.measure,
        (Subject::Response(a), Subject::Response(b)) => a == b,
        _ => false,
    };
    let on = |side: Side| {
        let there = requirements.iter().filter(move |requirement| requirement.side == side);
        there.filter_map(|requirement| Some((requirement, side_of(requirement)?)))
    };
    let highs: Vec<(&Requirement, f64)> = on(Side::AtMost).collect();
    for (low, least) in on(Side::AtLeast) {
        for &(high, most) in &highs {
            if least <= most + 1e-12 * most.abs() || !same(&low.subject, &high.subject) {
                continue;
            }
            let shown = |requirement: &Requirement, base: f64| {
                let value = trimmed(requirement.unit.from_base(base), 6);
                format!("{} {}", requirement.side.words(), requirement.unit.with_number(&value))
            };
            let (first, second) = if low.place < high.place { (low, high) } else { (high, low) };
            let (first_value, second_value) = if low.place < high.place {
                (shown(low, least), shown(high, most))
            } else {
                (shown(high, most), shown(low, least))
            };
            // Within one limit it is a slip of the pen; between two it is for the verdict to say, with its conflict.
            let told = if low.origin == high.origin && low.name == high.name {
                Finding::error
            } else {
                Finding::warning
            };
            let message = format!("`{}` cannot hold together with `{}`", second.name, first.name);
            let on_regions =
                [low, high].iter().any(|requirement| matches!(requirement.origin, Origin::Region { .. }));
            let rests_on = if on_regions { RestsOn::Regions } else { RestsOn::ItsPlace };
            findings.push(
                told(second.place, message)
                    .resting_on(rests_on)
                    .note(format!(
                        "{}: {first_value}; here: {second_value}",
                        sources.line_seen_from(first.place, second.place)
                    ))
                    .help("move one of the two"),
            );
        }
    }
}

/// Requirements on what no mix changes, such as a fixed air content.
fn constants(requirements: &[Requirement], findings: &mut Findings) {
    for requirement in requirements {
        let (Subject::Quantity(quantity), Wanted::Value(wanted)) =
            (&requirement.subject, &requirement.wanted)
        else {
            continue;
        };
        let Measure::Linear(affine) = &quantity.measure else { continue };
        let got = requirement.unit.from_base(affine.constant);
        let slack = requirement.side.sign() * (got - wanted);
        if !affine.terms.is_empty() || -1e-9 * wanted.abs() <= slack {
            continue;
        }
        let shown = |value: f64| requirement.unit.with_number(&trimmed(value, 6));
        findings.push(
            Finding::error(
                requirement.place,
                format!(
                    "`{}` asks for {} {}, and every mix has {}",
                    requirement.name,
                    requirement.side.words(),
                    shown(*wanted),
                    shown(got)
                ),
            )
            .help(format!("change `{}`, or the limit", quantity.label)),
        );
    }
}

/// Materials that must be more than they may be.
fn empty_columns(mixture: &Mixture, codes: Codes, findings: &mut Findings) {
    let start: Vec<(f64, f64)> = mixture.columns.iter().map(|column| (column.low, column.high)).collect();
    for (material, (low, high)) in mixture.catalogue.materials.iter().zip(&start) {
        if high < low {
            let place = material
                .bounds
                .first()
                .or(material.if_used.as_ref())
                .map_or(material.place, |bounds| bounds.place);
            let unit = codes.content();
            let shown = |amount: f64| unit.with_number(&trimmed(unit.from_base(amount), 5));
            findings.push(
                Finding::error(place, format!("material `{}` must be more than it may be", material.name))
                    .note(format!("at least {}, at most {}", shown(*low), shown(*high)))
                    .help("check `amount`, `if used`, and whether it is forbidden"),
            );
        }
    }
}
