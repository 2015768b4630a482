//! `mixbound calibrate`: a built-in law corrected by a few own results.

use std::path::PathBuf;

use clap::Args;

use super::arguments::FormatWord;
use super::fit::opened as opened_trials;
use super::outside::{Output, tell};
use super::run::{WRONG, format_of, opened};
use crate::answer::calibrate::{facts, parts, table};
use crate::finding::{Fault, clean};
use crate::render::Width;
use crate::response::Rule;
use crate::trial::asked::quoted;
use crate::trial::calibrate::{Prior, correction, own_results};

/// Arguments of `calibrate`.
#[derive(Clone, Debug, Args)]
pub struct CalibrateArguments {
    /// The statement, with a response that follows a law.
    pub file: PathBuf,
    /// Own results: a file of trials.
    #[arg(long, value_name = "FILE")]
    pub trials: PathBuf,
    /// The response.
    #[arg(long, value_name = "NAME")]
    pub of: String,
    /// Deviation of levels (mixes, plants) about the law from prior data, per cent of the prediction.
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    pub between: f64,
    /// Deviation of batches about their level from prior data, per cent of the prediction.
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    pub within: f64,
    /// Deviation that mixes other than those measured keep, per cent; none where all mixes share one level.
    #[arg(long, value_name = "PERCENT", value_parser = percent, default_value = "0")]
    pub other_mixes: f64,
    /// Write the correction to this file, for statements to include.
    #[arg(long, value_name = "FILE")]
    pub fragment: Option<PathBuf>,
    /// What lines that agree in every cell are: `once` counts them once, `confirmed` says that all were measured.
    #[arg(long, default_value = "once")]
    pub repeats: String,
    /// How the result is written.
    #[arg(long, value_enum, default_value_t = FormatWord::Text)]
    pub format: FormatWord,
    /// Write the result to this file instead of standard output.
    #[arg(short, long)]
    pub output: Option<PathBuf>,
}

fn percent(text: &str) -> Result<f64, String> {
    match text.trim().trim_end_matches('%').trim().parse::<f64>() {
        Ok(value) if (0.0..=100.0).contains(&value) => Ok(value / 100.0),
        _ => Err("write per cent between 0 and 100".to_owned()),
    }
}

/// Runs `calibrate`.
pub fn calibrate(arguments: &CalibrateArguments) -> Result<u8, Fault> {
    let Some((problem, _)) = opened(&arguments.file)? else { return Ok(WRONG) };
    let Some((_, trials)) = opened_trials(&arguments.file, &arguments.trials, &arguments.repeats)? else {
        return Ok(WRONG);
    };
    let response = problem
        .responses
        .iter()
        .position(|response| response.name == arguments.of && matches!(response.rule, Rule::Law(_)));
    let Some(response) = response else {
        tell(&format!(
            "error: no response `{}` of this statement follows a law\n  = help: a surface is fitted anew by `mixbound fit`\n",
            clean(&arguments.of)
        ));
        return Ok(WRONG);
    };
    let output = Output::open(arguments.output.as_deref())?;
    let fragment = arguments.fragment.as_deref().map(|path| Output::open(Some(path))).transpose()?;
    let results = own_results(&problem, response, &trials);
    if results.is_empty() {
        tell(&format!(
            "error: nothing was measured of `{}` at its age\n  = help: name it and its unit in a column of the trials\n",
            clean(&arguments.of)
        ));
        return Ok(WRONG);
    }
    let prior = Prior { between: arguments.between, within: arguments.within };
    let logarithms: Vec<f64> = results.iter().map(|own| (own.measured / own.predicted).ln()).collect();
    let correction = correction(&logarithms, prior);
    let variance = correction.variance + prior.within.powi(2) + arguments.other_mixes.powi(2);
    let described = &problem.responses[response];
    let facts = facts(described, &trials, &results, correction, prior, variance.sqrt());
    if let Some(place) = fragment {
        let at =
            results.iter().map(|own| correction.scale * own.predicted).sum::<f64>() / results.len() as f64;
        let unit = &described.unit.text;
        let text = format!(
            "# Written by `mixbound calibrate`: a law corrected by {} own results. Prior deviations: {} between levels, {} within.\n\
             mixbound: 1\nresponses:\n  {}:\n    scale: {}\n    residual: {}\n    trials:\n      degrees of freedom: 100000\n      \
             power: 1\n      at: {}\n      batches: {}\n      data: {}\n",
            results.len(),
            prior.between,
            prior.within,
            quoted(&described.name),
            correction.scale,
            quoted(&format!("{} {unit}", at * variance.sqrt())),
            quoted(&format!("{at} {unit}")),
            results.len(),
            quoted(&trials.digest)
        );
        place.write(&text)?;
    }
    let format = format_of(arguments.format);
    output.write(&crate::render::written(&facts, &parts(&facts), &table(&facts), format, Width::PIPED))?;
    Ok(0)
}
