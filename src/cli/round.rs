//! `mixbound round`: the best mix in whole steps of the plant's scales.

use std::path::PathBuf;

use clap::Args;

use super::ending::{NO_MIX, WRONG, ended};
use super::leaf::LeafArguments;
use super::opened::opened_at;
use super::outside::{spinner, tell};
use super::robust::margins_or_told;
use crate::answer::rounded_mix::{parts, rounded_mix};
use crate::finding::{Fault, clean};
use crate::plant::{NotRounded, rounded};
use crate::problem::{Filling, Problem, Rounding};
use crate::quantity::trimmed;
use crate::render::written;
use crate::solve::Settings;

/// Arguments of `round`.
#[derive(Debug, Args)]
pub struct RoundArguments {
    /// The statement; its `rounding` says the steps.
    file: PathBuf,
    #[command(flatten)]
    written: LeafArguments,
}

/// Writes the mix in steps.
pub fn write_rounded(arguments: &RoundArguments) -> Result<u8, Fault> {
    let stop = arguments.written.stop();
    let Some((problem, _)) = opened_at(&arguments.file, &arguments.written.prices, stop)? else {
        return Ok(WRONG);
    };
    if problem.rounding.is_none() {
        tell(
            "error: the statement has no `rounding`\n  = help: add `rounding: {steps: {cement: 5 kg, sand: 10 kg}, unrounded: water}`\n",
        );
        return Ok(WRONG);
    }
    let units = arguments.written.units(&problem);
    let output = arguments.written.open()?;
    let progress = spinner("rounding");
    let settings = Settings::default().until(stop);
    let before = || progress.finish_and_clear();
    let with_margins = match margins_or_told(&problem, &settings, units, before) {
        Ok(with_margins) => with_margins,
        Err(code) => return Ok(ended(code)),
    };
    let problem = with_margins.map_or(problem, |(with_margins, _)| with_margins);
    let rounding = problem.rounding.as_ref().expect("a statement without steps went no further");
    let found = rounded(&problem, rounding, stop);
    progress.finish_and_clear();
    match found {
        Ok(found) => {
            let facts = rounded_mix(&problem, rounding, &found, units);
            let (parts, table) = parts(&facts);
            output.write(&facts.title, &parts, |format, width| {
                written(&facts, &parts, &table, format, width)
            })?;
            Ok(ended(0))
        }
        Err(why) => {
            tell(&told(&problem, rounding, &why));
            Ok(ended(NO_MIX))
        }
    }
}

/// Why there is no mix in steps, and one way out.
pub fn told(problem: &Problem, rounding: &Rounding, why: &NotRounded) -> String {
    let name = |at: &usize| {
        format!("`{}`", clean(&problem.mixture.catalogue.materials[rounding.steps[*at].step.material].name))
    };
    let or_wider = match rounding.filling {
        Filling::Unrounded(_) => "",
        Filling::Band(_) => ", or leave one material unrounded",
    };
    match why {
        NotRounded::Unfinished => "no mix in steps: stopped before any was found\n".to_owned(),
        NotRounded::Plain => {
            "no mix meets everything, even without steps\n  = help: `mixbound solve` tells why\n".to_owned()
        }
        NotRounded::Blocked(steps) if steps.is_empty() => {
            format!(
                "no mix in these steps: no single one of them stands in the way, all together are too coarse\n  = help: \
                 take finer steps, or a larger load{or_wider}\n"
            )
        }
        NotRounded::Blocked(steps) => format!(
            "no mix in these steps: too coarse is the step of {}\n  = help: take a finer step of it, or a larger \
             load{or_wider}\n",
            steps.iter().map(name).collect::<Vec<_>>().join(" or of ")
        ),
        NotRounded::Band(wider) => format!(
            "no mix in these steps fills its volume within the yield band\n  = help: `yield band: {} %` leaves one; or leave \
             one material unrounded\n",
            trimmed(100.0 * wider, 3)
        ),
    }
}
