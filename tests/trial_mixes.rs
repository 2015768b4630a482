//! Trials written as mixes, and rings whose ages at cracking correct strains: from files to files.
//!
//! All trials are invented.

use std::fs;

use serde_json::Value;

use crate::program::{json, output as mixbound, text};

const RESPONSES: &str = "problems/trials/responses.yaml";
const BATCHES: &str = "problems/trials/batches.csv";

/// The batches of the problem as mixes instead of separated values: weights, moistures, three specimens, no digit differs.
#[test]
fn trials_written_as_mixes_give_the_same_fit() {
    let csv = fs::read_to_string(BATCHES).unwrap();
    let mut lines = csv.lines();
    let names: Vec<&str> = lines.next().unwrap().split(',').collect();
    let at = |name: &str| names.iter().position(|other| other.starts_with(name)).unwrap();
    let rows: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    let mut yaml = "batches:\n".to_owned();
    for first in rows.iter().filter(|row| row[at("specimen")] == "a") {
        let cell = |name: &str| first[at(name)];
        let own: Vec<&Vec<&str>> = rows.iter().filter(|row| row[at("batch")] == cell("batch")).collect();
        let strengths: Vec<String> =
            own.iter().map(|row| format!("{} MPa", row[at("mean strength")])).collect();
        yaml += &format!(
            "  {}: {{mix: {}, block: {}, date: {}, batch volume: {} L, amounts: {{cement: {} kg, fly ash: {} kg, sand: {} kg, \
             gravel: {} kg, water: {} kg, water reducer: {} kg}}, moisture: {{sand: {} %, gravel: {} %}}, \
             results: [{{age: {} d, mean strength: [{}], slump: {} mm}}]}}\n",
            cell("batch"),
            cell("mix"),
            cell("block"),
            cell("date"),
            cell("batch volume"),
            cell("cement"),
            cell("fly ash"),
            cell("sand"),
            cell("gravel"),
            cell("water ("),
            cell("water reducer"),
            cell("moisture of sand"),
            cell("moisture of gravel"),
            cell("age"),
            strengths.join(", "),
            cell("slump"),
        );
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("batches.yaml").display().to_string();
    fs::write(&path, &yaml).unwrap();
    let mixes = json(&mixbound(&["fit", RESPONSES, "--trials", &path, "--format", "json"]));
    let table = json(&mixbound(&["fit", RESPONSES, "--trials", BATCHES, "--format", "json"]));
    for fit in table["fits"].as_array().unwrap() {
        let other = mixes["fits"].as_array().unwrap();
        assert!(other.contains(fit), "{}", fit["response"]);
    }
    // What is wrong is told at the author's own value.
    for (from, to, told) in [
        ("amounts: {cement: 12.210 kg", "amounts: {cemnt: 12.210 kg", "unknown material `cemnt`"),
        ("cement: 12.210 kg", "cement: 305 kg/m3", "some amounts of batch `B01` are as weighed"),
        ("slump: 95 mm", "slump: 95 MPa", "`slump` is a length"),
        ("slump: 95 mm", "slump: 95", "`slump` is a length, and the value has no unit"),
        ("slump: 95 mm", "slump: 90 .. 95 mm", "`slump` is a range"),
        ("slump: 95 mm", "slump: -95 mm", "cannot be"),
        ("batch volume: 40 L", "batch volume: 4 L", "the amounts fill"),
    ] {
        assert!(yaml.contains(from), "{from}");
        fs::write(&path, yaml.replacen(from, to, 1)).unwrap();
        let output = mixbound(&["fit", RESPONSES, "--trials", &path]);
        assert_eq!(output.status.code(), Some(2), "{to}");
        let text = text(&output.stderr);
        assert!(text.contains(told) && text.contains("batches.yaml:2:"), "{to}: {text}");
    }
}

const RINGS: &str = "problems/12-mechanistic-cracking.yaml";

/// Rings of one mix of the problem, read by the week: the scale moves the age by the laws into what was read.
#[test]
fn rings_scale_the_strains_and_what_they_cannot_tell_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let head = "batch,cement (kg/m3),sand (kg/m3),stone (kg/m3),water (kg/m3),water reducer (kg/m3),air entrainer (kg/m3),crack-free age (d)";
    let file = |readings: &[&str]| {
        let row = |(at, reading): (usize, &&str)| format!("R{at},420,800,850,170,4,0.5,{reading}\n");
        format!("{head}\n{}", readings.iter().enumerate().map(row).collect::<String>())
    };
    let calibrated = |readings: &[&str], more: &[&str]| {
        fs::write(path("rings.csv"), file(readings)).unwrap();
        let (rings, scale) = (path("rings.csv"), path("scale.yaml"));
        let mut words = vec!["calibrate", RINGS, "--trials", &rings, "--of", "crack-free age"];
        words.extend(["--fragment", &scale]);
        words.extend(more);
        mixbound(&words)
    };
    let facts = json(&calibrated(&["5 .. 7", "at least 6", "4.0 .. 5.0", "6 .. 7"], &["--format", "json"]));
    let scale = facts["scale"].as_f64().unwrap();
    let ring = &facts["rings"][0];
    assert!(scale < 1.0 && ring["by_laws"].as_f64().unwrap() < 4.0, "{facts}");
    // Days count from drying at day 1, and rings since casting.
    assert!((5.5..7.5).contains(&ring["corrected"].as_f64().unwrap()), "{ring}");
    let fragment = fs::read_to_string(path("scale.yaml")).unwrap();
    assert!(fragment.contains(&format!("    scale: {scale}")), "{fragment}");
    let sure = json(&calibrated(&["5 .. 7", "6 .. 7"], &["--sure", "90", "--format", "json"]));
    assert_eq!(sure["scatter"], 0.12);
    assert!(sure["written"][0].as_f64().unwrap() > 1.1 * sure["scale"].as_f64().unwrap());
    fs::remove_file(path("scale.yaml")).unwrap();
    let bound = json(&calibrated(&["at least 20", "at least 28"], &["--format", "json"]));
    assert!(bound["scale"].is_null() && bound["scale_at_most"].as_f64().unwrap() < 1.0);
    assert!(!folder.path().join("scale.yaml").exists());
    for word in ["restraint", "share"] {
        let refused = calibrated(&["5 .. 7"], &["--correct", word]);
        assert_eq!(refused.status.code(), Some(2));
        assert!(text(&refused.stderr).contains("cannot tell"));
    }
    let wrong = calibrated(&["7 .. 5"], &[]);
    assert!(text(&wrong.stderr).contains("does not say when a ring cracked"));
    // The scale reaches the statement that includes it.
    json(&calibrated(&["5 .. 7", "6 .. 7"], &["--format", "json"]));
    let statement =
        fs::read_to_string(RINGS).unwrap().replace("mixbound: 1", "mixbound: 1\ninclude: [scale.yaml]");
    fs::write(path("statement.yaml"), statement).unwrap();
    let mix = "amounts: {cement: 420 kg/m3, sand: 800 kg/m3, stone: 850 kg/m3, water: 170 kg/m3, water reducer: 4 kg/m3, air entrainer: 0.5 kg/m3}\n";
    fs::write(path("mix.yaml"), mix).unwrap();
    let age = |statement: &str| {
        let output = mixbound(&["predict", statement, "--mix", &path("mix.yaml"), "--format", "json"]);
        let report: Value = serde_json::from_slice(&output.stdout).unwrap();
        let list = report["responses"].as_array().unwrap().clone();
        list.iter().find(|one| one["name"] == "crack-free age").unwrap()["value"].as_f64().unwrap()
    };
    assert!(age(RINGS) + 1.0 < age(&path("statement.yaml")));
}

/// Bounds of the materials that leave the region of the fit: by the gate, or by a proof that all regions together leave none.
#[test]
fn a_region_that_excludes_every_allowed_mix_is_told_with_the_fit() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let shelf = fs::read_to_string("problems/trials/materials.yaml").unwrap();
    fs::copy(RESPONSES, path("responses.yaml")).unwrap();
    let told = |amount: &str| {
        let other = shelf.replace("amount: 180 .. 420 kg/m3", &format!("amount: {amount} kg/m3"));
        assert!(amount == "180 .. 420" || other != shelf);
        fs::write(path("materials.yaml"), other).unwrap();
        let output = mixbound(&["fit", &path("responses.yaml"), "--trials", BATCHES]);
        assert_eq!(output.status.code(), Some(0));
        text(&output.stderr)
    };
    assert!(told("600 .. 650").contains("`b/w` of response `mean strength` excludes every allowed mix"));
    assert!(told("500 .. 600").contains("lies inside the regions of all fitted responses together"));
    assert_eq!(told("180 .. 420"), "");
}

#[test]
fn a_front_tells_which_of_its_mixes_to_try_first() {
    let words = [
        "plan",
        "problems/20-from-trials.yaml",
        "--front",
        "cost, slump",
        "--points",
        "5",
        "--format",
        "json",
    ];
    let order = json(&mixbound(&words));
    let steps = order["order"].as_array().unwrap();
    let mut before = order["before"].as_f64().unwrap();
    let mut falls = Vec::new();
    let mut points: Vec<u64> = Vec::new();
    for step in steps {
        let after = step["after"].as_f64().unwrap();
        falls.push(before - after);
        before = after;
        points.push(step["point"].as_u64().unwrap());
    }
    // Each point once; the first trial brings most, and none does harm.
    assert!(
        falls.windows(2).all(|pair| pair[1] <= pair[0]) && falls.iter().all(|fall| 0.0 < *fall),
        "{falls:?}"
    );
    points.sort_unstable();
    assert_eq!(points, (1..=steps.len() as u64).collect::<Vec<_>>());
}

#[test]
fn a_fit_prints_as_a_page_with_its_charts_and_all_residuals() {
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("fit.html").display().to_string();
    let output = mixbound(&["fit", RESPONSES, "--trials", BATCHES, "--page", &page]);
    assert_eq!(output.status.code(), Some(0));
    let html = fs::read_to_string(&page).unwrap();
    assert_eq!(html.matches("<svg").count(), 4);
    for told in [
        "measured over predicted",
        "residuals over predictions",
        "Residuals of all mixes",
        "root mean square",
    ] {
        assert!(html.contains(told), "{told}");
    }
    // The residuals of least squares with a constant have no mean.
    let text = text(&output.stdout);
    let mean = text.lines().find(|line| line.starts_with("mean  ")).unwrap();
    assert_eq!(mean.split_whitespace().collect::<Vec<_>>(), ["mean", "0", "0"]);
    let confirmed = mixbound(&["calibrate", "problems/01-by-hand.yaml", "--trials", BATCHES, "--of", "x"]);
    assert_eq!(confirmed.status.code(), Some(2));
}

/// A leverage is judged as the number it is, whatever the unit of its response: a mix beyond it does not pass.
#[test]
fn a_mix_beyond_the_leverage_of_a_fit_is_not_met() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    fs::create_dir(folder.path().join("trials")).unwrap();
    fs::copy("problems/trials/materials.yaml", path("trials/materials.yaml")).unwrap();
    fs::copy("problems/20-from-trials.yaml", path("statement.yaml")).unwrap();
    let kept = fs::read_to_string("problems/trials/fitted.yaml").unwrap();
    let mix = "volume: to yield\namounts: {cement: 290 kg/m3, fly ash: 124 kg/m3, sand: 700 kg/m3, gravel: 1000 kg/m3, water: 170 kg/m3, water reducer: 3 kg/m3}\n";
    fs::write(path("mix.yaml"), mix).unwrap();
    let standing = |most: &str| {
        let line = kept.lines().find(|line| line.starts_with("    leverage: ")).unwrap();
        fs::write(path("trials/fitted.yaml"), kept.replacen(line, &format!("    leverage: {most}"), 1))
            .unwrap();
        let output =
            mixbound(&["predict", &path("statement.yaml"), "--mix", &path("mix.yaml"), "--format", "json"]);
        let report: Value = serde_json::from_slice(&output.stdout).unwrap();
        let list = report["limits"].as_array().unwrap().clone();
        let line = list.into_iter().find(|line| line["name"] == "leverage of mean strength").unwrap();
        (line["standing"].as_str().unwrap().to_owned(), line["got"].as_f64().unwrap())
    };
    let (_, got) = standing("0.813");
    assert!(0.1 < got && got < 0.8, "{got}");
    assert_eq!(standing(&format!("{}", 1.2 * got)).0, "met");
    assert_eq!(standing(&format!("{got}")).0, "binding");
    assert_eq!(standing(&format!("{}", 0.8 * got)).0, "not met");
}
