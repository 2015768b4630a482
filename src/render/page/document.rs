//! The report as one page that needs nothing else: tables, charts, the statement, and a small script.
//!
//! What enters: a [`Sheet`]. What leaves: HTML text, and its charts one by one. Texts reach the page through a template
//! that escapes them all; charts escape their own. The page asks no network: its content policy forbids it.

use minijinja::{AutoEscape, Environment, Value};
use serde::Serialize;

use super::parts::{Drawn, Files, Item, Section, line_id, section};
use super::sheet::Sheet;
use super::{compared, curves};
use crate::answer::block::Part;
use crate::answer::cautions::cautions;
use crate::answer::parts::limits::utilisation;
use crate::answer::parts::whole::{first, parts};
use crate::answer::phrase::{Digits, Figure};
use crate::answer::record::json::written;
use crate::answer::report::{Audience, Report, State};
use crate::answer::{matrix, tightness};
use crate::finding::{Sources, clean};
use crate::render::figures::told;
use crate::render::json;
use crate::standard::Side;

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
    block: Vec<Entry>,
    sections: Vec<Section>,
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
        ("page.html", include_str!("page.html")),
        ("head.html", include_str!("head.html")),
        ("tables.html", include_str!("tables.html")),
        ("page.css", include_str!("page.css")),
        ("page.js", include_str!("page.js")),
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
    let utilisation = utilisation(sheet.report).map(|chart| Drawn::of(&chart));
    let in_parts =
        context.sections.into_iter().flat_map(|section| section.items).flat_map(|item| match item {
            Item::Charts(list) => list,
            _ => Vec::new(),
        });
    let compared = context.compared.into_iter().flat_map(|part| part.charts);
    let curves = context.curves.into_iter().filter_map(|part| part.chart);
    (utilisation.into_iter())
        .chain(in_parts)
        .chain(compared)
        .chain(curves)
        .map(|drawn| (drawn.id, crate::render::chart::standalone(drawn.svg.as_str().unwrap_or_default())))
        .collect()
}

/// The parts before given mixes, fronts and sweeps.
fn parts_of(sheet: &Sheet<'_>) -> Vec<Part> {
    let report = sheet.report;
    let mut list = vec![Part { heading: "Outcome".to_owned(), ..first(report) }];
    list.extend(parts(report));
    let best = report.goal_value.filter(|_| report.state.is_proposal());
    let entries = tightness::entries(sheet.problem, (sheet.tightness, best), sheet.sources, report.units);
    if !entries.is_empty() {
        list.extend(
            tightness::parts(&entries)
                .into_iter()
                .take(1)
                .map(|part| tightness::charts(&entries).into_iter().fold(part, Part::with)),
        );
        list.extend(tightness::known_coefficients(&entries));
    }
    if !sheet.given.is_empty() {
        list.extend(matrix::parts(&matrix::matrix(&compared::mixes(sheet)), report.units.body()));
    }
    list
}

/// The files whose lines the page shows.
fn files(sheet: &Sheet<'_>) -> Vec<String> {
    match sheet.report.audience {
        Audience::Author => {
            (0..sheet.sources.line_starts().len()).map(|at| sheet.sources.name(at).to_owned()).collect()
        }
        Audience::Client => Vec::new(),
    }
}

/// The parts as sections; what has no heading goes on with the section before.
fn sections(parts: &[Part], files: &Files) -> Vec<Section> {
    let mut list: Vec<Section> = Vec::new();
    for (number, part) in parts.iter().enumerate() {
        let section = section(part, number, files);
        match list.last_mut() {
            Some(before) if section.heading.is_empty() => before.items.extend(section.items),
            _ => list.push(section),
        }
    }
    list
}

fn context(sheet: &Sheet<'_>) -> Context {
    let report = sheet.report;
    let compared = compared::compared(sheet);
    Context {
        title: report.title.as_deref().map_or_else(|| "Concrete mix".to_owned(), clean),
        note: report.note.as_deref().map_or_else(String::new, clean),
        proposal: report.state.is_proposal(),
        block: block(report),
        sections: sections(&parts_of(sheet), &files(sheet)),
        curves: curves::parts(sheet.curves, report),
        cautions: if report.cautions.is_empty() {
            cautions(sheet.problem, &[])
        } else {
            report.cautions.iter().map(|caution| clean(caution)).collect()
        },
        listings: match report.audience {
            Audience::Author => listings(sheet.sources),
            Audience::Client => Vec::new(),
        },
        version: env!("CARGO_PKG_VERSION"),
        data: data(sheet, compared.as_ref()),
        compared,
    }
}

/// The block of figures beside the title.
fn block(report: &Report) -> Vec<Entry> {
    let entry = |name: &str, text: String| Entry { name: name.to_owned(), text };
    let shown = |value: f64| {
        told(&Figure::new(value, Digits::Significant(5)).of(&report.goal_unit).into(), clean, ' ')
    };
    let mut list = Vec::new();
    if report.audience == Audience::Author {
        list.push(entry("Goal", clean(&report.goal)));
        list.push(entry("Answer", answer(report.state).to_owned()));
    }
    if let Some(value) = report.goal_value.filter(|_| report.state.is_proposal()) {
        list.push(Entry { name: capital(&clean(&report.goal_name)), text: shown(value) });
    }
    if let Some((bound, gap)) = report.certainty.and_then(|line| line.bound.zip(line.gap)) {
        let side = match report.better {
            Side::AtLeast => "No mix above",
            Side::AtMost => "No mix below",
        };
        list.push(entry(side, shown(bound)));
        list.push(entry("Gap", told(&Figure::gap(gap).into(), clean, ' ')));
    }
    list.push(entry("Quantities for", format!("1 {} of concrete", report.units.body())));
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
    let data = Data {
        report: match sheet.report.audience {
            Audience::Author => json::report::value(sheet.report),
            Audience::Client => serde_json::Value::Null,
        },
        points,
    };
    Value::from_safe_string(written(&data).replace('<', "\\u003c").replace('\u{2028}', "\\u2028"))
}
