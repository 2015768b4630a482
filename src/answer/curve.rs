//! Points that each stand for a mix, over two figures: fronts between goals, sweeps, given mixes beside one another.
//!
//! What enters: plain figures of each point, with its mix. How they are drawn, nothing here knows.

use super::phrase::{Digits, Figure, Phrase};
use crate::quantity::Unit;

/// What joins the points of a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joined {
    /// Nothing.
    Apart,
    /// One line through all points in their order, as along a front.
    All,
    /// A line through each group, as in a sweep of two keys.
    Groups,
}

/// Points over two figures.
#[derive(Clone, Debug)]
pub struct Curve {
    /// Id within a page, and the name of a file: letters, digits and hyphens.
    pub id: String,
    /// In one word, before captions of tables.
    pub word: &'static str,
    /// Heading.
    pub heading: String,
    /// What a reader should know, in sentences.
    pub remarks: Vec<String>,
    /// The figure across, with its unit.
    pub across: (String, Unit),
    /// Names in place of numbers across: the first stands at 0, the next at 1, and so on.
    pub names: Vec<String>,
    /// The figure up, with its unit.
    pub up: (String, Unit),
    /// What joins the points.
    pub joined: Joined,
    /// How many of each point's figures stand in the first table; the others follow in tables of their own.
    pub first: usize,
    /// The points.
    pub points: Vec<CurvePoint>,
}

/// One figure of a point.
#[derive(Clone, Debug)]
pub struct CurveFigure {
    /// Its name.
    pub name: String,
    /// Its value, if it is a number.
    pub value: Option<f64>,
    /// Its unit.
    pub unit: Unit,
    /// What is said where there is no number.
    pub otherwise: String,
}

impl CurveFigure {
    /// A figure without a word for none.
    pub fn new(name: String, value: Option<f64>, unit: Unit) -> Self {
        Self { name, value, unit, otherwise: "none".to_owned() }
    }

    /// Without its unit, for a column.
    pub fn told(&self) -> Phrase {
        match self.value {
            Some(value) => Figure::new(value, Digits::Significant(4)).into(),
            None => (&self.otherwise).into(),
        }
    }

    /// With its unit.
    pub fn told_with_unit(&self) -> Phrase {
        match self.value {
            Some(value) => Figure::new(value, Digits::Significant(4)).of(&self.unit).into(),
            None => (&self.otherwise).into(),
        }
    }
}

/// One point. Without a place in the chart it stands in the tables alone.
#[derive(Clone, Debug)]
pub struct CurvePoint {
    /// Its name.
    pub name: String,
    /// Across, in the curve's unit.
    pub x: f64,
    /// Up, in the curve's unit; no number where there is no mix.
    pub y: f64,
    /// What groups it with others: the marker, and the line in [`Joined::Groups`].
    pub group: String,
    /// How far it is proven, or why there is no mix; none for given mixes.
    pub state: Option<String>,
    /// Which figures belong to it.
    pub figures: Vec<CurveFigure>,
    /// Materials used, kg per m3 in their reference state.
    pub mix: Vec<(String, f64)>,
    /// Names of what the mix stands at.
    pub binding: Vec<String>,
    /// What changed from the point before.
    pub change: Exchange,
}

/// What comes in and goes out from one point to the next.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Exchange {
    /// Materials that come in.
    pub enters: Vec<String>,
    /// Materials that go out.
    pub leaves: Vec<String>,
}

impl Exchange {
    /// What comes in, and what goes out.
    pub fn of((enters, leaves): (Vec<String>, Vec<String>)) -> Self {
        Self { enters, leaves }
    }

    /// Whether nothing changes.
    pub fn is_empty(&self) -> bool {
        self.enters.is_empty() && self.leaves.is_empty()
    }

    /// In words: `+slag, -fly ash`.
    pub fn words(&self) -> String {
        let enters = self.enters.iter().map(|name| format!("+{name}"));
        enters.chain(self.leaves.iter().map(|name| format!("-{name}"))).collect::<Vec<_>>().join(", ")
    }
}

impl CurvePoint {
    fn is_drawn(&self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl Curve {
    /// The points in the chart, in the order of their numbers there.
    pub fn drawn(&self) -> impl Iterator<Item = (usize, &CurvePoint)> {
        self.points.iter().filter(|point| point.is_drawn()).enumerate()
    }
}
