//! `mixbound limits` and `mixbound prices`: how tight every limit is, and what each price decides.

use std::path::Path;

use indicatif::ProgressBar;

use super::outside::Output;
use super::run::width_of;
use crate::analysis::{cost_ranges, tightness, uncertainty};
use crate::answer::units::Units;
use crate::finding::{Fault, Sources};
use crate::parallel::Stop;
use crate::problem::Problem;
use crate::render::{Format, tables};
use crate::solve::{Limits, Settings, Verdict, solve};

/// Solves, asks every limit, writes the table. `false` if the statement itself has no mix.
pub fn limits(
    problem: &Problem,
    sources: &Sources,
    units: Units,
    (gap, stop): (f64, Stop),
    format: Format,
    output: Option<&Path>,
    progress: &ProgressBar,
) -> Result<bool, Fault> {
    let output = Output::open(output)?;
    let settings = if problem.limits_an_age() {
        Settings::local()
    } else {
        Settings::proven(Limits { gap, ..Limits::default() })
    };
    let best = match solve(problem, &settings.until(stop)) {
        Verdict::Found(found) => Some(found),
        _ => None,
    };
    let list = tightness(problem, best.as_ref(), gap, stop, |_| progress.inc(1));
    let told = best.as_ref().map(|found| uncertainty(problem, &found.mix, &found.audit, stop));
    progress.finish_and_clear();
    let width = width_of(&output);
    output.write(&tables::tightness(
        problem,
        (&list, best.as_ref().map(|found| found.mix.as_slice()).zip(told.as_ref())),
        sources,
        units,
        (format, width),
    ))?;
    Ok(best.is_some())
}

/// Solves, varies every price, writes the table. `false` if the statement has no mix.
pub fn prices(
    problem: &Problem,
    units: Units,
    stop: Stop,
    format: Format,
    output: Option<&Path>,
    progress: &ProgressBar,
) -> Result<bool, Fault> {
    let output = Output::open(output)?;
    let settings = Settings::proven(Limits { gap: 1e-4, ..Limits::default() }).until(stop);
    let Verdict::Found(found) = solve(problem, &settings) else { return Ok(false) };
    let ranges = cost_ranges(problem, &found, stop, |_| progress.inc(1));
    progress.finish_and_clear();
    let width = width_of(&output);
    output.write(&tables::price_ranges(problem, &ranges, units, (format, width)))?;
    Ok(true)
}
