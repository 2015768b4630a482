//! Horizontal bars, one to a row, each with its name and figure.

use std::fmt::Write;

use super::drawing::{Anchor, LETTER, Role, WIDTH, escaped, fitted, framed, line, text, width_of};
use super::marker::{Filling, hatching};
use super::scale::Scale;

/// One bar.
#[derive(Clone, Debug)]
pub struct Bar {
    /// Its name.
    pub name: String,
    /// Its length.
    pub value: f64,
    /// The figure at its end.
    pub figure: String,
    /// Its filling.
    pub filling: Filling,
}

/// A chart of bars.
#[derive(Clone, Debug)]
pub struct Bars {
    /// Id within a page, and the name of a file: letters, digits and hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// What it shows, in a sentence.
    pub description: String,
    /// What the bars measure, with the unit.
    pub axis: String,
    /// The bars, from above.
    pub bars: Vec<Bar>,
    /// A number to mark across all bars.
    pub mark: Option<f64>,
}

const ROW: f64 = 24.0;
const TOP: f64 = 6.0;
const BELOW: f64 = 42.0;

/// Draws the bars: each row is a group with its name, and what runs across rows or stands below them is one too, so that a
/// page can leave rows out.
pub fn bars(chart: &Bars) -> String {
    let names = chart.bars.iter().map(|bar| width_of(&bar.name)).fold(40.0, f64::max).min(230.0) + 8.0;
    let figures = chart.bars.iter().map(|bar| width_of(&bar.figure)).fold(0.0, f64::max) + 8.0;
    let values = || chart.bars.iter().map(|bar| bar.value).filter(|value| value.is_finite());
    let left = if values().any(|value| value < 0.0) { figures } else { 0.0 };
    let scale = Scale::over(values().chain([0.0]).chain(chart.mark), names + left, WIDTH - figures);
    let bottom = TOP + ROW * chart.bars.len() as f64;
    let mut out = hatching(&chart.id);
    out.push_str("<g class=\"lines\">\n");
    for tick in scale.ticks() {
        let x = scale.place(tick);
        line(&mut out, "grid", (x, TOP), (x, bottom), " stroke-opacity=\"0.25\"");
    }
    let _ = writeln!(out, "</g>\n<g class=\"below\" data-row=\"{ROW}\" data-top=\"{TOP}\">");
    for tick in scale.ticks() {
        text(&mut out, scale.place(tick), bottom + 16.0, Anchor::Middle, &scale.tick_text(tick));
    }
    text(&mut out, 0.5 * (names + WIDTH), bottom + 34.0, Anchor::Middle, &chart.axis);
    out.push_str("</g>\n");
    let zero = scale.place(0.0);
    for (row, bar) in chart.bars.iter().enumerate() {
        let y = TOP + ROW * row as f64;
        let _ = writeln!(out, "<g class=\"row\" data-name=\"{}\">", escaped(&bar.name));
        text(
            &mut out,
            names - 8.0,
            y + 0.5 * (ROW + 0.7 * LETTER),
            Anchor::End,
            &fitted(&bar.name, names - 8.0),
        );
        let end = if bar.value.is_finite() { scale.place(bar.value) } else { zero };
        let _ = writeln!(
            out,
            "<rect class=\"bar {}\" x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"{}\" \
             stroke=\"currentColor\"/>",
            bar.filling.class(),
            zero.min(end),
            y + 4.0,
            (end - zero).abs(),
            ROW - 8.0,
            bar.filling.fill(&chart.id)
        );
        let (place, anchor) =
            if bar.value < 0.0 { (end - 5.0, Anchor::End) } else { (end + 5.0, Anchor::Start) };
        text(&mut out, place, y + 0.5 * (ROW + 0.7 * LETTER), anchor, &bar.figure);
        out.push_str("</g>\n");
    }
    out.push_str("<g class=\"lines\">\n");
    line(&mut out, "axis", (zero, TOP), (zero, bottom), "");
    if let Some(mark) = chart.mark {
        let x = scale.place(mark);
        line(
            &mut out,
            "mark",
            (x, TOP - 4.0),
            (x, bottom + 4.0),
            " stroke-width=\"2\" stroke-dasharray=\"5 3\"",
        );
    }
    out.push_str("</g>\n");
    framed(&chart.id, Role::Picture, &chart.title, &chart.description, bottom + BELOW, &out)
}
