//! One audited answer: local loop, decisions, verdict.
//!
//! What enters: a checked problem. What leaves: a [`Verdict`] whose every number is recomputed from the
//! unlinearised problem. Nothing here prints.

mod engine;
mod examine;
mod second_engine;
mod local;
mod assignments;
mod verdict;
mod settings;
mod starts;
mod search;
mod branch_and_bound;
mod prices;
mod conflict;
mod tightness;
mod latest_age;
mod price_ranges;
mod last_program;

pub use branch_and_bound::{Limits, Progress, Proof, Watch, certified_bound, certified_infeasible};
pub use conflict::{Conflict, ConflictMember, Repair, conflict};
pub use engine::{Outcome, solve_program};
pub use examine::{examine, gate};
pub use last_program::{LastProgram, last_program};
pub use price_ranges::{MaterialRange, PriceRange, highest_multiple, price_ranges};
pub use prices::{Price, assignment_of, final_program, prices};
pub use search::{solve, solve_watched};
pub use settings::{Effort, Explain, Settings};
pub use tightness::{Judgement, Tightness, Value, tightness};
pub use verdict::{Audit, Certainty, Found, Line, Nothing, Verdict, audit, used};
