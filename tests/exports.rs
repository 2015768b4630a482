//! What is written for other solvers says what the problem says: the answer is a point of both exports, the whole
//! problem measures what the unlinearised problem measures, and what is no polynomial is refused with its reason.

use std::path::Path;

use mixbound::admit::examine;
use mixbound::analysis::{assignment_of, last_program};
use mixbound::finding::Sources;
use mixbound::model::{Frame, Remarks, mps, pip, point_at, unlinearised};
use mixbound::parallel::Stop;
use mixbound::problem::{Form, Problem, build};
use mixbound::solve::{Settings, Verdict, solve};

use crate::kept;

/// The problem of a statement that includes nothing.
fn problem(text: &str) -> Problem {
    let mut sources = Sources::default();
    let source = sources.add("statement.yaml", text);
    let (statement, _) = mixbound::statement::read(&sources, source)
        .unwrap_or_else(|findings| panic!("{}", findings.render(&sources)));
    let (problem, _) =
        build(&statement, &sources).unwrap_or_else(|findings| panic!("{}", findings.render(&sources)));
    assert!(!examine(&problem).has_errors());
    problem
}

fn by_hand(from: &str, to: &str) -> Problem {
    let text = kept::text("problems/01-by-hand.yaml");
    assert!(text.contains(from), "the problem no longer holds `{from}`");
    problem(&text.replace(from, to))
}

/// Solves, and holds the answer against both exports.
fn check_exports(name: &str, problem: &Problem) {
    let Verdict::Found(found) = solve(problem, &Settings::local()) else { panic!("{name}: no mix") };
    let frame = Frame::new(problem);
    let goal = problem.goal.to_minimise().at(&found.mix);

    let last = last_program(problem, &found.mix, Stop::NEVER);
    assert!(last.program.violation(&last.point) < 1e-7, "{name}: the mix is no point of the last program");
    assert!((last.program.objective(&last.point) - goal).abs() <= 1e-12 * goal.abs(), "{name}");

    let program = match unlinearised(&frame) {
        Ok(program) => program,
        // Published laws and ages at cracking are no polynomials.
        Err(reasons) => {
            assert!(reasons.iter().all(|reason| reason.contains("no polynomial")), "{name}: {reasons:?}");
            return;
        }
    };
    let point = point_at(&frame, &program, &found.mix, &assignment_of(problem, &found.mix));
    let violation = program.violation(&point);
    assert!(violation < 1e-7, "{name}: the mix violates the whole problem by {violation:e}");
    assert!((program.linear.objective(&point) - goal).abs() <= 1e-12 * goal.abs(), "{name}");

    // Away from the optimum, each curved condition and its polynomial are one number.
    let mut moved = found.mix.clone();
    for (column, value) in moved.iter_mut().enumerate() {
        *value *= 1.0 + 0.03 * f64::from(u8::try_from(column % 5).unwrap()) - 0.05;
    }
    let at_moved = point_at(&frame, &program, &moved, &assignment_of(problem, &found.mix));
    let stated = program.rows.iter().filter(|row| row.defines.is_none());
    let curved = problem.conditions.iter().filter_map(|condition| match &condition.form {
        Form::Curved(curved) => Some((condition, curved)),
        Form::Linear(_) => None,
    });
    for (row, (condition, curved)) in stated.zip(curved) {
        let expected = problem.curved(curved, &moved).0 / condition.scale;
        let got = row.polynomial.at(&at_moved);
        assert!(
            (got - expected).abs() < 1e-9 * (1.0 + expected.abs()),
            "{name}: {}: {got} {expected}",
            row.label
        );
    }
}

#[test]
fn the_answer_is_a_point_of_both_exports_and_polynomials_measure_what_the_problem_measures() {
    for name in kept::stems("problems", "yaml") {
        let path = format!("problems/{name}.yaml");
        let text = kept::text(&path);
        // Statements that include others need a folder: the cross-check exports them through the program.
        if text.contains("\ninclude:") || name.ends_with("cannot-be-met") || !Path::new(&path).exists() {
            continue;
        }
        check_exports(&name, &problem(&text));
    }
}

const CURVED: &str = "terms: {constant: -4.0, c/w: 15, c/w * c/w: 2.5}\n    residual: 1.5 MPa";

#[test]
fn a_margin_with_a_covariance_becomes_a_square_and_a_leverage_a_polynomial() {
    let covariance =
        "covariance: [[0.9, -0.5, 0.05], [-0.5, 0.4, -0.06], [0.05, -0.06, 0.012]]\n    leverage: 0.9";
    let text = kept::text("problems/01-by-hand.yaml")
        .replace("terms: {constant: -12.5, c/w: 25}", &format!("{CURVED}\n    {covariance}"))
        .replace(
            "mean strength: at least 30 MPa",
            "mean strength: {at least: 30 MPa, margin: 95 % confidence}",
        );
    let problem = problem(&text);
    check_exports("covariance", &problem);
    let program = unlinearised(&Frame::new(&problem)).unwrap();
    let square = program.rows.iter().filter(|row| row.label.starts_with("deviations of")).count();
    assert_eq!(square, 1, "one column for the deviations");
}

#[test]
fn a_response_that_enters_through_a_curved_link_is_refused_with_its_reason() {
    let problem = by_hand(
        "limits:\n",
        "  cement demand:\n    unit: kg/m3\n    link: log\n    factors:\n      \
         c/w: {is: cement / free water, region: 1.2 .. 2.6}\n    terms: {constant: 5.0, c/w: 0.3}\n\n\
         limits:\n  enough cement: {on: cement, at least: cement demand}\n",
    );
    let reasons = unlinearised(&Frame::new(&problem)).unwrap_err();
    assert_eq!(
        reasons,
        [
            "`enough cement`: the response `cement demand` enters through the link `log`, which is no polynomial there"
        ]
    );
}

#[test]
fn hostile_labels_stay_in_their_comment() {
    let text = kept::text("problems/01-by-hand.yaml").replace("  sand:", "  \"Bounds \\\\ End\\nENDATA\":");
    let problem = problem(&text);
    let Verdict::Found(found) = solve(&problem, &Settings::local()) else { panic!("no mix") };
    let frame = Frame::new(&problem);
    let program = unlinearised(&frame).unwrap();
    let whole = pip(&program, &Remarks { lines: vec!["one\nEnd".to_owned()], ..Remarks::default() });
    let last = mps(&last_program(&problem, &found.mix, Stop::NEVER).program, &Remarks::default());

    assert!(whole.lines().next().unwrap().starts_with("\\ one End"));
    assert_eq!(whole.lines().filter(|line| line.trim() == "End").count(), 1);
    assert_eq!(last.lines().filter(|line| line.trim() == "ENDATA").count(), 1);
}
