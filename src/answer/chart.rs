//! Charts as plain figures: bars, and lines over two axes.
//!
//! What enters: facts. What leaves: values with what is said of each. How they are drawn, nothing here knows.

use super::phrase::Phrase;

/// A chart over plain figures.
#[derive(Clone, Debug, PartialEq)]
pub enum Chart {
    /// A bar for each of several names.
    Bars(Bars),
    /// Lines over two axes.
    Lines(Lines),
}

/// Bars from zero.
#[derive(Clone, Debug, PartialEq)]
pub struct Bars {
    /// Id within a document, and the name of a file: letters, digits and hyphens.
    pub id: String,
    /// What it shows.
    pub title: Phrase,
    /// What is measured, with the unit.
    pub axis: String,
    /// The bars.
    pub bars: Vec<Bar>,
    /// A value worth knowing, such as the limit itself.
    pub mark: Option<f64>,
}

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// What it is of.
    pub name: Phrase,
    /// Its length.
    pub value: f64,
    /// What is written at its end.
    pub told: Phrase,
    /// How it is filled.
    pub filling: Filling,
}

/// How a bar is filled, so that nothing is lost in black and white.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Filling {
    /// Full.
    Solid,
    /// With stripes.
    Hatched,
    /// Empty.
    Open,
}

/// Lines over two axes.
#[derive(Clone, Debug, PartialEq)]
pub struct Lines {
    /// Id within a document, and the name of a file: letters, digits and hyphens.
    pub id: String,
    /// What it shows.
    pub title: Phrase,
    /// What is said to a reader who does not see it.
    pub said: Phrase,
    /// The axis across.
    pub across: Axis,
    /// The axis up.
    pub up: Axis,
    /// The lines, at most four.
    pub lines: Vec<Line>,
    /// Places across that are worth knowing.
    pub marks: Vec<(f64, Phrase)>,
}

/// One axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// What it measures.
    pub name: String,
    /// In which unit.
    pub unit: String,
    /// How numbers are spread over it.
    pub spread: Spread,
    /// Numbers that it must hold besides those of the points.
    pub holds: Vec<f64>,
}

/// How numbers are spread over an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// Evenly.
    Linear,
    /// By their logarithm.
    Logarithmic,
}

/// One line of a chart, or points that nothing joins.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its name; empty where there is one line alone.
    pub name: String,
    /// Its points: across, up, and what is said of each.
    pub points: Vec<(f64, f64, Phrase)>,
    /// Whether a stroke joins the points.
    pub stroke: Stroke,
}

/// How the points of a line are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stroke {
    /// Joined, without markers.
    Plain,
    /// Joined, each point with a marker.
    Marked,
    /// Markers alone.
    Points,
}

impl Axis {
    /// An axis with numbers spread evenly.
    pub fn linear(name: impl Into<String>, unit: impl Into<String>) -> Self {
        Self { name: name.into(), unit: unit.into(), spread: Spread::Linear, holds: Vec::new() }
    }

    /// Its name with the unit behind it.
    pub fn title(&self) -> String {
        if self.unit.is_empty() { self.name.clone() } else { format!("{}, {}", self.name, self.unit) }
    }
}
