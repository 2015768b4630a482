//! Names are for people: no number depends on how materials, quantities, responses, limits and choices are called.

use mixbound::analysis::{Explanation, explain};
use mixbound::answer::build::report;
use mixbound::answer::units::Units;
use mixbound::parallel::Stop;
use mixbound::problem::{Problem, Subject, Wanted};
use mixbound::response::Source;
use mixbound::solve::{Settings, Verdict, solve};

use crate::kept;
use crate::problems::written;

/// Names that something in the house is called, or was once decided by.
const HOSTILE: &[&str] = &[
    "volume",
    "least cost",
    "most",
    "tensile",
    "strength",
    "cube",
    "scaling",
    "goal",
    "cost",
    "carbon",
    "psi",
    "%",
    "region of all",
    "leverage",
    "something divides by it",
    "better than the best",
    "density",
    "shrinkage",
    "use all",
    "internal-curing water",
    "steps of most",
    "short",
    "binder",
    "mean",
    "characteristic",
    "at least",
    "crack",
    "modulus",
];

/// The hostile name of a number; beyond the list with the number behind it, so that none stands twice.
fn hostile(number: usize) -> String {
    let name = HOSTILE[number % HOSTILE.len()];
    if number < HOSTILE.len() { name.to_owned() } else { format!("{name} {number}") }
}

/// The problem with every name a hostile one.
fn renamed(problem: &Problem) -> Problem {
    problem.varied(|draft| {
        let mut count = 0;
        let mut next = || {
            count += 1;
            hostile(count - 1)
        };
        for material in &mut draft.mixture.catalogue.materials {
            material.name = next();
        }
        for column in &mut draft.mixture.columns {
            column.label = next();
        }
        for (at, response) in draft.responses.iter_mut().enumerate() {
            response.name = hostile(at);
            for factor in &mut response.factors {
                factor.name = next();
                if let Source::Quantity(quantity) = &mut factor.source {
                    quantity.label = next();
                }
            }
        }
        for (at, requirement) in draft.requirements.iter_mut().enumerate() {
            requirement.name = hostile(at);
            if let Subject::Quantity(quantity) = &mut requirement.subject {
                quantity.label = next();
            }
            if let Wanted::Quantity(_, quantity) = &mut requirement.wanted {
                quantity.label = next();
            }
        }
        for (at, logic) in draft.logic.iter_mut().enumerate() {
            logic.name = hostile(at);
        }
        for (at, need) in draft.needs.iter_mut().enumerate() {
            need.name = hostile(at);
        }
        "cost of curing water".clone_into(&mut draft.goal.name);
    })
}

/// Every number that a verdict and its reasons hold, without the names.
fn numbers(problem: &Problem, settings: &Settings) -> String {
    let verdict = solve(problem, settings);
    let explanation = explain(problem, &verdict, Stop::NEVER);
    let (mix, goal, certainty) = match &verdict {
        Verdict::Found(found) => (&found.mix, Some(found.goal), found.certainty),
        Verdict::Nothing(nothing) | Verdict::Unsettled(nothing) => (&nothing.mix, None, nothing.certainty),
        Verdict::Failed(reason) => panic!("{reason}"),
    };
    let told = report(problem, &verdict, &explanation, &mixbound::finding::Sources::default(), Units::Si);
    let conflict = explanation.conflict.as_ref().map(|conflict| (&conflict.members, &conflict.compromise));
    format!(
        "{mix:?} {goal:?} {certainty:?} {:?} {conflict:?} {} cautions, curing {:?}, unheeded {:?}, {}",
        explanation.prices,
        told.cautions.len(),
        told.curing.as_ref().map(|curing| (curing.demand, curing.supply)),
        told.responses.iter().map(|response| response.unheeded.len()).collect::<Vec<_>>(),
        problem.is_about_cost(),
    )
}

#[test]
fn hostile_names_change_no_number() {
    let mut checked = 0;
    for name in [
        "00-reference-repair",
        "01-by-hand",
        "02-plain-structural",
        "03-flowable-two-fillers",
        "06-exposure-classes",
        "09-cannot-be-met",
        "11-within-a-budget",
    ] {
        let problem =
            written(&kept::text(&format!("problems/{name}.yaml"))).unwrap_or_else(|told| panic!("{told}")).0;
        let settings = if name.starts_with("00") { Settings::local() } else { Settings::default() };
        assert_eq!(numbers(&problem, &settings), numbers(&renamed(&problem), &settings), "{name}");
        checked += 1;
    }
    assert_eq!(checked, 7);
}

#[test]
fn a_limit_called_volume_is_a_limit_and_the_nearest_mix_still_fills_one_cubic_metre() {
    let text = kept::text("problems/01-by-hand.yaml").replace(
        "  mean strength: at least 30 MPa",
        "  volume: {on: water-cement ratio, at most: 0.2}\n  mean strength: at least 30 MPa",
    );
    let (problem, ..) = written(&text).unwrap_or_else(|told| panic!("{told}"));
    let verdict = solve(&problem, &Settings::default());
    let Verdict::Nothing(nothing) = &verdict else { panic!("{verdict:?}") };
    assert!(nothing.audit.volume_error.abs() < 1e-9, "{}", nothing.audit.volume_error);
    let told = report(
        &problem,
        &verdict,
        &Explanation::default(),
        &mixbound::finding::Sources::default(),
        Units::Si,
    );
    let filled: f64 = told.amounts.iter().map(|line| line.volume).sum();
    assert!((filled + told.air - 1.0).abs() < 1e-9, "{filled}");
}

#[test]
fn a_goal_on_a_quantity_whose_name_begins_with_cost_is_not_cost() {
    let text = kept::text("problems/01-by-hand.yaml")
        .replace("responses:\n", "quantities:\n  cost of curing water: {of: water, to: cement}\nresponses:\n")
        .replace("goal: least cost", "goal: {least: cost of curing water}");
    let (problem, ..) = written(&text).unwrap_or_else(|told| panic!("{told}"));
    assert_eq!(problem.goal.label(), "least cost of curing water");
    assert!(!problem.is_about_cost());
    let cost = written(&kept::text("problems/01-by-hand.yaml")).unwrap_or_else(|told| panic!("{told}")).0;
    assert!(cost.is_about_cost());
}

/// Limits, choices and responses renamed where they are written: their author's words reach nothing but labels.
#[test]
fn hostile_names_in_a_statement_are_refused_or_change_no_number() {
    let text = kept::text("problems/11-within-a-budget.yaml");
    let plain = written(&text).unwrap_or_else(|told| panic!("{told}")).0;
    let wanted = numbers(&plain, &Settings::local());
    let mut taken = 0;
    for name in HOSTILE {
        let quoted = format!("\"{name}\"");
        for (from, to) in [
            ("  enough reducer:", format!("  {quoted}:")),
            ("  stable with shrinkage reducer:", format!("  {quoted}:")),
            ("drying shrinkage", quoted.clone()),
            ("reducer demand", quoted.clone()),
        ] {
            let changed = text.replace(from, &to);
            assert_ne!(changed, text, "{from}");
            match written(&changed) {
                Ok((problem, ..)) => {
                    taken += 1;
                    let got = numbers(&problem, &Settings::local());
                    assert_eq!(got, wanted, "`{name}` for `{from}`");
                }
                Err(told) => assert!(
                    told.contains(name),
                    "`{name}` for `{from}` is refused without being named: {told}"
                ),
            }
        }
    }
    assert!(60 <= taken, "{taken}");
}
