//! Batch sheets, risks, whole steps and plants as a person runs them on what cannot be: code, place and way out.
//!
//! What enters: shipped problems and small statements changed in one place. What leaves: nothing.

use serde_json::Value;
use tempfile::TempDir;

use crate::kept;
use crate::program::{command, ended, ran};

/// Runs the program in a folder with some files.
fn in_folder(files: &[(&str, String)], arguments: &[&str]) -> (i32, String, String) {
    let folder = TempDir::new().expect("a folder");
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).expect("it is written");
    }
    ended(command(arguments).current_dir(folder.path()))
}

/// A shipped file with one thing changed, which it must hold.
fn changed(path: &str, from: &str, to: &str) -> String {
    let text = kept::text(path);
    assert!(text.contains(from), "{path} no longer holds `{from}`");
    text.replace(from, to)
}

fn told(run: (i32, String, String), code: i32, pieces: &[&str]) {
    let (ended, output, error) = run;
    assert_eq!(ended, code, "{output}{error}");
    for piece in pieces {
        assert!(error.contains(piece), "{error}\nlacks: {piece}");
    }
    assert_eq!(output, "", "nothing half-written");
}

const ORDER: &str = "problems/16-batch-sheet/order.yaml";

fn ordered(order: String) -> (i32, String, String) {
    let files = [("deck.yaml", kept::text("problems/16-batch-sheet.yaml")), ("order.yaml", order)];
    in_folder(&files, &["batch-sheet", "deck.yaml", "--order", "order.yaml"])
}

#[test]
fn orders_that_cannot_be_carried_out_end_with_two_a_place_and_a_way_out() {
    told(
        ordered(changed(ORDER, "sand: 5.8 %", "sand: -1 %")),
        2,
        &[
            "the moisture of `sand` is -1 %, below oven-dry",
            "--> order.yaml:7:9",
            "= help: if it was counted from surface-dry",
        ],
    );
    told(
        ordered(changed(ORDER, "sand: 5.8 %", "sand: 24 %")),
        2,
        &[
            "the water to add is",
            "lb below zero in the load of 8.82 yd3",
            "--> order.yaml:7:9",
            "`sand` brings most",
            "= help: let `sand` drain",
        ],
    );
    told(
        ordered(changed(ORDER, "truck drum: 14 yd3", "truck drum: 14 yd3\nload: 10 yd3")),
        2,
        &[
            "a load of 10 yd3 is above the truck's capacity",
            "--> order.yaml:6:7",
            "= help: write `load: 8.82 yd3`",
        ],
    );
}

#[test]
fn a_risk_of_none_or_of_more_than_half_is_no_target() {
    for target in ["0", "100", "60", "-1"] {
        let run = in_folder(
            &[("basin.yaml", kept::text("problems/17-weighed-with-risk.yaml"))],
            &["risk", "basin.yaml", "--target", target],
        );
        told(run, 2, &["--target", "allowed: 0.0001 .. 50 %", "no mix has no risk"]);
    }
}

#[test]
fn tolerances_of_zero_are_allowed_and_said() {
    let exact = "tolerance: {cement: 0 %, fly ash: 0 %, sand: 0 %, gravel: 0 %, water: 0 %, water reducer: 0 %}\n  results: 3";
    let text = changed("problems/17-weighed-with-risk.yaml", "results: 3", exact);
    let (code, output, error) =
        in_folder(&[("basin.yaml", text)], &["risk", "basin.yaml", "--batches", "1000"]);
    assert_eq!(code, 0, "{error}");
    assert!(output.contains("Every tolerance of weighing is zero"), "{output}");
    assert!(!output.contains("weighing of"), "what does not vary contributes nothing: {output}");
}

/// A mix of one binder of two, with its price.
fn mix(price: u32, rest: &str) -> String {
    format!(
        "mixbound: 1\ncurrency: EUR\nair: 2 %\nmaterials:\n  \
         cement: {{role: cement, density: 3100 kg/m3, price: {price} /t, amount: at least 100 kg/m3}}\n  \
         slag: {{role: slag, density: 2900 kg/m3, price: 78 /t}}\n  \
         sand: {{role: sand, density: 2640 kg/m3 surface-dry, absorption: 1 %, price: 14 /t surface-dry, amount: at least 600 kg/m3}}\n  \
         water: {{role: water, density: 1000 kg/m3, price: 1 /m3, amount: at least 170 kg/m3}}\n\
         limits:\n  water-binder ratio: at most 0.5\n{rest}goal: least cost\n"
    )
}

#[test]
fn a_volume_of_zero_hides_neither_unknown_names_nor_what_is_wrong_in_two_statements() {
    let plant =
        "mixes:\n  walls: {statement: wall.yaml, volume: 0 m3}\nplaces:\n  silos: {number: 1, of: [cemnt]}\n";
    let run =
        in_folder(&[("wall.yaml", mix(118, "")), ("plant.yaml", plant.to_owned())], &["plant", "plant.yaml"]);
    told(run, 2, &["the volume of mix `walls` is not above zero", "no statement has a material `cemnt`"]);
    let plant = "mixes:\n  walls: {statement: wall.yaml, volume: 1 m3}\n  slabs: {statement: slab.yaml, volume: 1 m3}\nplaces: {}\n";
    let wrong = |name: &str| mix(118, &format!("  {name}: at least 1 kg/m3\n"));
    let files =
        [("wall.yaml", wrong("lime")), ("slab.yaml", wrong("gypsum")), ("plant.yaml", plant.to_owned())];
    told(in_folder(&files, &["plant", "plant.yaml"]), 2, &["lime", "gypsum"]);
}

#[test]
fn an_export_says_that_its_risks_have_the_margin_of_their_scatter_alone() {
    let (code, output, error) =
        ended(&mut command(&["export", "problems/19-at-most-so-much-risk.yaml", "--what", "lp"]));
    assert_eq!(code, 0, "{error}");
    assert!(output.contains("ROWS"), "{output}");
    assert!(error.contains("have the margin of their scatter alone here"), "{error}");
}

#[test]
fn a_plant_with_too_few_silos_names_the_mix_and_how_many_it_needs() {
    let plant = "mixes:\n  walls: {statement: wall.yaml, volume: 4000 m3}\nplaces:\n  silos: {number: 1, of: [cement, slag]}\n";
    let run = in_folder(
        &[("wall.yaml", mix(118, "  slag: at least 60 kg/m3\n")), ("plant.yaml", plant.to_owned())],
        &["plant", "plant.yaml"],
    );
    told(run, 1, &["mix `walls` needs 2 of `silos`, and there are 1", "= help: give it a place more"]);
}

#[test]
fn two_materials_of_one_name_are_told_with_what_differs() {
    let plant = "mixes:\n  walls: {statement: wall.yaml, volume: 4000 m3}\n  slabs: {statement: slab.yaml, volume: 9000 m3}\nplaces:\n  silos: {number: 1, of: [cement]}\n";
    let run = in_folder(
        &[("wall.yaml", mix(118, "")), ("slab.yaml", mix(121, "")), ("plant.yaml", plant.to_owned())],
        &["plant", "plant.yaml"],
    );
    told(
        run,
        2,
        &[
            "`cement` is not one material in `slab.yaml` and `wall.yaml`",
            "--> plant.yaml:3:22",
            "price: 121 /t here, 118 /t there",
            "= help: include one file of materials in both",
        ],
    );
}

#[test]
fn steps_that_leave_no_mix_are_named_and_bags_need_a_load() {
    let round = |rounding: &str| {
        let text = mix(118, "").replace("goal:", &format!("rounding: {rounding}\ngoal:"));
        in_folder(&[("wall.yaml", text)], &["round", "wall.yaml"])
    };
    told(
        round("{steps: {cement: 5 kg, sand: 2500 kg}, unrounded: water}"),
        1,
        &["too coarse is the step of `sand`", "= help: take a finer step of it, or a larger load"],
    );
    told(
        round("{steps: {cement: whole bags of 25 kg}, unrounded: water}"),
        2,
        &[
            "`cement` comes in whole bags, and no load is named",
            "--> wall.yaml:11:42",
            "= help: add `load: 7.5 m3`",
        ],
    );
    told(
        round("{steps: {cement: 70 kg, slag: 70 kg, sand: 130 kg, water: 30 kg}, yield band: 0 %}"),
        1,
        &["no mix in these steps", "= help:"],
    );
}

/// What a command says as JSON of a shipped statement.
fn said(arguments: &[&str]) -> (Value, String) {
    let (code, output, error) = ran(arguments);
    assert_eq!(code, 0, "{output}{error}");
    (serde_json::from_str(&output).expect("it is JSON"), error)
}

const QUAY: &str = "problems/19-at-most-so-much-risk.yaml";

#[test]
fn sheets_risks_and_studies_are_of_the_mix_that_meets_its_risks() {
    let (solved, _) = said(&["solve", QUAY, "--format", "json"]);
    let amount = |name: &str| {
        let lines = solved["mix"].as_array().expect("a list").iter();
        let line = lines.clone().find(|line| line["material"] == name).expect("it is in the mix");
        line["amount"]["value"].as_f64().expect("a number")
    };
    let (risk, _) = said(&["risk", QUAY, "--batches", "20000", "--format", "json"]);
    for (limit, asked) in [(0, 4.0), (1, 10.0)] {
        let line = &risk["limits"][limit];
        assert_eq!(line["target"].as_f64(), Some(asked), "{line}");
        let beyond = line["beyond"][0].as_f64().expect("a number");
        assert!(beyond <= 1.03 * asked, "{line}");
    }
    let folder = TempDir::new().expect("a folder");
    let order = folder.path().join("order.yaml");
    std::fs::write(&order, "volume: 1 m3\n").expect("it is written");
    let order = order.to_str().expect("a path in letters");
    let (sheet, _) = said(&["batch-sheet", QUAY, "--order", order, "--format", "json"]);
    for line in sheet["lines"].as_array().expect("a list") {
        if line["role"] == "cement" || line["role"] == "slag" {
            let designed = amount(line["item"].as_str().expect("a name"));
            assert!((line["batch"].as_f64().expect("a number") - designed).abs() < 1e-6, "{line}");
        }
    }
    // The first case of a sweep is the statement itself.
    let vary = "limits.water-binder ratio.at most=0.55, 0.54";
    let (sweep, error) = said(&["sweep", QUAY, "--vary", vary, "--format", "json"]);
    assert!(error.contains("note: each mix meets the risks"), "{error}");
    let case = &sweep["cases"][0];
    assert_eq!(case["state"].as_str(), Some("best found"), "{case}");
    let goal = case["goal"].as_f64().expect("a number");
    let alone = solved["goal"]["value"].as_f64().expect("a number");
    assert!((goal - alone).abs() < 1e-6 * alone, "{goal} {alone}");
}

#[test]
fn a_front_with_risks_says_that_each_point_meets_them() {
    let text = kept::text(QUAY);
    let run = in_folder(
        &[("quay.yaml", text)],
        &["front", "quay.yaml", "--goals", "cost, least binder", "--points", "2", "--format", "json"],
    );
    assert_eq!(run.0, 0, "{}{}", run.1, run.2);
    assert!(run.2.contains("note: each mix meets the risks that limits ask for"), "{}", run.2);
    let front: Value = serde_json::from_str(&run.1).expect("it is JSON");
    let cheapest = front["points"][0]["values"][0].as_f64().expect("a number");
    // By the scatter alone 62.62 EUR/m3 would do; batches as weighed ask for more.
    assert!(63.0 < cheapest && cheapest < 64.0, "{cheapest}");
}

#[test]
fn what_rounding_costs_a_strength_is_told_in_its_own_unit() {
    let text = changed("problems/17-weighed-with-risk.yaml", "goal: least cost", "goal: {most: compressive strength}")
        .replace("limits:\n", "rounding: {steps: {cement: 5 kg, fly ash: 5 kg, sand: 10 kg, gravel: 10 kg}, unrounded: water}\nlimits:\n  cost: at most 75 EUR/m3\n");
    let (code, output, error) =
        in_folder(&[("basin.yaml", text)], &["round", "basin.yaml", "--format", "json"]);
    assert_eq!(code, 0, "{error}");
    let told: Value = serde_json::from_str(&output).expect("it is JSON");
    assert_eq!(told["goal_unit"], "MPa");
    let number = |key: &str, at: usize| told[key][at].as_f64().expect("a number");
    // On the log of the response it would be about 4.
    assert!(30.0 < number("plain", 1) && number("rounded", 1) <= number("plain", 0) * (1.0 + 1e-9), "{told}");
    let cost = number("plain", 0) - number("rounded", 1);
    assert!((number("cost", 1) - cost.max(0.0)).abs() < 1e-9, "{told}");
}
