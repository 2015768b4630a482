//! Figures that usual limits speak of, found once by the names that classes use for them too.
//!
//! What enters: responses and what materials declare. What leaves: which of them they are. What is asked of them, nothing
//! here knows.

use crate::listed::{Id, Listed};
use crate::mixture::{Affine, Mixture};
use crate::response::Response;
use crate::standard::names::{ALKALIS, CHLORIDES, SCALING_LOSS, SLUMP_FLOW};

/// The figures that a statement holds.
#[derive(Clone, Debug, Default)]
pub struct NamedFigures {
    /// The response that is the scaling loss under deicing salt.
    pub scaling_loss: Option<Id<Response>>,
    /// The response that is the slump flow.
    pub slump_flow: Option<Id<Response>>,
    /// Chlorides that materials declare, kg/m3.
    pub chlorides: Option<Affine>,
    /// Alkalis that materials declare, kg/m3.
    pub alkalis: Option<Affine>,
}

impl NamedFigures {
    /// What of them there is.
    pub fn found(responses: &Listed<Response>, mixture: &Mixture) -> Self {
        let response = |name: &str| responses.find_id(|response| response.name == name);
        Self {
            scaling_loss: response(SCALING_LOSS),
            slump_flow: response(SLUMP_FLOW),
            chlorides: mixture.content(CHLORIDES),
            alkalis: mixture.content(ALKALIS),
        }
    }
}
