//! What must hold for every statement, not for one: checked over generated shelves and limits, and over the
//! responses and conditions of all kept problems.
//!
//! `shelf` writes the statements; `answers` holds what every answer must be; `calculus` what the pieces between a
//! statement and a program must be.

mod answers;
mod calculus;
mod shelf;

use mixbound::problem::Problem;
use proptest::test_runner::Config;

/// So many cases; a failing one is printed whole, so nothing is kept on disk.
fn cases(count: u32) -> Config {
    Config { cases: count, failure_persistence: None, ..Config::default() }
}

/// Every kept problem by its name.
fn kept_problems() -> Vec<(String, Problem)> {
    let read = |name: String| {
        let path = format!("problems/{name}.yaml");
        let problem = crate::problems::problem(&path, crate::kept::text(&path)).0;
        (name, problem)
    };
    crate::kept::stems("problems", "yaml").into_iter().map(read).collect()
}
