//! What is told of a fit in sentences, and which results it did not use.
//!
//! What enters: fits and their trials. What leaves: sentences.

use crate::response::Link;
use crate::trial::batch::{Outcome, Trials};
use crate::trial::fitting::Fitted;
use crate::trial::judged::{LackOfFit, confounded_with_blocks};

/// What is told of a fit in sentences.
pub fn told(fit: &Fitted, trials: &Trials, lack: Option<&LackOfFit>, outliers: &[usize]) -> Vec<String> {
    let mut told = confounded_with_blocks(fit, trials);
    let is_level = |term: &usize| fit.form.candidates[*term].0.is_empty();
    if fit.form.kept.iter().all(is_level) && fit.form.candidates.len() > 1 {
        told.push(format!(
            "no factor stands in the form: {} results are too few, or scatter too much, to tell an effect; the fit is a mean, and \
             moves with no mix. Ask for `--terms first` only where you know that the factors matter, or make more trials",
            fit.rows.len()
        ));
    }
    if !outliers.is_empty() {
        let names: Vec<String> = outliers
            .iter()
            .map(|at| {
                let row = &fit.rows[*at];
                let studentised = fit.form.fit.studentised[*at];
                format!("`{}` ({studentised:+.1} deviations)", trials.batches[row.batch].name)
            })
            .collect();
        told.push(format!(
            "far from what the others predict, and kept: {}: look for a slip; take a line out of the file only with a reason",
            names.join(", ")
        ));
    }
    if fit.form.link == Link::Log {
        told.push("predictions of a log response are medians; means lie above them".to_owned());
    }
    if let Some(lack) = lack.filter(|lack| lack.probability < 0.05) {
        told.push(format!(
            "repeated batches scatter less than the form misses (F {:.2}, probability {:.3}): the form is too simple",
            lack.ratio, lack.probability
        ));
    }
    if lack.is_none() {
        told.push(
            "no mix was batched twice: the scatter between batches cannot be told from what the form misses"
                .to_owned(),
        );
    }
    if 1 < fit.compared.len() {
        let list: Vec<String> =
            fit.compared.iter().map(|(link, criterion)| format!("{} {criterion:.1}", link.word())).collect();
        told.push(format!("links by corrected criterion, less is better: {}", list.join(", ")));
    }
    told
}

/// Share of results that a 95 % bound should at least hold, chance allowed for.
const SELDOM: f64 = 0.92;

/// Where bounds hold too seldom, in a sentence.
pub fn held_too_seldom(held: &[f64; 3]) -> Option<String> {
    let places: Vec<String> = ["low", "middle", "high"]
        .iter()
        .zip(held)
        .filter(|(_, share)| **share < SELDOM)
        .map(|(place, share)| format!("{place} ({:.1} %)", 100.0 * share))
        .collect();
    (!places.is_empty()).then(|| {
        format!(
            "95 % bounds hold too seldom where predictions are {}: the form bends away from the results there; add terms, or keep \
             a margin of your own",
            crate::finding::listed(&places)
        )
    })
}

/// Results of fitted columns that no fit used, by age and curing.
pub fn unused(fits: &[Fitted], trials: &Trials) -> Vec<String> {
    let used: Vec<usize> =
        fits.iter().flat_map(|fit| &fit.rows).flat_map(|row| row.outcomes.iter().copied()).collect();
    let mut kinds: Vec<(&Outcome, usize)> = Vec::new();
    for (at, outcome) in trials.outcomes.iter().enumerate() {
        let name = &trials.measured[outcome.measured].name;
        if used.contains(&at) || !fits.iter().any(|fit| fit.asked.name == *name) {
            continue;
        }
        let same = |kind: &&mut (&Outcome, usize)| {
            kind.0.measured == outcome.measured
                && kind.0.age == outcome.age
                && kind.0.curing == outcome.curing
        };
        match kinds.iter_mut().find(same) {
            Some(kind) => kind.1 += 1,
            None => kinds.push((outcome, 1)),
        }
    }
    kinds.sort_by(|a, b| {
        let key = |outcome: &Outcome| (outcome.measured, outcome.age.unwrap_or(0.0));
        let (a, b) = (key(a.0), key(b.0));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let told = |(outcome, count): &(&Outcome, usize)| {
        let name = &trials.measured[outcome.measured].name;
        let age = outcome.age.map_or_else(String::new, |age| format!(" at {age} d"));
        let curing = outcome.curing.as_ref().map_or_else(String::new, |curing| format!(", cured `{curing}`"));
        let results = if *count == 1 { "1 result".to_owned() } else { format!("{count} results") };
        format!("{results} of `{name}`{age}{curing}: not what this fit is of; `--ages` names the ages to fit")
    };
    kinds.iter().map(told).collect()
}
