//! Facts as comma-separated values, full digits.

pub mod line;
pub mod compared;
pub mod report;
pub mod tightness;
pub mod price_ranges;
pub mod study;
