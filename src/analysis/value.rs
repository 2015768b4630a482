//! A number of an analysis, and what is proven of it.

/// A number and whether it is proven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Value {
    /// The number.
    pub value: f64,
    /// Whether it is proven within the gap; otherwise it is the best found.
    pub proven: bool,
}
