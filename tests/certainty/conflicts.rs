//! Nothing can be left out of a conflict, repairs mend and no more, and what is left out is neither kept nor blamed.

use mixbound::analysis::{Repair, explain};
use mixbound::parallel::Stop;
use mixbound::problem::{Measured, Member, Origin, Problem, Side, Wanted};
use mixbound::solve::{Settings, audit, solve};

use crate::kept;
use crate::problems::problem;

use super::{found, is_proven_impossible, shipped, shipped_one};

/// Shipped problems made impossible by one limit.
fn impossible() -> Vec<(&'static str, Problem)> {
    let push = |name: &'static str, limit: &str, value: f64| {
        let problem = shipped_one(name);
        let index = problem
            .requirements
            .find_id(|requirement| requirement.name == limit && requirement.origin == Origin::Limit)
            .unwrap_or_else(|| {
                panic!("{name}: {:?}", problem.requirements.iter().map(|r| &r.name).collect::<Vec<_>>())
            });
        (name, problem.with_wanted(index, value))
    };
    let text = kept::text("problems/01-by-hand.yaml");
    let margin = text.replace(
        "terms: {constant: -12.5, c/w: 25}",
        "terms: {constant: -12.5, c/w: 25}\n    residual: 2 MPa",
    );
    let margin = margin.replace("at least 30 MPa", "{at least: 50 MPa, margin: 1.64 deviations}");
    vec![
        ("by hand, with a margin", problem("by-hand.yaml", margin).0),
        ("09-cannot-be-met", shipped_one("09-cannot-be-met")),
        push("02-plain-structural", "mean strength", 75.0),
        push("03-flowable-two-fillers", "segregated portion", 2.0),
    ]
}

#[test]
fn nothing_can_be_left_out_of_a_conflict_and_mends_mend_and_no_more() {
    let mut moves = 0;
    for (name, problem) in impossible() {
        let verdict = solve(&problem, &Settings::default());
        let conflict = explain(&problem, &verdict, Stop::NEVER)
            .conflict
            .unwrap_or_else(|| panic!("{name}: no conflict of {verdict:?}"));
        let members: Vec<Member> = conflict.members.iter().map(|member| member.member).collect();
        let others: Vec<Member> =
            problem.members().into_iter().filter(|member| !members.contains(member)).collect();
        assert!(is_proven_impossible(&problem.without(&others)), "{name}: its conflict is none");
        for member in &conflict.members {
            let without: Vec<Member> = others.iter().copied().chain([member.member]).collect();
            if member.settled {
                assert!(
                    found(&problem.without(&without), &Settings::default()).is_some(),
                    "{name}: {:?} is idle",
                    member.member
                );
            }
            if let Some(mix) = &member.mix {
                assert!(
                    audit(&problem.without(&[member.member]), mix).passes(),
                    "{name}: its mix mends nothing"
                );
            }
            let Repair::MoveTo { value, proven, .. } = member.repair else { continue };
            let Member::Requirement(index) = member.member else { panic!("{name}: only limits move") };
            let Wanted::Value(asked) = problem.requirements[index].wanted else {
                panic!("{name}: no number to move")
            };
            let what = &problem.requirements[index].name;
            let further = asked + 1.0001 * (value - asked);
            assert!(
                found(&problem.with_wanted(index, further), &Settings::default()).is_some(),
                "{name}: {what} at {value} repairs nothing"
            );
            if proven {
                let shorter = asked + 0.99 * (value - asked);
                assert!(
                    is_proven_impossible(&problem.with_wanted(index, shorter)),
                    "{name}: {what} need not go to {value}"
                );
                moves += 1;
            }
        }
    }
    assert!(3 <= moves, "{moves}");
}

/// The words and the mix are one figure: no limit is missed by more than the share told, some limit by all of it, and a share
/// that is called not enough is none.
#[test]
fn the_nearest_mix_needs_the_share_that_is_told() {
    for (name, problem) in impossible() {
        let verdict = solve(&problem, &Settings::default());
        let conflict = explain(&problem, &verdict, Stop::NEVER).conflict.expect("nothing fits");
        let compromise = conflict.compromise.unwrap_or_else(|| panic!("{name}: no share is enough"));
        let loosened = |share: f64| {
            let mut changed = problem.clone();
            for index in problem.requirements.ids() {
                let requirement = &problem.requirements[index];
                if let (Origin::Limit, Wanted::Value(value)) = (requirement.origin, &requirement.wanted) {
                    changed =
                        changed.with_wanted(index, value - requirement.side.sign() * share * value.abs());
                }
            }
            changed
        };
        assert!(audit(&loosened(compromise.share), &compromise.mix).passes(), "{name}");
        assert!(
            !audit(&loosened(0.99 * compromise.share), &compromise.mix).passes(),
            "{name}: less would do"
        );
        assert!(0.0 < compromise.not_enough, "{name}: nothing is proven of it");
        assert!(compromise.not_enough <= compromise.share);
        assert!(is_proven_impossible(&loosened(compromise.not_enough)), "{name}");
        assert!(0.9 * compromise.share < compromise.not_enough, "{name}: {compromise:?}");
    }
}

#[test]
fn the_impossible_floor_names_the_four_that_cannot_hold_together() {
    let problem = shipped_one("09-cannot-be-met");
    let verdict = solve(&problem, &Settings::default());
    let conflict = explain(&problem, &verdict, Stop::NEVER).conflict.expect("nothing fits");
    let mut names: Vec<&str> = conflict
        .members
        .iter()
        .map(|member| match member.member {
            Member::Requirement(index) => problem.requirements[index].name.as_str(),
            _ => "a choice",
        })
        .collect();
    names.sort_unstable();
    assert_eq!(names, ["cement", "slump", "water-cement ratio"]);
    assert!(conflict.members.iter().all(|member| member.settled));
}

/// By hand: Bolomey's law makes 41.3 MPa of a ratio of 0.45, and EN 1992 33.7 GPa of those. Nothing else has a part in it.
#[test]
fn a_conflict_between_a_ratio_and_a_modulus_names_these_two() {
    let text = kept::text("problems/01-by-hand.yaml")
        .replace("  water:\n", "  filler:\n    role: limestone filler\n    density: 2700 kg/m3\n    price: 40 /t\n  water:\n")
        .replace(
            "limits:\n  mean strength: at least 30 MPa",
            "  bolomey:\n    law: bolomey strength\n    inputs: {water binder ratio: water-cement ratio, constant k: 24 MPa}\n  \
             modulus:\n    law: eurocode modulus\n    inputs: {mean strength: bolomey}\nlimits:\n  \
             water-cement ratio: at most 0.45\n  modulus: at most 33 GPa",
        );
    let problem = problem("changed.yaml", text).0;
    let verdict = solve(&problem, &Settings::default());
    let conflict = explain(&problem, &verdict, Stop::NEVER).conflict.expect("nothing fits");
    let mut names = Vec::new();
    for member in &conflict.members {
        assert!(member.settled, "{member:?}");
        let Member::Requirement(index) = member.member else { panic!("{member:?}") };
        names.push(problem.requirements[index].name.as_str());
    }
    names.sort_unstable();
    assert_eq!(names, ["modulus", "water-cement ratio"]);
}

#[test]
fn a_demand_left_out_is_neither_kept_nor_blamed() {
    for name in ["02-plain-structural", "06-exposure-classes", "03-flowable-two-fillers"] {
        let problem = shipped_one(name);
        let best = found(&problem, &Settings::default()).expect("it has a mix");
        for member in problem.members() {
            let without = problem.without(&[member]);
            let Some(freed) = found(&without, &Settings::default()) else {
                panic!("{name}: {member:?} was no help")
            };
            let bound = freed.certainty.expect("a proof was asked for").bound;
            assert!(
                bound <= best.goal + 1e-6 * best.goal,
                "{name}: without {member:?} more is claimed: {bound}"
            );
            assert!(audit(&without, &freed.mix).passes(), "{name}: {member:?}");
            assert!(
                without.requirements.len() == problem.requirements.len()
                    && without.logic.len() == problem.logic.len(),
                "{name}: indices move without {member:?}"
            );
        }
        let all = problem.without(&problem.members());
        let freed = found(&all, &Settings::default()).expect("nothing is asked");
        assert!(freed.goal <= best.goal + 1e-9);
        let missed = |problem: &Problem| {
            let lines = audit(problem, &freed.mix).lines;
            lines.iter().filter_map(|line| line.measured).map(|m: Measured| m.violation()).fold(0.0, f64::max)
        };
        assert!(1e-3 < missed(&problem), "{name}: limits were idle");
        assert!(audit(&all, &freed.mix).passes());
    }
}

#[test]
fn a_region_that_is_left_out_is_wider_on_that_side() {
    for (name, problem) in shipped() {
        for (index, requirement) in problem.requirements.named() {
            let Origin::Region { response, factor } = requirement.origin else { continue };
            let freed = problem.without(&[Member::Requirement(index)]);
            let region = |problem: &Problem| problem.responses[response].factors[factor].region;
            let (before, after) = (region(&problem), region(&freed));
            let wider = match requirement.side {
                Side::AtLeast => after.low() < before.low() && after.high() == before.high(),
                Side::AtMost => before.high() < after.high() && after.low() == before.low(),
            };
            assert!(wider, "{name}: {} from {before:?} to {after:?}", requirement.name);
        }
    }
}
