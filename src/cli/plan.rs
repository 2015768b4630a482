//! `mixbound plan`: which trials to make next; `mixbound confirm`: what confirmation batches say of a fit.

use std::path::PathBuf;

use clap::Args;

use super::ending::{NO_MIX, WRONG};
use super::fit::opened as opened_trials;
use super::leaf::PlaceArguments;
use super::opened::{UNREAD, opened};
use super::outside::{Output, spinner, tell, undivided_until};
use super::priced::Prices;
use super::sweep::document_of;
use super::typed::units_of;
use crate::answer::front::goal_units;
use crate::answer::plan_sheet::{ToMake, batches_so_far, sheet as written_sheet};
use crate::answer::units::Units;
use crate::answer::{confirm as told_confirm, plan as told_plan, plan_of_front as told_front};
use crate::finding::{Fault, clean};
use crate::parallel::Stop;
use crate::quantity::{Dimension, Unit};
use crate::solve::{Settings, Verdict, solve};
use crate::study::FrontPlan;
use crate::trial::confirm::confirmed;
use crate::trial::next::{PlanAsked, plan as next_trials};
use crate::trial::of_front::{FrontMix, order_of_front};

/// Arguments of `plan`.
#[derive(Clone, Debug, Args)]
pub struct PlanArguments {
    /// The statement, with responses from `mixbound fit`.
    pub file: PathBuf,
    /// How many batches.
    #[arg(long, default_value_t = 8, value_parser = clap::value_parser!(u16).range(1..=200))]
    pub batches: u16,
    /// How many batches a day, a reference batch among them.
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u16).range(1..=100))]
    pub a_day: u16,
    /// How far trials may go beyond what is known, per cent of the width of each region.
    #[arg(long, value_name = "PERCENT", default_value_t = 20, value_parser = clap::value_parser!(u16).range(0..=100))]
    pub step: u16,
    /// Volume of a batch for the sheet: `40 L`, `1.5 ft3`; litres without a unit. 40 L, or 1.5 ft3 in US units, when left
    /// out.
    #[arg(long, value_name = "VOLUME", value_parser = volume)]
    pub volume: Option<f64>,
    /// Of a front between these goals, which of its mixes to try first: `cost, most crack-free age`.
    #[arg(long, value_name = "GOALS", conflicts_with_all = ["batches", "step", "seed"])]
    pub front: Option<String>,
    /// How many points of the front are sought.
    #[arg(long, default_value = "10", value_parser = super::study_arguments::points, requires = "front")]
    pub points: usize,
    /// Seed of the order.
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    /// Write a sheet to fill in, which `mixbound fit` reads.
    #[arg(long, value_name = "FILE")]
    pub sheet: Option<PathBuf>,
    /// Where and how the result is written.
    #[command(flatten)]
    pub places: PlaceArguments,
}

/// Arguments of `confirm`.
#[derive(Clone, Debug, Args)]
pub struct ConfirmArguments {
    /// The statement, with responses from `mixbound fit`.
    pub file: PathBuf,
    /// Confirmation batches: a file of trials that the fit has not seen. Given again, another file beside it.
    #[arg(long, value_name = "FILE", required = true)]
    pub trials: Vec<PathBuf>,
    /// What lines that agree in every cell are: `once` counts them once, `confirmed` says that all were measured.
    #[arg(long, default_value = "once")]
    pub repeats: String,
    /// Where and how the result is written.
    #[command(flatten)]
    pub places: PlaceArguments,
}

/// What is not done when the time is over while trials are chosen.
const UNPLANNED: &str = "the next trials were chosen";
const NOT_FITTED: &str = "error: no response of this statement tells of its trials\n  = help: fit one with `mixbound fit`, and include its fragment\n";

/// Runs `plan`.
pub fn plan(arguments: &PlanArguments) -> Result<u8, Fault> {
    if let Some(goals) = &arguments.front {
        return of_front(arguments, goals);
    }
    let stop = arguments.places.stop();
    let Some((problem, _)) = opened(&arguments.file, stop)? else { return Ok(WRONG) };
    let place = arguments.places.open()?;
    let sheet = arguments.sheet.as_deref().map(|path| Output::open(Some(path))).transpose()?;
    let progress = spinner("choosing trials");
    let best = undivided_until(stop, UNPLANNED, || solve(&problem, &Settings::local()));
    let Verdict::Found(found) = best else {
        progress.finish_and_clear();
        tell("no mix meets everything, so that no limit has a price: `mixbound solve` tells why\n");
        return Ok(NO_MIX);
    };
    let asked = PlanAsked {
        batches: usize::from(arguments.batches),
        a_day: usize::from(arguments.a_day),
        step: f64::from(arguments.step) / 100.0,
        seed: arguments.seed,
    };
    let planned = undivided_until(stop, UNPLANNED, || next_trials(&problem, &found, asked));
    progress.finish_and_clear();
    let Some(planned) = planned else {
        tell(NOT_FITTED);
        return Ok(WRONG);
    };
    let units = units_of(None, &problem);
    let facts = told_plan::facts(&planned, &problem, units);
    if let Some(file) = sheet {
        let batches: Vec<ToMake<'_>> = facts
            .order
            .iter()
            .zip(&planned.order)
            .map(|(batch, planned_batch)| ToMake {
                name: &batch.name,
                mix: &batch.mix,
                day: batch.day,
                amounts: &planned.mixes[planned_batch.mix],
            })
            .collect();
        file.write(&written_sheet(&batches, &problem, batch_volume(arguments, units), units))?;
    }
    let parts = told_plan::parts(&facts);
    place.write("Next trials", &parts, |format, width| {
        crate::render::written(&facts, &parts, &told_plan::table(&facts), format, width)
    })?;
    Ok(0)
}

/// `40`, `40 L` or `1.5 ft3`, as m3.
fn volume(text: &str) -> Result<f64, String> {
    let wrong = || "write a volume such as `40 L` or `1.5 ft3`".to_owned();
    let end = text.find(|letter: char| letter.is_alphabetic()).unwrap_or(text.len());
    let number = text[..end].trim().parse::<f64>().map_err(|_| wrong())?;
    let unit = text[end..].trim();
    let unit = Unit::parse(if unit.is_empty() { "L" } else { unit }, "").map_err(|_| wrong())?;
    let cubic_metres = unit.to_base(number);
    if unit.dimension != Dimension::VOLUME {
        return Err(wrong());
    }
    if (0.001..=10.0).contains(&cubic_metres) {
        Ok(cubic_metres)
    } else {
        Err("allowed: 1 L .. 10 m3".to_owned())
    }
}

fn batch_volume(arguments: &PlanArguments, units: Units) -> f64 {
    arguments.volume.unwrap_or(match units {
        Units::Si => 0.04,
        Units::Customary => Unit::known("ft3").to_base(1.5),
    })
}

/// Which mixes of a front to try first.
fn of_front(arguments: &PlanArguments, goals: &str) -> Result<u8, Fault> {
    let stop = arguments.places.stop();
    let read = || document_of(&arguments.file, &Prices::default());
    let Some((document, mut sources, _)) = undivided_until(stop, UNREAD, read)? else { return Ok(WRONG) };
    let wishes = super::front::goals("--front", goals, &mut sources);
    let plan =
        match undivided_until(stop, UNREAD, || FrontPlan::new(document, sources.clone(), Some(&wishes))) {
            Ok((plan, warnings)) => {
                if !warnings.is_empty() {
                    tell(&warnings.render(&sources));
                }
                plan
            }
            Err(findings) => {
                tell(&findings.render(&sources));
                return Ok(WRONG);
            }
        };
    let place = arguments.places.open()?;
    let sheet = arguments.sheet.as_deref().map(|path| Output::open(Some(path))).transpose()?;
    let progress = spinner("seeking the front");
    // An order of half a front would send the wrong mixes to the laboratory.
    let front = undivided_until(stop, "the front was known", || {
        plan.run(arguments.points, super::page_curves::RESOLUTION, &Settings::local(), &|| progress.tick())
    });
    let again = |point: &crate::study::FrontPoint| match plan.verdict(point, Stop::NEVER)? {
        (problem, Verdict::Found(found), _) => Some(FrontMix { problem, found, best: point.best }),
        _ => None,
    };
    let points: Vec<FrontMix> =
        undivided_until(stop, UNPLANNED, || front.points.iter().filter_map(again).collect());
    progress.finish_and_clear();
    if points.is_empty() || points.len() != front.points.len() {
        tell("no mix meets everything: there is no front. `mixbound solve` tells why\n");
        return Ok(NO_MIX);
    }
    let order = undivided_until(stop, UNPLANNED, || order_of_front(&points));
    let Some(order) = order else {
        tell(NOT_FITTED);
        return Ok(WRONG);
    };
    let units = units_of(None, plan.base());
    let shown = goal_units(&front, plan.currency(), units);
    let facts = told_front::facts(&order, &front, &shown, units);
    if let Some(file) = sheet {
        let before = batches_so_far(plan.base());
        let names: Vec<(String, String)> = facts
            .order
            .iter()
            .enumerate()
            .map(|(at, step)| (told_plan::batch_name(at, before), format!("point {}", step.point)))
            .collect();
        let a_day = usize::from(arguments.a_day);
        let batches: Vec<ToMake<'_>> = names
            .iter()
            .zip(&order.steps)
            .enumerate()
            .map(|(at, ((name, mix), step))| ToMake {
                name,
                mix,
                day: at / a_day + 1,
                amounts: &points[step.point].found.mix,
            })
            .collect();
        file.write(&written_sheet(&batches, plan.base(), batch_volume(arguments, units), units))?;
    }
    let (parts, table) = (told_front::parts(&facts), told_front::table(&facts));
    place.write("Next trials of a front", &parts, |format, width| {
        crate::render::written(&facts, &parts, &table, format, width)
    })?;
    Ok(0)
}

/// Runs `confirm`.
pub fn confirm(arguments: &ConfirmArguments) -> Result<u8, Fault> {
    let stop = arguments.places.stop();
    let Some((problem, _)) = opened(&arguments.file, stop)? else { return Ok(WRONG) };
    let read = || opened_trials(&arguments.file, &arguments.trials, &arguments.repeats);
    let Some((_, trials)) = undivided_until(stop, "the trials were read", read)? else {
        return Ok(WRONG);
    };
    let place = arguments.places.open()?;
    for response in &problem.responses {
        let data = response.basis.as_ref().and_then(|basis| basis.data.as_deref());
        if data.is_some_and(|data| trials.has_data(data)) {
            tell(&format!(
                "error: `{}` was fitted to these very trials ({})\n  = help: confirm with batches that the fit has not seen\n",
                clean(&response.name),
                trials.digest
            ));
            return Ok(WRONG);
        }
    }
    let judged = confirmed(&problem, &trials);
    if judged.is_empty() {
        tell(
            "error: nothing was measured of a response that tells of its trials\n  = help: name the response and its unit in a column, at its age\n",
        );
        return Ok(WRONG);
    }
    let facts = told_confirm::facts(&problem, &trials, &judged);
    let (parts, table) = (told_confirm::parts(&facts), told_confirm::table(&facts));
    place.write("Confirmation of a fit", &parts, |format, width| {
        crate::render::written(&facts, &parts, &table, format, width)
    })?;
    Ok(0)
}
