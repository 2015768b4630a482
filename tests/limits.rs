//! Limits on the combined grading, on declared contents, and from named sets.

use mixbound::finding::Sources;
use mixbound::problem::{Problem, build};
use mixbound::report::{Report, Standing, Units, report};
use mixbound::solve::{Settings, Verdict, solve};

/// The checked problem of a statement, or its findings as text.
fn checked(text: &str) -> Result<(Problem, String), String> {
    let mut sources = Sources::default();
    let source = sources.add("statement.yaml", text);
    let (statement, mut findings) =
        mixbound::statement::read(&sources, source).map_err(|findings| findings.render(&sources))?;
    let (problem, more) = build(&statement, &sources).map_err(|findings| findings.render(&sources))?;
    findings.extend(more);
    Ok((problem, findings.render(&sources)))
}

fn solved(text: &str) -> (Problem, Vec<f64>, Report) {
    let (problem, _) = checked(text).expect("the statement is right");
    let verdict = solve(&problem, &Settings::default());
    let Verdict::Found(found) = &verdict else { panic!("no mix: {verdict:?}") };
    let told = report(&problem, &verdict, &Sources::default(), Units::Si);
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
        mix[column] / problem.mixture.catalogue.materials[column].density
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
        .map(|(name, share)| share * mix[problem.mixture.catalogue.find(name).expect("it is there")])
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
