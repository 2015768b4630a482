//! What the classes of a statement demand and no limit stands for.
//!
//! What enters: the class, what it demands, and why nothing checks it. What leaves: the demand in words, for findings and
//! for every form of a report. It is no requirement: no mix is judged by it.

use crate::finding::{Finding, Place};
use crate::quantity::Unit;
use crate::standard::Side;

/// A demand of a class that nothing checks.
#[derive(Clone, Debug)]
pub struct Unchecked {
    /// The class that demands it.
    pub class: String,
    /// What it is about.
    pub figure: String,
    /// Side and value in a unit; none where the author has to say the value.
    pub wanted: Option<(Side, f64, Unit)>,
    /// The demand in words, such as `at least C35/45`.
    pub demand: String,
    /// Why it is not checked.
    pub why: String,
    /// Where the class stands.
    pub place: Place,
}

impl Unchecked {
    /// What a requirement of it would be called.
    pub fn name(&self) -> String {
        format!("{}: {}", self.class, self.figure)
    }

    /// The remark that its author is told.
    pub fn finding(&self) -> Finding {
        Finding::warning(
            self.place,
            format!("class `{}` asks for {} {}", self.class, self.figure, self.demand),
        )
        .note(format!("{}: this is not checked", self.why))
    }
}
