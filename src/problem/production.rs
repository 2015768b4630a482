//! How the concrete is produced: whose tolerances, which scales, what varies from batch to batch.
//!
//! What enters: `production` as written, the shelf, the responses. What leaves: a [`Production`] with every name
//! resolved. It knows no figure of any standard.

use crate::finding::{Finding, Findings, Place};
use crate::listed::{Id, Listed};
use crate::material::{Catalogue, Material};
use crate::quantity::trimmed;
use crate::response::Response;
use crate::standard::BatchingRules;
use crate::statement::{Located, ProductionEntry, ScaleEntry, SpreadEntry, Word};

/// How deviations lie inside a tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deviations {
    /// Normal with half the tolerance as standard deviation, cut off at its ends.
    Normal,
    /// Uniform between its ends.
    Uniform,
}

/// One scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    /// Its name.
    pub name: String,
    /// Materials in the order of weighing.
    pub of: Vec<Id<Material>>,
    /// Capacity, kg.
    pub capacity: Option<f64>,
    /// Bias, share.
    pub bias: f64,
}

/// A source of variation that a residual may hold already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// Weighing.
    Weighing,
    /// Moisture.
    Moisture,
    /// The materials' own variability.
    Materials,
}

/// How the concrete is produced.
#[derive(Clone, Debug, PartialEq)]
pub struct Production {
    /// Where it stands.
    pub place: Place,
    /// Whose tolerances.
    pub rules: BatchingRules,
    /// Volume weighed at once, m3.
    pub batch: f64,
    /// Own tolerances by material, shares.
    pub tolerances: Vec<(Id<Material>, f64)>,
    /// How deviations lie inside a tolerance.
    pub deviations: Deviations,
    /// Scales of several materials, small or biased ones.
    pub scales: Vec<Scale>,
    /// Standard deviation of moisture by material, kg per kg dry.
    pub moisture: Vec<(Id<Material>, f64)>,
    /// Standard deviation of density by material, share.
    pub densities: Vec<(Id<Material>, f64)>,
    /// Standard deviation of the air content, share of the volume.
    pub air: f64,
    /// Standard deviation by response that the materials bring, in the response's own unit.
    pub materials: Vec<(Id<Response>, f64)>,
    /// What residuals hold already.
    pub held: Vec<Held>,
    /// Results judged together.
    pub results: usize,
}

/// Results judged together where nothing is said: EN 206, initial production.
const RESULTS: u32 = 3;

/// Resolves `production`.
pub fn production(
    entry: &ProductionEntry,
    shelf: &Catalogue,
    responses: &Listed<Response>,
    findings: &mut Findings,
) -> Option<Production> {
    let before = findings.len();
    let rules = entry.weighing.as_ref().and_then(|word| BatchingRules::named(&word.value));
    let batch = entry.batch.as_ref().map_or(1.0, |batch| batch.value.base);
    if let Some(written) = entry.batch.as_ref().filter(|_| batch <= 0.0) {
        findings.push(
            Finding::error(written.place, "`batch` of `production` is not above zero")
                .help("give the volume weighed at once: `2.5 m3`"),
        );
    }
    let tolerances = of_shelf(&entry.tolerances, "tolerance", shelf, findings);
    let moisture = of_shelf(&entry.moisture, "moisture error", shelf, findings);
    for ((word, _), (index, _)) in entry.moisture.iter().zip(&moisture) {
        if !shelf.materials[*index].role.is_aggregate() {
            findings.push(
                Finding::error(word.place, format!("`{}` is no aggregate", word.value))
                    .note("only the water of aggregates has an error")
                    .help("leave it out"),
            );
        }
    }
    let densities = of_shelf(&entry.densities, "densities", shelf, findings);
    let scales = scales(&entry.scales, shelf, findings);
    let mut materials = Vec::new();
    for (word, value) in &entry.materials {
        let Some(index) = responses.find_id(|response| response.name == word.value) else {
            let names: Vec<&str> = responses.iter().map(|response| response.name.as_str()).collect();
            findings.push(
                Finding::error(word.place, format!("unknown response `{}` in `materials`", word.value))
                    .known("responses", &word.value, names),
            );
            continue;
        };
        let unit = &responses[index].unit;
        if value.value.unit.dimension != unit.dimension || value.value.base < 0.0 {
            findings.push(
                Finding::error(value.place, format!("`{}` in `materials` is no deviation of it", word.value))
                    .note(format!("allowed: not negative, {}", crate::quantity::accepted(&[unit.dimension]))),
            );
            continue;
        }
        materials.push((index, unit.difference_from_base(value.value.base - value.value.unit.zero)));
    }
    let held = entry.held.iter().filter_map(|word| match word.value.as_str() {
        "weighing" => Some(Held::Weighing),
        "moisture" => Some(Held::Moisture),
        "materials" => Some(Held::Materials),
        _ => None,
    });
    let held = held.collect();
    let results = entry.results.as_ref().map_or(RESULTS, |results| results.value);
    if let Some(written) = entry.results.as_ref().filter(|_| results == 0) {
        findings.push(
            Finding::error(written.place, "`results` is zero").note("allowed: 1 .. 1000").help("write `3`"),
        );
    }
    if findings.len() != before {
        return None;
    }
    Some(Production {
        place: entry.place,
        rules: rules?,
        batch,
        tolerances,
        deviations: match &entry.spread {
            Some(Located { value: SpreadEntry::Uniform, .. }) => Deviations::Uniform,
            Some(Located { value: SpreadEntry::Normal, .. }) | None => Deviations::Normal,
        },
        scales,
        moisture,
        densities,
        air: entry.air.as_ref().map_or(0.0, |air| air.value),
        materials,
        held,
        results: usize::try_from(results).unwrap_or(1),
    })
}

fn of_shelf(
    entries: &[(Word, Located<f64>)],
    key: &str,
    shelf: &Catalogue,
    findings: &mut Findings,
) -> Vec<(Id<Material>, f64)> {
    let mut list = Vec::new();
    for (word, share) in entries {
        let Some(index) = shelf.find(&word.value) else {
            let message = format!("unknown material `{}` in `{key}`", word.value);
            findings.push(Finding::error(word.place, message).known("materials", &word.value, shelf.names()));
            continue;
        };
        list.push((index, share.value));
    }
    list
}

fn scales(entries: &[ScaleEntry], shelf: &Catalogue, findings: &mut Findings) -> Vec<Scale> {
    let mut list = Vec::new();
    let mut seen: Vec<(Id<Material>, &str)> = Vec::new();
    for entry in entries {
        let mut of = Vec::new();
        for word in &entry.of {
            let Some(index) = shelf.find(&word.value) else {
                findings.push(
                    Finding::error(
                        word.place,
                        format!("unknown material `{}` on scale `{}`", word.value, entry.name.value),
                    )
                    .known("materials", &word.value, shelf.names()),
                );
                continue;
            };
            if let Some((_, other)) = seen.iter().find(|(known, _)| *known == index) {
                findings.push(
                    Finding::error(word.place, format!("`{}` is weighed twice", word.value))
                        .note(format!("it stands on scale `{other}` already"))
                        .help("leave it on one scale"),
                );
                continue;
            }
            seen.push((index, &entry.name.value));
            of.push(index);
        }
        let capacity = entry.capacity.as_ref().map(|capacity| capacity.value.base);
        if let (Some(capacity), Some(written)) = (capacity, &entry.capacity)
            && capacity <= 0.0
        {
            findings.push(
                Finding::error(
                    written.place,
                    format!("the capacity of scale `{}` is {} kg", entry.name.value, trimmed(capacity, 4)),
                )
                .help("give a capacity above zero, or leave it out"),
            );
        }
        list.push(Scale {
            name: entry.name.value.clone(),
            of,
            capacity,
            bias: entry.bias.as_ref().map_or(0.0, |bias| bias.value),
        });
    }
    list
}
