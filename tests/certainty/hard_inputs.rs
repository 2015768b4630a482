//! Statements at the edge of what numbers can tell: an honest gap, never a hang, never a claim.

use mixbound::problem::{Member, Origin, Problem};
use mixbound::solve::{Found, Limits, Settings, Verdict, audit, solve};

use super::{found, is_proven_impossible};
use crate::kept;
use crate::problems::problem;

/// Two surfaces in three factors, all their figures so many times the usual.
fn scaled(by: f64) -> Problem {
    let terms = |terms: &[(&str, f64)]| {
        let list: Vec<String> = terms.iter().map(|(term, size)| format!("{term}: {:e}", size * by)).collect();
        list.join(", ")
    };
    let one = terms(&[
        ("constant", 4.0),
        ("w", -0.5),
        ("b", 0.3),
        ("n", 0.1),
        ("w * b", 0.4),
        ("w * n", -0.3),
        ("b * n", 0.25),
        ("w * w", 0.2),
    ]);
    let other = terms(&[
        ("constant", 6.0),
        ("w", 0.4),
        ("b", 0.5),
        ("n", -0.2),
        ("w * b", -0.35),
        ("b * b", 0.3),
        ("n * n", -0.25),
        ("w * n", 0.3),
    ]);
    let text = format!(
        "mixbound: 1
title: Invented surfaces of unusual size
currency: EUR
air: 2 %
materials:
  cement: {{role: cement, density: 3100 kg/m3, price: 120 /t, amount: 150 .. 480 kg/m3}}
  sand: {{role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 16 /t surface-dry, amount: at least 100 kg/m3}}
  stone: {{role: coarse aggregate, density: 2700 kg/m3 surface-dry, absorption: 1 %, price: 18 /t surface-dry, amount: at least 100 kg/m3}}
  water: {{role: water, density: 1000 kg/m3, price: 1 /t}}
responses:
  one:
    unit: \"1\"
    factors: &factors
      w: {{is: water-binder ratio, region: 0.32 .. 0.6, coded: 0.32 .. 0.6}}
      b: {{is: binder, unit: kg/m3, region: 300 .. 480 kg/m3, coded: 300 .. 480 kg/m3}}
      n: {{is: sand share, unit: \"%\", region: 38 .. 60 %, coded: 38 .. 60 %}}
    terms: {{{one}}}
  other:
    unit: \"1\"
    factors: *factors
    terms: {{{other}}}
limits:
  one: at least {:e}
  other: at most {:e}
goal: least cost
",
        4.2 * by,
        6.1 * by
    );
    problem("unusual.yaml", text).0
}

fn proven(found: &Found) -> bool {
    found.certainty.is_some_and(|certainty| certainty.complete)
}

/// A mix, and no claim that its audit or its bound contradicts.
fn assert_honest(problem: &Problem, found: &Found) {
    assert!(audit(problem, &found.mix).passes());
    let bound = found.certainty.expect("a proof was asked for").bound;
    assert!(bound <= found.goal * (1.0 + 1e-9), "{bound} above {}", found.goal);
}

#[test]
fn surfaces_of_a_thousand_millionth_and_of_a_thousand_million_are_solved_as_any_other() {
    let usual = found(&scaled(1.0), &Settings::default()).expect("it has a mix");
    assert!(proven(&usual));
    for by in [1e-9, 1e9] {
        let problem = scaled(by);
        let answer = found(&problem, &Settings::default()).unwrap_or_else(|| panic!("{by:e}: no mix"));
        assert_honest(&problem, &answer);
        assert!(proven(&answer), "{by:e}: {:?}", answer.certainty);
        assert!((answer.goal / usual.goal - 1.0).abs() < 1e-3, "{by:e}: {} and {}", answer.goal, usual.goal);
    }
}

#[test]
fn a_gap_below_what_certificates_resolve_ends_with_an_honest_one() {
    for by in [1e-9, 1.0, 1e9] {
        let problem = scaled(by);
        for gap in [1e-12, 0.0] {
            let limits = Limits { gap, nodes: 400, ..Limits::default() };
            let answer = found(&problem, &Settings::proven(limits)).expect("it has a mix");
            assert_honest(&problem, &answer);
        }
    }
}

/// The most that a surface reaches, asked for: one mix does, within rounding.
#[test]
fn a_statement_that_one_mix_alone_meets_is_not_proven_infeasible() {
    let dense = problem("tests/data/dense.yaml", kept::text("tests/data/dense.yaml")).0;
    for (name, problem) in [("dense", dense), ("three factors", scaled(1.0))] {
        let mut further_asked = 0;
        for (index, requirement) in problem.requirements.named() {
            if requirement.origin != Origin::Limit {
                continue;
            }
            let freed = problem.without(&[Member::Requirement(index)]);
            let extreme = freed.with_extreme(index).expect("it has a number");
            let fine = Settings::proven(Limits { gap: 1e-6, ..Limits::default() });
            let furthest = found(&extreme, &fine).expect("the statement has a mix");
            let own = &furthest.mix[..problem.mixture.columns.len()];
            let reached = problem.measure(requirement, own).expect("it has a value").got;
            let alone = problem.with_wanted(index, reached);
            assert!(audit(&alone, own).passes(), "{name}: {}", requirement.name);
            match solve(&alone, &Settings::proven(Limits { nodes: 2000, ..Limits::default() })) {
                Verdict::Found(found) => assert_honest(&alone, &found),
                Verdict::Nothing(nothing) => assert!(
                    nothing.certainty.is_none_or(|certainty| !certainty.complete),
                    "{name}: {} at {reached} is proven out of reach",
                    requirement.name
                ),
                Verdict::Unsettled(_) => {}
                Verdict::Failed(reason) => panic!("{name}: {reason}"),
            }
            // A part in a thousand further is out of reach, and proven to be.
            let further = reached + 1e-3 * requirement.side.sign() * reached.abs();
            if furthest.certainty.is_some_and(|certainty| certainty.complete) {
                further_asked += 1;
                assert!(
                    is_proven_impossible(&problem.with_wanted(index, further)),
                    "{name}: {} at {further}",
                    requirement.name
                );
            }
        }
        assert!(0 < further_asked, "{name}: no extreme is proven");
    }
}

#[test]
fn a_statement_with_all_factors_fixed_is_what_its_one_point_is() {
    let text = kept::text("tests/data/dense.yaml");
    let limits = text.find("limits:").expect("it has limits");
    let fixed = |strength: &str| {
        let ends = "  water-binder ratio: 0.42 .. 0.42\n  sand share: 54 .. 54 %\n  binder: 415 .. 415 kg/m3\n  \
                    share of fly ash: 10 .. 10 %\n  share of silica fume: 0 .. 0 %\n  \
                    water reducer / binder: 0.5 .. 0.5 %\n";
        let all = format!(
            "{}limits:\n{ends}  strength: at least {strength}\n\ngoal: least cost\n",
            &text[..limits]
        );
        problem("fixed.yaml", all).0
    };
    let low = fixed("26 MPa");
    let answer = found(&low, &Settings::default()).expect("one mix");
    assert_honest(&low, &answer);
    assert!(proven(&answer));
    let strength = low.requirements.iter().find(|one| one.name == "strength").expect("it is limited");
    let got = low.measure(strength, &answer.mix).expect("it has a value").got;
    assert!(is_proven_impossible(&fixed(&format!("{} MPa", got + 0.01))));
    assert!(found(&fixed(&format!("{} MPa", got - 1e-4)), &Settings::default()).is_some());
}
