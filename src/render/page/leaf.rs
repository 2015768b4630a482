//! Parts as one printable page without a statement: a batch sheet, a risk, a plan.
//!
//! What enters: a title and parts. What leaves: HTML text that asks no network and prints on one sheet where the parts are
//! those of one load. Texts are escaped by the template.

use minijinja::{AutoEscape, Environment};
use serde::Serialize;

use super::parts::{Section, section};
use crate::answer::block::Part;
use crate::finding::clean;

#[derive(Serialize)]
struct Context {
    title: String,
    sections: Vec<Section>,
    version: &'static str,
}

/// Writes the page; parts without a heading are those of the title and left out.
pub fn leaf(title: &str, parts: &[Part]) -> String {
    let mut templates = Environment::new();
    templates.set_auto_escape_callback(|_| AutoEscape::Html);
    for (name, text) in [
        ("leaf.html", include_str!("leaf.html")),
        ("head.html", include_str!("head.html")),
        ("tables.html", include_str!("tables.html")),
        ("page.css", include_str!("page.css")),
    ] {
        templates.add_template(name, text).expect("the templates are our own and compile");
    }
    let headed = parts.iter().filter(|part| !part.heading.is_empty());
    let context = Context {
        title: clean(title),
        sections: headed.enumerate().map(|(number, part)| section(part, number, &[])).collect(),
        version: env!("CARGO_PKG_VERSION"),
    };
    let template = templates.get_template("leaf.html").expect("it was added above");
    template.render(&context).expect("every name in the template is in the context")
}
