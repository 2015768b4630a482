//! The risk of mixes as really weighed: closed forms, shares, margins, what contributes, and what is refused.
//!
//! What enters: statements written here. Closed forms are of the normal distribution; "identity" marks what follows from
//! the definition. `scripts/cross-check-risk` holds the same against a plain simulation written apart.

use mixbound::listed::Id;
use mixbound::number::distribution::normal_probability;
use mixbound::plant::{Cause, Contributor, Criteria, Risk, Sampling, risk};
use mixbound::problem::{Problem, restrained};

use crate::problems::problem;

/// A mix of cement, sand, stone and water with a strength of 25 (c/w - 0.5) MPa, and what is wanted of it.
fn mix(residual: &str, limits: &str, production: &str) -> (Problem, Vec<f64>) {
    let text = format!(
        "mixbound: 1\ncurrency: EUR\nair: 2 %\nmaterials:\n  \
         cement: {{role: cement, density: 3100 kg/m3, price: 120 /t, amount: at least 100 kg/m3}}\n  \
         sand: {{role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, moisture: 5 %, price: 12 /t surface-dry}}\n  \
         stone: {{role: coarse aggregate, density: 2700 kg/m3 surface-dry, absorption: 0.5 %, moisture: 1 %, price: 14 /t surface-dry}}\n  \
         water: {{role: water, density: 1000 kg/m3, price: 1 /m3, amount: at least 100 kg/m3}}\n\
         responses:\n  strength:\n    unit: MPa\n    \
         strength: {{specimen: cylinder 150 x 300 mm, statistic: mean, age: 28 d, curing: moist}}\n    \
         factors: {{c: {{is: cement / free water, region: 1 .. 4}}}}\n    \
         terms: {{constant: -12.5, c: 25}}\n{residual}\
         limits:\n{limits}{production}goal: least cost\n"
    );
    let (problem, _) = problem("risk.yaml", text);
    let mut mix = vec![0.0; problem.mixture.columns.len()];
    let (cement, water) = (360.0, 180.0);
    mix[0] = cement;
    mix[3] = water;
    mix[2] = 1000.0;
    mix[1] = 2650.0 * (0.98 - cement / 3100.0 - 1000.0 / 2700.0 - water / 1000.0);
    (problem, mix)
}

fn simulated(problem: &Problem, mix: &[f64], batches: usize, target: f64) -> Risk {
    let production = problem.production.as_ref().expect("the statement has one");
    let sampling = Sampling { batches, target, ..Sampling::default() };
    risk(problem, production, mix, &sampling).expect("nothing stops it")
}

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} within {tolerance}");
}

const EXACT: &str =
    "production: {weighing: en 206, tolerance: {cement: 0 %, sand: 0 %, stone: 0 %, water: 0 %}}\n";
const SCATTER: &str = "    residual: 3 MPa\n";

/// Closed form: 37.5 MPa with a scatter of 3 MPa lies below 33 MPa with probability F(-1.5).
#[test]
fn scatter_alone_gives_the_normal_probability() {
    let (problem, mix) = mix(SCATTER, "  strength: at least 33 MPa\n", EXACT);
    let risk = simulated(&problem, &mix, 1600, 0.05);
    let limit = &risk.limits[0];
    near(limit.designed, 37.5, 1e-9);
    near(limit.beyond.estimate, normal_probability(-1.5), 1e-9);
    assert!(risk.weighed_exactly);
    // Closed form: 1.644854 deviations less the 4.5 MPa that are there.
    near(limit.margin, 1.644_854 * 3.0 - 4.5, 1e-4);
    assert_eq!(limit.contributors, [(Contributor::Scatter, 1.0)]);
}

/// Closed form: a uniform deviation of water by 3 % about 180 kg takes c/w below 360 / (180 x 1.02) in a sixth of batches.
/// Water is metered as 180 kg less what sand and stone bring.
#[test]
fn a_uniform_deviation_of_the_metered_water_is_a_uniform_share() {
    let production = "production: {weighing: en 206, spread: uniform, tolerance: {cement: 0 %, sand: 0 %, stone: 0 %, water: 3 %}}\n";
    let free = "  free water: {on: {of: [water], to: [cement]}, at most: 0.51}\n";
    let (problem, mix) = mix("", free, production);
    let brought = mix[1] / 1.01 * 0.04 + 1000.0 / 1.005 * 0.005;
    let metered = 180.0 - brought;
    // Beyond 0.51 x 360 = 183.6 kg: the deviation is uniform within 3 % of what is metered.
    let expected = 0.5 * (1.0 - 3.6 / (0.03 * metered));
    let risk = simulated(&problem, &mix, 100_000, 0.05);
    let beyond = &risk.limits[0].beyond;
    near(beyond.estimate, expected, 5e-4);
    assert!(beyond.low <= expected && expected <= beyond.high && beyond.high - beyond.low < 2e-3);
    assert!(
        matches!(risk.limits[0].contributors[0].0, Contributor::Cause(Cause::Weighing(at)) if at == Id::at(3))
    );
}

/// Identity: what the moisture believed does not see comes with the sand, and as much sand is missing. Closed form: an error
/// of e in the moisture w brings S e / ((1 + w)(1 + w + e)) of dry sand more as water, S the stockpile's mass; water 183.6 kg
/// are passed where that is 3.6 kg.
#[test]
fn an_error_of_the_moisture_is_water_that_nobody_metered() {
    let production = EXACT.replace("}}\n", "}, moisture error: {sand: 0.5 %}}\n");
    let limit = "  free water: {on: {of: [water], to: [cement]}, at most: 0.51}\n";
    let (problem, mix) = mix("", limit, &production);
    let stockpile = mix[1] / 1.01 * 1.05;
    // Free water is stockpile less 1.01 times dry; it exceeds by 3.6 where dry is 3.6 / 1.01 less than believed.
    let dry = stockpile / 1.05 - 3.6 / 1.01;
    let error = stockpile / dry - 1.05;
    let risk = simulated(&problem, &mix, 100_000, 0.05);
    near(risk.limits[0].beyond.estimate, normal_probability(-error / 0.005), 1e-3);
}

/// Identity: on top of each other the running total deviates, so that the sum of two has the tolerance of the sum and not
/// that of two scales; alone in the room, each part deviates by both.
#[test]
fn weighed_on_top_of_each_other_an_excess_is_missing_from_the_next() {
    let limits = "  sand: at most 2000 kg/m3\n  both: {on: {of: [sand, stone]}, at most: 3000 kg/m3}\n";
    let exact = "tolerance: {cement: 0 %, water: 0 %}";
    let (problem, mix) = mix("", limits, &format!("production: {{weighing: en 206, {exact}}}\n"));
    let risk = simulated(&problem, &mix, 16_000, 0.05);
    let deviation = |at: usize| {
        let results = &risk.limits[at].results;
        let mean = results.iter().sum::<f64>() / results.len() as f64;
        (results.iter().map(|result| (result - mean).powi(2)).sum::<f64>() / results.len() as f64).sqrt()
    };
    // A normal one with half the tolerance, cut off at its ends, has 0.8796 of it.
    let sand = mix[1] / 1.01 * 1.05;
    assert!((deviation(0) / (0.8796 * 0.015 * sand) - 1.0).abs() < 0.35, "{}", deviation(0));
    let total = sand + 1000.0 / 1.005 * 1.01;
    // Per m3 really made, more aggregate makes more concrete: about a third of the deviation is left.
    assert!(deviation(1) < 0.8796 * 0.015 * total);
}

/// ACI 318 and EN 206 by enumeration of their definition on the plain results that the simulation returns.
#[test]
fn groups_fail_as_the_codes_define() {
    for (weighing, results, criteria) in [
        ("en 206", 3, Criteria::Initial),
        ("astm c94", 4, Criteria::Averages),
        ("en 206", 15, Criteria::Continuous),
    ] {
        let production = format!("production: {{weighing: {weighing}, results: {results}}}\n");
        let limit = "  strength: {at least: 33 MPa, statistic: characteristic, margin: 2 MPa}\n";
        let (problem, mix) = mix(SCATTER, limit, &production);
        let risk = simulated(&problem, &mix, 1600, 0.05);
        let found = &risk.limits[0];
        assert_eq!(found.conformity.criteria, criteria);
        let short = if weighing == "en 206" { 4.0 } else { 3.447_378 };
        let fails = found.results.chunks_exact(results).filter(|group| {
            let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
            let spread = (group.iter().map(|value| (value - mean(group)).powi(2)).sum::<f64>()
                / (group.len() as f64 - 1.0))
                .sqrt();
            group.iter().any(|value| *value < 33.0 - short)
                || match criteria {
                    Criteria::Initial => mean(group) < 37.0,
                    Criteria::Averages => group.windows(3).any(|window| mean(window) < 33.0),
                    _ => mean(group) < 33.0 + 1.48 * spread,
                }
        });
        let share = fails.count() as f64 / (found.results.len() / results) as f64;
        near(found.conformity.fails.estimate, share, 1e-9);
        assert!(0.0 < share && share < 1.0);
    }
}

#[test]
fn zero_misses_is_not_zero_risk() {
    let (problem, mix) = mix("", "  cement: at least 300 kg/m3\n", "production: {weighing: en 206}\n");
    let risk = simulated(&problem, &mix, 16_000, 0.05);
    let limit = &risk.limits[0];
    assert_eq!(limit.beyond.estimate, 0.0);
    // Closed form: 20 000 independent draws without a miss leave 1 - 0.05^(1/20000).
    near(limit.unseen_below.unwrap(), 1.0 - 0.05_f64.powf(1.0 / 20_000.0), 1e-12);
    // EN 206 allows a single cement content 10 kg less, value from memory.
    near(limit.allowed, 10.0, 1e-12);
}

/// Identity: scatter that holds the weighing already counts once, so that the variance of results is that of the scatter.
#[test]
fn scatter_that_holds_the_weighing_counts_it_once() {
    let limit = "  strength: at least 33 MPa\n";
    let spread = |held: &str| {
        let (problem, mix) = mix(SCATTER, limit, &format!("production: {{weighing: en 206{held}}}\n"));
        let risk = simulated(&problem, &mix, 1600, 0.05);
        let results = &risk.limits[0].results;
        let mean = results.iter().sum::<f64>() / results.len() as f64;
        (results.iter().map(|result| (result - mean).powi(2)).sum::<f64>() / results.len() as f64).sqrt()
    };
    near(spread(", scatter holds: [weighing]"), 3.0, 0.05);
    // By the slopes of 25 (c/w - 0.5): 0.66 MPa from cement and 0.37 MPa from water beside 3 MPa make 3.09 MPa.
    near(spread(""), 3.09, 0.05);
}

/// Identity: independent normal errors of the coefficients move the mean strength by a normal one with the standard
/// deviation s sqrt(f'Cf); the risk's interval then is the probability at its 5 % and 95 % quantiles, or near.
#[test]
fn what_the_coefficients_leave_open_is_an_interval_and_in_no_average() {
    let covariance = "    residual: 3 MPa\n    covariance: [[0.04, 0], [0, 0]]\n";
    let (problem, mix) = mix(covariance, "  strength: at least 33 MPa\n", EXACT);
    let risk = simulated(&problem, &mix, 1600, 0.05);
    let limit = &risk.limits[0];
    near(limit.beyond.estimate, normal_probability(-1.5), 1e-9);
    let (low, high) = limit.uncertainty.unwrap();
    // 3 sqrt(0.04) = 0.6 MPa, 1.645 of it either way, from 40 draws.
    near(low, normal_probability(-1.5 - 1.645 * 0.2), 0.008);
    near(high, normal_probability(-1.5 + 1.645 * 0.2), 0.012);
}

/// The same bytes for any number of threads, and for every run.
#[test]
fn a_risk_repeats_itself_on_any_number_of_threads() {
    let (problem, mix) = mix(SCATTER, "  strength: at least 33 MPa\n", "production: {weighing: en 206}\n");
    let one = mixbound::parallel::with_threads(1, || simulated(&problem, &mix, 4000, 0.05)).unwrap();
    let two = mixbound::parallel::with_threads(2, || simulated(&problem, &mix, 4000, 0.05)).unwrap();
    assert_eq!(one, two);
}

/// Closed form: with scatter alone a risk of 4 % is a margin of 1.750686 deviations.
#[test]
fn a_risk_by_scatter_alone_is_a_margin_in_closed_form() {
    let (problem, mix) = mix(SCATTER, "  strength: {at least: 33 MPa, statistic: mean, risk: 4 %}\n", EXACT);
    let requirement =
        problem.requirements.iter().find(|requirement| requirement.margin.risk == Some(0.04)).unwrap();
    let measured = problem.measure(requirement, &mix).unwrap();
    near(measured.margin, 1.750_686 * 3.0, 1e-4);
}

/// What a fresh simulation says of the mix that was found: at most the risks asked for, and not far below where they bind.
#[test]
fn a_mix_that_meets_its_risks_meets_them_in_a_fresh_sample_and_not_by_far() {
    let text = crate::kept::text("problems/19-at-most-so-much-risk.yaml");
    let (problem, _) = problem("problems/19-at-most-so-much-risk.yaml", text);
    let production = problem.production.as_ref().unwrap();
    let found = mixbound::plant::robust(&problem, production, &mixbound::solve::Settings::default()).unwrap();
    let sampling = Sampling { batches: 30_000, seed: 77, ..Sampling::default() };
    let fresh = risk(&found.problem, production, &found.found.mix, &sampling).expect("nothing stops it");
    let mut binding = 0;
    for met in &found.risks {
        let limit = fresh.limits.iter().find(|limit| limit.requirement == met.requirement).unwrap();
        assert!(limit.beyond.estimate <= met.target * 1.03, "{} of {}", limit.beyond.estimate, met.target);
        binding += usize::from(0.8 * met.target < limit.beyond.estimate);
    }
    assert!(0 < binding);
    // Sharing the risk out costs something, and no less than the scatter alone asks for.
    assert!(found.without < found.found.goal && found.bound.unwrap() <= found.found.goal);
}

/// A content without scatter of its own: its share beyond is counted, and its interval is wide.
#[test]
fn a_risk_of_a_ratio_alone_is_met_too() {
    let text = crate::kept::text("problems/19-at-most-so-much-risk.yaml");
    let text = text.replace("goal: least cost", "goal: {least: binder}");
    let (problem, _) = problem("quay.yaml", text);
    let production = problem.production.as_ref().unwrap();
    let settings = mixbound::solve::Settings::local();
    let found = mixbound::plant::robust(&problem, production, &settings).unwrap();
    let ratio = &found.risks[1];
    assert!(
        0.0 < ratio.added && ratio.fresh.2 <= ratio.target && 0.9 * ratio.target < ratio.fresh.0,
        "{ratio:?}"
    );
}

#[test]
fn a_risk_stands_in_place_of_a_margin_and_between_none_and_half() {
    for (limit, told) in [
        ("{at least: 33 MPa, risk: 5 %, margin: 2 MPa}", "has a `margin` and a `risk`"),
        ("{at least: 33 MPa, risk: 0 %}", "no mix has no risk"),
        ("{at least: 33 MPa, risk: 100 %}", "allowed: above 0, below 50 %"),
    ] {
        let caught = std::panic::catch_unwind(|| mix(SCATTER, &format!("  strength: {limit}\n"), EXACT));
        let text = caught.map_or_else(
            |error| error.downcast_ref::<String>().cloned().unwrap_or_default(),
            |_| String::new(),
        );
        assert!(text.contains(told), "{limit}\n{text}");
    }
}

/// Closed form: the stress at 7 d is a share of the failure level, which scatters normally by 12 % and 18 % of itself.
#[test]
fn an_age_at_cracking_is_missed_by_the_scatter_of_stress_and_strength() {
    let text = "mixbound: 1\ncurrency: EUR\nair: 2 %\nmaterials:\n  \
         cement: {role: cement, density: 3150 kg/m3, price: 120 /t, amount: 300 .. 600 kg/m3}\n  \
         sand: {role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, moisture: 1 %, price: 12 /t surface-dry}\n  \
         water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 150 .. 250 kg/m3}\n\
         responses:\n  age:\n    cracking:\n      counted from: casting\n      restraint: 0.7\n      drying from: 1 d\n      \
         drying shrinkage: {amount: 700 microstrain, half time: 20 d}\n      modulus: 32 GPa\n      \
         tensile strength: 4.3 MPa\n      share: 0.85\nlimits:\n  age: at least 7 d\n\
         production: {weighing: en 206}\ngoal: least cost\n";
    let (problem, _) = problem("age.yaml", text.to_owned());
    let mut mix = vec![0.0; problem.mixture.columns.len()];
    (mix[0], mix[2]) = (400.0, 200.0);
    mix[1] = 2650.0 * (0.98 - 400.0 / 3150.0 - 0.2);
    let risk = simulated(&problem, &mix, 1600, 0.05);
    let rule = restrained(&problem.responses[Id::at(0)]).unwrap();
    let history = rule.history(&problem.predict(Id::at(0), &mix).unwrap().factors);
    let share = rule.share_up_to(&history, 7.0).unwrap();
    let expected = normal_probability(-(1.0 - share) / (0.12_f64.hypot(0.18) * share));
    assert!(0.001 < expected && expected < 0.999, "{expected}");
    near(risk.limits[0].beyond.estimate, expected, 1e-9);
    assert!(risk.limits[0].margin.is_nan(), "no age is worth so much stress");
}
