//! The shelf: each material valid, in file order, every figure per kg of its reference state.
//!
//! Reference states: normal aggregates saturated surface-dry, lightweight aggregates prewetted at their stated
//! absorption, everything else as delivered. Dry, surface-dry, prewetted and as-delivered masses of one amount
//! are different numbers; [`Material::mass_in`] is the only place that turns one into another.

mod role;
mod grading;
mod catalogue;
mod stated;
mod bounds_of_use;
mod build;
mod written;

pub use build::catalogue;
pub use catalogue::{Base, Catalogue, Material, Priced, Use, UseBounds};
pub use grading::Grading;
pub use role::{Dust, MeantFor, Role, RoleKind, State};
pub use written::written_use;
