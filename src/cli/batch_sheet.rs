//! `mixbound batch-sheet`: a mix at today's moistures as weights for each load.

use std::path::{Path, PathBuf};

use clap::Args;

use super::chosen::chosen;
use super::ending::{WRONG, ended};
use super::leaf::LeafArguments;
use super::opened::opened_at;
use super::outside::{read_text, tell, undivided_until};
use crate::answer::batch_sheet::{batch_sheet, of_steps};
use crate::answer::parts::batch_sheet::parts;
use crate::finding::{Fault, Findings, Sources};
use crate::plant::{Order, Sheet, order, sheet};
use crate::problem::Problem;
use crate::render::written;
use crate::statement::read_order;

/// Arguments of `batch-sheet`.
#[derive(Debug, Args)]
pub struct BatchSheetArguments {
    /// The statement.
    file: PathBuf,
    /// The order: volume, moistures, mixer and truck.
    #[arg(long, value_name = "ORDER")]
    order: PathBuf,
    /// The mix, a file with `amounts`; the best mix of the statement when left out.
    #[arg(long, value_name = "MIX")]
    mix: Option<PathBuf>,
    #[command(flatten)]
    written: LeafArguments,
}

/// Writes the sheet.
pub fn write_batch_sheet(arguments: &BatchSheetArguments) -> Result<u8, Fault> {
    let stop = arguments.written.stop();
    let Some((problem, _)) = opened_at(&arguments.file, &arguments.written.prices, stop)? else {
        return Ok(WRONG);
    };
    let units = arguments.written.units(&problem);
    let chosen = match chosen(problem, arguments.mix.as_deref(), units, stop)? {
        Ok(chosen) => chosen,
        Err(code) => return Ok(code),
    };
    let (problem, mix) = (&chosen.problem, chosen.weighed());
    let read = || ordered(problem, &mix, &arguments.order);
    let Some((order, sheet)) = undivided_until(stop, "the order was read", read)? else { return Ok(WRONG) };
    let output = arguments.written.open()?;
    let mut facts = batch_sheet(problem, &mix, (&order, &sheet), units);
    if let (Some(rounding), Some(made)) = (&problem.rounding, chosen.made) {
        facts.remarks.extend(of_steps(rounding, (&order, &sheet), made, units));
    }
    facts.mix = chosen.name.or(facts.mix);
    let (parts, table) = parts(&facts);
    output.write(&facts.title, &parts, |format, width| written(&facts, &parts, &table, format, width))?;
    Ok(ended(0))
}

fn ordered(problem: &Problem, mix: &[f64], file: &Path) -> Result<Option<(Order, Sheet)>, Fault> {
    let mut sources = Sources::default();
    let source = sources.add(file.display().to_string(), read_text(file)?);
    let built: Result<(Order, Sheet), Findings> = read_order(&sources, source, &problem.currency)
        .and_then(|entry| order(problem, mix, &entry))
        .and_then(|order| sheet(problem, mix, &order).map(|sheet| (order, sheet)));
    Ok(match built {
        Ok(built) => Some(built),
        Err(findings) => {
            tell(&findings.render(&sources));
            None
        }
    })
}
