//! A page that leads to the pages of several statements.
//!
//! What enters: a line for each statement. What leaves: HTML text, which links to pages in the same folder.

use minijinja::{AutoEscape, Environment};
use serde::Serialize;

use crate::answer::phrase::{Digits, Figure};
use crate::answer::report::{Audience, Report, Standing};
use crate::finding::clean;
use crate::render::figures::told;

/// One statement.
#[derive(Clone, Debug, Serialize)]
pub struct IndexLine {
    /// Name of the page's file; empty where there is none.
    pub page: String,
    /// Title of the statement.
    pub title: String,
    /// What it came to, or why there is no page.
    pub answer: String,
    /// The goal with its value; empty where it is not told.
    pub goal: String,
    /// What the mix stands at.
    pub stands_at: String,
    /// What classes demand and nothing checks.
    pub unchecked: Vec<String>,
}

impl IndexLine {
    /// The line of a statement that has a page.
    pub fn new(page: String, name: &str, report: &Report) -> Self {
        let goal = report.goal_value.filter(|_| report.state.is_proposal()).map(|value| {
            let value = Figure::new(value, Digits::Significant(5)).of(&report.goal_unit);
            format!("{} {}", clean(&report.goal_name), told(&value.into(), clean, '\u{a0}'))
        });
        let binding = report.limits.iter().filter(|line| line.standing == Standing::Binding);
        let names: Vec<String> = binding.map(|line| clean(&line.name)).collect();
        let answer = match (report.audience, report.state.is_proposal()) {
            (Audience::Client, true) => "a mix that meets what is asked",
            _ => report.state.words(),
        };
        Self {
            page,
            title: clean(report.title.as_deref().unwrap_or(name)),
            answer: answer.to_owned(),
            goal: goal.unwrap_or_default(),
            stands_at: if report.state.is_proposal() { names.join(", ") } else { String::new() },
            unchecked: report.unchecked.iter().map(|demand| clean(&demand.words())).collect(),
        }
    }

    /// The line of a statement without a page.
    pub fn without(name: &str, why: &str) -> Self {
        Self {
            page: String::new(),
            title: clean(name),
            answer: why.to_owned(),
            goal: String::new(),
            stands_at: String::new(),
            unchecked: Vec::new(),
        }
    }
}

#[derive(Serialize)]
struct Context<'l> {
    lines: &'l [IndexLine],
    goals: bool,
    title: &'static str,
    version: &'static str,
}

/// Writes the page.
pub fn index(lines: &[IndexLine]) -> String {
    let mut templates = Environment::new();
    templates.set_auto_escape_callback(|_| AutoEscape::Html);
    for (name, text) in [
        ("index.html", include_str!("index.html")),
        ("head.html", include_str!("head.html")),
        ("page.css", include_str!("page.css")),
    ] {
        templates.add_template(name, text).expect("the templates are our own and compile");
    }
    let context = Context {
        lines,
        goals: lines.iter().any(|line| !line.goal.is_empty()),
        title: "Concrete mixes",
        version: env!("CARGO_PKG_VERSION"),
    };
    let template = templates.get_template("index.html").expect("it was added above");
    template.render(&context).expect("every name in the template is in the context")
}
