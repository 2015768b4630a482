//! One audited answer: local loop, decisions, verdict.
//!
//! What enters: a checked problem. What leaves: a [`Verdict`] whose every number is recomputed from the
//! unlinearised problem. Nothing here prints.

mod engine;
mod examine;
mod second_engine;
mod local;
mod patterns;
mod verdict;
mod search;
mod bound;

pub use bound::{Limits, Progress, Proof, Watch, certified_bound, certified_infeasible};
pub use engine::{Outcome, solve_program};
pub use examine::examine;
pub use search::{Effort, Settings, solve, solve_watched};
pub use verdict::{Audit, Certainty, Found, Line, Nothing, Verdict, audit, used};
