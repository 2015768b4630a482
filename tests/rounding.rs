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

/// What takes up the rest of the volume in an enumeration.
#[derive(Clone, Copy)]
enum Rest {
    /// Water, without a step.
    Water,
    /// A step of water, kg per m3, and a yield band.
    Band(f64, f64),
}

const DENSITIES: [f64; 5] = [3100.0, 2300.0, 2650.0, 2700.0, 1000.0];

/// The cost of one m3 really made; infinite where a limit is missed.
fn cost(amounts: [f64; 5]) -> f64 {
    let [cement, ash, sand, stone, water] = amounts;
    let binder = cement + ash;
    let share = 100.0 * (sand / 2650.0) / (sand / 2650.0 + stone / 2700.0);
    let meets = 165.0 <= water
        && water <= 0.5137 * binder
        && 330.0 <= binder
        && (250.0..=450.0).contains(&cement)
        && ash <= 0.25 * binder
        && (40.3..=44.7).contains(&share);
    let cost = 0.131 * cement + 0.048 * ash + 0.013 * sand + 0.017 * stone + 0.001 * water;
    if meets { cost } else { f64::INFINITY }
}

/// The least cost over all counts near a mix; steps in kg per m3 weighed for, costs per m3 made.
fn enumerated(steps: [f64; 4], rest: Rest, around: &[f64], window: i32) -> f64 {
    let near = |step: f64, middle: f64, window: i32| {
        let middle = (middle / step).round();
        (-window..=window)
            .map(move |off| (middle + f64::from(off)) * step)
            .filter(|amount| 0.0 <= *amount)
            .collect::<Vec<f64>>()
    };
    let counts: Vec<Vec<f64>> = (0..4).map(|at| near(steps[at], around[at], window)).collect();
    let volume = |amounts: &[f64]| amounts.iter().zip(DENSITIES).map(|(a, density)| a / density).sum::<f64>();
    let mut best = f64::INFINITY;
    for cement in &counts[0] {
        for ash in &counts[1] {
            for sand in &counts[2] {
                for stone in &counts[3] {
                    let solid = volume(&[*cement, *ash, *sand, *stone]);
                    let water = 1000.0 * (0.98 - solid);
                    let of_water = match rest {
                        Rest::Water => vec![water],
                        // A band of 0.5 % and steps of 2 kg are the widest and the finest here.
                        Rest::Band(step, _) => near(step, water, 3),
                    };
                    for water in of_water {
                        let made = volume(&[*cement, *ash, *sand, *stone, water]) / 0.98;
                        let band = match rest {
                            Rest::Water => 1e-9,
                            Rest::Band(_, band) => band * (1.0 + 1e-9),
                        };
                        if (made - 1.0).abs() <= band {
                            let amounts = [*cement, *ash, *sand, *stone, water];
                            best = best.min(cost(amounts.map(|amount| amount / made)));
                        }
                    }
                }
            }
        }
    }
    best
}

/// Enumeration: 13 counts of each of four materials about the mix in steps and about the mix without, and of the water
/// every count within the yield band.
#[test]
fn the_mix_in_steps_is_the_best_of_all_roundings_near_it() {
    for (load, steps, rest) in [
        (1.0, [5.0, 5.0, 10.0, 10.0], Rest::Water),
        (2.5, [10.0, 5.0, 20.0, 25.0], Rest::Water),
        (1.0, [25.0, 20.0, 50.0, 50.0], Rest::Water),
        (1.0, [5.0, 5.0, 10.0, 10.0], Rest::Band(2.0, 0.002)),
        (2.0, [25.0, 20.0, 50.0, 50.0], Rest::Band(2.0, 0.002)),
        (1.0, [25.0, 20.0, 50.0, 50.0], Rest::Band(5.0, 0.005)),
    ] {
        let (last, more) = match rest {
            Rest::Water => ("unrounded: water".to_owned(), String::new()),
            Rest::Band(step, band) => {
                (format!("yield band: {} %", 100.0 * band), format!(", water: {} kg", step * load))
            }
        };
        let problem = statement(&format!(
            "rounding: {{load: {load} m3, {last}, steps: {{cement: {} kg, ash: {} kg, sand: {} kg, stone: {} kg{more}}}}}\n",
            steps[0], steps[1], steps[2], steps[3]
        ));
        let found = found(&problem);
        let of_cubic_metre = steps.map(|step| step / load);
        let weighed: Vec<f64> = found.mix.iter().map(|amount| amount * found.made).collect();
        let best = enumerated(of_cubic_metre, rest, &weighed, 6).min(enumerated(
            of_cubic_metre,
            rest,
            &found.plain_mix,
            6,
        ));
        // The interval is a tenth of itself or a ten-thousandth of the cost wide.
        let (low, high) = found.cost();
        assert!(high - low <= (0.1 * high).max(1e-4 * found.plain.1) * (1.0 + 1e-6), "{low} .. {high}");
        assert!(
            best - 1e-6 <= found.rounded.1,
            "{} below {best}: not what enumeration allows",
            found.rounded.1
        );
        assert!(found.rounded.1 <= best + (high - low) + 1e-6, "{} against {best}", found.rounded.1);
        assert!(found.rounded.0 <= best * (1.0 + 1e-9), "bound {} above {best}", found.rounded.0);
        for (at, step) in of_cubic_metre.iter().enumerate() {
            let count = weighed[at] / step;
            assert!((count - count.round()).abs() < 1e-4, "{at}: {count} steps");
            assert!((found.counts[at] - count).abs() < 1e-4);
        }
        // No rounded cost lies below the unrounded proven bound, and the interval holds the difference.
        assert!(found.plain.0 <= found.rounded.1 && low <= high);
        let difference = best - found.plain.1;
        assert!(
            low <= difference + 1e-6 && difference - 1e-6 <= high + found.plain.1 - found.plain.0,
            "{difference} outside {low} .. {high}"
        );
        // A mix per m3 of what is really made: it fills its volume, and what is weighed fills what is made.
        let volume: f64 = found.mix.iter().zip(DENSITIES).map(|(amount, density)| amount / density).sum();
        assert!((volume - 0.98).abs() < 1e-9, "{volume}");
        match rest {
            Rest::Water => assert_eq!(found.made, 1.0),
            Rest::Band(_, band) => assert!((found.made - 1.0).abs() <= band * (1.0 + 1e-6), "{}", found.made),
        }
    }
}

/// Identity: two bags that make 2 % more than what they are weighed for cost no more per m3 made than their share.
#[test]
fn a_band_sells_what_is_made() {
    let of = |rest: &str| {
        found(&statement(&format!(
            "rounding: {{load: 1 m3, {rest}steps: {{cement: whole bags of 25 kg, sand: 20 kg, stone: 20 kg, water: 5 kg}}}}\n"
        )))
    };
    let (narrow, wide) = (of(""), of("yield band: 1 %, "));
    assert!(
        (narrow.made - 1.0).abs() <= 0.002 * (1.0 + 1e-6) && (wide.made - 1.0).abs() <= 0.01 * (1.0 + 1e-6)
    );
    // A wider band leaves more to choose from, never a way below the cost without steps.
    assert!(wide.rounded.0 <= narrow.rounded.1 && wide.plain.0 <= wide.rounded.1);
    let weighed: Vec<f64> = wide.mix.iter().map(|amount| amount * wide.made).collect();
    let made: f64 =
        weighed.iter().zip(DENSITIES).map(|(amount, density)| amount / density).sum::<f64>() / 0.98;
    assert!(
        (made - wide.made).abs() < 1e-9 && (weighed[0] / 25.0 - (weighed[0] / 25.0).round()).abs() < 1e-6
    );
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
    let in_band = |band: &str| {
        let problem = statement(&format!(
            "rounding: {{{band}steps: {{cement: 20 kg, ash: 20 kg, sand: 40 kg, stone: 40 kg, water: 20 kg}}}}\n"
        ));
        rounded(&problem, problem.rounding.as_ref().unwrap(), Stop::NEVER)
    };
    let Err(NotRounded::Band(wider)) = in_band("yield band: 0 %, ") else { panic!("nothing is that exact") };
    assert!(in_band(&format!("yield band: {} %, ", 100.0 * wider)).is_ok());
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
        (
            "{steps: {cement: 5 kg}, unrounded: water, yield band: 0.2 %}",
            "has a yield band and an unrounded material",
        ),
        ("{steps: {cement: 5 kg}, yield band: 5 %}", "allowed: 0 % .. 2 %"),
        ("{steps: {cement: whole bags of 25 kg}}", "`cement` comes in whole bags, and no load is named"),
        ("{load: 2 m3, steps: {cement: whole bags of 2 %}}", "a mass is needed"),
    ] {
        let caught = std::panic::catch_unwind(|| statement(&format!("rounding: {rounding}\n")));
        let text = caught.map_or_else(
            |error| error.downcast_ref::<String>().cloned().unwrap_or_default(),
            |_| String::new(),
        );
        assert!(text.contains(told), "{rounding}\n{text}");
    }
}
