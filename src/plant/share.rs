//! An estimated share with its interval.
//!
//! What enters: estimates. What leaves: a value; it does not know of what.

/// An estimate with its interval at 95 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The estimate.
    pub estimate: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}
