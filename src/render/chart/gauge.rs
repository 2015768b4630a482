//! Two small drawings for a cell of a table: how much of a limit is used, and where in its range a value stands.

use crate::number::Interval;
use std::fmt::Write;

use super::drawing::escaped;
use super::marker::{Filling, hatching};

const LONG: f64 = 110.0;
const HIGH: f64 = 14.0;

fn framed(words: &str, pieces: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"gauge\" viewBox=\"0 0 {LONG} {HIGH}\" width=\"{LONG}\" \
         height=\"{HIGH}\" role=\"img\" aria-label=\"{}\">{pieces}</svg>",
        escaped(words)
    )
}

/// How much of a limit is used: a bar up to `share`, with a mark at one; what is beyond 1.2 is cut.
pub fn gauge(id: &str, share: f64, filling: Filling, words: &str) -> String {
    let place = |share: f64| 1.0 + (LONG - 2.0) * Interval::new(0.0, 1.2).nearest(share) / 1.2;
    let mut out = if filling == Filling::Hatched { hatching(id) } else { String::new() };
    let at = place(1.0);
    let _ = write!(
        out,
        "<rect class=\"bar {}\" x=\"1\" y=\"3\" width=\"{:.1}\" height=\"8\" fill=\"{}\" stroke=\"currentColor\"/>\
         <line class=\"mark\" x1=\"{at:.1}\" y1=\"0\" x2=\"{at:.1}\" y2=\"{HIGH}\" stroke=\"currentColor\" \
         stroke-width=\"2\"/>",
        filling.class(),
        place(share) - 1.0,
        filling.fill(id),
    );
    framed(words, &out)
}

/// Where a value stands in its range; beyond an end it stands at the edge of the drawing.
pub fn position(low: f64, high: f64, value: f64, words: &str) -> String {
    let share =
        if low < high { Interval::new(-0.08, 1.08).nearest((value - low) / (high - low)) } else { 0.5 };
    let (start, end) = (10.0, LONG - 10.0);
    let x = start + share * (end - start);
    let pieces = format!(
        "<line class=\"range\" x1=\"{start}\" y1=\"7\" x2=\"{end}\" y2=\"7\" stroke=\"currentColor\"/>\
         <line class=\"range\" x1=\"{start}\" y1=\"2\" x2=\"{start}\" y2=\"12\" stroke=\"currentColor\"/>\
         <line class=\"range\" x1=\"{end}\" y1=\"2\" x2=\"{end}\" y2=\"12\" stroke=\"currentColor\"/>\
         <polygon class=\"marker full\" points=\"{x:.1},2 {:.1},7 {x:.1},12 {:.1},7\" fill=\"currentColor\"/>",
        x + 4.0,
        x - 4.0
    );
    framed(words, &pieces)
}
