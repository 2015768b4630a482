//! Several files of trials as one.
//!
//! What enters: the trials of each file with its name, in the order given. What leaves: one set. Batches of one name and one
//! weight are one batch, which returns at another age; of one name and other weights they are an error, as within a file. Mixes
//! of one name are one mix as long as their amounts agree; else the later one is told apart by its file.

use super::batch::{Batch, Measured, Trials};
use crate::finding::{Finding, Findings};

/// Relative difference of amounts up to which two batches tell of the same weights.
const SAME: f64 = 1e-6;
/// Relative difference of an amount, and kg/m3, from which two batches are not of one mix.
const APART: (f64, f64) = (0.06, 6.0);

/// Whether two batches have amounts so different that they are no repeats of one mix.
pub fn are_apart(one: &[f64], other: &[f64]) -> bool {
    one.iter().zip(other).any(|(a, b)| {
        let difference = (a - b).abs();
        APART.0 * a.abs().max(b.abs()) < difference && APART.1 < difference
    })
}

/// Puts the files together; `trials` is not empty.
///
/// # Errors
/// Batches of one name with other weights, measured columns whose units cannot be compared.
pub fn joined(files: Vec<(String, Trials)>) -> Result<(Trials, Findings), Findings> {
    let mut findings = Findings::default();
    let mut all = Trials::default();
    let is_single = files.len() == 1;
    for (name, trials) in files {
        if is_single {
            return Ok((trials, findings));
        }
        add(&mut all, &name, trials, &mut findings);
    }
    if findings.has_errors() { Err(findings) } else { Ok((all, findings)) }
}

fn add(all: &mut Trials, name: &str, trials: Trials, findings: &mut Findings) {
    let mixes: Vec<usize> = (0..trials.mixes.len()).map(|mix| mix_in(all, name, &trials, mix)).collect();
    let batches: Vec<usize> =
        trials.batches.iter().map(|batch| batch_in(all, (batch, name), mixes[batch.mix], findings)).collect();
    let measured: Vec<Option<(usize, Measured)>> =
        trials.measured.iter().map(|one| measured_in(all, name, one, &trials, findings)).collect();
    for outcome in trials.outcomes {
        let Some((at, from)) = &measured[outcome.measured] else { continue };
        let unit = all.measured[*at].unit.clone();
        let values =
            outcome.values.iter().map(|(value, place)| (unit.from_base(from.unit.to_base(*value)), *place));
        let values: Vec<_> =
            if unit.text == from.unit.text { outcome.values.clone() } else { values.collect() };
        let (batch, measured) = (batches[outcome.batch], *at);
        all.add_result(super::batch::Outcome { batch, measured, values, ..outcome });
    }
    for ring in trials.rings {
        let Some((at, from)) = &measured[ring.measured] else { continue };
        let unit = &all.measured[*at].unit;
        let turned = |age: f64| unit.from_base(from.unit.to_base(age));
        all.rings.push(super::batch::RingReading {
            batch: batches[ring.batch],
            measured: *at,
            whole_at: turned(ring.whole_at),
            cracked_by: turned(ring.cracked_by),
            ..ring
        });
    }
    all.left_out.extend(
        trials.left_out.into_iter().map(|left| super::batch::LeftOut { file: Some(name.to_owned()), ..left }),
    );
    if !all.digest.is_empty() {
        all.digest.push(' ');
    }
    all.digest.push_str(&trials.digest);
    all.date = all.date.take().max(trials.date);
}

/// The index of a mix of a further file.
fn mix_in(all: &mut Trials, file: &str, trials: &Trials, mix: usize) -> usize {
    let own = &trials.mixes[mix];
    let amounts = |trials: &Trials, mix: usize| {
        trials.batches.iter().find(|batch| batch.mix == mix).map(|batch| batch.amounts.clone())
    };
    let known = all.mixes.iter().position(|name| name == own);
    let is_other = known.is_some_and(|known| match (amounts(all, known), amounts(trials, mix)) {
        (Some(one), Some(other)) => are_apart(&one, &other),
        _ => false,
    });
    match known {
        Some(known) if !is_other => known,
        _ => {
            all.mixes.push(if is_other { format!("{own} ({file})") } else { own.clone() });
            all.mixes.len() - 1
        }
    }
}

/// The index of a batch of a further file.
fn batch_in(all: &mut Trials, (batch, file): (&Batch, &str), mix: usize, findings: &mut Findings) -> usize {
    let known = all.batches.iter().position(|known| known.name == batch.name);
    if let Some(known) = known.filter(|_| batch.is_named) {
        let before = &all.batches[known];
        let same = before.mix == mix
            && before
                .amounts
                .iter()
                .zip(&batch.amounts)
                .all(|(a, b)| (a - b).abs() <= SAME * a.abs().max(b.abs()).max(1.0));
        if !same {
            findings.push(
                Finding::error(
                    batch.place,
                    format!("batch `{}` stands in another file with other weights", batch.name),
                )
                .help("a batch may return at another age; give a batch of its own another name"),
            );
        }
        return known;
    }
    let name = if known.is_some() { format!("{} ({file})", batch.name) } else { batch.name.clone() };
    all.batches.push(Batch { name, mix, ..batch.clone() });
    all.batches.len() - 1
}

/// The index of a measured column of a further file, and the column as it stands there.
fn measured_in(
    all: &mut Trials,
    file: &str,
    one: &Measured,
    trials: &Trials,
    findings: &mut Findings,
) -> Option<(usize, Measured)> {
    let Some(known) = all.measured.iter().position(|known| known.name == one.name) else {
        all.measured.push(one.clone());
        return Some((all.measured.len() - 1, one.clone()));
    };
    let before = &mut all.measured[known];
    before.is_known |= one.is_known;
    if before.unit.dimension == one.unit.dimension {
        return Some((known, one.clone()));
    }
    if let Some(batch) = trials.batches.first() {
        findings.push(
            Finding::error(batch.place, format!("`{}` is in `{}` in {file}", one.name, one.unit.text))
                .note(format!("it is in `{}` in the file before", before.unit.text))
                .help("give one unit, or one of them another name"),
        );
    }
    None
}
