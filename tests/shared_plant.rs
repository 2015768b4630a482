//! Several mixes on one plant: against enumeration of all sets, limited stock, and plants that cannot be.
//!
//! What enters: small linear statements written here. `scripts/cross-check-plant` holds drawn plants against an integer
//! program of `HiGHS` and against enumeration by it.

use mixbound::answer::plans::{parts, plans};
use mixbound::answer::units::Units;
use mixbound::finding::Sources;
use mixbound::listed::Id;
use mixbound::material::Material;
use mixbound::plant::{Asked, NoPlan, Plan, SharedPlant, plan, shared_plant};
use mixbound::problem::Problem;
use mixbound::render::layout::Width;
use mixbound::render::{Format, written};
use mixbound::solve::{Settings, Verdict, solve};
use mixbound::statement::read_plant;

use crate::problems::problem;

/// One mix: two binders, two sands, two stones; water over active binder, and what one of each costs in water.
fn statement(ratio: f64, binder: f64, price: f64, rest: &str) -> String {
    format!(
        "mixbound: 1\ncurrency: EUR\nair: 2 %\nmaterials:\n  \
         cement: {{role: cement, density: 3100 kg/m3, price: {price} /t}}\n  \
         ash: {{role: fly ash, density: 2300 kg/m3, price: 45 /t}}\n  \
         slag: {{role: slag, density: 2900 kg/m3, price: 78 /t}}\n  \
         river: {{role: sand, density: 2640 kg/m3 surface-dry, absorption: 1 %, price: 17 /t surface-dry}}\n  \
         pit: {{role: sand, density: 2660 kg/m3 surface-dry, absorption: 1 %, price: 11 /t surface-dry}}\n  \
         round: {{role: coarse aggregate, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 19 /t surface-dry}}\n  \
         broken: {{role: coarse aggregate, density: 2720 kg/m3 surface-dry, absorption: 1 %, price: 14 /t surface-dry}}\n  \
         water: {{role: water, density: 1000 kg/m3, price: 1 /m3}}\n\
         quantities:\n  active: {{of: {{cement: 1, ash: 0.4, slag: 0.75}}}}\n  \
         wetting: {{of: {{river: 0.095, pit: 0.118, round: 0.08, broken: 0.095}}}}\n\
         limits:\n  strong: {{on: {{of: [water], to: {{cement: 1, ash: 0.4, slag: 0.75}}}}, at most: {ratio}}}\n  \
         binder: at least {binder} kg/m3\n  wet: {{on: water, at least: wetting}}\n  sand share: 38 .. 50 %\n  aggregate volume: at least 40 %\n\
         {rest}goal: least cost\n"
    )
}

const PLACES: &str = "places:\n  silos: {number: 1, of: [cement, ash, slag]}\n  bins: {number: 2, of: [river, pit, round, broken]}\n";

fn mixes() -> Vec<String> {
    vec![
        statement(0.62, 260.0, 118.0, ""),
        statement(0.45, 340.0, 118.0, "choices: {clean: {forbid: [ash]}}\n"),
        statement(0.52, 300.0, 118.0, "  smooth: {on: round, at least: 200 kg/m3}\n"),
    ]
}

/// The plant, or its findings.
fn plant(mixes: &[String], rest: &str) -> Result<SharedPlant, String> {
    let mut text = String::from("currency: EUR\nmixes:\n");
    let mut problems: Vec<(String, Problem)> = Vec::new();
    for (at, mix) in mixes.iter().enumerate() {
        text += &format!("  mix {at}: {{statement: mix{at}.yaml, volume: {} m3}}\n", 4000 * (at + 1));
        problems.push((format!("mix{at}.yaml"), problem(&format!("mix{at}.yaml"), mix.clone()).0));
    }
    text += rest;
    let mut sources = Sources::default();
    let source = sources.add("plant.yaml", text);
    read_plant(&sources, source)
        .and_then(|entry| shared_plant(&entry, problems))
        .map_err(|findings| findings.render(&sources))
}

fn planned(rest: &str) -> (SharedPlant, Result<Plan, NoPlan>) {
    let plant = plant(&mixes(), rest).unwrap_or_else(|findings| panic!("{findings}"));
    let found = plan(&plant, &Asked::default());
    (plant, found)
}

/// The least cost of a year over every set of materials that the places allow, each mix solved under each set.
fn enumerated(plant: &SharedPlant) -> f64 {
    let sets = 1_u32 << plant.materials.len();
    let fits = |set: u32| {
        plant
            .places
            .iter()
            .all(|places| places.of.iter().filter(|at| set & (1 << **at) != 0).count() <= places.number)
    };
    let placed = |at: usize| plant.places.iter().any(|places| places.of.contains(&at));
    let whole = |set: u32| (0..plant.materials.len()).all(|at| placed(at) || set & (1 << at) != 0);
    let cost = |set: u32| -> f64 {
        let mut used = vec![false; plant.materials.len()];
        let mut total = 0.0;
        for mix in &plant.mixes {
            let banned: Vec<(Id<Material>, f64)> = (0..plant.materials.len())
                .filter(|at| set & (1 << at) == 0)
                .filter_map(|at| mix.columns[at].map(|column| (column, 0.0)))
                .collect();
            let Some(problem) = mix.problem.with_most(&banned) else { return f64::INFINITY };
            let Verdict::Found(found) = solve(&problem, &Settings::default()) else { return f64::INFINITY };
            total += mix.volume * found.goal;
            for (at, used) in used.iter_mut().enumerate() {
                *used |= mix.columns[at].is_some_and(|column| 1e-6 < found.mix[column.index()]);
            }
        }
        total
            + used.iter().zip(&plant.keeping).map(|(used, cost)| if *used { *cost } else { 0.0 }).sum::<f64>()
    };
    (0..sets).filter(|set| fits(*set) && whole(*set)).map(cost).fold(f64::INFINITY, f64::min)
}

#[test]
fn a_plan_is_the_best_of_all_sets_and_its_bound_below_it() {
    for rest in [
        PLACES.to_owned(),
        format!("{PLACES}keeping: {{cement: 3000 EUR, slag: 500 EUR, river: 8000 EUR}}\n"),
    ] {
        let (plant, found) = planned(&rest);
        let found = found.unwrap();
        let best = enumerated(&plant);
        assert!((found.upper / best - 1.0).abs() < 1e-3, "{} against {best}", found.upper);
        assert!(found.lower <= best * (1.0 + 1e-6), "{} against {best}", found.lower);
        assert!(found.upper - found.lower <= 1e-3 * found.upper);
        // Alone is never dearer, and each mix keeps within what is kept.
        assert!(found.alone.0 <= found.upper);
    }
}

#[test]
fn one_more_place_saves_what_planning_again_with_it_saves() {
    let (_, found) = planned(PLACES);
    let found = found.unwrap();
    let more = PLACES.replace("number: 2", "number: 3");
    let again = planned(&more).1.unwrap();
    let saving = found.savings.iter().find(|saving| saving.places == 1).unwrap();
    let saved = found.upper - again.upper;
    assert!(saving.low <= saved + 1e-3 * found.upper && saved - 1e-3 * found.upper <= saving.high);
    assert!(0.0 <= saving.high && saving.added != 0);
}

/// Identity: the mixes stay within the stock, cost no less than without it, and the bound holds below them.
#[test]
fn limited_stock_is_shared_out_and_priced() {
    let free = planned(PLACES).1.unwrap();
    let silos = PLACES.replace("number: 1", "number: 2");
    let wide = planned(&silos).1.unwrap();
    let slag =
        wide.mixes.iter().enumerate().map(|(at, mix)| 4.0 * (at as f64 + 1.0) * mix.mix[2]).sum::<f64>();
    assert!(slag > 0.0 && free.upper >= wide.upper * (1.0 - 1e-3));
    let mut costs = Vec::new();
    for share in [0.97, 0.5] {
        let (_, found) = planned(&format!("{silos}stock: {{slag: {} t}}\n", share * slag));
        let found = found.unwrap();
        let stock = &found.stock[0];
        assert!(stock.used <= stock.stock * (1.0 + 1e-6));
        assert!(wide.lower <= found.upper && found.lower <= found.upper);
        assert!(found.upper - found.lower <= 1e-3 * found.upper, "{} {}", found.lower, found.upper);
        // What is dear is used up, what is left over costs nothing.
        assert!(stock.price * (stock.stock - stock.used) <= 1e-3 * found.upper, "{stock:?}");
        assert!(share < 0.9 || 0.0 < stock.price, "{stock:?}");
        costs.push(found);
    }
    assert!(costs[0].lower <= costs[1].upper, "less stock never costs less");
}

/// Two stocks and keeping with no set looked at beyond the first plan: the plan is there, its bound holds, nothing is claimed.
#[test]
fn a_search_that_ends_early_leaves_its_best_plan_and_says_so() {
    let silos = PLACES.replace("number: 1", "number: 2");
    let rest = format!(
        "{silos}stock: {{slag: 700 t, broken: 14000 t}}\nkeeping: {{slag: 3000 EUR, river: 8000 EUR}}\n"
    );
    let (plant, full) = planned(&rest);
    let full = full.unwrap();
    let early = plan(&plant, &Asked { nodes: 0, ..Asked::default() }).unwrap();
    assert!(full.proven && !early.proven, "{} {}", early.lower, early.upper);
    assert!(full.upper <= early.upper * (1.0 + 1e-3) && early.lower <= full.upper);
    for stock in &early.stock {
        assert!(stock.used <= stock.stock * (1.0 + 1e-6), "{stock:?}");
    }
    let told = |plan: &Plan| {
        let facts = plans(&plant, plan, Units::Si);
        let (parts, table) = parts(&facts);
        written(&facts, &parts, &table, Format::Text, Width::PIPED)
    };
    let words = "This plan is the best found, not proven";
    assert!(told(&early).contains(words) && !told(&full).contains(words), "{}", told(&early));
    // What one more place saves is not known where work ended before it was asked.
    let stopped = told(&Plan { savings: Vec::new(), ..early });
    assert!(stopped.contains("not known: work ended before"), "{stopped}");
}

#[test]
fn a_plant_that_cannot_be_says_which_mix_needs_how_much() {
    let one = PLACES.replace("number: 2", "number: 1");
    assert_eq!(planned(&one).1.unwrap_err(), NoPlan::Places { mix: 0, places: 1, needed: 2 });
    // Each fits alone: one does without ash, the other without cement and slag.
    let apart = [
        statement(0.62, 260.0, 118.0, "choices: {one: {forbid: [ash, slag]}}\n"),
        statement(0.62, 260.0, 118.0, "choices: {other: {forbid: [cement]}}\n"),
    ];
    let plant = plant(&apart, PLACES).unwrap();
    assert_eq!(plan(&plant, &Asked::default()).unwrap_err(), NoPlan::Together);
    let (_, found) =
        planned(&format!("{}stock: {{river: 0 t, pit: 10 t}}\n", PLACES.replace("number: 2", "number: 4")));
    assert!(matches!(found, Err(NoPlan::Stock(_))), "{found:?}");
}

#[test]
fn what_is_wrong_with_a_plant_is_told_with_its_place() {
    let mut other = mixes();
    other[1] = statement(0.45, 340.0, 121.0, "");
    let findings = plant(&other, PLACES).unwrap_err();
    for piece in [
        "`cement` is not one material in `mix1.yaml` and `mix0.yaml`",
        "price: 121 /t here, 118 /t there",
        "include one file",
    ] {
        assert!(findings.contains(piece), "{findings}");
    }
    for (rest, told) in [
        ("places:\n  silos: {number: 1, of: [cemnt]}\n", "did you mean `cement`?"),
        (
            "places:\n  silos: {number: 1, of: [cement]}\n  bins: {number: 1, of: [cement]}\n",
            "`cement` has two kinds of places",
        ),
        ("places:\n  silos: {number: 1, of: [cement]}\nstock: {slag: -4 t}\n", "below zero"),
        ("places:\n  silos: {number: 1, of: [cement]}\nkeeping: {slag: 4 $}\n", "$"),
    ] {
        let findings = plant(&mixes(), rest).unwrap_err();
        assert!(findings.contains(told), "{rest}\n{findings}");
    }
    // Kinds of findings do not hide one another.
    let findings =
        plant(&other, "places:\n  silos: {number: 1, of: [cemnt]}\nstock: {slag: -4 t, slga: 3 t}\n")
            .unwrap_err();
    for told in [
        "`cement` is not one material",
        "material `cemnt`",
        "`slag` in `stock` is below zero",
        "material `slga`",
    ] {
        assert!(findings.contains(told), "{findings}");
    }
}
