//! The state of a material that stands behind a value.
//!
//! What enters: a material and a value with its words. What leaves: mass in that state for one kg in the reference state, or
//! findings about words that are no state, or none where one is needed.

use super::catalogue::Material;
use super::role::State;
use crate::finding::{Finding, Findings};
use crate::quantity::Scalar;
use crate::statement::Located;

/// Mass in the state the author named, of one kg in the reference state; a finding where the state does not fit.
pub fn stated_mass(
    material: &Material,
    value: &Located<Scalar>,
    key: &str,
    findings: &mut Findings,
) -> Option<f64> {
    let words = value.value.words.as_str();
    let name = &material.name;
    let role = material.role;
    let Some(state) = State::named(words) else {
        if !words.is_empty() {
            findings.push(
                Finding::error(
                    value.place,
                    format!("unknown state `{words}` in `{key}` of material `{name}`"),
                )
                .known("states", words, crate::statement::STATES.iter().copied()),
            );
            return None;
        }
        if role.is_lightweight() && 0.0 < material.absorption {
            findings.push(
                Finding::error(
                    value.place,
                    format!("`{key}` of lightweight aggregate `{name}` does not say its state"),
                )
                .note(format!(
                    "dry and prewetted differ by its absorption, {:.1} %",
                    100.0 * material.absorption
                ))
                .help(if key == "density" {
                    "write `dry` or `prewetted` behind it"
                } else {
                    "write `dry`, `prewetted` or `as delivered` behind it"
                }),
            );
            return None;
        }
        return Some(1.0);
    };
    if !role.is_aggregate() && !matches!(state, State::AsDelivered | State::Dry) {
        findings.push(
            Finding::error(
                value.place,
                format!("`{key}` of material `{name}` is {}, but it is no aggregate", state.word()),
            )
            .note("allowed: `as delivered`, or no state"),
        );
        return None;
    }
    if key == "density" && state == State::AsDelivered && role.is_aggregate() {
        findings.push(
            Finding::error(value.place, format!("`density` of aggregate `{name}` is as delivered")).note(
                "allowed: `dry`, `surface-dry` or `prewetted`, since surface water is no part of a particle",
            ),
        );
        return None;
    }
    let mass = material.mass_in(state);
    if mass.is_none() {
        findings.push(
            Finding::error(
                value.place,
                format!("`{key}` of material `{name}` is as delivered, and its `moisture` is not given"),
            )
            .help("add `moisture: 4 %`, the total water as delivered"),
        );
    }
    mass
}
