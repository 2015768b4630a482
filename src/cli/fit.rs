//! `mixbound fit`: from trial batches to fitted responses, and to a file that statements include.

use std::path::{Path, PathBuf};

use clap::Args;

use super::ending::WRONG;
use super::fit_asked::{Words, fits};
use super::fit_region::excluded;
use super::leaf::PlaceArguments;
use super::outside::{Output, tell, undivided_until};
use super::trial_files::{Shelf, name_of, shelf};
use crate::answer::fit::facts;
use crate::answer::fit_parts::{parts, table};
use crate::finding::{Fault, clean};
use crate::trial::batch::Trials;
use crate::trial::fragment::file;
use crate::trial::refusal::Refusal;
use crate::trial::rows::Repeats;

/// Arguments of `fit`.
#[derive(Clone, Debug, Args)]
pub struct FitArguments {
    /// The statement whose materials, quantities and responses the trials speak of.
    pub file: PathBuf,
    /// The trials: comma- or semicolon-separated values, one specimen a line; `mixbound guide trials` shows one. Given
    /// again, another file beside it.
    #[arg(long, value_name = "FILE", required = true)]
    pub trials: Vec<PathBuf>,
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
    let asked = Words {
        of: &arguments.of,
        factors: arguments.factors.as_deref(),
        terms: &arguments.terms,
        link: arguments.link.as_deref(),
        scatter: &arguments.scatter,
        ages: arguments.ages.as_deref(),
        strength: arguments.strength.as_deref(),
    };
    let (fits, fragments, not_fitted) =
        match undivided_until(stop, "anything was fitted", || fits(&asked, &shelf, &trials)) {
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
        file_place.write(&file(&fragments, &clean(&trial_names(&arguments.trials))))?;
    }
    let parts = parts(&facts);
    let title = format!("Fitted to trials of {}", clean(&trial_names(&arguments.trials)));
    place.write(&title, &parts, |format, width| {
        crate::render::written(&facts, &parts, &table(&facts), format, width)
    })?;
    Ok(0)
}

/// The names of the files of trials.
fn trial_names(paths: &[PathBuf]) -> String {
    paths.iter().map(|path| name_of(path)).collect::<Vec<_>>().join(", ")
}

/// The statement and the trials; nothing if one of them is wrong, and its author has been told.
pub fn opened(statement: &Path, trials: &[PathBuf], repeats: &str) -> Result<Option<(Shelf, Trials)>, Fault> {
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
