//! The mix that a command of the plant is for: one that is given, or the best of the statement as the plant makes it.
//!
//! What enters: a problem, and a mix file where one is given. What leaves: the mix with the problem that it answers. Where
//! limits ask for a risk, the best mix is the one that meets it as batches are weighed; where there are steps, the one in steps.

use std::path::Path;

use super::ending::{NO_MIX, WRONG};
use super::opened::UNREAD;
use super::outside::{tell, undivided, undivided_until};
use super::predict::read_mixes;
use super::robust::margins_or_told;
use super::round::told;
use crate::answer::units::Units;
use crate::finding::Fault;
use crate::parallel::Stop;
use crate::plant::rounded;
use crate::problem::Problem;
use crate::solve::{Settings, Verdict, solve};

/// The mix that a sheet or a risk is for.
pub struct Chosen {
    /// The problem, with the margins that its risks need.
    pub problem: Problem,
    /// The mix, per m3 really made.
    pub mix: Vec<f64>,
    /// Volume really made for one m3 weighed for, where the mix is in steps.
    pub made: Option<f64>,
    /// The name of a mix that was given.
    pub name: Option<String>,
}

impl Chosen {
    /// What is weighed for one m3 ordered.
    pub fn weighed(&self) -> Vec<f64> {
        let made = self.made.unwrap_or(1.0);
        self.mix.iter().map(|amount| amount * made).collect()
    }
}

/// The mix given, or the best one; else the exit code, its reason told.
pub fn chosen(
    problem: Problem,
    given: Option<&Path>,
    units: Units,
    stop: Stop,
) -> Result<Result<Chosen, u8>, Fault> {
    if let Some(file) = given {
        let mixes = undivided_until(stop, UNREAD, || read_mixes(&problem, &[file.to_path_buf()]))?;
        let Some(first) = mixes.and_then(|mixes| mixes.into_iter().next()) else { return Ok(Err(WRONG)) };
        return Ok(Ok(Chosen { problem, mix: first.mix, made: None, name: Some(first.title) }));
    }
    let settings = Settings::default().until(stop);
    let with_margins = match margins_or_told(&problem, &settings, units, || ()) {
        Ok(with_margins) => with_margins,
        Err(code) => return Ok(Err(code)),
    };
    let (problem, settings) = with_margins.unwrap_or((problem, settings));
    if let Some(rounding) = &problem.rounding {
        return Ok(match undivided(|| rounded(&problem, rounding, stop)) {
            Ok(found) => Ok(Chosen { mix: found.mix, made: Some(found.made), name: None, problem }),
            Err(why) => {
                tell(&told(&problem, rounding, &why));
                Err(NO_MIX)
            }
        });
    }
    if let Verdict::Found(found) = undivided(|| solve(&problem, &settings)) {
        if stop.is_due() {
            tell("note: stopped by the time limit: the mix is the best that was known by then\n");
        }
        return Ok(Ok(Chosen { mix: found.mix, made: None, name: None, problem }));
    }
    tell(if stop.is_due() {
        "the time was over before a mix was known\n"
    } else {
        "error: no mix of the statement meets everything\n  = help: `mixbound solve` tells why; a mix may be given with `--mix`\n"
    });
    Ok(Err(NO_MIX))
}
