//! `mixbound risk`: how often the concrete as really weighed misses its limits.

use std::path::PathBuf;

use clap::Args;

use super::chosen::chosen;
use super::ending::{NO_MIX, WRONG, ended};
use super::leaf::LeafArguments;
use super::opened::opened_at;
use super::outside::{spinner, tell, undivided};
use super::typed::gap;
use crate::answer::parts::risks::parts;
use crate::answer::risks::risks;
use crate::finding::Fault;
use crate::plant::{Sampling, risk};
use crate::render::written;

/// Arguments of `risk`.
#[derive(Debug, Args)]
pub struct RiskArguments {
    /// The statement; its `production` says how batches are weighed.
    file: PathBuf,
    /// The mix, a file with `amounts`; the best mix of the statement when left out.
    #[arg(long, value_name = "MIX")]
    mix: Option<PathBuf>,
    /// Batches to simulate.
    #[arg(long, default_value_t = 100_000, value_parser = clap::value_parser!(u32).range(1000..=1_000_000))]
    batches: u32,
    /// The risk that margins are sought for, in per cent; 0 and 100 are none.
    #[arg(long, value_name = "PERCENT", default_value = "5", value_parser = target, allow_negative_numbers = true)]
    target: f64,
    #[command(flatten)]
    written: LeafArguments,
}

/// A risk in per cent as a share, between the two that no mix can have.
fn target(text: &str) -> Result<f64, String> {
    gap(text).map_err(|_| {
        "allowed: 0.0001 .. 50 %: no mix has no risk, and above half a limit is missed on purpose".to_owned()
    })
}

/// Writes the risk.
pub fn write_risk(arguments: &RiskArguments) -> Result<u8, Fault> {
    let stop = arguments.written.stop();
    let Some((problem, _)) = opened_at(&arguments.file, &arguments.written.prices, stop)? else {
        return Ok(WRONG);
    };
    let Some(production) = problem.production.clone() else {
        tell(
            "error: the statement does not say how batches are weighed\n  = help: add `production: {weighing: en 206}`, \
             or `astm c94`, to it\n",
        );
        return Ok(WRONG);
    };
    let units = arguments.written.units(&problem);
    // Half of the time at most is spent on the mix, so that its risk is told too.
    let on_the_mix = stop.within(stop.time_left().map(|left| left / 2));
    let chosen = match chosen(problem, arguments.mix.as_deref(), units, on_the_mix)? {
        Ok(chosen) => chosen,
        Err(code) => return Ok(code),
    };
    let (problem, mix) = (&chosen.problem, &chosen.mix);
    let output = arguments.written.open()?;
    let progress = spinner("weighing");
    let sampling = Sampling {
        batches: usize::try_from(arguments.batches).unwrap_or(usize::MAX),
        target: arguments.target,
        stop,
        ..Sampling::default()
    };
    let found = undivided(|| risk(problem, &production, mix, &sampling));
    progress.finish_and_clear();
    let Some(found) = found else {
        tell(
            "the time was over before all batches were simulated\n  = help: simulate fewer by `--batches`\n",
        );
        return Ok(ended(NO_MIX));
    };
    let title = problem.title.clone().unwrap_or_default();
    let facts = risks(problem, &production, &title, (&found, &sampling), units);
    let (parts, table) = parts(&facts);
    output.write(&facts.title, &parts, |format, width| written(&facts, &parts, &table, format, width))?;
    Ok(ended(0))
}
