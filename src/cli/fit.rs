//! `mixbound fit`: from trial batches to fitted responses, and to a file that statements include.

use std::path::{Path, PathBuf};

use clap::Args;

use super::ending::WRONG;
use super::fit_region::excluded;
use super::leaf::PlaceArguments;
use super::outside::{Output, tell, undivided_until};
use super::trial_files::{Shelf, shelf};
use crate::answer::fit::{facts, parts, table};
use crate::finding::{Fault, clean};
use crate::mixture::Quantities;
use crate::response::Link;
use crate::statement::ResponseEntry;
use crate::trial::asked::{
    Asked, FactorAsked, LinkChoice, TermChoice, factor_from_words, factors_of, terms_from_words,
};
use crate::trial::batch::Trials;
use crate::trial::fitting::{Fitted, ages_of, fitted};
use crate::trial::fragment::{Fragment, StrengthWords, file, fragment};
use crate::trial::refusal::Refusal;
use crate::trial::rows::Repeats;
use crate::trial::scatter::ScatterForm;

/// Arguments of `fit`.
#[derive(Clone, Debug, Args)]
pub struct FitArguments {
    /// The statement whose materials, quantities and responses the trials speak of.
    pub file: PathBuf,
    /// The trials: comma- or semicolon-separated values, one specimen a line; `mixbound guide trials` shows one.
    #[arg(long, value_name = "FILE")]
    pub trials: PathBuf,
    /// The measured column to fit; all that the statement holds when left out.
    #[arg(long, value_name = "NAME")]
    pub of: Vec<String>,
    /// Factors, parted by commas: a quantity, or `short = quantity`; `ln age` for the logarithm of the age in days. Those
    /// of the statement's response when left out.
    #[arg(long, value_name = "LIST")]
    pub factors: Option<String>,
    /// Terms: `first` or `second` for all up to that order, `chosen` by the corrected information criterion, `crossed` by
    /// cross-validation, or a list such as `constant, a, a * b`.
    #[arg(long, default_value = "chosen")]
    pub terms: String,
    /// Scale of the polynomial: `identity`, `log`, `square root`, `logit`, or `chosen`; that of the statement's response,
    /// else identity, when left out.
    #[arg(long)]
    pub link: Option<String>,
    /// How results scatter: `constant`, `power` of the prediction, or `chosen` by their likelihood.
    #[arg(long, default_value = "chosen")]
    pub scatter: String,
    /// Ages in days to fit, parted by commas; those of the statement's response, or all in the trials, when left out.
    #[arg(long, value_name = "LIST")]
    pub ages: Option<String>,
    /// What lines that agree in every cell are: `once` counts them once, `confirmed` says that all were measured.
    #[arg(long, default_value = "once")]
    pub repeats: String,
    /// What a new strength is: `specimen, curing`.
    #[arg(long, value_name = "WORDS")]
    pub strength: Option<String>,
    /// Write the fitted responses to this file, for statements to include.
    #[arg(long, value_name = "FILE")]
    pub fragment: Option<PathBuf>,
    /// Where and how the result is written.
    #[command(flatten)]
    pub places: PlaceArguments,
}

/// Runs `fit`.
pub fn fit(arguments: &FitArguments) -> Result<u8, Fault> {
    let stop = arguments.places.stop();
    let read = || opened(&arguments.file, &arguments.trials, &arguments.repeats);
    let Some((shelf, trials)) = undivided_until(stop, "the trials were read", read)? else {
        return Ok(WRONG);
    };
    let place = arguments.places.open()?;
    let fragment_file = arguments.fragment.as_deref().map(|path| Output::open(Some(path))).transpose()?;
    let (fits, fragments, not_fitted) =
        match undivided_until(stop, "anything was fitted", || fits(arguments, &shelf, &trials)) {
            Ok(found) => found,
            Err(refusal) => {
                tell_refusal(&refusal);
                return Ok(WRONG);
            }
        };
    let excluded = undivided_until(stop, "the fit was tried in the statement", || {
        excluded(&arguments.file, &fragments)
    })?;
    for told in excluded {
        tell(&told);
    }
    let facts = facts(&fits, &trials, not_fitted);
    if let Some(file_place) = fragment_file {
        file_place.write(&file(&fragments, &clean(&trial_name(&arguments.trials))))?;
    }
    let parts = parts(&facts);
    let title = format!("Fitted to trials of {}", clean(&trial_name(&arguments.trials)));
    place.write(&title, &parts, |format, width| {
        crate::render::written(&facts, &parts, &table(&facts), format, width)
    })?;
    Ok(0)
}

/// The name of a file of trials.
fn trial_name(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

/// The statement and the trials; nothing if one of them is wrong, and its author has been told.
pub fn opened(statement: &Path, trials: &Path, repeats: &str) -> Result<Option<(Shelf, Trials)>, Fault> {
    let repeats = match repeats {
        "once" => Repeats::CountOnce,
        "confirmed" => Repeats::Confirmed,
        other => {
            tell(&format!("error: `--repeats {}`; allowed: once, confirmed\n", clean(other)));
            return Ok(None);
        }
    };
    let Some(mut shelf) = shelf(statement)? else { return Ok(None) };
    let Some(trials) = shelf.trials(trials, repeats)? else { return Ok(None) };
    Ok(Some((shelf, trials)))
}

/// Tells why there is no fit.
pub fn tell_refusal(refusal: &Refusal) {
    let mut text = format!("error: {}\n", clean(&refusal.reason));
    for note in &refusal.notes {
        text.push_str(&format!("  = {}\n", clean(note)));
    }
    text.push_str(&format!("  = help: {}\n", clean(&refusal.help)));
    tell(&text);
}

type Found = (Vec<Fitted>, Vec<Fragment>, Vec<String>);

fn fits(arguments: &FitArguments, shelf: &Shelf, trials: &Trials) -> Result<Found, Refusal> {
    let quantities = shelf.quantities();
    let (mut fits, mut fragments, mut not_fitted) = (Vec::new(), Vec::new(), Vec::new());
    for name in &arguments.of {
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
        let entry = shelf.statement.responses.iter().find(|entry| entry.name.value == measured.name);
        if arguments.of.is_empty() && entry.is_none() && arguments.factors.is_none() {
            not_fitted.push(format!(
                "`{}` is no response of the statement: fit it as a new one with `--of \"{}\" --factors ...`",
                measured.name, measured.name
            ));
            continue;
        }
        if !arguments.of.is_empty() && !arguments.of.contains(&measured.name) {
            continue;
        }
        if entry.is_some_and(|entry| entry.cracking.is_some()) {
            not_fitted.push(format!(
                "`{}` is an age at cracking: rings correct its strains, `mixbound calibrate --of \"{}\"`",
                measured.name, measured.name
            ));
            continue;
        }
        for asked in asked_of(arguments, &measured.name, entry, trials, &quantities)? {
            let fit = fitted(trials, &asked)?;
            let ages: Vec<Option<f64>> = if asked.age_factor().is_some() {
                wanted_ages(arguments, entry)?
                    .unwrap_or_else(|| ages_of(&fit.rows))
                    .into_iter()
                    .map(Some)
                    .collect()
            } else {
                vec![None]
            };
            for age in &ages {
                let mut piece = fragment(&fit, trials, *age, strength(arguments, entry));
                let several = 1 < ages.len() || entry.is_none() && asked.age.is_some();
                if let Some(age) = piece.age.filter(|_| several) {
                    piece.name = format!("{} at {age} d", piece.name);
                }
                fragments.push(piece);
            }
            fits.push(fit);
        }
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

/// One question for each age, or one for all ages where age is a factor.
fn asked_of(
    arguments: &FitArguments,
    name: &str,
    entry: Option<&ResponseEntry>,
    trials: &Trials,
    quantities: &Quantities<'_>,
) -> Result<Vec<Asked>, Refusal> {
    let factors: Vec<FactorAsked> = match (&arguments.factors, entry) {
        (Some(list), _) => list
            .split(',')
            .map(|text| factor_from_words(text, quantities))
            .collect::<Result<_, _>>()
            .map_err(|reason| Refusal::new(reason, "see `mixbound keys` for the names of quantities"))?,
        (None, Some(entry)) => {
            factors_of(entry, quantities).filter(|list| !list.is_empty()).ok_or_else(|| {
                Refusal::new(
                    format!("`{name}` of the statement has no factors that are quantities of a mix"),
                    "name them with `--factors`",
                )
            })?
        }
        (None, None) => {
            return Err(Refusal::new(
                format!("`{name}` is new, and has no factors"),
                "name them with `--factors`",
            ));
        }
    };
    let written = entry.and_then(|entry| entry.link.as_ref()).map(|word| word.value.clone());
    let link = match arguments.link.clone().or(written).as_deref() {
        Some("chosen") => LinkChoice::Chosen,
        Some(word) => LinkChoice::Fixed(Link::named(word).ok_or_else(|| {
            Refusal::new(
                format!("unknown link `{word}`"),
                "write identity, log, square root, logit or chosen",
            )
        })?),
        None => LinkChoice::Fixed(Link::Identity),
    };
    let scatter = match arguments.scatter.as_str() {
        "constant" => ScatterForm::Constant,
        "power" => ScatterForm::Power,
        "chosen" => ScatterForm::Chosen,
        word => {
            let reason = format!("unknown scatter `{word}`");
            return Err(Refusal::new(reason, "write constant, power or chosen"));
        }
    };
    let terms = match arguments.terms.as_str() {
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
    let asked = Asked { name: name.to_owned(), factors, terms, link, scatter, age: None };
    if asked.age_factor().is_some() {
        return Ok(vec![asked]);
    }
    let measured = trials.measured.iter().position(|measured| measured.name == name).unwrap_or(0);
    let mut ages: Vec<f64> = trials.outcomes_of(measured).filter_map(|outcome| outcome.age).collect();
    ages.sort_by(f64::total_cmp);
    ages.dedup();
    let is_ageless = entry.is_some_and(|entry| entry.strength.is_none()) && ages.len() == 1;
    if ages.is_empty() || is_ageless && arguments.ages.is_none() {
        return Ok(vec![asked]);
    }
    let ages = wanted_ages(arguments, entry)?.unwrap_or(ages);
    Ok(ages.into_iter().map(|age| Asked { age: Some(age), ..asked.clone() }).collect())
}

/// The ages asked for, or that of the statement's strength.
fn wanted_ages(arguments: &FitArguments, entry: Option<&ResponseEntry>) -> Result<Option<Vec<f64>>, Refusal> {
    let Some(list) = &arguments.ages else {
        let own = entry.and_then(|entry| entry.strength.as_ref()).map(|strength| strength.value.age.value);
        return Ok(own.map(|age| vec![age / 86_400.0]));
    };
    let read =
        |text: &str| text.trim().trim_end_matches('d').trim().parse::<f64>().ok().filter(|age| 0.0 < *age);
    let ages: Option<Vec<f64>> = list.split(',').map(read).collect();
    ages.map(Some).ok_or_else(|| {
        Refusal::new(
            format!("`--ages {list}` are no ages"),
            "write days above zero, parted by commas: `7, 28`",
        )
    })
}

fn strength(arguments: &FitArguments, entry: Option<&ResponseEntry>) -> Option<StrengthWords> {
    let written = entry.and_then(|entry| entry.strength.as_ref()).map(|strength| StrengthWords {
        specimen: strength.value.specimen.value.clone(),
        statistic: strength.value.statistic.value.clone(),
        curing: strength.value.curing.value.clone(),
    });
    written.or_else(|| {
        let (specimen, curing) = arguments.strength.as_deref()?.rsplit_once(',')?;
        let (specimen, curing) = (specimen.trim().to_owned(), curing.trim().to_owned());
        Some(StrengthWords { specimen, statistic: "mean".to_owned(), curing })
    })
}
