//! From design to batch: what is weighed today, how often the concrete as weighed misses its limits, several mixes on
//! one plant.
//!
//! What enters: a checked problem, a mix of it, and what the plant is asked for. What leaves: sheets, risks and plans as
//! plain values; nothing here prints or formats.

mod loads;
mod order;
mod sheet;
mod made;
mod draws;
mod batching;
mod judging;
mod share;
mod conformity;
mod contributions;
mod coefficients;
mod risk;
mod robust;
mod lattice;
mod rounding;
mod shared;
mod oracle;
mod pricing;
mod silos;
mod planned;
mod plan;

pub use batching::{Batch, Batching, Cause};
pub use conformity::{Conformity, Criteria};
pub use contributions::Contributor;
pub use loads::Load;
pub use made::{Yield, yielded};
pub use oracle::{Set, count, members};
pub use order::{MeasuredLoad, Moisture, Order, Source, WashWater, order};
pub use plan::{Asked, plan};
pub use planned::{NoPlan, Plan, PlannedMix, Saving, StockUse};
pub use risk::{LimitRisk, Risk, Sampling, risk};
pub use robust::{MetRisk, NotRobust, Robust, risk_limits, robust};
pub use rounding::{NotRounded, Rounded, rounded};
pub use share::Share;
pub use shared::{Places, PlantMix, SharedPlant, shared_plant};
pub use sheet::{LoadWater, OtherLine, Sheet, StockLine, TooDry, WaterBalance, sheet};
