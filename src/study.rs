//! Many answers: sweeps over values and scenarios, and fronts between goals that conflict.
//!
//! What enters: a [`Document`](crate::statement::Document) and what is to be varied in it. What leaves: a [`Sweep`] or a
//! [`Front`]: plain figures of each case. A case is a statement: it passes the same gate as a file, and can be printed as
//! one. Cases are numbered before they run; nothing here depends on threads, clocks or the order in which cases end.
//! Nothing here writes.

mod axis;
mod answer;
mod solver;
mod plan;
mod dominance;
mod gap_region;
mod epsilon_constraint;
mod failures;
mod front_plan;
mod goals;

pub use answer::{Answer, Figure, Outcome, level_in};
pub use axis::{Axis, Values};
pub use dominance::{Point, Question, Solved, dominates};
pub use epsilon_constraint::{EpsilonConstraint, Generated, front};
pub use failures::Failures;
pub use front_plan::FrontPlan;
pub use goals::{Doubtful, Front, FrontGoal, FrontPoint, GoalWish};
pub use plan::{CaseResult, Study, Sweep, changes};
pub use solver::Solver;
