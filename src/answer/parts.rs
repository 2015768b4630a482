//! A report as parts made of blocks, in the order in which a reader needs them.
//!
//! What enters: the facts of a [`Report`](super::report::Report). What leaves: parts for every form. Nothing is rounded.

pub mod outcome;
pub mod mix;
pub mod limits;
pub mod conflict;
pub mod responses;
pub mod compared;
pub mod doubt;
pub mod since;
pub mod whole;
pub mod batch_sheet;
pub mod risks;
