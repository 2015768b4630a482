//! Charts of blocks as SVG.
//!
//! What enters: a chart of plain figures. What leaves: its id, its caption and its drawing.

use super::chart::{self, Dash, Marker, Plot, Point, Series, Vertical};
use super::figures::told;
use crate::answer::chart::{Axis, Bars, Chart, Filling, Line, Lines, Spread, Stroke};
use crate::answer::phrase::Phrase;
use crate::finding::clean;

/// A chart that is drawn.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// Id within a document, and the stem of a file's name.
    pub id: String,
    /// What it shows.
    pub caption: String,
    /// The `svg` element.
    pub svg: String,
}

/// Draws a chart.
pub fn drawing(chart: &Chart) -> Drawing {
    match chart {
        Chart::Bars(bars) => bars_drawn(bars),
        Chart::Lines(lines) => lines_drawn(lines),
    }
}

fn plain(phrase: &Phrase) -> String {
    told(phrase, clean, ' ')
}

/// The filling of the chart room.
pub fn filling(filling: Filling) -> chart::Filling {
    match filling {
        Filling::Solid => chart::Filling::Solid,
        Filling::Hatched => chart::Filling::Hatched,
        Filling::Open => chart::Filling::Open,
    }
}

fn bars_drawn(bars: &Bars) -> Drawing {
    let said: Vec<String> =
        bars.bars.iter().map(|bar| format!("{} {}", plain(&bar.name), plain(&bar.told))).collect();
    let caption = plain(&bars.title);
    let svg = chart::bars(&chart::Bars {
        id: bars.id.clone(),
        title: caption.clone(),
        description: format!("{}: {}.", clean(&bars.axis), said.join("; ")),
        axis: clean(&bars.axis),
        bars: bars
            .bars
            .iter()
            .map(|bar| chart::Bar {
                name: plain(&bar.name),
                value: bar.value,
                figure: plain(&bar.told),
                filling: filling(bar.filling),
            })
            .collect(),
        mark: bars.mark,
    });
    Drawing { id: bars.id.clone(), caption, svg }
}

fn lines_drawn(lines: &Lines) -> Drawing {
    let axis = |axis: &Axis| chart::Axis {
        holds: axis.holds.clone(),
        spread: match axis.spread {
            Spread::Linear => chart::Spread::Linear,
            Spread::Logarithmic => chart::Spread::Logarithmic,
        },
        ..chart::Axis::linear(clean(&axis.title()))
    };
    let series = |(number, line): (usize, &Line)| Series {
        name: clean(&line.name),
        points: line
            .points
            .iter()
            .map(|(x, y, words)| Point { words: plain(words), ..Point::bare(*x, *y) })
            .collect(),
        dash: (line.stroke != Stroke::Points).then(|| Dash::of(number)),
        marker: (line.stroke != Stroke::Plain).then(|| Marker::of(number)),
    };
    let caption = plain(&lines.title);
    let svg = chart::plot(&Plot {
        id: lines.id.clone(),
        title: caption.clone(),
        description: plain(&lines.said),
        across: axis(&lines.across),
        up: axis(&lines.up),
        series: lines.lines.iter().enumerate().map(series).collect(),
        verticals: lines.marks.iter().map(|(x, words)| Vertical { x: *x, words: plain(words) }).collect(),
    });
    Drawing { id: lines.id.clone(), caption, svg }
}
