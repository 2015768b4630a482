//! What an answer means: why nothing fits, what limits and prices are worth, how far each limit can go.
//!
//! What enters: a problem and the verdict on it. What leaves: plain figures of the problem's own units. Every answer here is
//! a solve of a varied problem, or comes from one; nothing here writes.

mod affordable;
mod value;
mod shadow_prices;
mod trials;
mod price_steps;
mod cost_ranges;
mod latest_age;
mod tightness;
mod compromise;
mod repair;
mod conflict;
mod last_program;
mod uncertainty;
mod explain;

pub use affordable::affordable;
pub use compromise::Compromise;
pub use conflict::{Conflict, ConflictMember, Stage, conflict};
pub use cost_ranges::{MaterialRange, PriceRange, cost_ranges, highest_multiple};
pub use explain::{Explanation, explain, explain_watched};
pub use last_program::{LastProgram, last_program};
pub use price_steps::{PriceStep, step_of};
pub use repair::Repair;
pub use shadow_prices::{Price, assignment_of, shadow_prices};
pub use tightness::{Judgement, KnownCoefficients, Tightness, tightness};
pub use trials::in_columns_of;
pub use uncertainty::{Uncertainty, uncertainty};
pub use value::Value;
