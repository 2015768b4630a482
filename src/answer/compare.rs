//! Several mixes side by side: amounts, totals, responses, each change against the first with its better direction.
//!
//! What enters: reports of mixes of one problem. What leaves: one row of figures for each property. Which direction is better is what the statement
//! asks for: a response that is only limited from above is better lower; one that nothing asks for is neither, nor is a
//! quantity such as binder as long as all mixes keep within its limit.

use super::changes::{ChangeLine, Changes, Worth};
use super::report::{AmountLine, Report, ResponseLine, Standing};
use crate::problem::{Direction, Origin, Problem, Requirement, Subject, in_unit, restrained};
use crate::quantity::Unit;
use crate::response::law::cracking::Cracking;
use crate::standard::Side;

/// Change below which a figure counts as the same, relative.
pub const SAME: f64 = 5e-4;

/// One row: name, unit, a value for each mix, and the side that is better.
pub struct Row {
    /// Its name.
    pub name: String,
    /// The unit of its values.
    pub unit: Unit,
    /// A value for each mix, in `unit`; absent where a mix has none.
    pub values: Vec<Option<f64>>,
    /// How a change is told.
    pub change: Change,
    /// The side that is better for this use, if the statement says.
    pub better: Option<Side>,
    /// Last day looked at, in `unit`, of an age at cracking: beyond it there is no number.
    pub last: Option<f64>,
}

/// How a change is told.
#[derive(Clone, Copy, PartialEq)]
pub enum Change {
    /// In the row's unit: kilograms and money.
    Absolute,
    /// In per cent.
    Relative,
}

/// One row for each property of several mixes, the first being the reference.
pub fn rows(problem: &Problem, reports: &[&Report], first: &Report) -> Vec<Row> {
    let content = first.units.content();
    let mut list = Vec::new();
    if first.goal_value.is_some() {
        list.push(Row {
            name: problem.goal.name.clone(),
            unit: first.goal_unit.clone(),
            values: reports.iter().map(|report| report.goal_value).collect(),
            change: Change::Absolute,
            better: Some(if problem.goal.direction == Direction::Most {
                Side::AtLeast
            } else {
                Side::AtMost
            }),
            last: None,
        });
    }
    list.extend(whole(problem, reports, first, list.first()));
    for material in &problem.mixture.catalogue.materials {
        let amount = |report: &&Report| {
            let line = report.amounts.iter().find(|line| line.material == material.name);
            Some(line.map_or(0.0, |line| content.from_base(line.amount)))
        };
        let values: Vec<Option<f64>> = reports.iter().map(amount).collect();
        if values.iter().flatten().any(|value| *value != 0.0) {
            let unit = content.clone();
            list.push(Row {
                name: material.name.clone(),
                unit,
                values,
                change: Change::Absolute,
                better: None,
                last: None,
            });
        }
    }
    for total in &first.totals {
        let of = |report: &&Report| report.totals.iter().find(|line| line.label == total.label)?.value;
        list.push(Row {
            name: total.label.clone(),
            unit: total.unit.clone(),
            values: reports.iter().map(of).collect(),
            change: Change::Relative,
            better: better(problem, &total.label).filter(|_| is_missed(problem, reports, &total.label)),
            last: None,
        });
    }
    for response in &first.responses {
        let of = |report: &&Report| {
            let line: &ResponseLine = report.responses.iter().find(|line| line.name == response.name)?;
            Some(line.value).filter(|value| value.is_finite())
        };
        list.push(Row {
            name: response.name.clone(),
            unit: response.unit.clone(),
            values: reports.iter().map(of).collect(),
            change: Change::Relative,
            better: better(problem, &response.name),
            last: problem
                .responses
                .iter()
                .find(|one| one.name == response.name)
                .and_then(restrained)
                .map(|rule| in_unit(Cracking::At(rule.setting.horizon), rule, &response.unit)),
        });
    }
    list
}

/// Cost and carbon of the whole, unless the goal is that figure; carbon only where every material declares it.
fn whole(problem: &Problem, reports: &[&Report], first: &Report, goal: Option<&Row>) -> Vec<Row> {
    let sum = |part: fn(&AmountLine) -> Option<f64>, unit: &Unit| -> Vec<Option<f64>> {
        let of = |report: &&Report| {
            let whole: Option<f64> = report.amounts.iter().map(part).sum();
            whole.map(|whole| unit.from_base(whole))
        };
        reports.iter().map(of).collect()
    };
    let (cost, carbon) = (first.units.cost(&first.currency), first.units.carbon());
    let figures = [
        ("cost", sum(|line| line.cost, &cost), cost.clone()),
        ("carbon", sum(|line| line.carbon, &carbon), carbon.clone()),
    ];
    figures
        .into_iter()
        .filter(|(name, values, _)| {
            goal.is_none_or(|goal| goal.name != *name) && values.iter().all(Option::is_some)
        })
        .map(|(name, values, unit)| Row {
            name: name.to_owned(),
            unit,
            values,
            change: Change::Absolute,
            better: better(problem, name),
            last: None,
        })
        .collect()
}

/// Whether one of the mixes misses a limit on this quantity: only then is a change of it good or bad.
fn is_missed(problem: &Problem, reports: &[&Report], label: &str) -> bool {
    let on_it = |requirement: &&Requirement| {
        requirement.origin == Origin::Limit
            && matches!(&requirement.subject, Subject::Quantity(quantity) if quantity.label == label)
    };
    problem.requirements.iter().filter(on_it).any(|requirement| {
        reports.iter().flat_map(|report| &report.limits).any(|line| {
            (&line.name, line.side, line.origin) == (&requirement.name, requirement.side, Origin::Limit)
                && line.standing == Standing::Violated
        })
    })
}

/// The side on which a property is better: the one it is limited on, if that is one alone.
fn better(problem: &Problem, name: &str) -> Option<Side> {
    let about = |subject: &Subject| match subject {
        Subject::Quantity(quantity) => quantity.label == name,
        Subject::Response(index) => problem.responses[*index].name == name,
    };
    let sides: Vec<Side> = problem
        .requirements
        .iter()
        .filter(|requirement| requirement.origin == Origin::Limit && about(&requirement.subject))
        .map(|requirement| requirement.side)
        .collect();
    let first = *sides.first()?;
    sides.iter().all(|side| *side == first).then_some(first)
}

/// What a change from one value to another is worth.
pub fn worth(before: Option<f64>, after: Option<f64>, row: &Row) -> Worth {
    // An age that there is none of lies beyond the last day.
    let beyond = |value: Option<f64>| value.or(row.last.map(|_| f64::INFINITY));
    let (Some(before), Some(after)) = (beyond(before), beyond(after)) else { return Worth::Open };
    let is_close = || (after - before).abs() <= SAME * after.abs().max(before.abs());
    if before == after || before.is_finite() && after.is_finite() && is_close() {
        return Worth::Same;
    }
    match row.better {
        None => Worth::Open,
        Some(side) if 0.0 < side.sign() * (after - before) => Worth::Better,
        Some(_) => Worth::Worse,
    }
}

/// The changes from the mix of one report to that of another.
pub fn changes(problem: &Problem, from: &str, before: &Report, after: &Report) -> Changes {
    let line = |row: Row| ChangeLine {
        verdict: worth(row.values[0], row.values[1], &row),
        before: row.values[0],
        after: row.values[1],
        name: row.name,
        unit: row.unit,
    };
    Changes {
        from: from.to_owned(),
        lines: rows(problem, &[before, after], before).into_iter().map(line).collect(),
    }
}
