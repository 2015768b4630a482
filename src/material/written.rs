//! Doses and amounts written elsewhere in a statement than at their material.
//!
//! What enters: a value with the words behind its unit. What leaves: what it is measured by and its value in base units,
//! or a finding about words that do not fit. Which material it is about is not known here.

use super::catalogue::{Base, Use};
use crate::finding::{Finding, Findings};
use crate::quantity::{Dimension, Scalar};
use crate::statement::Located;

/// A dose or amount written elsewhere in the statement, such as `0.05 % of binder` or `60 kg/m3`.
///
/// Returns what it is measured by and its value in base units.
pub fn written_use(
    value: &Located<Scalar>,
    owner: &str,
    density: f64,
    findings: &mut Findings,
) -> Option<(Use, f64)> {
    let words = value.value.words.as_str();
    match (value.value.unit.dimension, words.strip_prefix("of ").map(str::trim)) {
        (Dimension::DENSITY, None) if words.is_empty() => Some((Use::Amount, value.value.base)),
        (Dimension::DENSITY, None) => {
            findings.push(
                Finding::error(value.place, format!("`{words}` does not fit {owner}"))
                    .note("an amount stands here in the reference state of the material")
                    .help("take these words out"),
            );
            None
        }
        (dimension, Some(of)) => {
            if let Some(base) = Base::named(of) {
                let factor = if dimension == Dimension::VOLUME_BY_MASS { density } else { 1.0 };
                Some((Use::Dose(base), value.value.base * factor))
            } else if dimension == Dimension::NONE {
                Some((Use::Share(of.to_owned()), value.value.base))
            } else {
                findings.push(Finding::error(value.place, format!("unknown base `{of}` in {owner}")).known(
                    "bases",
                    of,
                    ["binder", "cement", "powder"],
                ));
                None
            }
        }
        _ => {
            findings.push(
                Finding::error(value.place, format!("{owner} does not say of what"))
                    .help("write `of binder`, `of cement` or `of powder` behind it"),
            );
            None
        }
    }
}
