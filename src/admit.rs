//! The one gate: whatever becomes a problem goes through here, a file as well as a case, a price list or a batch.
//!
//! What enters: a statement, or a document with its changes. What leaves: a [`Problem`](crate::problem::Problem) with warnings,
//! or findings. Nothing here chooses a mix.

mod examine;
mod gate;

pub use examine::examine;
pub use gate::{admit, admit_document, admit_document_until};
