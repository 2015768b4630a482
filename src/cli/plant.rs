//! `mixbound plant`: several mixes that share silos, bins, tanks and stock.

use std::path::{Path, PathBuf};

use clap::Args;

use super::ending::{NO_MIX, WRONG, ended};
use super::leaf::LeafArguments;
use super::opened::opened_with;
use super::outside::{read_text, spinner, tell, undivided_until};
use super::priced::PriceArguments;
use crate::answer::plans::{parts, plans};
use crate::finding::{Fault, Sources, clean};
use crate::parallel::Stop;
use crate::plant::{Asked, NoPlan, SharedPlant, plan, shared_plant};
use crate::problem::Problem;
use crate::render::written;
use crate::statement::read_plant;

/// Arguments of `plant`.
#[derive(Debug, Args)]
pub struct PlantArguments {
    /// The plant's file: its mixes, places and stock.
    file: PathBuf,
    /// Relative gap of the total at which the plan counts as proven, in per cent.
    #[arg(long, value_name = "PERCENT", default_value = "0.1", value_parser = super::typed::gap, allow_negative_numbers = true)]
    gap: f64,
    #[command(flatten)]
    written: LeafArguments,
}

/// Writes the plan.
pub fn write_plan(arguments: &PlantArguments) -> Result<u8, Fault> {
    let stop = arguments.written.stop();
    let open = || opened_plant(&arguments.file, &arguments.written.prices, stop);
    let Some(plant) = undivided_until(stop, "the plant was read and checked", open)? else {
        return Ok(WRONG);
    };
    let output = arguments.written.open()?;
    let progress = spinner("planning");
    let found = plan(&plant, &Asked { gap: arguments.gap, stop, ..Asked::default() });
    progress.finish_and_clear();
    match found {
        Ok(plan) => {
            let first = plant.mixes.first().map(|mix| &mix.problem);
            let Some(first) = first else { return Ok(WRONG) };
            let facts = plans(&plant, &plan, arguments.written.units(first));
            let (parts, table) = parts(&facts);
            output.write(&facts.title, &parts, |format, width| {
                written(&facts, &parts, &table, format, width)
            })?;
            Ok(ended(0))
        }
        Err(why) => {
            tell(&told(&plant, &why));
            Ok(ended(NO_MIX))
        }
    }
}

/// The plant in a file with its statements; `None` if anything is wrong, and its author has been told.
fn opened_plant(file: &Path, prices: &PriceArguments, stop: Stop) -> Result<Option<SharedPlant>, Fault> {
    let text = read_text(file)?;
    let mut sources = Sources::default();
    let source = sources.add(file.display().to_string(), text);
    let entry = match read_plant(&sources, source) {
        Ok(entry) => entry,
        Err(findings) => {
            tell(&findings.render(&sources));
            return Ok(None);
        }
    };
    let folder = file.parent().unwrap_or(Path::new(""));
    let mut problems: Vec<(String, Problem)> = Vec::new();
    let files: Vec<PathBuf> = entry.mixes.iter().map(|mix| folder.join(&mix.statement.value)).collect();
    let Some(prices) = prices.open(&files, None)? else { return Ok(None) };
    for mix in &entry.mixes {
        let name = &mix.statement.value;
        if let Some((problem, _)) = opened_with(&folder.join(name), &prices, stop)? {
            problems.push((name.clone(), problem));
        }
    }
    // What is wrong in any statement was told; names of the plant are looked up in all of them.
    if problems.len() < entry.mixes.len() {
        return Ok(None);
    }
    match shared_plant(&entry, problems) {
        Ok(plant) => Ok(Some(plant)),
        Err(findings) => {
            tell(&findings.render(&sources));
            Ok(None)
        }
    }
}

/// Why there is no plan, and one way out.
fn told(plant: &SharedPlant, why: &NoPlan) -> String {
    let mix = |index: usize| clean(&plant.mixes[index].name);
    match why {
        NoPlan::Alone(index) => format!(
            "no plan: mix `{}` has no mix even alone\n  = help: `mixbound solve` with its statement tells why\n",
            mix(*index)
        ),
        NoPlan::Places { mix: index, places, needed } => format!(
            "no plan: mix `{}` needs {needed} of `{}`, and there are {}\n  = help: give it a place more, or let its \
             statement do without one material\n",
            mix(*index),
            clean(&plant.places[*places].name),
            plant.places[*places].number
        ),
        NoPlan::Unfinished => "no plan: stopped before any was found\n".to_owned(),
        NoPlan::Together => {
            "no plan: each mix fits the places alone, and all of them together do not\n  = help: add a \
                             place, or let two mixes share a material\n"
                .to_owned()
        }
        NoPlan::Stock(material) => format!(
            "no plan: none was found that does with the stock of `{}`\n  = help: raise `stock`, or lower a volume\n",
            clean(&plant.materials[*material])
        ),
    }
}
