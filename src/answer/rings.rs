//! What a reader is told of strains that own rings correct.

use crate::listed::Id;
use crate::response::Response;
use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Column, Part, Table};
use super::phrase::{Digits, Figure, Phrase};
use crate::problem::Problem;
use crate::trial::batch::Trials;
use crate::trial::rings::{Ring, SCATTER, SURE, Scatter, Strains, Unused, corrected, scale_of_share};

/// A calibration by rings for programs. Ages in days since casting.
#[derive(Debug, JsonSchema, Serialize)]
pub struct RingFacts {
    /// Age at cracking.
    pub response: String,
    /// Factor on all strains that half of the rings stay below; none where there is a bound alone.
    pub scale: Option<f64>,
    /// Two ends within which that factor lies with 90 %.
    pub scale_between: Option<(f64, f64)>,
    /// The factor lies below this with 95 %, where no ring cracked.
    pub scale_at_most: Option<f64>,
    /// The factor lies above this with 95 %, where all cracked before their first reading.
    pub scale_at_least: Option<f64>,
    /// Deviation of the logarithm over rings.
    pub scatter: Option<f64>,
    /// Deviation of the logarithm between mixes besides, as stated.
    pub between_mixes: f64,
    /// Where that comes from.
    pub scatter_from: Option<&'static str>,
    /// The factor that the fragment holds, and the share of rings that stay below it.
    pub written: Option<(f64, f64)>,
    /// Rings.
    pub rings: Vec<RingLine>,
    /// Readings that are not used: line of the file, and why.
    pub left_out: Vec<(usize, String)>,
    /// Digest of the data.
    pub data: String,
}

/// One ring.
#[derive(Debug, JsonSchema, Serialize)]
pub struct RingLine {
    /// Mix.
    pub mix: String,
    /// Batch.
    pub batch: String,
    /// Last reading at which it was whole.
    pub whole_at: f64,
    /// First reading at which it was cracked; none where it never was.
    pub cracked_by: Option<f64>,
    /// By the laws without a scale; none by the last day that stresses are followed.
    pub by_laws: Option<f64>,
    /// With the scale that is written; none by then, or without a scale.
    pub corrected: Option<f64>,
}

/// Gathers the facts; `share` of the rings stays below the scale that is written.
pub fn facts(
    (problem, response): (&Problem, Id<Response>),
    trials: &Trials,
    (rings, left_out): (&[Ring], &[(usize, Unused)]),
    (strains, share, between_mixes): (Strains, f64, f64),
) -> RingFacts {
    const NINETY: f64 = 0.95;
    let (mut scale, mut between, mut scatter, mut from, mut written) = (None, None, None, None, None);
    if let Strains::Scale { mean, error, scatter: over, told } = strains {
        scale = Some(mean.exp());
        between =
            Some((scale_of_share(mean, error, 0.0, 1.0 - NINETY), scale_of_share(mean, error, 0.0, NINETY)));
        scatter = Some(over);
        from = Some(match told {
            Scatter::Estimated => "these rings",
            Scatter::FewCracks => "published rings: too few cracked",
            Scatter::CoarseReadings => "published rings: these readings lie too far apart",
        });
        let all = over.hypot(between_mixes);
        let factor = if share == 0.5 { mean.exp() } else { scale_of_share(mean, error, all, share) };
        written = Some((factor, share));
    }
    let line = |ring: &Ring| {
        let batch = &trials.batches[ring.batch];
        RingLine {
            mix: trials.mixes[batch.mix].clone(),
            batch: batch.name.clone(),
            whole_at: ring.between[0],
            cracked_by: Some(ring.between[1]).filter(|age| age.is_finite()),
            by_laws: ring.by_law,
            corrected: written.and_then(|(factor, _)| corrected(problem, response, ring, factor)),
        }
    };
    RingFacts {
        response: problem.responses[response].name.clone(),
        scale,
        scale_between: between,
        scale_at_most: if let Strains::AtMost(most) = strains { Some(most.exp()) } else { None },
        scale_at_least: if let Strains::AtLeast(least) = strains { Some(least.exp()) } else { None },
        scatter,
        between_mixes,
        scatter_from: from,
        written,
        rings: rings.iter().map(line).collect(),
        left_out: left_out.iter().map(|(line, unused)| (*line, unused.reason.clone())).collect(),
        data: trials.digest.clone(),
    }
}

/// Rings in one table.
pub fn table(facts: &RingFacts) -> Table {
    let mut table = Table::new([
        Column::words("mix"),
        Column::words("batch"),
        Column::figures("whole at, d"),
        Column::figures("cracked by, d"),
        Column::figures("by the laws, d"),
        Column::figures("corrected, d"),
    ]);
    let day = |age: f64| Phrase::from(Figure::new(age, Digits::Trimmed(3)));
    for ring in &facts.rings {
        let age = |age: Option<f64>, none: &str| age.map_or_else(|| none.into(), day);
        table.row([
            Phrase::from(ring.mix.as_str()),
            ring.batch.as_str().into(),
            day(ring.whole_at),
            age(ring.cracked_by, "never"),
            age(ring.by_laws, "none"),
            age(ring.corrected, if facts.written.is_some() { "none" } else { "" }),
        ]);
    }
    table.without_empty_columns()
}

/// Blocks for people.
pub fn parts(facts: &RingFacts) -> Vec<Part> {
    let factor = |value: f64| Figure::new(value, Digits::Decimals(3));
    let percent = |value: f64| Figure::percent(value, Digits::Trimmed(3));
    let mut part = Part::new("Calibration", format!("{}, by {} rings", facts.response, facts.rings.len()));
    if let (Some(scale), Some(between), Some(scatter), Some(from)) =
        (facts.scale, facts.scale_between, facts.scatter, facts.scatter_from)
    {
        part = part
            .saying(
                Phrase::from("All strains times ")
                    .and(factor(scale))
                    .and(" for the ring in the middle; that factor lies between ")
                    .and(factor(between.0))
                    .and(" and ")
                    .and(factor(between.1))
                    .and(" with 90 %."),
            )
            .saying(
                Phrase::from("Rings scatter by ")
                    .and(percent(scatter))
                    .and(format!(" of their strains (from {from}).")),
            );
    }
    for (bound, side) in [(facts.scale_at_most, "below"), (facts.scale_at_least, "above")] {
        let Some(bound) = bound else { continue };
        let why =
            if side == "below" { "No ring cracked" } else { "All rings cracked before their first reading" };
        part = part.saying(
            Phrase::from(format!("{why}: the factor on all strains lies {side} "))
                .and(factor(bound))
                .and(" with ")
                .and(percent(SURE))
                .and(", a scatter of ")
                .and(percent(SCATTER))
                .and(" over rings taken. A bound is no scale: nothing is written."),
        );
    }
    if let Some((scale, share)) = facts.written {
        let told = if share == 0.5 {
            Phrase::from(
                "Half of the rings crack earlier than told with it: `--sure 90` writes a scale that nine in ten stay below.",
            )
        } else {
            Phrase::from("Written: ")
                .and(factor(scale))
                .and(", below which ")
                .and(percent(share))
                .and(" of the rings stay, the doubt about the middle counted.")
        };
        part = part.saying(told);
    }
    if facts.between_mixes == 0.0 {
        part = part.saying("One scale serves all mixes: `--other-mixes` states how far others deviate.");
    } else {
        part = part.saying(
            Phrase::from("Mixes deviate by ")
                .and(percent(facts.between_mixes))
                .and(" of their strains besides (as stated): the ends above count it."),
        );
    }
    part = part.with(table(facts)).remarking(
        "Ages since casting. Restraint, and the share of the strength at which concrete cracks, \
         scale stress and level by a number too: ages at cracking cannot tell them from the strains, and they stay as stated.",
    );
    part =
        part.listing(facts.left_out.iter().map(|(line, reason)| format!("left out, line {line}: {reason}")));
    vec![part]
}
