//! Prices are what re-solving with the limit moved costs, decisions kept.

use mixbound::analysis::{Price, assignment_of, shadow_prices};
use mixbound::parallel::Stop;
use mixbound::problem::{Logic, Problem, Wanted};
use mixbound::solve::Settings;

use super::{found, shipped};

/// The problem with the decisions of a mix imposed as choices.
fn decided_as(problem: &Problem, mix: &[f64]) -> Problem {
    problem.varied(|draft| {
        for (switch, decision) in problem.switches.ids().zip(assignment_of(problem, mix)) {
            let value = f64::from(decision.low());
            let name = format!("as found {switch:?}");
            draft.logic.push(Logic {
                name,
                place: problem.goal.place,
                terms: vec![(switch, 1.0)],
                low: value,
                high: value,
            });
        }
    })
}

#[test]
fn prices_are_what_re_solving_with_the_limit_moved_costs() {
    let mut compared = 0;
    for (name, problem) in shipped() {
        let Some(found) = found(&problem, &Settings::local()) else { continue };
        let fixed = decided_as(&problem, &found.mix);
        let sense = problem.goal.direction.sign();
        for (index, price) in &shadow_prices(&problem, &found, Stop::NEVER) {
            let Wanted::Value(wanted) = problem.requirements[*index].wanted else { continue };
            let sign = problem.requirements[*index].side.sign();
            let step = 2e-4 * wanted.abs().max(0.01);
            let moved = |by: f64| {
                let found = self::found(&fixed.with_wanted(*index, wanted + by), &Settings::local());
                found.map(|found| sense * found.goal)
            };
            let here = moved(0.0).expect("the found mix is one");
            let (tighter, looser) = match price {
                Price::Single(price) => (Some(*price), Some(*price)),
                Price::Between { tightening, loosening } => (*tightening, Some(*loosening)),
                Price::Trial | Price::Comparison | Price::Unreliable => (None, None),
            };
            for (told, by) in [(tighter, sign * step), (looser, -sign * step)] {
                let (Some(told), Some(there)) = (told, moved(by)) else { continue };
                let cost = (there - here) / step * if 0.0 < by * sign { 1.0 } else { -1.0 };
                let room = 0.03 * cost.abs().max(told.abs()) + 2e-7 * here.abs() / step;
                let what = &problem.requirements[*index].name;
                assert!(
                    (cost - told).abs() <= room,
                    "{name}, {what}: told {told}, re-solved {cost} within {room}"
                );
                compared += 1;
            }
        }
    }
    assert!(40 < compared, "{compared}");
}
