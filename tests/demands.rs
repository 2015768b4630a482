//! What classes demand and nobody checks stands in every form of the report, and the author can say which strength they
//! mean.
//!
//! What enters: a small invented statement with two strengths. EN 206-1:2000, table F.1: XD3 asks for C35/45, a
//! water-cement ratio of at most 0.45 and 320 kg/m3 of cement.

use std::fs;

use mixbound::listed::Id;
use mixbound::problem::{Problem, Subject};
use mixbound::quantity::Unit;

use crate::problems::written;

const TWO: &str = "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {role: cement, density: 3150 kg/m3, price: 120 /t, amount: 300 .. 500 kg/m3}
  sand: {role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 150 .. 220 kg/m3}
responses:
  drilled cores:
    unit: MPa
    strength: {specimen: cylinder 100 x 200 mm, statistic: mean, age: 28 d, curing: on site}
    factors: {w: {is: water-cement ratio, region: 0.3 .. 0.7}}
    terms: {constant: 80, w: -75}
  moist cylinders:
    unit: MPa
    strength: {specimen: cylinder 150 x 300 mm, statistic: mean, age: 28 d, curing: moist}
    factors: {w: {is: water-cement ratio, region: 0.3 .. 0.7}}
    terms: {constant: 85, w: -75}
goal: least cost
";

const WHY: &str = "XD3: strength at least C35/45 not checked: the statement holds 2 strengths at 28 d (drilled cores, moist \
                   cylinders): name one";

fn statement(classes: &str) -> String {
    format!("{TWO}classes: {{of: [XD3], margin: 8 MPa{classes}}}\n")
}

/// Exit code and standard output of a solve, spaces and line breaks made alike.
fn solved(text: &str, format: &str) -> (i32, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("statement.yaml");
    fs::write(&path, text).unwrap();
    let path = path.to_str().unwrap();
    let arguments = match format {
        "page" => vec!["report", path],
        _ => vec!["solve", path, "--format", format],
    };
    let output = crate::program::output(&arguments);
    let words: Vec<String> =
        String::from_utf8(output.stdout).unwrap().split_whitespace().map(str::to_owned).collect();
    (output.status.code().unwrap(), words.join(" "))
}

#[test]
fn a_demand_that_nobody_checks_stands_in_every_form_of_the_report() {
    for format in ["text", "markdown", "csv", "page"] {
        let (code, out) = solved(&statement(""), format);
        assert_eq!(code, 0, "{format}");
        if format == "csv" {
            assert!(out.contains("demand,XD3: strength at least C35/45"), "{out}");
            assert!(out.contains("not checked"), "{out}");
        } else {
            let verdict = "every limit that could be checked is met, 1 demand of a class was not";
            assert!(out.contains(verdict), "{format}");
            assert!(out.replace('\\', "").replace("&#x2f;", "/").contains(WHY), "{format}");
        }
    }
    let (_, json) = solved(&statement(""), "json");
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["not_checked"][0]["name"], "XD3: strength");
    assert_eq!(json["not_checked"][0]["demand"], "at least C35/45");
    let (_, plain) = solved(TWO, "text");
    assert!(plain.contains("every limit is met"), "{plain}");
}

fn checked(text: &str) -> Result<(Problem, String), String> {
    written(text).map(|(problem, _, told)| (problem, told))
}

#[test]
fn the_author_says_which_strength_a_class_means() {
    let (problem, told) = checked(&statement(", strength: moist cylinders")).unwrap();
    assert!(told.ends_with("0 errors, 0 warnings\n") && problem.unchecked.is_empty(), "{told}");
    let limit = problem.requirements.iter().find(|one| one.name == "XD3: moist cylinders").unwrap();
    assert!(matches!(limit.subject, Subject::Response(at) if at == Id::at(1)));
    // an own limit on one of the two says it as well
    let (problem, _) = checked(&format!(
        "{}limits: {{drilled cores: {{at least: 40 MPa, statistic: characteristic, margin: 8 MPa}}}}\n",
        statement("")
    ))
    .unwrap();
    assert!(problem.unchecked.is_empty());
    let wrong = checked(&statement(", strength: moist cylinder")).unwrap_err();
    assert!(wrong.contains("unknown response `moist cylinder` in `classes`"), "{wrong}");
    assert!(wrong.contains("did you mean `moist cylinders`?"), "{wrong}");
}

#[test]
fn a_class_of_which_nothing_is_checked_is_told() {
    let (problem, told) = checked(&format!("{TWO}classes: [penetration tests]\n")).unwrap();
    assert!(told.contains("nothing that class `penetration tests` asks for is checked"), "{told}");
    assert!(told.contains("it asks for charge passed at most 2000 C"), "{told}");
    assert!(told.ends_with("0 errors, 1 warning\n"), "told once: {told}");
    assert_eq!(problem.unchecked.len(), 1);
}

/// European Guidelines for Self-Compacting Concrete 2005: VF2 is 9 to 25 s; ASTM C1611: 2 to 5 s (value from memory). A window
/// is one demand, and a reader of customary units gets it in inches.
#[test]
fn both_sides_of_a_window_are_one_demand_that_nothing_checks() {
    let (problem, told) =
        checked(&format!("{TWO}classes: [VF2, usual flow time, penetration resistant]\n")).unwrap();
    let demands: Vec<String> =
        problem.unchecked.iter().map(|one| format!("{} {}", one.name(), one.demand(Unit::clone))).collect();
    assert_eq!(
        demands,
        [
            "VF2: V-funnel time 9 .. 25 s",
            "usual flow time: flow time to 500 mm 2 .. 5 s",
            "penetration resistant: penetration depth at most 10 mm"
        ]
    );
    assert!(told.contains("it asks for V-funnel time 9 .. 25 s"), "{told}");
    assert_eq!(problem.unchecked[2].demand(|_| Unit::known("in")), "at most 0.3937 in");
}

/// EN 206-1, annex A.5 and the criteria of initial production: a target of 8 MPa over C35/45 with a deviation of 4 MPa.
#[test]
fn acceptance_criteria_stand_beside_the_target_of_a_strength() {
    let text = statement(", strength: moist cylinders")
        .replace("margin: 8 MPa", "margin: {rule: en 206, deviation: 4 MPa}");
    for format in ["text", "markdown", "csv", "json", "page"] {
        let (code, out) = solved(&text, format);
        assert_eq!(code, 0);
        assert!(
            out.contains("the acceptance criteria of EN 206 judge results, they are no target"),
            "{format}"
        );
        assert!(out.contains("Three results meet the criteria of initial production"), "{format}");
        assert!(format != "json" || out.contains("\"passes_continuous\":"), "{format}");
    }
}

/// A shelf with fly ash and silica fume that count by k-values, all invented.
const COUNTED: &str = "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {role: cement, density: 3150 kg/m3, price: 120 /t, contents: {alkalis: 0.70 %}, amount: 150 .. 500 kg/m3}
  ash: {role: fly ash, density: 2300 kg/m3, price: 40 /t, contents: {alkalis: 2 %}}
  fume: {role: silica fume, density: 2200 kg/m3, price: 400 /t}
  sand: {role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 130 .. 220 kg/m3}
goal: least cost
";

/// Values that limits of these names ask for, in base units.
fn asked(problem: &Problem, name: &str) -> Vec<f64> {
    let wanted = problem.requirements.iter().filter(|one| one.name == name).map(|one| match one.wanted {
        mixbound::problem::Wanted::Value(value) => one.unit.to_base(value),
        _ => f64::NAN,
    });
    wanted.collect()
}

/// EN 206-1:2000, 5.2.5.2 (value from memory): XC4 asks for 300 kg/m3 of cement; with ash of k 0.4 at least 260, with silica
/// fume at least 270, and at least 300 with the additions.
#[test]
fn the_least_cement_follows_the_k_value_of_what_counts_beside_it() {
    for (counted, least) in [
        ("ash: {k: 0.4, cap: 0.33}", 260.0),
        ("ash: {k: 0.2, cap: 0.33}", 280.0),
        ("fume: {k: 1.0, cap: 0.11}", 270.0),
        ("ash: {k: 0.4, cap: 0.33}, fume: {k: 1.0, cap: 0.11}", 270.0),
    ] {
        let (problem, _) =
            checked(&format!("{COUNTED}equivalent binder: {{{counted}}}\nclasses: [XC4]\n")).unwrap();
        assert_eq!(asked(&problem, "XC4: cement"), [least], "{counted}");
        assert_eq!(asked(&problem, "XC4: cement with additions"), [300.0], "{counted}");
    }
    let (problem, _) = checked(&format!("{COUNTED}classes: [XC4]\n")).unwrap();
    assert_eq!(asked(&problem, "XC4: cement"), [300.0]);
    let (problem, told) = checked(&format!(
        "{COUNTED}equivalent binder: {{ash: {{k: 0.4, cap: 0.33}}, fume: {{k: 2.0, cap: 0.11}}}}\nclasses: [XC4]\n"
    ))
    .unwrap();
    assert!(told.contains("silica fume counts 2 times beside class `XC4`"), "{told}");
    assert!(problem.bases.iter().any(|basis| basis.contains("national rules")), "{:?}", problem.bases);
    // up to 0.45 it counts twice
    let low = format!("{COUNTED}equivalent binder: {{fume: {{k: 2.0, cap: 0.11}}}}\nclasses: [XF4]\n");
    let low = low.replace("air: 2 %", "air: 5 %");
    assert!(!checked(&low).unwrap().1.contains("silica fume counts"), "XF4 asks for 0.45");
    let blended = COUNTED.replace("amount: 150", "constituents: {slag: 50 %, cement: 50 %}, amount: 150");
    let (_, told) =
        checked(&format!("{blended}equivalent binder: {{ash: {{k: 0.4, cap: 0.33}}}}\nclasses: [XC4]\n"))
            .unwrap();
    assert!(told.contains("k-values stand beside cement `cement`, which holds 50 % of other"), "{told}");
}

/// ASTM C1778 (value from memory): 380 kg of cement with 0.70 % are 2.66 kg/m3, within level W and beyond level X; what ash
/// brings does not count.
#[test]
fn alkali_loading_counts_the_alkalis_of_the_cement() {
    let fixed = COUNTED.replace("amount: 150 .. 500 kg/m3", "amount: 380 .. 380 kg/m3");
    let (within, _) = solved(&format!("{fixed}classes: [alkali loading W]\n"), "text");
    let (beyond, _) = solved(&format!("{fixed}classes: [alkali loading X]\n"), "text");
    assert_eq!((within, beyond), (0, 1));
}

/// EN 1504-3:2005, table 3: class R4, and what nothing can check.
#[test]
fn a_repair_class_asks_for_bond_and_modulus_and_tells_of_carbonation() {
    let (problem, _) =
        checked(&format!("{TWO}classes: {{of: [R4], strength: moist cylinders, margin: 4 MPa}}\n")).unwrap();
    assert_eq!(asked(&problem, "R4: moist cylinders"), [45e6]);
    // one margin stands for exposure and repair classes together
    let both = "{of: [R4, XC4], strength: moist cylinders, margin: {rule: en 206, deviation: 4 MPa}}";
    let (problem, _) = checked(&format!("{TWO}classes: {both}\n")).unwrap();
    assert_eq!(asked(&problem, "R4: moist cylinders"), [45e6]);
    let open: Vec<String> = problem.unchecked.iter().map(mixbound::problem::Unchecked::name).collect();
    for name in
        ["R4: carbonation", "R4: bond strength", "R4: modulus", "R4: content of chlorides / fresh density"]
    {
        assert!(open.iter().any(|known| known == name), "{name}: {open:?}");
    }
}

/// ASTM C1610 (value from memory): at most 10 % of column segregation. Nothing predicts it here; a measured value answers the
/// demand, and is judged.
#[test]
fn predict_judges_measured_values_by_classes_and_limits() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let text = format!("{TWO}classes: [column stability]\nlimits: {{drilled cores: at least 40 MPa}}\n");
    let statement = path("statement.yaml", &text);
    let told = |segregation: &str, format: &str| {
        let mix = path(
            "mix.yaml",
            &format!(
                "amounts: {{cement: 350 kg/m3, sand: 1900 kg/m3, water: 150 kg/m3}}\nmeasured: {{column segregation: \
                 {segregation}, drilled cores: 39 MPa}}\n"
            ),
        );
        let output = crate::program::output(&["predict", &statement, "--mix", &mix, "--format", format]);
        let out = String::from_utf8(output.stdout).unwrap();
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let json: serde_json::Value = serde_json::from_str(&told("11.2 %", "json")).unwrap();
    let json = if json.is_array() { json[0].clone() } else { json };
    let measured = json["measured"].as_array().unwrap();
    let of = |name: &str| measured.iter().find(|one| one["name"] == name).unwrap()["demands"][0].clone();
    assert_eq!(of("column segregation")["name"], "column stability: column segregation");
    assert_eq!(
        (&of("column segregation")["met"], &of("drilled cores")["met"]),
        (&false.into(), &false.into())
    );
    assert!(json["not_checked"].is_null(), "the measured value answers it");
    let text = told("8 %", "text");
    assert!(!text.contains("not checked") && text.contains("meets column stability"), "{text}");
}

/// A given mix with less of a material than can be weighed out says so, for people and for programs.
#[test]
fn a_trace_that_the_sums_hold_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let mix = folder.path().join("mix.yaml");
    let amounts = "amounts: {cement: 306 kg/m3, water: 880 kg/m3, sand: 0.0004 kg/m3 surface-dry}\n";
    std::fs::write(&mix, format!("air: 1.8 %\n{amounts}")).unwrap();
    let mix = mix.to_str().unwrap();
    for format in ["text", "json", "csv", "markdown"] {
        let (_, out, told) =
            crate::program::ran(&["predict", "problems/01-by-hand.yaml", "--mix", mix, "--format", format]);
        assert!(out.contains("trace of"), "{format}: {out} {told}");
    }
}

/// The caution stands on every answer that is no whole report, for people and for programs.
#[test]
fn every_answer_says_that_it_is_a_proposal() {
    const PLAIN: &str = "problems/01-by-hand.yaml";
    const CAUTION: &str = "Mixes are a proposal for trial batches, never an approval; local codes and licensed practice govern.";
    let told = |arguments: &[&str]| {
        let output = crate::program::output(arguments);
        let words: Vec<String> =
            String::from_utf8(output.stdout).unwrap().split_whitespace().map(str::to_owned).collect();
        words.join(" ")
    };
    let front = ["front", PLAIN, "--goals", "cost, least water", "--points", "3"];
    let sweep = ["sweep", PLAIN, "--vary", "air=1.8 %, 2 %"];
    for command in [&front[..], &sweep, &["limits", PLAIN], &["prices", PLAIN], &["solve", PLAIN, PLAIN]] {
        for format in ["text", "json", "csv", "markdown"] {
            let out = told(&[command, &["--format", format]].concat());
            assert!(out.contains(CAUTION), "{command:?} {format}: {out}");
        }
    }
    // What a plant or a laboratory asks for, in words of its own.
    for command in [
        &["risk", "problems/17-weighed-with-risk.yaml", "--batches", "1000"][..],
        &["round", "problems/18-whole-steps.yaml"],
        &["batch-sheet", "problems/16-batch-sheet.yaml", "--order", "problems/16-batch-sheet/order.yaml"],
        &["predict", PLAIN, "--mix", "tests/data/fuzz/mixes/mix.yaml"],
        &["plan", "problems/20-from-trials.yaml", "--batches", "4"],
        &["plant", "problems/plant/plant.yaml", "--gap", "50"],
        &["fit", "problems/trials/responses.yaml", "--trials", "problems/trials/batches.csv"],
    ] {
        for format in ["text", "json", "csv", "markdown"] {
            let out = told(&[command, &["--format", format]].concat());
            assert!(out.contains("approval"), "{command:?} {format}: {out}");
        }
    }
    for what in ["lp", "full"] {
        assert!(told(&["export", PLAIN, "--what", what]).contains(CAUTION), "{what}");
    }
}

#[test]
fn a_strength_in_bending_is_never_the_strength_that_a_class_means() {
    let beams = statement("").replace("cylinder 100 x 200 mm", "beam 150 x 150 x 600 mm");
    let (problem, _) = checked(&beams).unwrap();
    assert!(problem.unchecked.is_empty(), "the cylinders are the only compressive strength");
    let named =
        checked(&beams.replace("margin: 8 MPa", "margin: 8 MPa, strength: drilled cores")).unwrap_err();
    assert!(named.contains("response `drilled cores` in `classes` is the strength of beams"), "{named}");
    let limit = checked(&format!("{beams}limits: {{drilled cores: at least C30/37}}\n")).unwrap_err();
    assert!(limit.contains("`C30/37` in limit `drilled cores` is no strength of beams"), "{limit}");
    // A law for bending gives no compressive strength, whatever its name says.
    let law = "  bending:\n    law: eurocode flexural strength\n    inputs: {tensile strength: 3 MPa, depth: 150 mm}\n";
    let text = TWO.replace("  drilled cores:", &format!("{law}  drilled cores:"));
    let (problem, _) = checked(&text).unwrap();
    assert!(problem.responses[Id::at(0)].strength.is_none(), "{:?}", problem.responses[Id::at(0)].strength);
}

#[test]
fn what_is_no_stress_may_be_called_strength() {
    let loss = "  strength loss:\n    unit: \"%\"\n    factors: {w: {is: water-cement ratio, region: 0.3 .. 0.7}}\n    \
                terms: {constant: 1, w: 5}\n";
    let text = TWO.replace("  drilled cores:", &format!("{loss}  drilled cores:"));
    let (problem, _) = checked(&text).unwrap();
    assert!(problem.responses[Id::at(0)].strength.is_none());
    let stress = checked(&text.replace("\"%\"", "MPa")).unwrap_err();
    assert!(stress.contains("the strength `strength loss` does not say what it is"), "{stress}");
}

#[test]
fn classes_of_flow_and_tests_call_for_no_limit_of_durable_concrete() {
    for (classes, water) in
        [("[VF1]", false), ("[VS1, FT2]", false), ("[R3]", false), ("[XC1]", false), ("[C1]", true)]
    {
        let (problem, sources, _) =
            written(&format!("{TWO}classes: {{of: {classes}, margin: 8 MPa, strength: drilled cores}}\n"))
                .unwrap();
        let told = mixbound::problem::usual(&problem).render(&sources);
        // XC1 limits the water itself.
        assert_eq!(told.contains("nothing limits the water, and class"), water, "{classes}: {told}");
    }
}
