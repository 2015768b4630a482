//! `mixbound report`: one page with everything, and its charts as files.

use std::path::{Path, PathBuf};

use super::batch::{named, tried};
use super::ending::{FAULT, NO_MIX, WRONG, code_of, ended, failed};
use super::opened::{UNREAD, opened_beside_others, unread};
use super::outside::{
    Output, Purpose, is_interrupted, remember, spinner, stop, tell, undivided, undivided_until,
};
use super::page_arguments::PageArguments;
use super::page_curves::AskedCurves;
use super::predict::read_mixes;
use super::priced::Prices;
use super::robust::with_risk_margins;
use super::typed::units_of;
use crate::analysis::{affordable, explain, tightness};
use crate::answer::beside::names;
use crate::answer::build::{report, report_given};
use crate::answer::client::for_client;
use crate::answer::report::Report;
use crate::finding::{Fault, Sources, clean, nearest};
use crate::parallel::{Stop, caught, unless_due};
use crate::problem::Problem;
use crate::render::page::{IndexLine, Sheet, charts, index, page};
use crate::solve::{Limits, Settings, Verdict, solve};

/// Solves and writes the page, or the pages of several statements.
///
/// # Errors
/// If a file cannot be read or written; an output that cannot be opened fails before the work.
pub fn write_page(asked: &PageArguments) -> Result<u8, Fault> {
    let open = || asked.prices.open(&asked.files, asked.time_limit);
    let several = 1 < asked.files.len();
    let prices =
        if several { undivided(open) } else { undivided_until(stop(asked.time_limit), UNREAD, open) };
    let Some(prices) = prices? else { return Ok(WRONG) };
    if asked.charts.is_some() && asked.charts == asked.output {
        tell(
            "error: the page and the charts have one name\n  = help: give the charts a folder of their own\n",
        );
        return Ok(WRONG);
    }
    let [file] = asked.files.as_slice() else { return write_pages(asked, &prices) };
    let output = Output::open(asked.output.as_deref())?;
    Ok(match written(file, asked, &prices, asked.charts.as_deref())? {
        Ok(made) => {
            output.write(&made.page)?;
            ended(code_of(made.report.state))
        }
        Err(code) => ended(code),
    })
}

/// A page in a folder for each statement, and `index.html`, which leads to them.
fn write_pages(asked: &PageArguments, prices: &Prices) -> Result<u8, Fault> {
    let Some(folder) = asked.output.as_deref() else {
        tell("error: pages of several statements need a folder\n  = help: name it by `-o FOLDER`\n");
        return Ok(WRONG);
    };
    let mut all = asked.files.clone();
    all.push(PathBuf::from("index.html"));
    let paths = match named(&all, "html", folder) {
        Ok(paths) => paths,
        Err(twice) => {
            let path = clean(&twice.display().to_string());
            tell(&format!("error: two of the pages would be `{path}`; rename one of the statements\n"));
            return Ok(WRONG);
        }
    };
    asked.files.iter().for_each(|file| remember(file));
    let (paths, _lock) = tried(paths, folder)?;
    let mut lines = Vec::new();
    let mut highest = 0;
    for (file, path) in asked.files.iter().zip(&paths) {
        let name = file.display().to_string();
        if is_interrupted() {
            lines.push(IndexLine::without(&name, "not solved: stopped"));
            continue;
        }
        let charts = asked.charts.as_ref().zip(path.file_stem()).map(|(folder, stem)| folder.join(stem));
        // What goes wrong with one of them stops none of the others.
        let made = match caught(|| written(file, asked, prices, charts.as_deref())) {
            Ok(Ok(made)) => made,
            Ok(Err(fault)) => {
                tell(&format!("error: {fault}\n"));
                Err(FAULT)
            }
            Err(why) => Err(failed(file, &why)),
        };
        let made = match made {
            Ok(made) => made,
            Err(code) => {
                highest = highest.max(code);
                let why = match code {
                    WRONG => "wrong: no page",
                    FAULT => "failed: no page",
                    _ => "no mix: no page",
                };
                lines.push(IndexLine::without(&name, why));
                continue;
            }
        };
        highest = highest.max(code_of(made.report.state));
        Output::file(path, Purpose::Several)?.write(&made.page)?;
        let page = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        lines.push(IndexLine::new(page, &name, &made.report));
    }
    if let Some(path) = paths.last() {
        Output::file(path, Purpose::Several)?.write(&index(&lines))?;
    }
    Ok(ended(highest))
}

/// A page and the report that it shows.
struct Made {
    page: String,
    report: Report,
}

/// One statement read and checked; its exit code if it is wrong or was not read in time, and its author has been told.
fn opened_alone(file: &Path, prices: &Prices, stop: Stop) -> Result<Result<(Problem, Sources), u8>, Fault> {
    let Some((read, sources)) = opened_beside_others(file, prices, stop) else {
        tell(&unread(file));
        return Ok(Err(NO_MIX));
    };
    Ok(match read? {
        Ok((problem, warnings)) => {
            if !warnings.is_empty() {
                tell(&warnings.render(&sources));
            }
            Ok((problem, sources))
        }
        Err(findings) => {
            tell(&findings.render(&sources));
            Err(WRONG)
        }
    })
}

/// Solves one statement; its exit code if it is wrong or no mix meets its risks, and its author has been told.
fn written(
    file: &Path,
    asked: &PageArguments,
    prices: &Prices,
    folder: Option<&Path>,
) -> Result<Result<Made, u8>, Fault> {
    let stop = stop(asked.time_limit);
    let (problem, sources) = match opened_alone(file, prices, stop)? {
        Ok(opened) => opened,
        Err(code) => return Ok(Err(code)),
    };
    let (of, against) = (problem.clone(), asked.against.clone());
    let Some(mixes) = unless_due(stop, move || read_mixes(&of, &against)) else {
        tell(&unread(file));
        return Ok(Err(NO_MIX));
    };
    let Some(mixes) = mixes? else { return Ok(Err(WRONG)) };
    let settings = if asked.no_proof {
        Settings::local()
    } else if asked.limits {
        // As `mixbound limits` does.
        affordable(&problem, asked.gap, Limits::default().nodes)
    } else {
        Settings::proven(Limits { gap: asked.gap, ..Limits::default() })
    };
    let settings = settings.until(stop);
    let (path, curves, list) = (file.to_path_buf(), asked.clone(), prices.clone());
    let Some(curves) = unless_due(stop, move || AskedCurves::read(&path, &curves, &list)) else {
        tell(&unread(file));
        return Ok(Err(NO_MIX));
    };
    let Some(asked_curves) = curves? else { return Ok(Err(WRONG)) };
    let units = units_of(asked.units, &problem);
    let with_margins = match with_risk_margins(&problem, &settings, units) {
        Ok(with_margins) => with_margins,
        Err(why) => {
            tell(why.told);
            return Ok(Err(NO_MIX));
        }
    };
    let (problem, settings) = with_margins.unwrap_or((problem, settings));
    let shown = |report: Report| if asked.client { for_client(&report) } else { report };
    let given: Vec<(String, Report)> = mixes
        .iter()
        .map(|mix| (mix.title.clone(), shown(report_given(&problem, mix, &sources, units))))
        .collect();
    let Some(drawn) = drawn(asked.draw.as_deref(), &names(&problem, &given)) else { return Ok(Err(WRONG)) };
    if let Some(folder) = folder {
        made_folder(folder)?;
    }
    let progress = spinner("solving");
    let verdict = solve(&problem, &settings);
    let answer = shown(report(&problem, &verdict, &explain(&problem, &verdict, stop), &sources, units));
    let list = if asked.limits {
        progress.set_message("asking every limit");
        let best = match &verdict {
            Verdict::Found(found) => Some(found),
            Verdict::Nothing(_) | Verdict::Unsettled(_) | Verdict::Failed(_) => None,
        };
        tightness(&problem, best, asked.gap.max(2e-3), stop, |_| progress.inc(1))
    } else {
        Vec::new()
    };
    progress.finish_and_clear();
    let curves = asked_curves.solve(asked, units, stop)?;
    let sheet = Sheet {
        problem: &problem,
        sources: &sources,
        report: &answer,
        drawn: &drawn,
        given: &given,
        tightness: &list,
        curves: &curves,
    };
    if let Some(folder) = folder {
        for (name, svg) in charts(&sheet) {
            Output::open(Some(&folder.join(format!("{name}.svg"))))?.write(&svg)?;
        }
    }
    let page = page(&sheet);
    Ok(Ok(Made { page, report: answer }))
}

/// The properties to be drawn; `None` if one of them is not known, and the user has been told.
fn drawn(asked: Option<&str>, known: &[String]) -> Option<Vec<String>> {
    let Some(asked) = asked else { return Some(Vec::new()) };
    // A name of the statement may hold a comma: the longest one that fits is meant.
    let mut list = Vec::new();
    let mut rest = asked.trim();
    while !rest.is_empty() {
        let fits = |name: &&String| {
            let after = rest.strip_prefix(name.as_str()).map(str::trim_start);
            after.is_some_and(|after| after.is_empty() || after.starts_with(','))
        };
        let Some(name) = known.iter().filter(fits).max_by_key(|name| name.len()) else {
            let word = rest.split(',').next().unwrap_or(rest).trim();
            let names: Vec<String> = known.iter().map(|name| clean(name)).collect();
            let near = nearest(word, known.iter().map(String::as_str))
                .map_or_else(String::new, |near| format!("\n  = help: did you mean `{}`?", clean(near)));
            tell(&format!(
                "error: `{}` is no property of these mixes\n  = known: {}{near}\n",
                clean(word),
                names.join(", ")
            ));
            return None;
        };
        list.push(name.clone());
        rest = rest[name.len()..].trim_start();
        rest = rest.strip_prefix(',').unwrap_or(rest).trim_start();
    }
    Some(list)
}

/// A folder for charts, made if there is none.
fn made_folder(folder: &Path) -> Result<(), Fault> {
    let fault = |reason: String| Fault::Write { path: folder.display().to_string(), reason };
    if folder.exists() && !folder.is_dir() {
        return Err(fault("charts need a folder, and this is a file".to_owned()));
    }
    std::fs::create_dir_all(folder).map_err(|error| fault(super::outside::reason(&error)))
}
