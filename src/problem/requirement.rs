//! One requirement, and its figures at a mix: wanted, got, slack. How they are measured, nothing here knows.

use crate::finding::Place;
use crate::listed::Id;
use crate::material::Material;
use crate::mixture::Quantity;
use crate::quantity::{Unit, as_written, tidied, trimmed};
use crate::response::Response;
use crate::standard::{MarginRule, Side};

/// What is required of.
#[derive(Clone, Debug)]
pub enum Subject {
    /// A quantity of the mix.
    Quantity(Quantity),
    /// A response, by index.
    Response(Id<Response>),
}

/// What is wanted.
#[derive(Clone, Debug)]
pub enum Wanted {
    /// A number in the requirement's unit.
    Value(f64),
    /// A number times a quantity.
    Quantity(f64, Quantity),
    /// A number times a response, by index.
    Response(f64, Id<Response>),
}

/// A margin in standard deviations of an error `s sqrt(scatter + h)`: residual s, leverage h of the mix.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doubt {
    /// How many deviations; zero where the margin holds none.
    pub deviations: f64,
    /// Variance of the result itself over that of the residual: one for a batch like those of the trials, zero for the
    /// mean of a mix. A constant, so that conditions stay convex.
    pub scatter: f64,
}

impl Default for Doubt {
    fn default() -> Self {
        Self { deviations: 0.0, scatter: 1.0 }
    }
}

impl Doubt {
    /// So many deviations of one more batch like those of the trials.
    pub fn of_batch(deviations: f64) -> Self {
        Self { deviations, ..Self::default() }
    }

    /// Whether there is nothing to keep away from.
    pub fn is_none(self) -> bool {
        self.deviations == 0.0
    }

    /// The margin over the residual at a leverage, and its slope by the leverage.
    pub fn at(self, leverage: f64) -> (f64, f64) {
        let root = (self.scatter + leverage).max(0.0).sqrt();
        (self.deviations * root, self.deviations / (2.0 * root.max(1e-9)))
    }
}

/// How far the prediction must stay from what is wanted.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Margin {
    /// In the requirement's unit.
    pub natural: f64,
    /// In standard deviations of what the margin is for, on the link's scale.
    pub doubt: Doubt,
    /// The overdesign rule that `natural` comes from.
    pub rule: Option<MarginRule>,
    /// The most risk that is asked for in place of a margin, a share; the rest of the margin then meets that of the
    /// scatter.
    pub risk: Option<f64>,
}

/// Why a requirement is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The author's limit.
    Limit,
    /// A bound on a material.
    Material(Id<Material>),
    /// The region of a response's factor.
    Region {
        /// The response.
        response: Id<Response>,
        /// The factor.
        factor: usize,
    },
    /// The largest leverage of a response.
    Leverage(Id<Response>),
}

/// One requirement.
#[derive(Clone, Debug)]
pub struct Requirement {
    /// Its name.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// Why it is there.
    pub origin: Origin,
    /// What is required of.
    pub subject: Subject,
    /// Side.
    pub side: Side,
    /// What is wanted.
    pub wanted: Wanted,
    /// Margin.
    pub margin: Margin,
    /// The author's unit: wanted, got and slack are numbers of it.
    pub unit: Unit,
    /// The author's note.
    pub note: Option<String>,
    /// What classes ask for that an own limit stands in place of: the class, and its value in base units.
    pub in_place_of: Vec<(String, f64)>,
}

impl Requirement {
    /// The author's note, and what it stands in place of, each unit shown as another one.
    pub fn note_in(&self, shown: impl Fn(&Unit) -> Unit) -> Option<String> {
        let unit = shown(&self.unit);
        let told = |(class, base): &(String, f64)| {
            let value = unit.from_base(*base);
            let value =
                if unit.factor == self.unit.factor { trimmed(value, 5) } else { as_written(tidied(value)) };
            format!("own limit in place of {} {} of {class}", self.side.words(), unit.with_number(&value))
        };
        let all: Vec<String> = self.note.iter().cloned().chain(self.in_place_of.iter().map(told)).collect();
        (!all.is_empty()).then(|| all.join("; "))
    }
}

/// A requirement at a mix, in its own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// What is wanted.
    pub wanted: f64,
    /// What the mix gives, without margin.
    pub got: f64,
    /// The margin in the requirement's unit at this mix.
    pub margin: f64,
    /// How far inside the limit with the margin taken off; negative is a violation.
    pub slack: f64,
    /// The magnitude that slack is judged against.
    pub scale: f64,
}

/// Largest violation, relative to the magnitude of what is wanted, that still counts as met.
pub const TOLERANCE: f64 = 1e-6;

impl Measured {
    /// Whether the requirement is met.
    pub fn is_met(&self) -> bool {
        -TOLERANCE * self.scale <= self.slack
    }

    /// Whether the mix stands at the limit.
    pub fn is_binding(&self) -> bool {
        self.slack <= 1e-4 * self.scale
    }

    /// Violation relative to the magnitude of what is wanted; zero when met.
    pub fn violation(&self) -> f64 {
        (-self.slack / self.scale).max(0.0)
    }
}
