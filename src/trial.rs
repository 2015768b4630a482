//! Trial batches in, fitted responses and the next trials out.

pub mod term;
pub mod regression;
pub mod selection;
pub mod scatter;
pub mod lot;
pub mod batch;
pub mod folds;
pub mod asked;
pub mod refusal;
pub mod fitting;
pub mod judged;
pub mod exchange;
pub mod candidates;
pub mod next;
pub mod of_front;
pub mod confirm;
pub mod calibrate;
pub mod rings;
pub mod fragment;
pub mod header;
pub mod weights;
pub mod cells;
mod ring_ages;
mod row;
pub mod rows;
pub mod mixes;
