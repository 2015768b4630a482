//! What is written as JSON fits its published schema, judged by a general validator; the schemas are the kept files.
//!
//! What enters: every problem, every command that writes JSON. All statements, mixes and trials are invented.

use std::fs;

use serde_json::{Value, json};

use crate::kept;
use crate::program::ran;

/// What `mixbound schema --of` takes beside `statement`.
const WORDS: &[&str] = &[
    "solve",
    "solve-several",
    "predict",
    "predict-short",
    "limits",
    "prices",
    "sweep",
    "sweep-line",
    "front",
    "fit",
    "plan",
    "confirm",
    "calibrate",
    "batch-sheet",
    "round",
    "risk",
    "plant",
];

/// Rings of one mix of the problem with ages step by step; invented.
const RINGS: &str = "batch,cement (kg/m3),sand (kg/m3),stone (kg/m3),water (kg/m3),water reducer (kg/m3),air entrainer (kg/m3),crack-free age (d)
R1,420,800,850,170,4,0.5,5 .. 7
R2,420,800,850,170,4,0.5,at least 28
";

/// Problems that take seconds even without a proof.
const SLOW: &[&str] = &["00-reference-repair", "12-mechanistic-cracking"];

/// A published schema, ready to judge.
pub struct Published {
    schemas: boon::Schemas,
    index: boon::SchemaIndex,
}

impl Published {
    /// The schema of what a word of `mixbound schema --of` names.
    pub fn of(word: &str) -> Self {
        let (code, text, told) = ran(&["schema", "--of", word]);
        assert_eq!(code, 0, "{word}: {told}");
        let schema = serde_json::from_str(&text).expect("a schema is JSON");
        let mut schemas = boon::Schemas::new();
        let mut compiler = boon::Compiler::new();
        compiler.set_default_draft(boon::Draft::V2020_12);
        compiler.add_resource("results.json", schema).expect("the schema has a name");
        let index = compiler.compile("results.json", &mut schemas).expect("the schema is a schema");
        Self { schemas, index }
    }

    /// What speaks against a value.
    pub fn against(&self, value: &Value) -> Option<String> {
        self.schemas.validate(value, self.index).err().map(|error| format!("{error:#}"))
    }
}

/// Runs a command with `--format json` and holds what it writes against its schema; the value, if it wrote any.
fn held(word: &str, schema: &Published, arguments: &[&str]) -> Option<Value> {
    let (code, text, told) = ran(&[arguments, &["--format", "json"]].concat());
    assert!(code < 3, "{arguments:?}: {told}");
    if text.is_empty() {
        assert!(code == 1 || code == 2, "{arguments:?}: nothing is written, and nothing is wrong");
        return None;
    }
    let value: Value = serde_json::from_str(&text).expect("it is JSON");
    if let Some(error) = schema.against(&value) {
        panic!("{word}: {arguments:?}\n{error}");
    }
    Some(value)
}

fn problems() -> Vec<String> {
    kept::stems("problems", "yaml").iter().map(|name| format!("problems/{name}.yaml")).collect()
}

#[test]
fn what_is_written_of_every_problem_fits_its_schema() {
    let short = ["--time-limit", "0.4"];
    let asked: [(&str, Vec<&str>); 5] = [
        ("solve", ["--no-proof"].into_iter().chain(short).collect()),
        ("limits", short.to_vec()),
        ("prices", short.to_vec()),
        ("sweep", vec!["--vary", "air=2 %, 3 %", "--no-proof"]),
        (
            "front",
            vec!["--goals", "cost, least paste volume", "--points", "3", "--no-proof", "--time-limit", "0.4"],
        ),
    ];
    for (word, options) in asked {
        let schema = Published::of(word);
        let answers = problems()
            .iter()
            // Their sweeps take long in a test, and say nothing else.
            .filter(|path| word != "sweep" || !SLOW.iter().any(|slow| path.contains(slow)))
            .filter_map(|path| {
                let arguments = [&[word, path.as_str()], &options[..]].concat();
                held(word, &schema, &arguments)
            })
            .count();
        assert!(10 <= answers, "{word}: {answers} answers");
    }
}

#[test]
fn what_the_other_commands_write_fits_its_schema() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let (hand, trials) = ("problems/01-by-hand.yaml", "problems/20-from-trials.yaml");
    fs::write(path("today.yaml"), TODAY).unwrap();
    fs::write(path("other.yaml"), TODAY.replace("320", "300")).unwrap();
    fs::write(path("law.yaml"), BY_LAW).unwrap();
    fs::write(path("own.csv"), OWN).unwrap();
    let (today, other) = (path("today.yaml"), path("other.yaml"));
    let (law, own) = (path("law.yaml"), path("own.csv"));
    let batches = "problems/trials/batches.csv";
    // Other results of the same mixes.
    let seen = path("seen.csv");
    fs::write(&seen, kept::text(batches).replace(",31.1,", ",31.4,")).unwrap();
    let rings = path("rings.csv");
    fs::write(&rings, RINGS).unwrap();
    let asked: &[(&str, &[&str])] = &[
        ("solve", &["solve", hand, "--against", &today]),
        (
            "solve-several",
            &["solve", hand, "problems/09-cannot-be-met.yaml", "tests/rejected/unknown-goal.yaml"],
        ),
        ("predict", &["predict", hand, "--mix", &today]),
        ("predict", &["predict", hand, "--mix", &today, &other]),
        ("predict-short", &["predict", hand, "--short", "--mix", &today, &other]),
        ("fit", &["fit", "problems/trials/responses.yaml", "--trials", batches]),
        ("plan", &["plan", trials, "--batches", "2"]),
        ("plan", &["plan", trials, "--front", "cost, slump", "--points", "2"]),
        (
            "calibrate",
            &[
                "calibrate",
                "problems/12-mechanistic-cracking.yaml",
                "--trials",
                &rings,
                "--of",
                "crack-free age",
            ],
        ),
        ("confirm", &["confirm", trials, "--trials", &seen]),
        (
            "calibrate",
            &[
                "calibrate",
                &law,
                "--trials",
                &own,
                "--of",
                "mean strength",
                "--between",
                "20",
                "--within",
                "10",
                "--fragment",
                &path("scale.yaml"),
            ],
        ),
        (
            "batch-sheet",
            &["batch-sheet", "problems/16-batch-sheet.yaml", "--order", "problems/16-batch-sheet/order.yaml"],
        ),
        ("round", &["round", "problems/18-whole-steps.yaml"]),
        ("risk", &["risk", "problems/17-weighed-with-risk.yaml"]),
        ("risk", &["risk", "problems/19-at-most-so-much-risk.yaml"]),
        ("plant", &["plant", "problems/plant/plant.yaml"]),
    ];
    for (word, arguments) in asked {
        held(word, &Published::of(word), arguments).unwrap_or_else(|| panic!("{arguments:?} write nothing"));
    }
    let results = path("results.jsonl");
    let (code, _, told) = ran(&["sweep", hand, "--vary", "air=1 % .. 3 % : 3", "-o", &results]);
    assert_eq!(code, 0, "{told}");
    let schema = Published::of("sweep-line");
    let lines = fs::read_to_string(&results).unwrap();
    assert_eq!(lines.lines().count(), 4);
    for line in lines.lines() {
        assert_eq!(schema.against(&serde_json::from_str(line).unwrap()), None, "{line}");
    }
}

#[test]
fn a_key_that_no_schema_names_is_refused_wherever_it_stands() {
    let schema = Published::of("solve");
    let answer = held("solve", &schema, &["solve", "problems/09-cannot-be-met.yaml"]).unwrap();
    let places = places(&answer, "");
    assert!(20 < places.len());
    for place in places {
        let mut changed = answer.clone();
        let map = changed.pointer_mut(&place).unwrap().as_object_mut().unwrap();
        map.insert("surprise".to_owned(), json!(1));
        assert!(schema.against(&changed).is_some(), "a new key at `{place}` passes");
        let map = changed.pointer_mut(&place).unwrap().as_object_mut().unwrap();
        map.remove("surprise");
        let (first, _) = map.shift_remove_entry(&map.keys().next().unwrap().clone()).unwrap();
        assert!(schema.against(&changed).is_some(), "`{first}` may be missing at `{place}`");
    }
}

/// Where there are maps.
fn places(value: &Value, place: &str) -> Vec<String> {
    let inner = |key: &dyn std::fmt::Display, value| places(value, &format!("{place}/{key}"));
    match value {
        Value::Object(map) => std::iter::once(place.to_owned())
            .chain(map.iter().flat_map(|(key, value)| inner(key, value)))
            .collect(),
        Value::Array(list) => list.iter().enumerate().flat_map(|(at, value)| inner(&at, value)).collect(),
        _ => Vec::new(),
    }
}

#[test]
fn the_published_schemas_are_the_kept_files() {
    let mut remarks = Vec::new();
    for word in WORDS {
        let (_, text, _) = ran(&["schema", "--of", word]);
        remarks.extend(kept::difference(&format!("tests/expected/schemas/{word}.json"), &text));
    }
    // Editors find the shape of statements by this file.
    let (_, text, _) = ran(&["schema"]);
    remarks.extend(kept::difference("problems/mixbound.schema.json", &text));
    let mut known: Vec<&str> = WORDS.to_vec();
    known.sort_unstable();
    assert_eq!(kept::stems("tests/expected/schemas", "json"), known);
    let (_, help, _) = ran(&["schema", "--help"]);
    for word in known {
        assert!(help.contains(&format!("- {word}:")), "{word}\n{help}");
    }
    assert_eq!(help.matches("\n          - ").count(), WORDS.len() + 1, "{help}");
    kept::none(&remarks);
}

const TODAY: &str =
    "amounts: {cement: 320 kg/m3, sand: 1720 kg/m3, water: 190 kg/m3}\nmeasured: {mean strength: 33 MPa}\n";

const OWN: &str = "mix,cement (kg/m3),sand (kg/m3),gravel (kg/m3),water (kg/m3),age (d),mean strength (MPa)\nA,320,816,1044,180,28,44.0\n";

const BY_LAW: &str = "mixbound: 1
title: Invented
currency: EUR
air: 2 %
materials:
  cement: {role: cement, density: 3120 kg/m3, price: 128 /t, amount: 180 .. 500 kg/m3}
  sand: {role: sand, density: 2630 kg/m3 surface-dry, absorption: 0.9 %, price: 14 /t surface-dry}
  gravel: {role: coarse aggregate, density: 2670 kg/m3 surface-dry, absorption: 0.7 %, price: 13 /t surface-dry}
  water: {role: water, density: 1000 kg/m3, price: 1.1 /m3, amount: 170 .. 210 kg/m3}
responses:
  mean strength: {law: bolomey strength, inputs: {water binder ratio: water-cement ratio}}
limits:
  mean strength: {at least: 35 MPa}
  sand share: 40 .. 48 %
goal: least cost
";
