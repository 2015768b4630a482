//! Certainty: a proven bound on every answer, by branching over decisions and boxes of factors.

mod multipliers;
mod certificate;
mod branch;
mod node;
mod search;

pub use certificate::{certified_bound, certified_infeasible, multipliers_at};
pub use search::{Limits, Progress, Proof, Watch, prove};
