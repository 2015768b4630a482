//! One audited answer: local loop, proof, verdict.
//!
//! What enters: a checked problem. What leaves: a [`Verdict`] whose every number is recomputed from the
//! unlinearised problem. Nothing here prints.

mod outcome;
mod own_engine;
mod second_engine;
mod engine;
mod dense_simplex;
mod local;
mod assignments;
mod verdict;
mod settings;
mod whole;
mod steps;
mod starts;
mod traces;
mod from_mix;
mod search;
mod ends;
mod branch_and_bound;

pub use assignments::{decided_at, neighbours};
pub use branch_and_bound::{
    KnownMix, Limits, Progress, Proof, Rise, Watch, certified_bound, certified_infeasible, multipliers_at,
    prove_carrying,
};
pub use ends::{ends, first_end};
pub use engine::solve_program;
pub use from_mix::{Nearby, nearby};
pub use local::Precision;
pub use outcome::Outcome;
pub use search::{is_impossible_at_a_glance, solve, solve_carrying, solve_watched};
pub use settings::{Carried, Effort, Ended, Settings};
pub use traces::traces;
pub use verdict::{Audit, Certainty, Found, Line, Nothing, Verdict, audit, used};
