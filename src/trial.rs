//! Trial batches in, fitted responses and the next trials out.

pub mod term;
pub mod regression;
pub mod selection;
