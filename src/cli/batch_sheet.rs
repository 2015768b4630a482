//! `mixbound batch-sheet`: a mix at today's moistures as weights for each load.

use std::path::{Path, PathBuf};

use clap::Args;

use super::ending::{NO_MIX, WRONG};
use super::leaf::LeafArguments;
use super::opened::{UNREAD, opened_at};
use super::outside::{read_text, tell, undivided, undivided_until};
use super::predict::read_mixes;
use super::round::told;
use crate::answer::batch_sheet::{batch_sheet, of_steps};
use crate::answer::parts::batch_sheet::parts;
use crate::finding::{Fault, Findings, Sources};
use crate::parallel::Stop;
use crate::plant::{Order, Sheet, order, rounded, sheet};
use crate::problem::Problem;
use crate::render::written;
use crate::solve::{Settings, Verdict, solve};
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
    let chosen = match mix_of(&problem, arguments.mix.as_deref(), stop)? {
        Ok(chosen) => chosen,
        Err(code) => return Ok(code),
    };
    let mix = chosen.weighed();
    let read = || ordered(&problem, &mix, &arguments.order);
    let Some((order, sheet)) = undivided_until(stop, "the order was read", read)? else { return Ok(WRONG) };
    let output = arguments.written.open()?;
    let units = arguments.written.units(&problem);
    let mut facts = batch_sheet(&problem, &mix, (&order, &sheet), units);
    if let (Some(rounding), Some(made)) = (&problem.rounding, chosen.made) {
        facts.remarks.extend(of_steps(rounding, &order, made, units));
    }
    let (parts, table) = parts(&facts);
    output.write(&facts.title, &parts, |format, width| written(&facts, &parts, &table, format, width))?;
    Ok(0)
}

/// The mix that a sheet or a risk is for.
pub struct Chosen {
    /// The mix, per m3 really made.
    pub mix: Vec<f64>,
    /// Volume really made for one m3 weighed for, where the mix is in steps.
    made: Option<f64>,
}

impl Chosen {
    /// What is weighed for one m3 ordered.
    fn weighed(&self) -> Vec<f64> {
        let made = self.made.unwrap_or(1.0);
        self.mix.iter().map(|amount| amount * made).collect()
    }
}

/// The mix given, or the best one; else the exit code, its reason told.
pub fn mix_of(problem: &Problem, given: Option<&Path>, stop: Stop) -> Result<Result<Chosen, u8>, Fault> {
    if let Some(file) = given {
        let mixes = undivided_until(stop, UNREAD, || read_mixes(problem, &[file.to_path_buf()]))?;
        let first = mixes.and_then(|mixes| mixes.into_iter().next());
        return Ok(first.map(|given| Chosen { mix: given.mix, made: None }).ok_or(WRONG));
    }
    if let Some(rounding) = &problem.rounding {
        let found = undivided(|| rounded(problem, rounding, stop));
        return Ok(found.map(|found| Chosen { mix: found.mix, made: Some(found.made) }).map_err(|why| {
            tell(&told(problem, rounding, &why));
            NO_MIX
        }));
    }
    if let Verdict::Found(found) = undivided(|| solve(problem, &Settings::default().until(stop))) {
        if stop.is_due() {
            tell("note: stopped by the time limit: the mix is the best that was known by then\n");
        }
        return Ok(Ok(Chosen { mix: found.mix, made: None }));
    }
    if stop.is_due() {
        tell("the time was over before a mix was known\n");
        return Ok(Err(NO_MIX));
    }
    tell(
        "error: no mix of the statement meets everything\n  = help: `mixbound solve` tells why; a mix may be given with `--mix`\n",
    );
    Ok(Err(NO_MIX))
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
