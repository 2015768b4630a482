//! The front and the sweep of a page: looked up before anything is solved, solved after the mix.

use std::path::Path;

use super::front::goals;
use super::outside::{steps, tell};
use super::page_arguments::PageArguments;
use super::priced::Prices;
use super::robust::solved_with_risk;
use super::sweep::{document_of, typed, with_jobs};
use crate::answer::curve::Curve;
use crate::answer::front_curve::front_curve;
use crate::answer::sweep_curve::sweep_curve;
use crate::answer::units::Units;
use crate::finding::{Fault, Findings, Sources};
use crate::parallel::Stop;
use crate::solve::{Limits, Settings};
use crate::statement::{Document, StudyEntry};
use crate::study::{FrontPlan, Study};

/// What is asked for besides the mix.
pub struct AskedCurves {
    front: Option<FrontPlan>,
    study: Option<Study>,
}

/// Most cases of a sweep on one page.
const CASES: usize = 500;
/// Holes of a front smaller than this share of it are left alone, as in `mixbound front`.
pub const RESOLUTION: f64 = 0.005;

impl AskedCurves {
    /// Looks up goals and keys; `None` if they are wrong, and the author has been told.
    pub fn read(file: &Path, asked: &PageArguments, prices: &Prices) -> Result<Option<Self>, Fault> {
        let mut curves = Self { front: None, study: None };
        let sweeps = asked.sweep || !asked.vary.is_empty();
        if asked.front.is_none() && !sweeps {
            return Ok(Some(curves));
        }
        let Some((document, mut sources, own)) = document_of(file, prices)? else { return Ok(None) };
        if let Some(text) = &asked.front {
            let wishes = goals("--front", text, &mut sources);
            match FrontPlan::new(document.clone(), sources.clone(), Some(&wishes)) {
                Ok((plan, _)) => curves.front = Some(plan.solved_by(solved_with_risk)),
                Err(findings) => return Ok(told(&findings, &sources)),
            }
        }
        if sweeps {
            match planned(document, &mut sources, own.as_ref(), asked) {
                Ok(study) if CASES < study.count() => {
                    tell(&format!(
                        "error: the sweep has {} cases\n  = allowed on a page: {CASES}\n  = help: take fewer values, or \
                         `mixbound sweep`\n",
                        study.count()
                    ));
                    return Ok(None);
                }
                Ok(study) => curves.study = Some(study),
                Err(findings) => return Ok(told(&findings, &sources)),
            }
        }
        Ok(Some(curves))
    }

    /// Solves them.
    ///
    /// # Errors
    /// If the system refuses the threads.
    pub fn solve(&self, asked: &PageArguments, units: Units, stop: Stop) -> Result<Vec<Curve>, Fault> {
        let settings = if asked.no_proof {
            Settings::local()
        } else {
            Settings::proven(Limits { gap: asked.gap, ..Limits::default() })
        };
        let settings = settings.until(stop);
        with_jobs(asked.jobs, || {
            let mut curves = Vec::new();
            if let Some(plan) = &self.front {
                let progress = steps("asking", asked.points);
                let front = plan.run(asked.points, RESOLUTION, &settings, &|| progress.inc(1));
                progress.finish_and_clear();
                curves.push(front_curve(&front, plan.currency(), units));
            }
            if let Some(study) = &self.study {
                let numbers: Vec<usize> = (0..study.count()).collect();
                let progress = steps("solving", numbers.len());
                let cases = study.run(&numbers, &settings, &|_| progress.inc(1));
                progress.finish_and_clear();
                curves.push(sweep_curve(&study.sweep(cases), &study.base.currency, units));
            }
            Ok(curves)
        })
    }
}

fn told(findings: &Findings, sources: &Sources) -> Option<AskedCurves> {
    tell(&findings.render(sources));
    None
}

/// Warnings are not told again: the statement's own have been.
fn planned(
    document: Document,
    sources: &mut Sources,
    own: Option<&StudyEntry>,
    asked: &PageArguments,
) -> Result<Study, Findings> {
    let vary = typed(&asked.vary, sources)?;
    Study::plan(document, sources.clone(), own, &vary).map(|(study, _)| study.solved_by(solved_with_risk))
}
