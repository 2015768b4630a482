//! Given mixes beside the one that was found: a table of changes, bars of relative change, and points to choose from.

use serde::Serialize;

use super::curves::{Points, chart, points};
use super::parts::{Drawn, Shown, shown};
use super::sheet::Sheet;
use crate::answer::beside::{CHOSEN, beside};
use crate::answer::block::{Block, Shape};
use crate::answer::parts::compared::compared as compared_part;
use crate::answer::report::Report;
use crate::finding::clean;
use crate::render::figures::told;

/// The part of the page.
#[derive(Debug, Serialize)]
pub struct Compared {
    /// Changes from the reference.
    pub table: Option<Shown>,
    /// What each mix misses, and what it fills.
    pub misses: Vec<String>,
    /// What else a reader should know, in sentences.
    pub remarks: Vec<String>,
    /// The points to choose from, then bars of the changes of each mix.
    pub charts: Vec<Drawn>,
    /// Id of the chart whose points can be chosen; empty if there is none.
    pub chosen: &'static str,
    /// What the script knows of the points.
    #[serde(skip)]
    pub points: Option<Points<'static>>,
}

/// The mixes that were given, and the one that was found.
pub fn mixes(sheet: &Sheet<'_>) -> Vec<(String, Report)> {
    let mut mixes = sheet.given.to_vec();
    if sheet.report.state.is_proposal() {
        mixes.push(("proposed".to_owned(), sheet.report.clone()));
    }
    mixes
}

/// Everything about given mixes; none without any.
pub fn compared(sheet: &Sheet<'_>) -> Option<Compared> {
    if sheet.given.is_empty() {
        return None;
    }
    let mixes = mixes(sheet);
    let part = compared_part(sheet.problem, &mixes)?;
    let (curve, bars) = beside(sheet.problem, &mixes, sheet.drawn);
    let mut table = None;
    let (mut misses, mut remarks) = (Vec::new(), Vec::new());
    for block in &part.blocks {
        match block {
            Block::Table(changes) => {
                let reference = mixes.first().map_or("", |(name, _)| name);
                let about = format!("Mixes beside one another, each change from {}", clean(reference));
                table = Some(shown(changes, &about, CHOSEN, &[]));
            }
            Block::Paragraph(paragraph) => {
                let told = told(&paragraph.text, clean, ' ');
                if paragraph.shape == Shape::Remark { misses.push(told) } else { remarks.push(told) }
            }
            Block::Chart(_) => {}
        }
    }
    let points = curve.as_ref().and_then(|curve| points(curve, sheet.report)).map(|points| points.of(CHOSEN));
    Some(Compared {
        table,
        misses,
        remarks,
        charts: curve.iter().map(chart).chain(bars.iter().map(Drawn::of)).collect(),
        chosen: if points.is_some() { CHOSEN } else { "" },
        points,
    })
}
