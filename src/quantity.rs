//! Numbers with dimensions, as people write them: `38 MPa`, `142 /t`, `0.30 % of binder`, `0.36 .. 0.42`.
//!
//! What enters: text. What leaves: values in coherent base units (kg, m, s, K, the statement's currency,
//! coulomb) with their [`Dimension`], and text again. This room knows nothing of concrete.

mod dimension;
mod unit;
mod value;
mod format;
mod system;
mod sieve;
mod accepted;

pub use accepted::{Expected, Meant, accepted};
pub use dimension::Dimension;
pub use format::{as_written, significant, tidied, trimmed};
pub use sieve::{known_sieves, opening};
pub use system::{System, Tally};
pub use unit::{Of, Unit, UnitError, convert};
pub use value::{Scalar, Span, Text, ValueError, parse_range, parse_scalar};
