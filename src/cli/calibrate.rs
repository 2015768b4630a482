//! `mixbound calibrate`: a built-in law corrected by a few own results.

use crate::listed::Id;
use std::path::PathBuf;

use clap::Args;

use super::ending::WRONG;
use super::fit::opened as opened_trials;
use super::leaf::PlaceArguments;
use super::opened::opened;
use super::outside::{Output, tell, undivided_until};
use crate::answer::calibrate::{facts, parts, table};
use crate::answer::rings as told_rings;
use crate::finding::{Fault, Sources, clean};
use crate::parallel::Stop;
use crate::problem::Problem;
use crate::response::{Response, Rule};
use crate::trial::asked::quoted;
use crate::trial::batch::Trials;
use crate::trial::calibrate::{Correction, Prior, Weighing, correction, own_results};
use crate::trial::rings::{Unused, rings, strains};

/// Arguments of `calibrate`.
#[derive(Clone, Debug, Args)]
pub struct CalibrateArguments {
    /// The statement, with a response that follows a law, or an age at cracking.
    pub file: PathBuf,
    /// Own results: a file of trials. Given again, another file beside it.
    #[arg(long, value_name = "FILE", required = true)]
    pub trials: Vec<PathBuf>,
    /// The response.
    #[arg(long, value_name = "NAME")]
    pub of: String,
    /// Deviation of levels (mixes, plants) about the law from prior data, per cent of the prediction.
    /// Needed for a law.
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    pub between: Option<f64>,
    /// Deviation of batches about their level from prior data, per cent of the prediction. Needed for a law.
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    pub within: Option<f64>,
    /// Deviation that mixes other than those measured keep, per cent, of a law or of the strains of rings; none where all mixes
    /// share one level.
    #[arg(long, value_name = "PERCENT", value_parser = percent, default_value = "0")]
    pub other_mixes: f64,
    /// Deviation of slopes of the law between levels from prior data, per cent of the slope: shrinks a slope that own results
    /// free. Without it the slope is that of the own results.
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    pub slopes: Option<f64>,
    /// Deviation of a weight, per cent (common practice, no source).
    #[arg(long, value_name = "PERCENT", value_parser = percent, default_value = "0.5")]
    pub weighing: f64,
    /// Deviation of the moisture of an aggregate, per cent of its dry mass (common practice, no source).
    #[arg(long, value_name = "PERCENT", value_parser = percent, default_value = "0.5")]
    pub moisture: f64,
    /// What an age at cracking corrects: its strains. Restraint and share of the strength cannot be told from them.
    #[arg(long, value_name = "WORD", default_value = "strains", value_parser = ["strains", "restraint", "share"])]
    pub correct: String,
    /// Write the scale on the strains that so many rings stay below, per cent.
    #[arg(long, value_name = "PERCENT", value_parser = sure, default_value = "50")]
    pub sure: f64,
    /// Write the correction to this file, for statements to include.
    #[arg(long, value_name = "FILE")]
    pub fragment: Option<PathBuf>,
    /// What lines that agree in every cell are: `once` counts them once, `confirmed` says that all were measured.
    #[arg(long, default_value = "once")]
    pub repeats: String,
    /// Where and how the result is written.
    #[command(flatten)]
    pub places: PlaceArguments,
}

fn percent(text: &str) -> Result<f64, String> {
    match text.trim().trim_end_matches('%').trim().parse::<f64>() {
        Ok(value) if (0.0..=100.0).contains(&value) => Ok(value / 100.0),
        _ => Err("write per cent between 0 and 100".to_owned()),
    }
}

fn sure(text: &str) -> Result<f64, String> {
    percent(text)
        .ok()
        .filter(|share| (0.5..=0.999).contains(share))
        .ok_or_else(|| "write per cent between 50, the ring in the middle, and 99.9".to_owned())
}

/// Runs `calibrate`.
pub fn calibrate(arguments: &CalibrateArguments) -> Result<u8, Fault> {
    let stop = arguments.places.stop();
    let Some((problem, _)) = opened(&arguments.file, stop)? else { return Ok(WRONG) };
    let read = || opened_trials(&arguments.file, &arguments.trials, &arguments.repeats);
    let Some((shelf, trials)) = undivided_until(stop, "the trials were read", read)? else {
        return Ok(WRONG);
    };
    let age = problem
        .responses
        .find_id(|response| response.name == arguments.of && matches!(response.rule, Rule::Cracking(_)));
    if let Some(response) = age {
        return by_rings(arguments, (&problem, response), &shelf.sources, &trials, stop);
    }
    let (Some(between), Some(within)) = (arguments.between, arguments.within) else {
        tell(
            "error: no prior data: a law is corrected by `--between` and `--within`\n  = help: state how levels deviate from the law, and batches from their level, from data of the trade or your own\n",
        );
        return Ok(WRONG);
    };
    let response = problem
        .responses
        .find_id(|response| response.name == arguments.of && matches!(response.rule, Rule::Law(_)));
    let Some(response) = response else {
        tell(&format!(
            "error: no response `{}` of this statement follows a law or is an age at cracking\n  = help: a surface is fitted anew by `mixbound fit`\n",
            clean(&arguments.of)
        ));
        return Ok(WRONG);
    };
    let place = arguments.places.open()?;
    let fragment = arguments.fragment.as_deref().map(|path| Output::open(Some(path))).transpose()?;
    let weighing = Weighing { weight: arguments.weighing, moisture: arguments.moisture };
    let (results, unused) = own_results(&problem, response, &trials, weighing);
    if results.is_empty() {
        let mut text = format!("error: nothing was measured of `{}` at its age\n", clean(&arguments.of));
        for line in &unused {
            text.push_str(&format!("  = {}\n", clean(line)));
        }
        text.push_str("  = help: name it and its unit in a column of the trials\n");
        tell(&text);
        return Ok(WRONG);
    }
    let prior = Prior { between, within, slopes: arguments.slopes };
    let correction = correction(&results, prior);
    let variance = correction.variance + prior.within.powi(2) + arguments.other_mixes.powi(2);
    let described = &problem.responses[response];
    if !(0.2..=5.0).contains(&correction.slope.power) || !(0.2..=5.0).contains(&correction.scale) {
        tell(&format!(
            "error: own results would take `{}` times {:.3}, to the power {:.3}\n  = allowed: 0.2 .. 5; a law that is farther off is \
             not the right one\n  = help: check units and ages of the results, or fit a surface with `mixbound fit --factors ...`\n",
            clean(&described.name),
            correction.scale,
            correction.slope.power
        ));
        return Ok(WRONG);
    }
    let facts = facts(described, &trials, (&results, unused), correction, prior, variance.sqrt());
    if let Some(file) = fragment {
        file.write(&written(described, &correction, prior, variance, &trials))?;
    }
    let parts = parts(&facts);
    place.write(&format!("{}, corrected by own results", facts.response), &parts, |format, width| {
        crate::render::written(&facts, &parts, &table(&facts), format, width)
    })?;
    Ok(0)
}

/// The correction as a piece of a statement. Deviations are those of the law's scale: a relative deviation `r` of the corrected
/// prediction is `r / power` of the law's, and grows with the corrected prediction to the power `1 / power`.
fn written(
    described: &Response,
    correction: &Correction,
    prior: Prior,
    variance: f64,
    trials: &Trials,
) -> String {
    let unit = &described.unit.text;
    let in_unit = |value: f64| quoted(&format!("{value} {unit}"));
    let slope = &correction.slope;
    let at = correction.scale * slope.at;
    let mut text = format!(
        "# Written by `mixbound calibrate`: a law corrected by own results, {} of them. Prior deviations: {} between levels, {} \
         within.\nmixbound: 1\nresponses:\n  {}:\n    scale: {}\n",
        correction.results,
        prior.between,
        prior.within,
        quoted(&described.name),
        correction.scale,
    );
    if slope.is_free() {
        text.push_str(&format!("    slope: {{power: {}, at: {}}}\n", slope.power, in_unit(at)));
    }
    text.push_str(&format!(
        "    residual: {}\n    trials:\n      degrees of freedom: 100000\n      power: {}\n      at: {}\n",
        in_unit(at * variance.sqrt() / slope.power),
        slope.power.recip(),
        in_unit(at),
    ));
    if slope.is_free() {
        let share = slope.variance / (variance * slope.power.powi(2));
        text.push_str(&format!("      slope variance: {share}\n"));
    }
    text.push_str(&format!(
        "      batches: {}\n      data: {}\n",
        correction.results,
        quoted(&trials.digest)
    ));
    text
}

/// Corrects the strains of an age at cracking by own rings.
fn by_rings(
    arguments: &CalibrateArguments,
    (problem, response): (&Problem, Id<Response>),
    sources: &Sources,
    trials: &Trials,
    stop: Stop,
) -> Result<u8, Fault> {
    if arguments.correct != "strains" {
        tell(&format!(
            "error: ages at cracking cannot tell the {} from the strains\n  = strains, restraint and share of the strength each \
             multiply level over stress by a number, and a ring tells that number alone\n  = help: correct the strains, or \
             measure the {} by itself: the ring's stiffness, or a tensile test at cracking\n",
            arguments.correct, arguments.correct
        ));
        return Ok(WRONG);
    }
    let place = arguments.places.open()?;
    let (rings, unused) =
        undivided_until(stop, "the rings were followed", || rings(problem, response, trials));
    let left_out: Vec<(usize, Unused)> =
        unused.into_iter().map(|unused| (sources.line(trials.rings[unused.reading].place), unused)).collect();
    if rings.is_empty() {
        let mut text = format!("error: no ring of `{}` can be used\n", clean(&arguments.of));
        for (line, unused) in &left_out {
            text.push_str(&format!("  = line {line}: {}\n", clean(&unused.reason)));
        }
        text.push_str("  = help: give readings in a column of that name: `14 .. 17`, or `at least 56` for a ring that is whole\n");
        tell(&text);
        return Ok(WRONG);
    }
    let found = strains(&rings, arguments.other_mixes);
    let facts = told_rings::facts(
        (problem, response),
        trials,
        (&rings, &left_out),
        (found, arguments.sure, arguments.other_mixes),
    );
    match (&arguments.fragment, facts.written) {
        (Some(path), Some((scale, share))) => {
            let middle = if share == 0.5 {
                "the ring in the middle".to_owned()
            } else {
                format!("{:.0} % of rings stay below", 100.0 * share)
            };
            Output::open(Some(path))?.write(&format!(
                "# Written by `mixbound calibrate`: all strains scaled by {} own rings ({middle}).\n# Data: {}\n\
                 mixbound: 1\nresponses:\n  {}:\n    scale: {scale}\n",
                rings.len(),
                trials.digest,
                quoted(&arguments.of),
            ))?;
        }
        (Some(_), None) => tell("no scale is known, only a bound: the fragment is not written\n"),
        (None, _) => {}
    }
    let (parts, table) = (told_rings::parts(&facts), told_rings::table(&facts));
    place.write(&format!("{}, corrected by own rings", facts.response), &parts, |format, width| {
        crate::render::written(&facts, &parts, &table, format, width)
    })?;
    Ok(0)
}
