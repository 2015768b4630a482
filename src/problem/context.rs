//! What limits are resolved against.

use super::requirement::{Requirement, Subject, Wanted};
use crate::listed::{Id, Listed};
use crate::mixture::{Mixture, Quantities};
use crate::response::Response;
use crate::standard::Codes;

/// What limits are resolved against.
pub struct Context<'c> {
    /// Quantities by name.
    pub quantities: &'c Quantities<'c>,
    /// The mixture.
    pub mixture: &'c Mixture,
    /// Responses.
    pub responses: &'c Listed<Response>,
    /// The codes that go with the units of the statement.
    pub codes: Codes,
}

/// The response that a requirement is about, on either side.
pub fn response_of(requirement: &Requirement) -> Option<Id<Response>> {
    match (&requirement.subject, &requirement.wanted) {
        (Subject::Response(index), _) | (_, Wanted::Response(_, index)) => Some(*index),
        _ => None,
    }
}
