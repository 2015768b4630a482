//! `mixbound limits` and `mixbound prices`: how tight every limit is, and what each price decides.

use std::path::PathBuf;

use clap::Args;

use super::ending::{NO_MIX, WRONG, ended, width_of};
use super::opened::opened_at;
use super::outside::{Output, steps, stop, tell};
use super::priced::PriceArguments;
use super::robust::{note_of_scatter, with_risk_margins};
use super::typed::{FormatWord, UnitsWord, format_of, gap, seconds, units_of};
use crate::analysis::{affordable, cost_ranges, tightness, uncertainty};
use crate::finding::Fault;
use crate::problem::Origin;
use crate::render::tables;
use crate::solve::{Limits, Settings, Verdict, solve};

/// At which prices both ask, and how the result is written.
#[derive(Debug, Args)]
struct FormArguments {
    #[command(flatten)]
    prices: PriceArguments,
    /// How the result is written.
    #[arg(long, value_enum, default_value_t = FormatWord::Text)]
    format: FormatWord,
    /// Units of the result; those of the statement when left out.
    #[arg(long, value_enum)]
    units: Option<UnitsWord>,
}

/// When both end, and where the result goes.
#[derive(Debug, Args)]
struct EndArguments {
    /// Stop after so many seconds and tell what is known by then.
    #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
    time_limit: Option<std::time::Duration>,
    /// Write the result to this file instead of standard output.
    #[arg(short, long)]
    output: Option<PathBuf>,
}

/// Arguments of `limits`.
#[derive(Debug, Args)]
pub struct LimitsArguments {
    /// The statement.
    file: PathBuf,
    #[command(flatten)]
    form: FormArguments,
    /// Relative gap at which a value counts as proven, in per cent.
    #[arg(long, value_name = "PERCENT", default_value = "0.2", value_parser = gap, allow_negative_numbers = true)]
    gap: f64,
    #[command(flatten)]
    ending: EndArguments,
}

/// Arguments of `prices`.
#[derive(Debug, Args)]
pub struct PricesArguments {
    /// The statement; its goal must be the cost.
    file: PathBuf,
    #[command(flatten)]
    form: FormArguments,
    #[command(flatten)]
    ending: EndArguments,
}

/// Solves, asks every limit, writes the table.
///
/// # Errors
/// If a file cannot be read or written.
pub fn write_limits(arguments: &LimitsArguments) -> Result<u8, Fault> {
    let stop = stop(arguments.ending.time_limit);
    let Some((problem, sources)) = opened_at(&arguments.file, &arguments.form.prices, stop)? else {
        return Ok(WRONG);
    };
    let output = Output::open(arguments.ending.output.as_deref())?;
    let asked = problem.requirements.iter().filter(|requirement| requirement.origin == Origin::Limit);
    let progress = steps("asking every limit", asked.count());
    let settings = affordable(&problem, arguments.gap, Limits::default().nodes);
    let units = units_of(arguments.form.units, &problem);
    // Where limits ask for a risk, every limit is asked with the margins that the best mix needs.
    let (problem, settings) = match with_risk_margins(&problem, &settings.until(stop), units) {
        Ok(Some((with_margins, settings))) => {
            tell("note: limits that ask for a risk stand with the margins that the best mix needs for it\n");
            (with_margins, settings)
        }
        Ok(None) => (problem, settings),
        Err(why) => {
            progress.finish_and_clear();
            tell(why.told);
            return Ok(ended(NO_MIX));
        }
    };
    let best = match solve(&problem, &settings.until(stop)) {
        Verdict::Found(found) => Some(found),
        _ => None,
    };
    let list = tightness(&problem, best.as_ref(), arguments.gap, stop, |_| progress.inc(1));
    let told = best.as_ref().map(|found| uncertainty(&problem, &found.mix, &found.audit, stop));
    progress.finish_and_clear();
    let form = (format_of(arguments.form.format), width_of(&output));
    let mix = best.as_ref().map(|found| found.mix.as_slice()).zip(told.as_ref());
    output.write(&tables::tightness(&problem, (&list, mix), &sources, units, form))?;
    Ok(ended(if best.is_some() { 0 } else { NO_MIX }))
}

/// Solves, varies every price, writes the table.
///
/// # Errors
/// If a file cannot be read or written.
pub fn write_prices(arguments: &PricesArguments) -> Result<u8, Fault> {
    let stop = stop(arguments.ending.time_limit);
    let Some((problem, _)) = opened_at(&arguments.file, &arguments.form.prices, stop)? else {
        return Ok(WRONG);
    };
    if !problem.is_about_cost() {
        tell("error: the goal of this statement is not its cost, so that no price decides what is chosen\n");
        return Ok(WRONG);
    }
    note_of_scatter(&problem);
    let output = Output::open(arguments.ending.output.as_deref())?;
    let progress = steps("varying every price", problem.mixture.materials());
    let settings = Settings::proven(Limits { gap: 1e-4, ..Limits::default() }).until(stop);
    let Verdict::Found(found) = solve(&problem, &settings) else {
        progress.finish_and_clear();
        tell(if stop.is_due() {
            "stopped before a mix was found\n"
        } else {
            "no mix meets everything: `mixbound solve` tells why\n"
        });
        return Ok(ended(NO_MIX));
    };
    let ranges = cost_ranges(&problem, &found, stop, |_| progress.inc(1));
    progress.finish_and_clear();
    let units = units_of(arguments.form.units, &problem);
    let form = (format_of(arguments.form.format), width_of(&output));
    output.write(&tables::price_ranges(&problem, &ranges, units, form))?;
    Ok(ended(0))
}
