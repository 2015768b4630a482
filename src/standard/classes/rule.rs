//! What a rule of a class is, and what rules may depend on.

use crate::material::Role;
use crate::standard::side::Side;

/// What a rule limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum On {
    /// A quantity or response by the name a statement would use.
    Name(&'static str),
    /// A quantity by its name, per binder; the value is a dose.
    PerBinder(&'static str),
    /// The compressive strength at 28 days, of cylinders; where cubes have a figure of their own, that figure.
    Strength {
        /// The same class in cube strength, in the rule's unit.
        cube: Option<f64>,
    },
    /// The share of the binder that these roles make up together, blended cements taken apart.
    Share(&'static [Role]),
}

impl On {
    /// The words behind the unit: `of binder` for a dose.
    pub fn base(self) -> &'static str {
        match self {
            Self::PerBinder(_) => "of binder",
            Self::Name(_) | Self::Strength { .. } | Self::Share(_) => "",
        }
    }
}

/// One rule of a class.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// What it limits.
    pub on: On,
    /// The side.
    pub side: Side,
    /// The value, in `unit`.
    pub value: f64,
    /// A unit that a statement could use; what a dose is of stands in `on`.
    pub unit: &'static str,
}

/// Windows as rules: name, lower end, upper end, unit.
pub fn windows(list: &[(&'static str, f64, f64, &'static str)]) -> Vec<Rule> {
    let both = |(name, low, high, unit): &(&'static str, f64, f64, &'static str)| {
        [(Side::AtLeast, *low), (Side::AtMost, *high)].map(|(side, value)| Rule {
            on: On::Name(name),
            side,
            value,
            unit,
        })
    };
    list.iter().flat_map(both).collect()
}

/// What rules may depend on.
#[derive(Clone, Debug, Default)]
pub struct Setting {
    /// Largest size of aggregate, m.
    pub largest: Option<f64>,
    /// Additions that count as cement, each with its k-value.
    pub counted: Vec<(Role, f64)>,
    /// Whether every mix of the shelf holds a pozzolan or slag.
    pub pozzolan: Presence,
    /// How the concrete is reinforced.
    pub concrete: Concrete,
}

/// Whether the mixes of a shelf hold something.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Presence {
    /// Each of them does.
    Always,
    /// Some or none of them do.
    #[default]
    NotAlways,
}

/// How concrete is reinforced.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Concrete {
    /// With bars.
    #[default]
    Reinforced,
    /// With tendons.
    Prestressed,
    /// Not at all.
    Plain,
}

/// The rules of a class, and what no rule can say.
#[derive(Clone, Debug, Default)]
pub struct Rules {
    /// The rules.
    pub rules: Vec<Rule>,
    /// What must be known or said beside them.
    pub needs: Vec<Need>,
}

/// What a class needs beside its rules.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Need {
    /// The largest size of aggregate: its air goes by it.
    Size,
    /// A figure that the author must limit from above: none is published that holds for every mix.
    Limit(&'static str),
    /// A demand without a figure that this program could measure: what, in words, and why.
    Told(&'static str, &'static str, &'static str),
}

impl From<Vec<Rule>> for Rules {
    fn from(rules: Vec<Rule>) -> Self {
        Self { rules, needs: Vec::new() }
    }
}

/// One side of a figure as a rule.
pub fn rule(name: &'static str, side: Side, value: f64, unit: &'static str) -> Rule {
    Rule { on: On::Name(name), side, value, unit }
}
