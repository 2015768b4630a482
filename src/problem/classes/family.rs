//! Families of classes: what a rule is, and which family knows which class.

use super::{aci318, alkali, durable, en206, flowing, fresh, practice, repair, tested};
use crate::material::Role;
use crate::problem::Side;

/// What a rule limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum On {
    /// A quantity or response by the name a statement would use.
    Name(&'static str),
    /// The compressive strength at 28 days, of cylinders; where cubes have a figure of their own, that figure.
    Strength {
        /// The same class in cube strength, in the rule's unit.
        cube: Option<f64>,
    },
    /// The share of the binder that these roles make up together, blended cements taken apart.
    Share(&'static [Role]),
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
    /// A unit that a statement could use; `% of binder` for a dose.
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

/// A family of classes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Exposure classes of EN 206-1.
    En206,
    /// Exposure classes of ACI 318.
    Aci318,
    /// Slump-flow classes of self-consolidating concrete.
    Flowing,
    /// Proportions of self-consolidating concrete in US practice.
    Practice,
    /// Sets of the trade for what tests show.
    Tested,
    /// Classes of standards for fresh self-consolidating concrete, by test.
    Fresh,
    /// Classes of standards for hardened concrete, by test of its durability.
    Durable,
    /// Classes of repair products.
    Repair,
    /// Alkali loading of concrete with reactive aggregate.
    Alkali,
}

impl Family {
    /// Every family.
    pub const ALL: [Self; 9] = [
        Self::En206,
        Self::Aci318,
        Self::Flowing,
        Self::Practice,
        Self::Tested,
        Self::Fresh,
        Self::Durable,
        Self::Repair,
        Self::Alkali,
    ];

    /// Its class names.
    pub fn classes(self) -> Vec<String> {
        let names = match self {
            Self::En206 => return en206::names(),
            Self::Aci318 => aci318::NAMES,
            Self::Flowing => flowing::NAMES,
            Self::Practice => practice::NAMES,
            Self::Tested => tested::NAMES,
            Self::Fresh => fresh::NAMES,
            Self::Durable => durable::NAMES,
            Self::Repair => repair::NAMES,
            Self::Alkali => alkali::NAMES,
        };
        names.iter().map(|name| (*name).to_owned()).collect()
    }

    /// Where its figures come from, and what they assume.
    pub fn source(self) -> &'static str {
        match self {
            Self::En206 => en206::SOURCE,
            Self::Aci318 => aci318::SOURCE,
            Self::Flowing => flowing::SOURCE,
            Self::Practice => practice::SOURCE,
            Self::Tested => tested::SOURCE,
            Self::Fresh => fresh::SOURCE,
            Self::Durable => durable::SOURCE,
            Self::Repair => repair::SOURCE,
            Self::Alkali => alkali::SOURCE,
        }
    }

    /// What a strength of this family is.
    pub fn statistic(self) -> &'static str {
        match self {
            Self::En206 | Self::Flowing | Self::Tested | Self::Fresh | Self::Durable => "characteristic",
            Self::Aci318 | Self::Practice | Self::Repair | Self::Alkali => "specified",
        }
    }

    /// The rules of one of its classes.
    pub fn rules(self, class: &str, setting: &Setting) -> Rules {
        match self {
            Self::En206 => en206::rules(class, setting).into(),
            Self::Aci318 => aci318::rules(class, setting),
            Self::Flowing => flowing::rules(class).into(),
            Self::Practice => practice::rules().into(),
            Self::Tested => tested::rules(class),
            Self::Fresh => fresh::rules(class).into(),
            Self::Durable => durable::rules(class).into(),
            Self::Repair => repair::rules(class),
            Self::Alkali => alkali::rules(class).into(),
        }
    }

    /// The family of a class.
    pub fn of(class: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|family| family.classes().iter().any(|known| known == class))
    }
}
