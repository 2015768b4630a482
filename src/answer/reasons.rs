//! Reasons: what each binding limit costs.

use super::units::Units;
use crate::analysis::{Explanation, Price, step_of};
use crate::finding::{Place, Sources};
use crate::listed::Id;
use crate::problem::{Problem, Requirement};
use crate::quantity::{Unit, trimmed};
use crate::standard::Side;

/// What moving one binding limit does to the goal.
#[derive(Clone, Debug)]
pub struct PriceLine {
    /// The file it stands in, if that is an included one.
    pub file: Option<String>,
    /// Line in the statement.
    pub line: usize,
    /// The limit's name.
    pub name: String,
    /// Its side.
    pub side: Side,
    /// How far the limit is moved for the figures, in `unit`.
    pub step: f64,
    /// The limit's unit.
    pub unit: Unit,
    /// Goal lost when it is tightened by the step, in the goal's unit.
    pub tightening: Option<f64>,
    /// Goal gained when it is loosened by the step, in the goal's unit.
    pub loosening: Option<f64>,
    /// What the derivatives at the mix make of one step, tightening and loosening, whatever is told.
    pub slopes: (Option<f64>, Option<f64>),
    /// A remark where there are no figures, or where they are no derivatives.
    pub remark: Option<Remark>,
}

impl PriceLine {
    /// How far the limit is moved, with its unit: `1 MPa`, `0.01`.
    pub fn step_in_words(&self) -> String {
        self.unit.with_number(&trimmed(self.step, 2))
    }
}

/// Why moving a limit has no figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remark {
    /// These choices allow no tighter limit.
    AtItsEnd,
    /// The limit is the end of a region.
    Trial,
    /// Two quantities of the mix are compared.
    Comparison,
    /// The multipliers do not agree with what was solved again.
    Unreliable,
    /// The goal bends within the step: the figures are of the whole step, solved again.
    Bends,
    /// With these choices no mix was found a whole step tighter.
    TooFar,
    /// Work had to end before a step was solved again.
    NotSolvedAgain,
}

impl Remark {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::AtItsEnd => "cannot be tightened with these choices",
            Self::Trial => "end of a region: make a trial there",
            Self::Comparison => "compares two quantities of the mix",
            Self::Unreliable => "no reliable price",
            Self::Bends => "for this step, solved again; beyond it the price differs",
            Self::TooFar => "no mix found so far with these choices",
            Self::NotSolvedAgain => "not settled",
        }
    }
}

/// The file in which a place stands, if that is an included one.
pub fn included(problem: &Problem, place: Place, sources: &Sources) -> Option<String> {
    (place.source != problem.place.source).then(|| sources.name(place.source).to_owned())
}

/// Share by which a slope and what was solved again one step away may differ and still be one price.
const AGREE: f64 = 0.05;
/// Share of the goal below which a price is what rounding leaves of none.
const NO_PRICE: f64 = 1e-9;

/// Prices in the reader's units, of a mix whose goal has this value in its unit. Goals that are not linear have none.
pub fn price_lines(
    problem: &Problem,
    explanation: &Explanation,
    sources: &Sources,
    units: Units,
    (value, goal): (f64, &Unit),
) -> Vec<PriceLine> {
    if problem.goal.level.is_some() {
        return Vec::new();
    }
    let line = |(index, price): &(Id<Requirement>, Price)| {
        let requirement = &problem.requirements[*index];
        let unit = units.shown(&requirement.unit, &problem.currency);
        let own = step_of(requirement).unwrap_or(1.0);
        let step = own * requirement.unit.factor / unit.factor;
        let shown = |base: f64| {
            let price = goal.difference_from_base(base);
            if price.abs() <= NO_PRICE * value.abs() { 0.0 } else { price }
        };
        // Base goal per requirement unit to goal unit per step.
        let scaled = |price: f64| shown(price * own);
        let (slope_up, slope_down, remark) = match price {
            Price::Single(price) => (Some(scaled(*price)), Some(scaled(*price)), None),
            Price::Between { tightening, loosening } => {
                let remark = tightening.is_none().then_some(Remark::AtItsEnd);
                (tightening.map(scaled), Some(scaled(*loosening)), remark)
            }
            Price::Trial => (None, None, Some(Remark::Trial)),
            Price::Comparison => (None, None, Some(Remark::Comparison)),
            Price::Unreliable => (None, None, Some(Remark::Unreliable)),
        };
        let has_slope = slope_up.is_some() || slope_down.is_some();
        let solved = explanation.steps.iter().find(|(known, _)| known == index).map(|(_, step)| step);
        let (tightening, loosening, told) = match solved {
            Some(solved) => {
                let up = told(slope_up, solved.tighter.map(shown));
                let down = told(slope_down, solved.looser.map(shown));
                let too_far = slope_up.is_some() && up.is_none();
                let bends = [(slope_up, up), (slope_down, down)];
                let bends = bends.iter().any(|(slope, told)| told.is_some() && slope != told);
                let remark = match (too_far, bends) {
                    (true, _) => Some(Remark::TooFar),
                    (false, true) => Some(Remark::Bends),
                    (false, false) => None,
                };
                (up, down, remark)
            }
            None => (None, None, has_slope.then_some(Remark::NotSolvedAgain)),
        };
        PriceLine {
            file: included(problem, requirement.place, sources),
            line: sources.line(requirement.place),
            name: requirement.name.clone(),
            side: requirement.side,
            step,
            unit,
            tightening,
            loosening,
            slopes: (slope_up, slope_down),
            remark: remark.or(told),
        }
    };
    explanation.prices.iter().map(line).collect()
}

/// What is told of a step: the slope where what was solved again agrees with it, else what was solved again.
fn told(slope: Option<f64>, solved: Option<f64>) -> Option<f64> {
    let solved = solved?;
    slope.filter(|slope| (slope - solved).abs() <= AGREE * solved.abs().max(slope.abs())).or(Some(solved))
}
