//! What passes the sieves that an aggregate declares.
//!
//! Nothing is interpolated here: between
//! two sieves an aggregate declares, what passes is known only where both shares are the same.

use super::Role;
use crate::finding::{Finding, Findings};
use crate::quantity::{known_sieves, opening};
use crate::statement::MaterialEntry;

/// Openings that differ by less than this share are one sieve.
const SAME: f64 = 1e-6;

/// Share of an aggregate, by its own volume, that passes each declared sieve; openings rise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Grading {
    /// Openings, m, with the share passing.
    pub sieves: Vec<(f64, f64)>,
}

impl Grading {
    /// The share passing a sieve: declared, or known from its neighbours because it is the same on both sides.
    ///
    /// Above a sieve that everything passes everything passes; below one that nothing passes nothing does.
    pub fn passing(&self, opening: f64) -> Option<f64> {
        let declared = self.sieves.iter().find(|(sieve, _)| (sieve / opening - 1.0).abs() < SAME);
        if let Some((_, share)) = declared {
            return Some(*share);
        }
        let below = self.sieves.iter().rfind(|(sieve, _)| *sieve < opening).map(|(_, share)| *share);
        let above = self.sieves.iter().find(|(sieve, _)| opening < *sieve).map(|(_, share)| *share);
        match (below, above) {
            (Some(below), Some(above)) if below == above => Some(below),
            (Some(1.0), None) => Some(1.0),
            (None, Some(0.0)) => Some(0.0),
            _ => None,
        }
    }
}

/// Reads the declared sieves of one material.
pub fn grading(entry: &MaterialEntry, role: Role, findings: &mut Findings) -> Option<Grading> {
    let (first, _) = entry.grading.first()?;
    let name = &entry.name.value;
    if !role.is_aggregate() {
        findings.push(
            Finding::error(first.place, format!("material `{name}` is no aggregate and has a `grading`"))
                .help("take it out"),
        );
        return None;
    }
    let mut sieves: Vec<(f64, f64, &str)> = Vec::new();
    for (word, share) in &entry.grading {
        let Some(opening) = opening(&word.value) else {
            findings.push(
                Finding::error(
                    word.place,
                    format!("unknown sieve `{}` in `grading` of material `{name}`", word.value),
                )
                .note(known_sieves()),
            );
            continue;
        };
        if let Some((_, _, other)) = sieves.iter().find(|(sieve, ..)| (sieve / opening - 1.0).abs() < SAME) {
            findings.push(Finding::error(
                word.place,
                format!(
                    "`{}` and `{other}` are the same sieve in `grading` of material `{name}`",
                    word.value
                ),
            ));
            continue;
        }
        sieves.push((opening, share.value, &word.value));
    }
    sieves.sort_by(|a, b| a.0.total_cmp(&b.0));
    for pair in sieves.windows(2) {
        if pair[1].1 < pair[0].1 {
            findings.push(
                Finding::error(
                    first.place,
                    format!(
                        "the `grading` of material `{name}` falls from `{}` to `{}`",
                        pair[0].2, pair[1].2
                    ),
                )
                .note("the share passing a sieve never falls as the opening grows")
                .help("give the share that passes, not what is retained"),
            );
        }
    }
    Some(Grading { sieves: sieves.into_iter().map(|(opening, share, _)| (opening, share)).collect() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_interpolated_between_two_declared_sieves() {
        let grading =
            Grading { sieves: vec![(0.25e-3, 0.0), (1e-3, 0.0), (4e-3, 0.6), (8e-3, 1.0), (16e-3, 1.0)] };
        assert_eq!(grading.passing(4e-3), Some(0.6));
        assert_eq!(grading.passing(2e-3), None);
        assert_eq!(grading.passing(0.5e-3), Some(0.0));
        assert_eq!(grading.passing(0.1e-3), Some(0.0));
        assert_eq!(grading.passing(11.2e-3), Some(1.0));
        assert_eq!(grading.passing(31.5e-3), Some(1.0));
    }
}
