//! A known mix carried through a search: no row, box or bound of a node that holds it may contradict it.

use mixbound::analysis::assignment_of;
use mixbound::model::Frame;
use mixbound::problem::{Origin, Problem, Wanted};
use mixbound::solve::{Found, KnownMix, Limits, Settings, audit, prove_carrying};

use super::{found, shipped};
use crate::kept;
use crate::problems::problem;

/// What a search that carries the mix of a local answer was told, with the rows it checked; none without a mix.
fn carried(problem: &Problem, nodes: usize) -> Option<(Vec<String>, usize)> {
    let found = found(problem, &Settings::local())?;
    // An answer may miss a limit by a part in a million: its search is that of limits which it does not miss.
    let problem = met_by(problem, &found);
    let missed = audit(&problem, &found.mix).worst;
    let frame = Frame::new(&problem);
    let known = KnownMix::new(&frame, &found.mix, assignment_of(&problem, &found.mix), missed);
    prove_carrying(&frame, &known, &Limits { nodes, ..Limits::default() });
    Some(known.told())
}

/// The problem with each limit that a mix misses moved to what the mix gives.
fn met_by(problem: &Problem, found: &Found) -> Problem {
    let mut moved = problem.varied(|_| ());
    for line in &found.audit.lines {
        let requirement = &problem.requirements[line.requirement];
        let (Some(measured), Wanted::Value(_)) = (line.measured, &requirement.wanted) else { continue };
        if requirement.origin == Origin::Limit && 0.0 < measured.violation() {
            assert!(
                measured.violation() < 1e-6,
                "`{}` is missed by {:e}",
                requirement.name,
                measured.violation()
            );
            let met = requirement.severest_met(measured.got, measured.margin);
            moved = moved.with_wanted(line.requirement, met);
        }
    }
    moved
}

/// Two dense surfaces in six factors, with one factor fixed and one nearly so.
fn dense() -> Problem {
    problem("tests/data/dense.yaml", kept::text("tests/data/dense.yaml")).0
}

#[test]
fn no_row_box_or_bound_contradicts_a_known_mix() {
    let mut rows = 0;
    for (name, problem) in shipped().into_iter().chain([("dense".to_owned(), dense())]) {
        let Some((faults, checked)) = carried(&problem, 6) else { continue };
        assert!(faults.is_empty(), "{name}: {faults:?}");
        rows += checked;
    }
    assert!(3000 < rows, "only {rows} rows were checked");
}

#[test]
fn a_mix_that_misses_a_limit_is_told_of() {
    let problem = dense();
    let frame = Frame::new(&problem);
    let mut mix = found(&problem, &Settings::local()).expect("it has a mix").mix;
    let assignment = assignment_of(&problem, &mix);
    // A little less cement and a little more water than any limit allows.
    mix[0] *= 0.97;
    let known = KnownMix::new(&frame, &mix, assignment, 0.0);
    prove_carrying(&frame, &known, &Limits { nodes: 4, ..Limits::default() });
    let (faults, _) = known.told();
    assert!(!faults.is_empty(), "a false mix went through unnoticed");
}

/// Run by `scripts/check-known-mixes`, which names a folder of statements.
#[test]
#[ignore = "slow: run by scripts/check-known-mixes"]
fn no_known_mix_of_a_folder_is_contradicted() {
    let folder =
        std::env::var("MIXBOUND_STATEMENTS").expect("MIXBOUND_STATEMENTS names a folder of statements");
    let (mut mixes, mut rows, mut wrong) = (0, 0, Vec::new());
    for name in kept::stems(&folder, "yaml") {
        let path = format!("{folder}/{name}.yaml");
        let built = problem(&path, kept::text(&path)).0;
        let Some((faults, checked)) = carried(&built, 16) else { continue };
        mixes += 1;
        rows += checked;
        wrong.extend(faults.into_iter().take(3).map(|fault| format!("{name}: {fault}")));
    }
    assert!(wrong.is_empty(), "{mixes} mixes, {rows} rows\n{}", wrong.join("\n"));
    assert!(0 < mixes, "no statement in {folder} has a mix");
    // Kept for the log of the script.
    std::fs::write(format!("{folder}/told.txt"), format!("{mixes} mixes, {rows} rows, none contradicted\n"))
        .expect("the folder can be written to");
}
