//! Certainty: a proven bound on every answer, by branching over decisions and boxes of factors.

mod limits;
mod multipliers;
mod certificate;
mod known_mix;
mod branch;
mod solved;
mod obbt;
mod whole;
mod node;
mod polish;
mod search;
mod root;

pub use certificate::{certified_bound, certified_infeasible, multipliers_at};
pub use known_mix::KnownMix;
pub use limits::{Limits, Progress, Proof, Rise, Watch};
pub use search::{glance, prove, prove_carrying};
