//! Shares of named quantities that hold only if a material is used, held against enumeration of what is used.
//!
//! What enters: invented statements with three stones of which some may be used. In the enumeration every set of them is a
//! statement of its own, without decisions: what is used has its share as a plain bound, what is not used is not there.

use mixbound::problem::{Count, DecisionRange, Problem, Step};
use mixbound::solve::{Settings, Verdict, solve};

use crate::problems::written;

/// Name, price, and what is asked of it.
const STONES: [(&str, f64, f64, &str); 3] = [
    ("small stone", 2600.0, 21.0, "10 .. 40 % of coarse aggregate volume"),
    ("light stone", 1500.0, 34.0, "15 .. 30 % of stone volume"),
    ("old stone", 2450.0, 4.0, "20 .. 35 % of stones"),
];

fn statement(stones: &str, rest: &str) -> String {
    format!(
        "mixbound: 1
title: Invented
currency: EUR
air: 2 %
materials:
  cement: {{role: cement, density: 3100 kg/m3, price: 130 /t, amount: 260 .. 500 kg/m3}}
  sand: {{role: sand, density: 2640 kg/m3, price: 16 /t, amount: at least 500 kg/m3}}
  stone: {{role: coarse aggregate, density: 2680 kg/m3, price: 18 /t}}
{stones}  water: {{role: water, density: 1000 kg/m3, price: 1 /m3, amount: 150 .. 210 kg/m3}}
{rest}
"
    )
}

fn stone(at: usize, bounds: &str) -> String {
    let (name, density, price, of) = STONES[at];
    let bounds = bounds.replace("OF", of);
    format!("  {name}: {{role: coarse aggregate, density: {density} kg/m3, price: {price} /t{bounds}}}\n")
}

/// What is asked of a mix with these stones.
fn asked(members: &[&str], fresh: f64, most: f64) -> String {
    let mut all = vec!["stone"];
    all.extend(members);
    format!(
        "quantities:\n  stones: {{of: [{0}]}}\n  stone volume: {{of: [{0}], by: volume}}\nlimits:\n  water-cement ratio: at most 0.5\n  sand share: 35 .. 45 %\n  \
         fresh density: {fresh} .. {most} kg/m3\ngoal: least cost",
        all.join(", ")
    )
}

fn best(problem: &Problem) -> Option<f64> {
    match solve(problem, &Settings::default()) {
        Verdict::Found(found) => {
            assert!(found.audit.broken_choices.is_empty(), "{:?}", found.audit.broken_choices);
            Some(found.goal)
        }
        _ => None,
    }
}

fn problem(text: &str) -> Problem {
    written(text).unwrap_or_else(|told| panic!("{told}")).0
}

/// The best over all sets of stones with so many members.
fn enumerated(
    counts: std::ops::RangeInclusive<u32>,
    densities: (f64, f64),
    steps: Option<f64>,
) -> Option<f64> {
    (0..8_u32)
        .filter(|set| counts.contains(&set.count_ones()))
        .filter_map(|set| {
            let members: Vec<usize> = (0..3).filter(|at| set >> at & 1 == 1).collect();
            let stones: String = members.iter().map(|at| stone(*at, ", share: OF")).collect();
            let names: Vec<&str> = members.iter().map(|at| STONES[*at].0).collect();
            best(&stepped(problem(&statement(&stones, &asked(&names, densities.0, densities.1))), steps))
        })
        .min_by(f64::total_cmp)
}

/// The same with cement in whole steps.
fn stepped(problem: Problem, size: Option<f64>) -> Problem {
    let Some(size) = size else { return problem };
    let material = problem.mixture.catalogue.find("cement").unwrap();
    let range = DecisionRange::new(0, 20).unwrap();
    problem.varied(|draft| {
        draft.counts = vec![Count { step: Step { material, base: None, size }, range }].into();
    })
}

#[test]
fn shares_that_hold_if_used_give_what_enumeration_gives_also_with_counts_and_steps() {
    let stones: String = (0..3).map(|at| stone(at, ", if used: OF")).collect();
    let mut used = Vec::new();
    for densities in [(2000.0, 2500.0), (2200.0, 2290.0), (2150.0, 2235.0), (2380.0, 2500.0)] {
        for (counts, steps) in [(0..=3, None), (1..=2, None), (2..=3, Some(45.0)), (1..=1, Some(45.0))] {
            let group = format!(
                "choices:\n  stones: {{of: [small stone, light stone, old stone], at least: {}, at most: {}}}",
                counts.start(),
                counts.end()
            );
            let names: Vec<&str> = STONES.iter().map(|stone| stone.0).collect();
            let text = statement(&stones, &format!("{group}\n{}", asked(&names, densities.0, densities.1)));
            let together = best(&stepped(problem(&text), steps));
            let apart = enumerated(counts.clone(), densities, steps);
            match (together, apart) {
                (Some(together), Some(apart)) => {
                    assert!((together - apart).abs() <= 2e-3 * apart, "{text}\n{together} {apart}");
                    used.push(apart);
                }
                (together, apart) => assert_eq!(together, apart, "{text}"),
            }
        }
    }
    used.sort_by(f64::total_cmp);
    used.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    assert!(5 <= used.len(), "the cases come to one and the same: {used:?}");
}

#[test]
fn what_is_needed_may_be_a_share_and_what_no_share_can_be_taken_of_is_told() {
    let stones = stone(1, ", if used: OF") + &stone(0, "");
    let names = ["light stone", "small stone"];
    let needs = |of: &str| {
        format!(
            "choices:\n  light: {{require: light stone}}\n  with it: {{if: light stone, then: small stone, at least: {of}}}\n{}",
            asked(&names, 2000.0, 2500.0)
        )
    };
    let text = statement(&stones, &needs("25 % of stones"));
    let problem = problem(&text);
    let Verdict::Found(found) = solve(&problem, &Settings::default()) else { panic!("a mix") };
    let mass = |name: &str| found.mix[problem.mixture.catalogue.find(name).unwrap().index()];
    let share = mass("small stone") / (mass("small stone") + mass("light stone") + mass("stone"));
    assert!((share - 0.25).abs() < 1e-6, "{share}");
    let told = written(&statement(&stones, &needs("25 % of stonez"))).unwrap_err();
    assert!(told.contains("unknown name `stonez` in `at least` of choice `with it`"), "{told}");
    assert!(told.contains("did you mean `stones`"), "{told}");
    assert_eq!(told.matches("error:").count(), 1, "{told}");
    let told = written(&text.replace("30 % of stone volume", "30 % of sand share")).unwrap_err();
    assert!(told.contains("`sand share` in `if used` of material `light stone` is a ratio"), "{told}");
    assert_eq!(told.matches("error:").count(), 1, "{told}");
}
