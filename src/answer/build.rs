//! From a verdict to the neutral report.

use super::acceptance::AcceptanceLine;
use super::approval::approval;
use super::cautions::cautions;
use super::conflict::conflict_lines;
use super::curing::curing_line;
use super::doubt::uncertainty_lines;
use super::goal_value::goal_value;
use super::grading::grading_line;
use super::measured::{answered, measured_line};
use super::predicted::response_line;
use super::reasons::{included, price_lines};
use super::report::{
    AmountLine, Audience, CertaintyLine, ChoiceLine, LimitLine, Report, Standing, State, SumLine, TotalLine,
    UncheckedLine,
};
use super::units::Units;
use crate::analysis::Explanation;
use crate::finding::Sources;
use crate::mixture::{BUILT_IN, BuiltIn, Shown};
use crate::problem::{
    Direction, Given, Level, Measured, Origin, Problem, Subject, Unchecked, Wanted, in_unit,
    is_known_by_slopes, restrained,
};
use crate::quantity::{Unit, tidied};
use crate::response::Source;
use crate::response::law::cracking::Cracking;
use crate::solve::{Audit, Certainty, Effort, Verdict, audit, used};
use crate::standard::Side;

/// Builds the report of a verdict with its reasons.
pub fn report(
    problem: &Problem,
    verdict: &Verdict,
    explanation: &Explanation,
    sources: &Sources,
    units: Units,
) -> Report {
    let (state, answer) = match verdict {
        Verdict::Found(found) => {
            let proven = found.certainty.is_some_and(|certainty| certainty.complete);
            (if proven { State::Optimal } else { State::BestFound }, Some((&found.mix, &found.audit)))
        }
        Verdict::Nothing(nothing) => {
            let proven = nothing.certainty.is_some_and(|certainty| certainty.complete);
            (
                if proven { State::Infeasible } else { State::NothingFound },
                Some((&nothing.mix, &nothing.audit)),
            )
        }
        Verdict::Unsettled(nothing) => (State::Unsettled, Some((&nothing.mix, &nothing.audit))),
        Verdict::Failed(_) => (State::Failed, None),
    };
    let (effort, certainty, error, reason) = match verdict {
        Verdict::Found(found) => (found.effort, found.certainty, Some(found.linearisation_error), None),
        Verdict::Nothing(nothing) | Verdict::Unsettled(nothing) => {
            (nothing.effort, nothing.certainty, None, None)
        }
        Verdict::Failed(reason) => (Effort::default(), None, None, Some(reason.clone())),
    };
    let mut report = blank(problem, state, units);
    report.unchecked = unchecked(problem, sources, units);
    report.reason = reason;
    report.linearisation_error = error;
    report.effort = effort;
    let nearest = explanation.conflict.as_ref().and_then(|conflict| {
        let single = conflict.members.iter().find_map(|member| member.mix.as_ref());
        conflict.compromise.as_ref().map(|nearest| &nearest.mix).or(single)
    });
    match (answer, nearest) {
        // The mix that the words about it describe.
        (_, Some(nearest)) => fill(&mut report, problem, nearest, &audit(problem, nearest), sources),
        (Some((mix, audit)), None) => fill(&mut report, problem, mix, audit, sources),
        (None, None) => {}
    }
    let found = report.goal_value.filter(|_| report.state.is_proposal());
    match verdict {
        Verdict::Found(_) => {
            report.uncertainty =
                uncertainty_lines(problem, &explanation.uncertainty, (report.goal_value, &report.goal_unit));
            report.prices = price_lines(
                problem,
                explanation,
                sources,
                units,
                (report.goal_value.unwrap_or(0.0), &report.goal_unit),
            );
        }
        Verdict::Nothing(_) => {
            let lines = |conflict| conflict_lines(problem, conflict, sources, units, &report.goal_unit);
            report.conflict = explanation.conflict.as_ref().map(lines);
        }
        Verdict::Unsettled(_) | Verdict::Failed(_) => {}
    }
    report.certainty =
        certainty.map(|certainty| certainty_line(problem, certainty, found, &report.goal_unit));
    report
}

/// A report without any figures.
fn blank(problem: &Problem, state: State, units: Units) -> Report {
    let goal_unit = units.shown(&problem.goal.unit, &problem.currency);
    Report {
        audience: Audience::Author,
        title: problem.title.clone(),
        note: problem.note.clone(),
        goal: problem.goal.label(),
        goal_name: problem.goal.name.clone(),
        better: if problem.goal.direction == Direction::Most { Side::AtLeast } else { Side::AtMost },
        goal_value: None,
        goal_unit,
        sum: None,
        state,
        reason: None,
        currency: problem.currency.clone(),
        units,
        air: 0.0,
        amounts: Vec::new(),
        unused: Vec::new(),
        limits: Vec::new(),
        broken_choices: Vec::new(),
        fills: None,
        measured: Vec::new(),
        responses: Vec::new(),
        totals: Vec::new(),
        curing: None,
        grading: None,
        approval: None,
        since: None,
        changes: None,
        worst: 0.0,
        linearisation_error: None,
        effort: Effort::default(),
        certainty: None,
        prices: Vec::new(),
        uncertainty: None,
        conflict: None,
        unchecked: Vec::new(),
        bases: problem.bases.clone(),
        acceptance: Vec::new(),
        cautions: Vec::new(),
    }
}

/// The demands of classes that nothing checks.
fn unchecked(problem: &Problem, sources: &Sources, units: Units) -> Vec<UncheckedLine> {
    let line = |demand: &Unchecked| UncheckedLine {
        line: sources.line(demand.place),
        name: demand.name(),
        demand: demand.demand(|unit| units.shown(unit, &problem.currency)),
        why: demand.why.clone(),
    };
    problem.unchecked.iter().map(line).collect()
}

/// Builds the report of a mix that was given.
pub fn report_given(problem: &Problem, given: &Given, sources: &Sources, units: Units) -> Report {
    let mut report = blank(problem, State::Given, units);
    report.unchecked = unchecked(problem, sources, units);
    report.title = Some(given.title.clone());
    report.note = None;
    report.fills = Some(given.fills);
    fill(&mut report, problem, &given.mix, &audit(problem, &given.mix), sources);
    report.unchecked.retain(|demand| !answered(problem, given, &demand.name));
    report.measured = given
        .measured
        .iter()
        .filter_map(|(name, base)| measured_line(problem, given, name, *base, units))
        .collect();
    report
}

fn certainty_line(problem: &Problem, certainty: Certainty, found: Option<f64>, unit: &Unit) -> CertaintyLine {
    let bound = match &problem.goal.level {
        Some(Level::Response(index)) => {
            let response = &problem.responses[*index];
            crate::problem::convert(response.natural(certainty.bound), &response.unit, unit)
        }
        _ => unit.from_base(certainty.bound),
    };
    CertaintyLine {
        bound: found.map(|_| bound).filter(|bound| bound.is_finite()),
        gap: found.map(|value| (value - bound).abs() / value.abs().max(1e-6)).filter(|gap| gap.is_finite()),
        complete: certainty.complete,
        parts: certainty.nodes,
        open: certainty.open,
    }
}

fn fill(report: &mut Report, problem: &Problem, mix: &[f64], audit: &Audit, sources: &Sources) {
    let in_use = used(problem, mix);
    report.goal_value = goal_value(problem, mix, &report.goal_unit);
    report.air = problem.mixture.air_volume().at(mix);
    let weighed = problem.mixture.as_delivered(mix);
    let shelf = &problem.mixture.catalogue.materials;
    for (index, ((material, amount), is_used)) in shelf.iter().zip(mix).zip(&in_use).enumerate() {
        if !is_used {
            report.unused.push(material.name.clone());
            continue;
        }
        let aggregate = material.role.is_aggregate();
        report.amounts.push(AmountLine {
            material: material.name.clone(),
            role: material.role,
            state: material.role.reference_state(),
            amount: *amount,
            dry: aggregate.then(|| amount * material.dry()),
            delivered: weighed.as_ref().and_then(|weighed| weighed[index]),
            volume: amount / material.density,
            cost: Some(amount * material.price),
            carbon: material.carbon.map(|carbon| amount * carbon),
        });
    }
    report.sum = problem.goal.carbon_price.as_ref().map(|price| {
        let carbon: f64 = report.amounts.iter().filter_map(|line| line.carbon).sum();
        SumLine {
            cost: report.goal_unit.from_base(report.amounts.iter().filter_map(|line| line.cost).sum()),
            priced: report.goal_unit.from_base(price.per_mass * carbon),
            carbon,
            price: price.words.clone(),
        }
    });
    report.limits = audit.lines.iter().map(|line| limit_line(problem, line, sources, report.units)).collect();
    report.broken_choices =
        audit.broken_choices.iter().map(|name| ChoiceLine { name: name.clone() }).collect();
    report.responses = problem
        .responses
        .ids()
        .filter_map(|index| response_line(problem, index, mix, &in_use, report.units))
        .collect();
    report.totals = totals(problem, mix, report.units);
    report.curing = curing_line(problem, mix);
    report.grading = grading_line(problem, mix);
    report.worst = audit.worst;
    report.approval = approval(problem, mix, &in_use, report.units);
    report.acceptance =
        audit.lines.iter().filter_map(|line| AcceptanceLine::of(problem, line, report.units)).collect();
    report.bases.extend(report.acceptance.iter().map(AcceptanceLine::words));
    report.bases.extend(by_slopes(problem, report.certainty.is_some()));
    report.cautions = cautions(problem, &in_use);
    report.cautions.extend(audit.traces.iter().map(|material| {
        format!(
            "The sums hold a trace of `{}`, less than 1 g per m3, which nobody can weigh out: the mix as batched is without it.",
            problem.mixture.catalogue.materials[*material].name
        )
    }));
    if report.amounts.iter().any(|line| line.delivered.is_some_and(|weighed| weighed < 0.0)) {
        report.cautions.push(
            "The aggregates as delivered bring more water than the mix has: dry them or let them drain before batching."
                .to_owned(),
        );
    }
}

/// Limits on ages at cracking of which a proof knows little.
fn by_slopes(problem: &Problem, has_proof: bool) -> Vec<String> {
    let limited = problem.requirements.iter().filter_map(|requirement| match requirement.subject {
        Subject::Response(index) => Some(&problem.responses[index]),
        Subject::Quantity(_) => None,
    });
    let mut names: Vec<&str> =
        limited.filter(|described| is_known_by_slopes(described)).map(|r| r.name.as_str()).collect();
    names.dedup();
    let told = |name: &&str| {
        format!(
            "Growth, creep or restraint of `{name}` follows the mix: a proof knows its stress by slopes alone, and its gap may stay wide."
        )
    };
    names.iter().filter(|_| has_proof).map(told).collect()
}

fn limit_line(problem: &Problem, line: &crate::solve::Line, sources: &Sources, units: Units) -> LimitLine {
    let requirement = &problem.requirements[line.requirement];
    let unit = units.shown(&requirement.unit, &problem.currency);
    let scale = requirement.unit.factor / unit.factor;
    let converted = |value: f64| crate::problem::convert(value, &requirement.unit, &unit);
    let measured = line.measured.map(|measured| Measured {
        wanted: tidied(converted(measured.wanted)),
        got: converted(measured.got),
        margin: measured.margin * scale,
        slack: measured.slack * scale,
        scale: measured.scale * scale,
    });
    let standing = match line.measured {
        None => Standing::Empty,
        Some(measured) if !measured.is_met() => Standing::Violated,
        Some(measured) if measured.is_binding() => Standing::Binding,
        Some(_) => Standing::Met,
    };
    let last = match requirement.subject {
        Subject::Response(index) => restrained(&problem.responses[index])
            .map(|rule| in_unit(Cracking::At(rule.setting.horizon), rule, &unit)),
        Subject::Quantity(_) => None,
    };
    let times = |factor: f64, name: &str| {
        if factor == 1.0 {
            name.to_owned()
        } else {
            format!("{} x {name}", crate::quantity::trimmed(factor, 4))
        }
    };
    let against = match &requirement.wanted {
        Wanted::Value(_) => None,
        Wanted::Quantity(factor, quantity) => Some(times(*factor, &quantity.label)),
        Wanted::Response(factor, index) => Some(times(*factor, &problem.responses[*index].name)),
    };
    let region = match requirement.origin {
        Origin::Region { response, factor } => {
            let response = &problem.responses[response];
            let label = match &response.factors[factor].source {
                Source::Quantity(quantity) => &quantity.label,
                Source::Response(inner) => &problem.responses[*inner].name,
            };
            Some((response.name.clone(), label.clone()))
        }
        Origin::Limit | Origin::Material(_) | Origin::Leverage(_) => None,
    };
    let beside_origin = region
        .as_ref()
        .map_or_else(|| requirement.name.clone(), |(response, factor)| format!("{response}: {factor}"));
    LimitLine {
        line: sources.line(requirement.place),
        file: included(problem, requirement.place, sources),
        name: requirement.name.clone(),
        beside_origin,
        region,
        side: requirement.side,
        against,
        measured,
        unit,
        standing,
        origin: requirement.origin,
        note: requirement.note_in(|unit| units.shown(unit, &problem.currency)),
        response: match requirement.subject {
            Subject::Response(index) => Some(problem.responses[index].name.clone()),
            Subject::Quantity(_) => None,
        },
        last,
    }
}

/// The totals every reader looks for, whether limited or not.
fn totals(problem: &Problem, mix: &[f64], units: Units) -> Vec<TotalLine> {
    let total = |built_in: &BuiltIn| {
        let quantity = built_in.quantity(&problem.mixture, &problem.currency);
        let unit = match built_in.shown {
            Shown::Density => units.density(),
            _ => units.shown(&quantity.unit, &problem.currency),
        };
        TotalLine {
            label: quantity.label,
            value: quantity.measure.at(mix).map(|value| unit.from_base(value)),
            unit,
        }
    };
    BUILT_IN.iter().filter(|built_in| built_in.told.holds_for(&problem.mixture)).map(total).collect()
}
