//! Additions that count as cement beside exposure classes: which there are, and what EN 206 says about them.
//!
//! What enters: the mixture and the classes asked for. What leaves: the counted additions with their k-values, remarks,
//! and sentences for the report. Every figure of EN 206-1:2000 and EN 206:2013, 5.2.5.2, is a value from memory.

use crate::finding::{Finding, Findings, Place};
use crate::material::Role;
use crate::mixture::Mixture;
use crate::quantity::trimmed;
use crate::standard::classes::rule::Presence;
use crate::standard::exposure::{Exposure, Limits};

/// Most that a cement may hold beside clinker where k-values are used: CEM II/A.
const OTHERS: f64 = 0.20;
/// Water-cement ratio up to which silica fume counts twice in every class.
const LOW_RATIO: f64 = 0.45;
/// Pozzolans and slag, as ACI 318 means them against sulfates.
const POZZOLANS: &[Role] = &[Role::FlyAsh, Role::NaturalPozzolan, Role::Slag, Role::SilicaFume];

/// Additions that count as cement, each with its k-value.
pub fn counted(mixture: &Mixture) -> Vec<(Role, f64)> {
    let role = |column: usize| mixture.catalogue.in_column(column).map(|material| material.role);
    let capped = mixture.counted.iter().flat_map(|counted| {
        counted.addition.terms.iter().filter_map(move |(column, _)| Some((role(*column)?, counted.k)))
    });
    let uncapped = mixture.uncapped.terms.iter().filter_map(|(column, k)| Some((role(*column)?, *k)));
    let mut list: Vec<(Role, f64)> = Vec::new();
    for one in capped.chain(uncapped) {
        if !list.contains(&one) {
            list.push(one);
        }
    }
    list
}

/// Whether every mix of the shelf holds a pozzolan or slag: one that is always used, or in each cement.
pub fn pozzolan(mixture: &Mixture) -> Presence {
    let materials = &mixture.catalogue.materials;
    let added = materials
        .iter()
        .zip(&mixture.columns)
        .any(|(material, column)| POZZOLANS.contains(&material.role) && 0.0 < column.low);
    let holds = |material: &crate::material::Material| {
        material.constituents.iter().any(|(role, share)| POZZOLANS.contains(role) && 0.0 < *share)
    };
    let cements: Vec<_> = materials.iter().filter(|material| material.role == Role::Cement).collect();
    if added || (!cements.is_empty() && cements.into_iter().all(holds)) {
        Presence::Always
    } else {
        Presence::NotAlways
    }
}

/// What EN 206 says about the additions counted beside these exposure classes; sentences for the report.
pub fn remarks(
    classes: &[(Exposure, Place)],
    counted: &[(Role, f64)],
    mixture: &Mixture,
    findings: &mut Findings,
) -> Vec<String> {
    if classes.is_empty() || counted.is_empty() {
        return Vec::new();
    }
    for cement in mixture.catalogue.materials.iter().filter(|material| material.role == Role::Cement) {
        let others: f64 = cement
            .constituents
            .iter()
            .filter(|(role, _)| *role != Role::Cement)
            .map(|(_, share)| share)
            .sum();
        if OTHERS + 1e-9 < others {
            findings.push(
                Finding::warning(
                    cement.place,
                    format!(
                        "k-values stand beside cement `{}`, which holds {} % of other constituents",
                        cement.name,
                        trimmed(100.0 * others, 4)
                    ),
                )
                .note(
                    "EN 206:2013, 5.2.5.2, has k-values beside CEM I and CEM II/A, at most 20 % (edition of 2000: CEM I \
                     alone); value from memory",
                )
                .help("take the additions out of `equivalent binder`, or use them beside another cement"),
            );
        }
    }
    let all: Vec<Exposure> = classes.iter().map(|(class, _)| *class).collect();
    let ratio = Limits::of_all(&all).water_cement.unwrap_or(f64::INFINITY);
    let fume = counted.iter().find(|(role, k)| *role == Role::SilicaFume && 1.0 < *k);
    let wet = classes.iter().find(|(class, _)| class.is_carbonation_or_frost());
    if let (Some((_, k)), Some((class, place))) = (fume, wet)
        && LOW_RATIO + 1e-9 < ratio
    {
        findings.push(
            Finding::warning(*place, format!("silica fume counts {} times beside class `{class:?}`", trimmed(*k, 3)))
                .note(
                    "EN 206, 5.2.5.2.3: 1.0 in XC and XF where the water-cement ratio asked for is above 0.45; value from \
                     memory",
                )
                .help("write `silica fume: {k: 1.0, cap: 0.11}` in `equivalent binder`"),
        );
    }
    let mut told = Vec::new();
    for one in &mixture.counted {
        let Some(edition) = one.edition else { continue };
        let roles = one
            .addition
            .terms
            .iter()
            .filter_map(|(column, _)| Some(mixture.catalogue.in_column(*column)?.role.word()));
        let share = one.cap.terms.first().map_or(0.0, |(_, share)| 100.0 * share);
        told.extend(roles.take(1).map(|role| {
            format!(
                "k of {role}: {} up to {} % of the cement, by {}, 5.2.5.2 (value from memory).",
                trimmed(one.k, 3),
                trimmed(share, 3),
                edition.name()
            )
        }));
    }
    let unsaid = counted.iter().any(|(role, _)| *role == Role::FlyAsh)
        && !mixture.counted.iter().any(|one| one.edition.is_some());
    if unsaid {
        told.push(
            "k of fly ash: 0.4 in EN 206:2013; in the edition of 2000 0.2 beside cement of class 32.5 and 0.4 from 42.5 \
             (value from memory)."
                .to_owned(),
        );
    }
    if 1 < counted.iter().map(|(role, _)| role).collect::<std::collections::BTreeSet<_>>().len() {
        told.push(
            "Several additions count as cement together: EN 206 leaves that to national rules; here the smallest k-value \
             sets the least cement."
                .to_owned(),
        );
    }
    told
}
