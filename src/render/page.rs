//! The report as one page that needs nothing else: tables, charts, the statement, and a small script.
//!
//! What enters: a [`Sheet`]. What leaves: HTML text, and its charts one by one. Texts reach the page through a template
//! that escapes them all; charts escape their own. The page asks no network: its content policy forbids it.

mod compared;
mod curve_tables;
mod curves;
mod limits;
mod mix;
mod responses;
mod tables;

use minijinja::{AutoEscape, Environment, Value};
use serde::Serialize;

use super::json;
use crate::analysis::Tightness;
use crate::answer::cautions::cautions;
use crate::answer::curve::Curve;
use crate::answer::headline::outcome;
use crate::answer::record::json::written;
use crate::answer::report::{Report, State};
use crate::answer::study_points::percent_of;
use crate::finding::{Sources, clean};
use crate::problem::Problem;
use crate::quantity::significant;
use tables::{Drawn, Table};

/// Everything that a page tells.
#[derive(Clone, Copy, Debug)]
pub struct Sheet<'s> {
    /// The problem.
    pub problem: &'s Problem,
    /// The statement and the files it includes.
    pub sources: &'s Sources,
    /// The answer.
    pub report: &'s Report,
    /// Mixes that were given, each by its name, the reference first.
    pub given: &'s [(String, Report)],
    /// How tight each limit is; empty if that was not asked.
    pub tightness: &'s [Tightness],
    /// Fronts and sweeps.
    pub curves: &'s [Curve],
}

/// One named figure of the title block.
#[derive(Serialize)]
struct Entry {
    name: String,
    text: String,
}

/// One file of the statement.
#[derive(Serialize)]
struct Listing {
    name: String,
    lines: Vec<Line>,
}

#[derive(Serialize)]
struct Line {
    id: String,
    text: String,
}

#[derive(Serialize)]
struct Context {
    title: String,
    note: String,
    proposal: bool,
    failed: bool,
    block: Vec<Entry>,
    headline: Vec<String>,
    conflict: Option<Table>,
    compromise: String,
    mix_heading: &'static str,
    mix: Option<Table>,
    unused: String,
    totals: Vec<(String, String)>,
    curing: Option<Table>,
    cost: Option<Drawn>,
    carbon: Option<Drawn>,
    limits: Vec<Table>,
    bases: Vec<String>,
    prices: Option<Table>,
    tightness: Option<Table>,
    tightness_charts: Vec<Drawn>,
    responses: Option<Table>,
    cracking: Vec<responses::CrackingPart>,
    compared: Option<compared::Compared>,
    curves: Vec<curves::CurvePart>,
    cautions: Vec<String>,
    listings: Vec<Listing>,
    version: &'static str,
    data: Value,
}

/// Writes the page.
pub fn page(sheet: &Sheet<'_>) -> String {
    let mut templates = Environment::new();
    templates.set_auto_escape_callback(|_| AutoEscape::Html);
    for (name, text) in [
        ("page.html", include_str!("page/page.html")),
        ("tables.html", include_str!("page/tables.html")),
        ("page.css", include_str!("page/page.css")),
        ("page.js", include_str!("page/page.js")),
    ] {
        templates.add_template(name, text).expect("the templates are our own and compile");
    }
    let context = context(sheet);
    let template = templates.get_template("page.html").expect("it was added above");
    template.render(&context).expect("every name in the template is in the context")
}

/// The charts of the page, each with the stem of a file name.
pub fn charts(sheet: &Sheet<'_>) -> Vec<(String, String)> {
    let context = context(sheet);
    let cracking = context.cracking.into_iter().map(|part| part.chart);
    let compared = context.compared.into_iter().flat_map(|part| part.charts);
    let curves = context.curves.into_iter().filter_map(|part| part.chart);
    let utilisation = limits::utilisation(sheet.report);
    (utilisation.into_iter())
        .chain(context.cost)
        .chain(context.carbon)
        .chain(context.tightness_charts)
        .chain(cracking)
        .chain(compared)
        .chain(curves)
        .map(|drawn| (drawn.id, crate::render::chart::standalone(drawn.svg.as_str().unwrap_or_default())))
        .collect()
}

fn context(sheet: &Sheet<'_>) -> Context {
    let report = sheet.report;
    let failed = report.state == State::Failed;
    let tightness =
        crate::render::tightness::entries(sheet.problem, sheet.tightness, sheet.sources, report.units);
    let compared = compared::compared(sheet);
    Context {
        title: report.title.as_deref().map_or_else(|| "Concrete mix".to_owned(), clean),
        note: report.note.as_deref().map_or_else(String::new, clean),
        proposal: report.state.is_proposal(),
        failed,
        block: block(report),
        headline: headline(report),
        conflict: limits::conflict(report),
        compromise: limits::compromise(report),
        mix_heading: mix::heading(report),
        mix: (!failed).then(|| mix::amounts(report)),
        unused: mix::unused(report),
        totals: mix::totals(report),
        curing: mix::curing(report),
        cost: (!failed).then(|| mix::cost(report)).flatten(),
        carbon: (!failed).then(|| mix::carbon(report)).flatten(),
        limits: limits::limits(report),
        bases: report.bases.iter().map(|basis| clean(basis)).collect(),
        prices: limits::prices(report),
        tightness_charts: limits::tightness_charts(&tightness),
        tightness: limits::tightness(&tightness),
        responses: responses::responses(report),
        cracking: responses::cracking(report),
        curves: curves::parts(sheet.curves, report),
        cautions: if report.cautions.is_empty() {
            cautions(sheet.problem, &[])
        } else {
            report.cautions.iter().map(|caution| clean(caution)).collect()
        },
        listings: listings(sheet.sources),
        version: env!("CARGO_PKG_VERSION"),
        data: data(sheet, compared.as_ref()),
        compared,
    }
}

/// The block of figures beside the title.
fn block(report: &Report) -> Vec<Entry> {
    let entry = |name: &str, text: String| Entry { name: name.to_owned(), text };
    let shown = |value: f64, digits| report.goal_unit.with_number(&significant(value, digits));
    let (side, about) = report.goal.split_once(' ').unwrap_or(("", report.goal.as_str()));
    let mut list = vec![entry("Goal", clean(&report.goal)), entry("Answer", answer(report.state).to_owned())];
    if let Some(value) = report.goal_value.filter(|_| report.state.is_proposal()) {
        list.push(Entry { name: capital(&clean(about)), text: shown(value, 5) });
    }
    if let Some((bound, gap)) = report.certainty.and_then(|line| line.bound.zip(line.gap)) {
        list.push(entry(if side == "most" { "No mix above" } else { "No mix below" }, shown(bound, 5)));
        list.push(entry("Gap", percent_of(gap)));
    }
    let volume = match report.units {
        crate::answer::units::Units::Si => "1 m3 of concrete",
        crate::answer::units::Units::Customary => "1 yd3 of concrete",
    };
    list.push(entry("Quantities for", volume.to_owned()));
    list.push(entry("Written by", format!("mixbound {}", env!("CARGO_PKG_VERSION"))));
    list
}

/// What came out, in the words of a title block.
fn answer(state: State) -> &'static str {
    match state {
        State::Optimal => "the best there is, proven",
        State::BestFound => "the best found, not proven",
        State::Infeasible => "no mix meets everything, proven",
        State::NothingFound => "no mix found",
        State::Unsettled => "unsettled: no mix to show",
        State::Failed => "the solver failed",
        State::Given => "mix as given",
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn headline(report: &Report) -> Vec<String> {
    let mut text = String::new();
    outcome(&mut text, report);
    text.lines().map(clean).collect()
}

/// The statement and its included files, each line with an id that other parts point to.
fn listings(sources: &Sources) -> Vec<Listing> {
    (0..sources.line_starts().len())
        .map(|source| {
            let name = sources.name(source);
            Listing {
                // The last part alone: a page tells nothing of the machine it was made on.
                name: clean(name.rsplit(['/', '\\']).next().unwrap_or(name)),
                lines: sources
                    .whole(source)
                    .lines()
                    .enumerate()
                    .map(|(number, text)| Line { id: line_id(source, number + 1), text: clean(text) })
                    .collect(),
            }
        })
        .collect()
}

/// The id of a line of the statement.
fn line_id(source: usize, line: usize) -> String {
    format!("file-{source}-line-{line}")
}

/// What the page's script knows: the report itself and the mixes behind points. `<` cannot stand in it, so that no text
/// ends the element it stands in.
fn data(sheet: &Sheet<'_>, compared: Option<&compared::Compared>) -> Value {
    #[derive(Serialize)]
    struct Data<'s> {
        report: serde_json::Value,
        points: Vec<curves::Points<'s>>,
    }
    let mut points: Vec<curves::Points<'_>> =
        compared.iter().filter_map(|part| part.points.as_ref()).map(curves::Points::again).collect();
    points.extend(sheet.curves.iter().filter_map(|curve| curves::points(curve, sheet.report)));
    let data = Data { report: json::value(sheet.report), points };
    Value::from_safe_string(written(&data).replace('<', "\\u003c").replace('\u{2028}', "\\u2028"))
}
