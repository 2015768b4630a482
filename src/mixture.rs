//! Amounts per m3 of concrete, and everything exactly linear in them.
//!
//! A mix is a vector over the columns of a [`Mixture`]: kg of each material in its reference state, then air if
//! it is variable, then the counted additions of the equivalent water-binder ratio, then a goal level if the
//! goal is not linear. Every quantity here is an [`Affine`] function of that vector or a [`Ratio`] of two.

mod affine;
mod quantity;
mod counting;
mod k_values;
mod columns;
mod circle;
mod liquids;
mod declared;
mod vocabulary;
mod quantities;
mod weighing;

pub use affine::{Affine, Measure, Ratio};
pub use columns::{Air, Column, Counted, Mixture, mixture};
pub use counting::{Counting, Total};
pub use liquids::PER_THOUSAND;
pub use quantities::Quantities;
pub use quantity::{Quantity, carbon_unit, cost_unit};
pub use vocabulary::{BUILT_IN, BuiltIn, INTERNAL_CURING_WATER, Shown, reference};
