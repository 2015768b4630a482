//! What `mixbound fit` is asked, word by word, and the fits that come of it.
//!
//! What enters: words of the command line, the statement as far as trials need it, trials. What leaves: fits with their
//! fragments, and what was not fitted, or a refusal.

use super::trial_files::Shelf;
use crate::mixture::Quantities;
use crate::response::Link;
use crate::statement::ResponseEntry;
use crate::trial::asked::{
    Asked, FactorAsked, LinkChoice, TermChoice, factor_from_words, factors_of, terms_from_words,
};
use crate::trial::batch::Trials;
use crate::trial::fitting::{Fitted, ages_of, fitted};
use crate::trial::fragment::{Fragment, StrengthWords, fragment};
use crate::trial::refusal::Refusal;
use crate::trial::scatter::ScatterForm;

/// The words of the command line.
#[derive(Clone, Copy, Debug)]
pub struct Words<'a> {
    /// Measured columns; all that the statement holds where empty.
    pub of: &'a [String],
    /// Factors.
    pub factors: Option<&'a str>,
    /// Terms.
    pub terms: &'a str,
    /// Link.
    pub link: Option<&'a str>,
    /// Scatter.
    pub scatter: &'a str,
    /// Ages in days.
    pub ages: Option<&'a str>,
    /// Specimen and curing of a new strength.
    pub strength: Option<&'a str>,
}

/// Fits, their fragments, and what was not fitted.
pub type Found = (Vec<Fitted>, Vec<Fragment>, Vec<String>);

/// Share by which two ages may differ and be one.
const SAME_AGE: f64 = 0.02;

/// The responses of a statement that a measured column tells of: the one of its name, or those fitted to it at their ages.
fn entries_of<'s>(shelf: &'s Shelf, measured: &str) -> Vec<&'s ResponseEntry> {
    let all = &shelf.statement.responses;
    if let Some(entry) = all.iter().find(|entry| entry.name.value == measured) {
        return vec![entry];
    }
    let told = |entry: &&ResponseEntry| {
        let trials = entry.trials.as_ref();
        trials.and_then(|trials| trials.measured.as_ref()).is_some_and(|word| word.value == measured)
    };
    all.iter().filter(told).collect()
}

/// Age of a response in days, by its strength or by what it tells of its trials.
fn age_of(entry: &ResponseEntry) -> Option<f64> {
    let strength = entry.strength.as_ref().map(|strength| strength.value.age.value);
    let trials = entry.trials.as_ref().and_then(|trials| trials.age.as_ref()).map(|age| age.value.base);
    strength.or(trials).map(|age| age / 86_400.0)
}

/// Fits what is asked.
///
/// # Errors
/// Why the trials do not support it.
pub fn fits(words: &Words<'_>, shelf: &Shelf, trials: &Trials) -> Result<Found, Refusal> {
    let quantities = shelf.quantities();
    let (mut fits, mut fragments, mut not_fitted) = (Vec::new(), Vec::new(), Vec::new());
    if let Some(strength) = words.strength.filter(|strength| !strength.contains(',')) {
        let reason = format!("`--strength {strength}` does not say the curing");
        return Err(Refusal::new(
            reason,
            "write specimen and curing: `--strength \"cylinder 150 x 300 mm, moist\"`",
        ));
    }
    for name in words.of {
        if !trials.measured.iter().any(|measured| measured.name == *name) {
            let known: Vec<String> = trials.measured.iter().map(|m| format!("`{}`", m.name)).collect();
            let mut refusal = Refusal::new(
                format!("nothing of the name `{name}` was measured"),
                "name a column of the trials",
            );
            refusal.notes.push(format!("measured: {}", known.join(", ")));
            return Err(refusal);
        }
    }
    for measured in &trials.measured {
        let entries = entries_of(shelf, &measured.name);
        if words.of.is_empty() && entries.is_empty() && words.factors.is_none() {
            not_fitted.push(format!(
                "`{}` is no response of the statement: fit it as a new one with `--of \"{}\" --factors ...`",
                measured.name, measured.name
            ));
            continue;
        }
        if !words.of.is_empty() && !words.of.contains(&measured.name) {
            not_fitted.push(format!("`{}` was not asked for", measured.name));
            continue;
        }
        if entries.iter().any(|entry| entry.cracking.is_some()) {
            not_fitted.push(format!(
                "`{}` is an age at cracking: rings correct its strains, `mixbound calibrate --of \"{}\"`",
                measured.name, measured.name
            ));
            continue;
        }
        if words.of.is_empty() && words.factors.is_none() && entries.iter().all(|entry| entry.law.is_some()) {
            not_fitted.push(format!(
                "`{}` follows a law: own results correct it, `mixbound calibrate --of \"{}\"`, or `--factors` fit a surface",
                measured.name, measured.name
            ));
            continue;
        }
        for asked in asked_of(words, &measured.name, &entries, trials, &quantities)? {
            fits.push(fitted(trials, &asked)?);
        }
        let own = fits.iter().filter(|fit| fit.asked.name == measured.name);
        fragments.extend(pieces(words, &own.collect::<Vec<_>>(), &entries, trials)?);
    }
    if fits.is_empty() {
        let mut refusal = Refusal::new(
            "no measured column is a response of the statement",
            "name one with `--of`, and its factors with `--factors`",
        );
        refusal.notes = not_fitted;
        return Err(refusal);
    }
    Ok((fits, fragments, not_fitted))
}

/// The fragments of the fits of one measured column: one for each age.
fn pieces(
    words: &Words<'_>,
    fits: &[&Fitted],
    entries: &[&ResponseEntry],
    trials: &Trials,
) -> Result<Vec<Fragment>, Refusal> {
    let entry = entries.first().copied();
    let mut list = Vec::new();
    for fit in fits {
        let ages: Vec<Option<f64>> = if fit.asked.age_factor().is_some() {
            wanted_ages(words, entries)?.unwrap_or_else(|| ages_of(&fit.rows)).into_iter().map(Some).collect()
        } else {
            vec![None]
        };
        list.extend(ages.into_iter().map(|age| fragment(fit, trials, age, strength(words, entry))));
    }
    // The response of the statement keeps its name at its own age alone; every other age has a name of its own.
    let keeps_name = list.len() == 1
        && entry.is_some_and(|entry| {
            entry.name.value == list[0].name
                && match (age_of(entry), list[0].age) {
                    (Some(own), Some(age)) => (own - age).abs() <= SAME_AGE * own,
                    _ => true,
                }
        });
    Ok(if keeps_name { list } else { list.into_iter().map(Fragment::named_by_age).collect() })
}

/// One question for each age, or one for all ages where age is a factor.
fn asked_of(
    words: &Words<'_>,
    name: &str,
    entries: &[&ResponseEntry],
    trials: &Trials,
    quantities: &Quantities<'_>,
) -> Result<Vec<Asked>, Refusal> {
    let entry = entries.first().copied();
    let factors = factors(words, name, entry, quantities)?;
    let written = entry.and_then(|entry| entry.link.as_ref()).map(|word| word.value.as_str());
    let link = match words.link.or(written) {
        Some("chosen") => LinkChoice::Chosen,
        Some(word) => LinkChoice::Fixed(Link::named(word).ok_or_else(|| {
            Refusal::new(
                format!("unknown link `{word}`"),
                "write identity, log, square root, logit or chosen",
            )
        })?),
        None => LinkChoice::Fixed(Link::Identity),
    };
    let scatter = match words.scatter {
        "constant" => ScatterForm::Constant,
        "power" => ScatterForm::Power,
        "chosen" => ScatterForm::Chosen,
        word => {
            let reason = format!("unknown scatter `{word}`");
            return Err(Refusal::new(reason, "write constant, power or chosen"));
        }
    };
    let terms = match words.terms {
        "first" => TermChoice::All(1),
        "second" => TermChoice::All(2),
        "chosen" => TermChoice::Criterion(2),
        "crossed" => TermChoice::CrossValidation(2),
        list => TermChoice::Listed(terms_from_words(list, &factors).map_err(|reason| {
            Refusal::new(
                reason,
                "write first, second, chosen, crossed, or a list such as `constant, a, a * b`",
            )
        })?),
    };
    let curing = strength(words, entry).map(|strength| strength.curing);
    let asked = Asked { name: name.to_owned(), factors, terms, link, scatter, curing, age: None };
    if asked.age_factor().is_some() {
        return Ok(vec![asked]);
    }
    let measured = trials.measured.iter().position(|measured| measured.name == name).unwrap_or(0);
    let mut ages: Vec<f64> = trials.outcomes_of(measured).filter_map(|outcome| outcome.age).collect();
    ages.sort_by(f64::total_cmp);
    ages.dedup();
    let is_ageless = entry.is_some_and(|entry| entry.strength.is_none()) && ages.len() == 1;
    if ages.is_empty() || is_ageless && words.ages.is_none() {
        return Ok(vec![asked]);
    }
    let ages = wanted_ages(words, entries)?.unwrap_or(ages);
    Ok(ages.into_iter().map(|age| Asked { age: Some(age), ..asked.clone() }).collect())
}

/// The factors asked for, or those of the statement's response.
fn factors(
    words: &Words<'_>,
    name: &str,
    entry: Option<&ResponseEntry>,
    quantities: &Quantities<'_>,
) -> Result<Vec<FactorAsked>, Refusal> {
    match (words.factors, entry) {
        (Some(list), _) => list
            .split(',')
            .map(|text| factor_from_words(text, quantities))
            .collect::<Result<_, _>>()
            .map_err(|reason| Refusal::new(reason, "see `mixbound keys` for the names of quantities")),
        (None, Some(entry)) => {
            factors_of(entry, quantities).filter(|list| !list.is_empty()).ok_or_else(|| {
                Refusal::new(
                    format!("`{name}` of the statement has no factors that are quantities of a mix"),
                    "name them with `--factors`",
                )
            })
        }
        (None, None) => {
            Err(Refusal::new(format!("`{name}` is new, and has no factors"), "name them with `--factors`"))
        }
    }
}

/// The ages asked for, or those of the statement's responses.
fn wanted_ages(words: &Words<'_>, entries: &[&ResponseEntry]) -> Result<Option<Vec<f64>>, Refusal> {
    let Some(list) = words.ages else {
        let own: Vec<f64> = entries.iter().filter_map(|entry| age_of(entry)).collect();
        return Ok((!own.is_empty()).then_some(own));
    };
    let read =
        |text: &str| text.trim().trim_end_matches('d').trim().parse::<f64>().ok().filter(|age| 0.0 < *age);
    let ages: Option<Vec<f64>> = list.split(',').map(read).collect();
    let mut ages = ages.ok_or_else(|| {
        Refusal::new(
            format!("`--ages {list}` are no ages"),
            "write days above zero, parted by commas: `7, 28`",
        )
    })?;
    ages.sort_by(f64::total_cmp);
    ages.dedup();
    Ok(Some(ages))
}

fn strength(words: &Words<'_>, entry: Option<&ResponseEntry>) -> Option<StrengthWords> {
    let written = entry.and_then(|entry| entry.strength.as_ref()).map(|strength| StrengthWords {
        specimen: strength.value.specimen.value.clone(),
        statistic: strength.value.statistic.value.clone(),
        curing: strength.value.curing.value.clone(),
    });
    written.or_else(|| {
        let (specimen, curing) = words.strength?.rsplit_once(',')?;
        let (specimen, curing) = (specimen.trim().to_owned(), curing.trim().to_owned());
        Some(StrengthWords { specimen, statistic: "mean".to_owned(), curing })
    })
}
