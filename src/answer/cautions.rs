//! The cautions of every report, and those that the chosen materials call for.

use schemars::JsonSchema;
use serde::Serialize;

use crate::material::{Dust, Role};
use crate::problem::Problem;

/// What stands wherever figures of mixes are printed without a whole report.
pub const PROPOSAL: &str =
    "Mixes are a proposal for trial batches, never an approval; local codes and licensed practice govern.";

/// One line of a list as programs read it, with the caution: the list stays a list.
#[derive(JsonSchema, Serialize)]
pub struct Cautioned<'l, Line: Serialize> {
    #[serde(flatten)]
    line: &'l Line,
    /// What has to be known with the figures.
    caution: &'static str,
}

/// The lines of a list, each with the caution.
pub fn cautioned<Line: Serialize>(lines: &[Line]) -> Vec<Cautioned<'_, Line>> {
    lines.iter().map(|line| Cautioned { line, caution: PROPOSAL }).collect()
}

/// Cautions for a mix that uses these materials.
///
/// Sources: fresh paste is caustic, from the warning in ASTM C1581; respirable crystalline silica, 29 CFR
/// 1926.1153; heat of slaking 1163 kJ per kg of `CaO`, from the formation enthalpies; the rest is common practice,
/// no source.
pub fn cautions(problem: &Problem, used: &[bool]) -> Vec<String> {
    let materials = problem
        .mixture
        .catalogue
        .materials
        .iter()
        .zip(used)
        .filter(|(_, used)| **used)
        .map(|(material, _)| material);
    let roles: Vec<Role> = materials.map(|material| material.role).collect();
    let has = |role: Role| roles.contains(&role);
    let mut list = vec![
        "These proportions are a proposal for trial batches, never an approval. They are subject to a licensed \
         engineer, to local codes, and to trial batches with the actual materials."
            .to_owned(),
        "Fresh concrete is caustic and burns skin and eyes: wear gloves and eye protection, rinse at once.".to_owned(),
    ];
    if roles.iter().any(|role| role.dust() == Dust::Silica) {
        list.push(
            "Dust of sand, pozzolans and silica fume can hold respirable crystalline silica (limit in US construction \
             50 ug/m3 over 8 h, 29 CFR 1926.1153): keep dust down, wear a fitted respirator where it is not."
                .to_owned(),
        );
    }
    if has(Role::ExpansiveAgent) {
        list.push(
            "Expansive agents with quicklime heat up with water (about 1160 kJ per kg of CaO): keep them dry, protect \
             eyes, never confine them wet. Over-dosage disrupts hardened concrete; they need wet curing and restraint. \
             The ring test of ASTM C1581 is not intended for expansive concrete."
                .to_owned(),
        );
    }
    if has(Role::ShrinkageReducer) {
        list.push(
            "Shrinkage reducers are mostly glycol ethers: combustible, keep from skin. They may upset air entrainment: \
             test the air again with every batch."
                .to_owned(),
        );
    }
    if has(Role::Fibre) {
        list.push("Fibres puncture and irritate: wear gloves and goggles. Balling and flow are to be tried at full scale.".to_owned());
    }
    if roles.iter().any(|role| role.is_lightweight()) {
        list.push(
            "Lightweight aggregate must be batched at the absorption stated; check its absorbed water before each \
             batch, since the mix water and the curing water both depend on it."
                .to_owned(),
        );
    }
    list
}
