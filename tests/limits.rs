//! Limits on the combined grading, on declared contents, and from named sets.

use mixbound::analysis::Explanation;
use mixbound::answer::build::report;
use mixbound::answer::report::{Report, Standing};
use mixbound::answer::units::Units;
use mixbound::finding::Sources;
use mixbound::problem::{Problem, Wanted, usual};
use mixbound::quantity::Unit;
use mixbound::solve::{Settings, Verdict, solve};

use crate::problems::written;
use crate::trade::FLOWABLE;

/// The checked problem of a statement, or its findings as text.
fn checked(text: &str) -> Result<(Problem, String), String> {
    written(text).map(|(problem, _, told)| (problem, told))
}

fn solved(text: &str) -> (Problem, Vec<f64>, Report) {
    let (problem, _) = checked(text).expect("the statement is right");
    let verdict = solve(&problem, &Settings::default());
    let Verdict::Found(found) = &verdict else { panic!("no mix: {verdict:?}") };
    let told = report(&problem, &verdict, &Explanation::default(), &Sources::default(), Units::Si);
    (problem, found.mix.clone(), told)
}

const GRADING: &str = include_str!("../problems/05-combined-grading.yaml");

/// identity: the share passing recomputed from amounts, densities and the declared gradings of the problem file.
#[test]
fn the_combined_grading_is_that_of_the_volumes_of_the_mix() {
    let (problem, mix, told) = solved(GRADING);
    let passing_half: [(&str, f64); 4] =
        [("fine sand", 0.86), ("crushed sand", 0.23), ("stone 4 to 8", 0.0), ("stone 8 to 16", 0.0)];
    let volume = |name: &str| {
        let column = problem.mixture.catalogue.find(name).expect("it is on the shelf");
        mix[column.index()] / problem.mixture.catalogue.materials[column].density
    };
    let all: f64 = passing_half.iter().map(|(name, _)| volume(name)).sum();
    let passing: f64 = passing_half.iter().map(|(name, share)| share * volume(name)).sum();
    let line =
        told.limits.iter().find(|line| line.name == "combined grading, 0.5 mm").expect("it is a limit");
    assert!((line.measured.expect("it has a value").got - 100.0 * passing / all).abs() < 1e-9);
    assert!(told.limits.iter().all(|line| line.standing != Standing::Violated));
    assert_eq!(told.limits.iter().filter(|line| line.name.starts_with("combined grading")).count(), 13);
}

/// identity: the sum of amounts times declared shares.
#[test]
fn declared_contents_add_up() {
    let (problem, mix, told) = solved(GRADING);
    let sum: f64 = [("cement", 0.008), ("slag", 0.004)]
        .iter()
        .map(|(name, share)| share * mix[problem.mixture.catalogue.find(name).expect("it is there").index()])
        .sum();
    let line = told.limits.iter().find(|line| line.name == "content of alkalis").expect("it is a limit");
    assert!((line.measured.expect("it has a value").got - sum).abs() < 1e-9);
}

#[test]
fn a_target_grading_holds_within_its_tolerance() {
    let target = GRADING
        .replace("8 mm: 54 .. 74 %", "8 mm: 64 %")
        .replace("    note: two curves", "    tolerance: 1 %\n    note: two curves");
    let (_, _, told) = solved(&target);
    let got: Vec<f64> = told
        .limits
        .iter()
        .filter(|line| line.name == "combined grading, 8 mm")
        .map(|line| line.measured.expect("it has a value").got)
        .collect();
    assert!(got.len() == 2 && got.iter().all(|got| 63.0 - 1e-6 <= *got && *got <= 65.0 + 1e-6), "{got:?}");
}

#[test]
fn a_sieve_that_an_aggregate_does_not_declare_is_refused_not_interpolated() {
    let text = GRADING.replace("      4 mm: 36 .. 54 %", "      5.6 mm: 36 .. 54 %");
    let findings = checked(&text).expect_err("it is refused");
    assert!(findings.contains("is not known for: crushed sand, stone 4 to 8, stone 8 to 16"), "{findings}");
    assert!(findings.contains("nothing is interpolated"), "{findings}");
    let text = GRADING.replace("8 mm: 54 .. 74 %", "8 mm: 64 %");
    let findings = checked(&text).expect_err("it is refused");
    assert!(findings.contains("single value, and no `tolerance` is given"), "{findings}");
}

const CLASSES: &str = include_str!("../problems/06-exposure-classes.yaml");

/// The statement of the tutorial with other classes and without its own limit on the cement content.
fn with_classes(classes: &str) -> String {
    CLASSES
        .replace("  of: [XC4, XD3, XF4]", classes)
        .replace("  cement with additions: {at least: 350 kg/m3, note: the plant's own rule}\n", "")
}

/// What the limits of a statement that come from classes ask for, by figure, in base units.
fn asked(text: &str) -> Vec<(String, f64)> {
    let (problem, findings) = checked(text).expect(text);
    assert!(findings.ends_with("0 errors, 0 warnings\n"), "{findings}");
    problem
        .requirements
        .iter()
        .filter_map(|requirement| {
            let (_, figure) = requirement.name.split_once(": ").filter(|(class, _)| class.len() <= 3)?;
            let Wanted::Value(value) = requirement.wanted else { return None };
            Some((figure.to_owned(), requirement.unit.to_base(value)))
        })
        .collect()
}

/// EN 206-1:2000, table F.1, row by row, as limits of a statement.
#[test]
fn each_exposure_class_of_en_206_brings_its_row_of_table_f1() {
    let rows: [(&str, f64, f64, f64, f64); 18] = [
        ("X0", 0.0, 12.0, 0.0, 0.0),
        ("XC1", 0.65, 20.0, 260.0, 0.0),
        ("XC2", 0.60, 25.0, 280.0, 0.0),
        ("XC3", 0.55, 30.0, 280.0, 0.0),
        ("XC4", 0.50, 30.0, 300.0, 0.0),
        ("XS1", 0.50, 30.0, 300.0, 0.0),
        ("XS2", 0.45, 35.0, 320.0, 0.0),
        ("XS3", 0.45, 35.0, 340.0, 0.0),
        ("XD1", 0.55, 30.0, 300.0, 0.0),
        ("XD2", 0.55, 30.0, 300.0, 0.0),
        ("XD3", 0.45, 35.0, 320.0, 0.0),
        ("XF1", 0.55, 30.0, 300.0, 0.0),
        ("XF2", 0.55, 25.0, 300.0, 0.04),
        ("XF3", 0.50, 30.0, 320.0, 0.04),
        ("XF4", 0.45, 30.0, 340.0, 0.04),
        ("XA1", 0.55, 30.0, 300.0, 0.0),
        ("XA2", 0.50, 30.0, 320.0, 0.0),
        ("XA3", 0.45, 35.0, 360.0, 0.0),
    ];
    for (class, ratio, strength, cement, air) in rows {
        let got = asked(&with_classes(&format!("  of: [{class}]")));
        let figure =
            |name: &str| got.iter().find(|(figure, _)| figure == name).map_or(0.0, |(_, value)| *value);
        let row = [
            figure("equivalent water-binder ratio"),
            figure("compressive strength") / 1e6,
            figure("cement with additions"),
            figure("air"),
        ];
        for (got, expected) in row.into_iter().zip([ratio, strength, cement, air]) {
            assert!((got - expected).abs() < 1e-9, "{class}: {row:?}");
        }
    }
}

/// EN 206-1:2000, table F.1: XC4, XD3 and XF4 together ask for 0.45, C35/45, 340 kg/m3 and 4 % of air; with k-values of 0.4
/// and 0.6 the cement alone is at least 340 - 0.4 (340 - 200) (5.2.5.2, value from memory).
#[test]
fn combined_classes_take_the_most_severe_value() {
    let got = asked(&with_classes("  of: [XC4, XD3, XF4]"));
    let expected = [
        ("compressive strength", 35e6),
        ("equivalent water-binder ratio", 0.45),
        ("cement with additions", 340.0),
        ("cement", 284.0),
        ("air", 0.04),
    ];
    assert_eq!(got.len(), expected.len(), "{got:?}");
    for (name, value) in expected {
        assert!(
            got.iter().any(|(figure, got)| figure == name && (got / value - 1.0).abs() < 1e-9),
            "{got:?}"
        );
    }
    let cube = with_classes("  of: [XD3]").replace("cylinder 150 x 300 mm", "cube 150 mm");
    assert!(asked(&cube).iter().any(|(name, value)| name == "compressive strength" && *value == 45e6));
}

/// ACI 318-19, tables 19.3.2.1, 19.3.3.1 and 26.4.2.2(b) (values from memory).
#[test]
fn a_deicing_salt_class_of_aci_318_caps_the_shares_of_the_binder() {
    let text = with_classes("  of: [F3, C2]\n  largest aggregate: 3/4 in")
        .replace("air: 5.5 %", "air: 6 %")
        .replace("  share of slag: at most 40 %\n  share of fly ash: at most 25 %\n", "");
    let got = asked(&text);
    for (name, value) in [
        ("water-binder ratio", 0.40),
        ("compressive strength", 5000.0 * 6_894.757_293_168_361),
        ("air", 0.06),
        ("share of fly ash + natural pozzolan", 0.25),
        ("share of slag", 0.50),
        ("share of fly ash + natural pozzolan + slag + silica fume", 0.50),
        ("content of chlorides", 0.0015),
    ] {
        assert!(
            got.iter().any(|(figure, got)| figure == name && (got / value - 1.0).abs() < 1e-9),
            "{name}: {got:?}"
        );
    }
    // Without silica fume the cap of 35 % on all pozzolans is that of 25 % on fly ash, which is tighter.
    assert_eq!(got.len(), 7, "{got:?}");
}

#[test]
fn an_own_limit_stands_in_place_of_the_one_of_a_class_and_says_so() {
    let (problem, _) = checked(CLASSES).expect("it is right");
    let own =
        problem.requirements.iter().find(|own| own.name == "cement with additions").expect("it is there");
    assert_eq!(
        own.note_in(Unit::clone).as_deref(),
        Some("the plant's own rule; own limit in place of at least 340 kg/m3 of XF4")
    );
    assert!(problem.requirements.iter().all(|own| own.name != "XF4: cement with additions"));
    let looser = CLASSES.replace("at least: 350 kg/m3", "at least: 330 kg/m3");
    let (_, findings) = checked(&looser).expect("it is right");
    assert!(findings.contains("is looser than class `XF4` asks"), "{findings}");
}

#[test]
fn a_class_whose_figures_cannot_be_met_or_seen_is_told() {
    let thin = checked(&CLASSES.replace("air: 5.5 %", "air: 3 %")).expect_err("too little air");
    assert!(thin.contains("`XF4: air` asks for at least 4 %, and every mix has 3 %"), "{thin}");
    let mean = checked(&CLASSES.replace("  margin: 8 MPa\n", "")).expect_err("no margin");
    assert!(
        mean.contains("compares a mean prediction with a characteristic limit without a margin"),
        "{mean}"
    );
    let size = checked(&CLASSES.replace("XF4]", "F3]")).expect_err("no size");
    assert!(size.contains("asks for air by the largest size of aggregate"), "{size}");
    let none = checked(&CLASSES.replace("[XC4, XD3, XF4]", "[]")).expect_err("no class");
    assert!(none.contains("names no class"), "{none}");
    let idle = CLASSES.replace(
        "  sand share: 38",
        "  compressive strength: {at least: 36 MPa, statistic: characteristic, margin: 8 MPa}\n  sand share: 38",
    );
    let (_, told) = checked(&idle).expect("it is right");
    assert!(told.contains("the margin of `classes` stands with no strength"), "{told}");
    let word = checked(&CLASSES.replace("XF4]", "XF5]")).expect_err("no such class");
    assert!(word.contains("unknown class `XF5`") && word.contains("did you mean `XF"), "{word}");
    let blind = CLASSES
        .replace("age: 28 d", "age: 56 d")
        .replace("content of chlorides: at most 0.10 % of cement", "binder: at most 500 kg/m3");
    let (_, told) = checked(&blind).expect("it is right");
    assert!(told.contains("no response is the compressive strength at 28 d: this is not checked"), "{told}");
}

#[test]
fn check_names_the_usual_limits_that_a_statement_lacks() {
    let told = |text: &str| {
        let (problem, sources, _) = written(text).expect("it is right");
        usual(&problem).render(&sources)
    };
    let whole = told(CLASSES);
    assert!(
        whole.contains("nothing limits the scaling loss") && whole.ends_with("0 errors, 1 warning\n"),
        "{whole}"
    );
    for (without, words) in [
        ("  content of alkalis: at most 2.8 kg/m3\n", "nothing limits the alkalis"),
        ("  content of chlorides: at most 0.10 % of cement\n", "nothing limits the chlorides"),
        ("  share of slag: at most 40 %\n", "nothing limits the share of slag under deicing salt"),
        ("    dose: at most 1.6 % of binder\n", "nothing limits water reducer `water reducer` from above"),
    ] {
        assert!(CLASSES.contains(without), "{without}");
        let told = told(&CLASSES.replace(without, ""));
        assert!(told.contains(words) && told.ends_with("0 errors, 2 warnings\n"), "{told}");
    }
}

/// EN 206-1:2000, tables 7 and 8 (values from memory): C30/37 is 30 MPa on cylinders and 37 MPa on cubes.
#[test]
fn a_strength_class_is_a_characteristic_strength_by_the_specimen() {
    let asked = |limit: &str, specimen: &str| {
        let text = CLASSES
            .replace("  sand share: 38", &format!("  compressive strength: {limit}\n  sand share: 38"))
            .replace("cylinder 150 x 300 mm", specimen)
            .replace("  margin: 8 MPa\n", "");
        checked(&text).map(|(problem, _)| {
            let found =
                problem.requirements.iter().find(|r| r.name == "compressive strength").expect("it is there");
            let Wanted::Value(value) = found.wanted else { panic!("{found:?}") };
            value
        })
    };
    assert_eq!(asked("{at least: C35/45, margin: 8 MPa}", "cylinder 150 x 300 mm"), Ok(35.0));
    assert_eq!(asked("{at least: C35/45, margin: 8 MPa}", "cube 150 mm"), Ok(45.0));
    assert_eq!(asked("{at least: LC35/38, margin: 8 MPa}", "cube 150 mm"), Ok(38.0));
    for (limit, words) in [
        ("at least C35/45", "compares a mean prediction with a characteristic limit without a margin"),
        ("{at least: C35/47, margin: 8 MPa}", "unknown strength class `C35/47`"),
        ("{at most: C35/45, margin: 8 MPa}", "does not fit"),
        ("{at least: C35/45, statistic: mean}", "is no mean strength"),
    ] {
        let told = asked(limit, "cube 150 mm").expect_err(limit);
        assert!(told.contains(words), "{told}");
    }
}

/// European Guidelines for Self-Compacting Concrete 2005, table 8.2 (value from memory).
#[test]
fn a_slump_flow_class_brings_windows_of_proportions() {
    for class in ["SF1", "SF2", "SF3"] {
        let flow = "responses:\n  slump flow: {unit: mm, factors: {w: {is: water-binder ratio, region: 0.2 .. 0.9}}, terms: {constant: 400, w: 500}}\n";
        let got = asked(&format!("{FLOWABLE}{flow}classes: [{class}]\n"));
        let of = |figure: &str| -> Vec<f64> {
            got.iter().filter(|(name, _)| name == figure).map(|(_, value)| *value).collect()
        };
        assert_eq!(of("powder"), [380.0, 600.0], "{class}: {got:?}");
        assert_eq!(of("free water"), [150.0, 210.0], "{class}");
        assert_eq!(of("water-powder ratio by volume"), [0.85, 1.10], "{class}");
        for (figure, low, high) in [
            ("paste volume", 0.30, 0.38),
            ("coarse aggregate volume", 0.27, 0.36),
            ("sand share by mass", 0.48, 0.55),
        ] {
            let window = of(figure);
            assert!(
                window.len() == 2 && (window[0] - low).abs() < 1e-12 && (window[1] - high).abs() < 1e-12,
                "{figure}: {window:?}"
            );
        }
    }
}

/// EN 206-1:2000 and EN 206:2013, 5.2.5.2 (value from memory): fly ash counts 0.2 times beside cement of class 32.5 and 0.4
/// times from 42.5 in the edition of 2000, 0.4 times in that of 2013, up to a third of the cement, or a quarter beside a
/// cement that holds other constituents.
#[test]
fn an_edition_says_the_k_value_and_its_cap() {
    let ratio = |edition: &str, holds: &str| {
        let text = format!(
            "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {{role: cement, density: 3150 kg/m3, price: 120 /t, amount: 280 kg/m3{holds}}}
  ash: {{role: fly ash, density: 2300 kg/m3, price: 60 /t, amount: 120 kg/m3}}
  sand: {{role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}}
  water: {{role: water, density: 1000 kg/m3, price: 1 /t, amount: 160 kg/m3}}
equivalent binder:
  ash: {{{edition}}}
classes: {{of: [XC1], margin: 8 MPa}}
goal: least cost
"
        );
        let (_, _, report) = solved(&text);
        assert!(report.bases.iter().any(|basis| basis.starts_with("k of fly ash: ")), "{:?}", report.bases);
        let ratio = report.totals.iter().find(|total| total.label == "equivalent water-binder ratio");
        ratio.and_then(|ratio| ratio.value).unwrap_or(f64::NAN)
    };
    for (edition, holds, expected) in [
        ("edition: en 206:2013", "", 160.0 / (280.0 + 0.4 * 92.4)),
        ("edition: en 206:2013", ", constituents: {slag: 12 %}", 160.0 / (280.0 + 0.4 * 70.0)),
        ("edition: en 206-1:2000, cement class: 42.5", "", 160.0 / (280.0 + 0.4 * 92.4)),
        ("edition: en 206-1:2000, cement class: 32.5", "", 160.0 / (280.0 + 0.2 * 92.4)),
        ("edition: en 206:2013, cap: 20 %", "", 160.0 / (280.0 + 0.4 * 56.0)),
    ] {
        let got = ratio(edition, holds);
        assert!((got - expected).abs() < 1e-9, "{edition}{holds}: {got}");
    }
}
