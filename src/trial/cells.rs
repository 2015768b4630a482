//! The cells of a row of trials.
//!
//! What enters: nothing; a reader of rows fills it. What leaves: what a row says, before it is a batch with results.

use super::weights::Weights;
use crate::finding::Place;
use crate::mixture::Quantity;
use crate::statement::Word;

/// The cells of a row, read.
#[derive(Default)]
pub struct Cells {
    /// The mix.
    pub mix: Option<Word>,
    /// The batch.
    pub batch: Option<Word>,
    /// The block.
    pub block: Option<Word>,
    /// The curing.
    pub curing: Option<Word>,
    /// In days, and where it stands.
    pub age: Option<(f64, Place)>,
    /// What was weighed.
    pub weights: Weights,
    /// What was measured, its value, and where it stands.
    pub results: Vec<(usize, f64, Place)>,
    /// Columns of quantities that the batch is checked by, in base units.
    pub checks: Vec<(usize, Quantity, f64)>,
    /// What was measured on a ring, between which ages it cracked, and where that stands.
    pub rings: Vec<(usize, f64, f64, Place)>,
}
