//! Mixes in whole steps: against enumeration of all counts near the optimum, with proven ends of what rounding costs.
//!
//! What enters: small statements written here. "Enumeration" runs over every count within a window about the best mix.

use mixbound::parallel::Stop;
use mixbound::plant::{NotRounded, Rounded, rounded};
use mixbound::problem::Problem;

use crate::problems::problem;

/// Cement, stone and sand in steps, water unrounded: linear, so that enumeration is one line per mix.
fn statement(rounding: &str) -> Problem {
    let text = format!(
        "mixbound: 1\ncurrency: EUR\nair: 2 %\nmaterials:\n  \
         cement: {{role: cement, density: 3100 kg/m3, price: 131 /t, amount: 250 .. 450 kg/m3}}\n  \
         ash: {{role: fly ash, density: 2300 kg/m3, price: 48 /t, share: at most 25 % of binder}}\n  \
         sand: {{role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 13 /t surface-dry}}\n  \
         stone: {{role: coarse aggregate, density: 2700 kg/m3 surface-dry, absorption: 1 %, price: 17 /t surface-dry}}\n  \
         water: {{role: water, density: 1000 kg/m3, price: 1 /m3, amount: at least 165 kg/m3}}\n\
         limits:\n  water-binder ratio: at most 0.5137\n  sand share: 40.3 .. 44.7 %\n  binder: at least 330 kg/m3\n\
         {rounding}goal: least cost\n"
    );
    problem("rounding.yaml", text).0
}

fn found(problem: &Problem) -> Rounded {
    rounded(problem, problem.rounding.as_ref().unwrap(), Stop::NEVER).unwrap_or_else(|why| panic!("{why:?}"))
}

/// The least cost over all counts near a mix, water filling the volume; steps in kg per m3.
fn enumerated(problem: &Problem, steps: [f64; 4], around: &[f64], window: i32) -> f64 {
    let densities = [3100.0, 2300.0, 2650.0, 2700.0];
    let mut best = f64::INFINITY;
    let counts = |at: usize| {
        let middle = (around[at] / steps[at]).round();
        (-window..=window)
            .map(move |off| (middle + f64::from(off)) * steps[at])
            .filter(|amount| 0.0 <= *amount)
    };
    for cement in counts(0) {
        for ash in counts(1) {
            for sand in counts(2) {
                for stone in counts(3) {
                    let amounts = [cement, ash, sand, stone];
                    let solid: f64 =
                        amounts.iter().zip(densities).map(|(amount, density)| amount / density).sum();
                    let water = 1000.0 * (0.98 - solid);
                    let binder = cement + ash;
                    let share = 100.0 * (sand / 2650.0) / (sand / 2650.0 + stone / 2700.0);
                    let meets = 165.0 <= water
                        && water <= 0.5137 * binder
                        && 330.0 <= binder
                        && (250.0..=450.0).contains(&cement)
                        && ash <= 0.25 * binder
                        && (40.3..=44.7).contains(&share);
                    if meets {
                        let cost =
                            0.131 * cement + 0.048 * ash + 0.013 * sand + 0.017 * stone + 0.001 * water;
                        best = best.min(cost);
                    }
                }
            }
        }
    }
    assert_eq!(problem.mixture.materials(), 5);
    best
}

/// Enumeration: 13 counts of each of four materials about the mix in steps and about the mix without.
#[test]
fn the_mix_in_steps_is_the_best_of_all_roundings_near_it() {
    for (load, steps) in
        [(1.0, [5.0, 5.0, 10.0, 10.0]), (2.5, [10.0, 5.0, 20.0, 25.0]), (1.0, [25.0, 20.0, 50.0, 50.0])]
    {
        let problem = statement(&format!(
            "rounding: {{load: {load} m3, unrounded: water, steps: {{cement: {} kg, ash: {} kg, sand: {} kg, stone: {} kg}}}}\n",
            steps[0], steps[1], steps[2], steps[3]
        ));
        let found = found(&problem);
        let of_cubic_metre = steps.map(|step| step / load);
        let best = enumerated(&problem, of_cubic_metre, &found.found.mix, 6).min(enumerated(
            &problem,
            of_cubic_metre,
            &found.plain_mix,
            6,
        ));
        assert!((found.rounded.1 / best - 1.0).abs() < 2e-4, "{} against {best}", found.rounded.1);
        assert!(found.rounded.0 <= best * (1.0 + 1e-9), "bound {} above {best}", found.rounded.0);
        for (at, step) in of_cubic_metre.iter().enumerate() {
            let count = found.found.mix[at] / step;
            assert!((count - count.round()).abs() < 1e-4, "{at}: {count} steps");
            assert!((found.counts[at] - count).abs() < 1e-4);
        }
        // No rounded cost lies below the unrounded proven bound, and the interval holds the difference.
        let (low, high) = found.cost();
        assert!(found.plain.0 <= found.rounded.1 && low <= high);
        let difference = best - found.plain.1;
        assert!(
            low <= difference + 1e-6 && difference <= high + 1e-6,
            "{difference} outside {low} .. {high}"
        );
        assert!(found.found.audit.passes() && found.found.audit.volume_error.abs() < 1e-9);
    }
}

#[test]
fn steps_that_are_too_coarse_are_named() {
    let blocked = |steps: &str| {
        let problem = statement(&format!("rounding: {{unrounded: water, steps: {{{steps}}}}}\n"));
        match rounded(&problem, problem.rounding.as_ref().unwrap(), Stop::NEVER) {
            Err(NotRounded::Blocked(steps)) => steps,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(blocked("cement: 600 kg, sand: 5 kg"), [0]);
    assert_eq!(blocked("sand: 5 kg, stone: 1900 kg"), [1]);
}

#[test]
fn slips_in_the_steps_are_told() {
    for (rounding, told) in [
        ("{steps: {cement: 5 kg}, unrounded: wter}", "unknown material `wter` in `unrounded`"),
        ("{steps: {cemnt: 5 kg}, unrounded: water}", "unknown material `cemnt` in `steps`"),
        ("{steps: {water: 5 kg}, unrounded: water}", "`water` has a step and stays unrounded"),
        ("{steps: {cement: 0 kg}, unrounded: water}", "the step of `cement` is not above zero"),
        ("{steps: {cement: 5 %}, unrounded: water}", "neither a mass nor a dose"),
        ("{steps: {cement: 5 kg}, unrounded: water, load: 0 m3}", "`load` of `rounding` is not above zero"),
        ("{steps: {cement: 5 kg}}", "has no `unrounded`"),
    ] {
        let caught = std::panic::catch_unwind(|| statement(&format!("rounding: {rounding}\n")));
        let text = caught.map_or_else(
            |error| error.downcast_ref::<String>().cloned().unwrap_or_default(),
            |_| String::new(),
        );
        assert!(text.contains(told), "{rounding}\n{text}");
    }
}
