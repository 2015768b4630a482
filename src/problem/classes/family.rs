//! Families of classes: what a rule is, and which family knows which class.

use super::{aci318, en206, flowing, practice, tested};
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
#[derive(Clone, Copy, Debug, Default)]
pub struct Setting {
    /// Largest size of aggregate, m.
    pub largest: Option<f64>,
    /// Whether k-values are declared, so that cement means cement with its counted additions.
    pub equivalent: bool,
    /// How the concrete is reinforced.
    pub concrete: Concrete,
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

/// The rules of a class, or what must be known first.
pub enum Rules {
    /// The rules.
    Known(Vec<Rule>),
    /// The rules but one, which needs the largest size of aggregate.
    NeedSize(Vec<Rule>),
    /// The rules, and a figure that the author must limit from above: none is published that holds for every mix.
    NeedLimit(Vec<Rule>, &'static str),
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
}

impl Family {
    /// Every family.
    pub const ALL: [Self; 5] = [Self::En206, Self::Aci318, Self::Flowing, Self::Practice, Self::Tested];

    /// Its class names.
    pub fn classes(self) -> Vec<String> {
        match self {
            Self::En206 => en206::names(),
            Self::Aci318 => aci318::NAMES.iter().map(|name| (*name).to_owned()).collect(),
            Self::Flowing => flowing::NAMES.iter().map(|name| (*name).to_owned()).collect(),
            Self::Practice => practice::NAMES.iter().map(|name| (*name).to_owned()).collect(),
            Self::Tested => tested::NAMES.iter().map(|name| (*name).to_owned()).collect(),
        }
    }

    /// Where its figures come from, and what they assume.
    pub fn source(self) -> &'static str {
        match self {
            Self::En206 => en206::SOURCE,
            Self::Aci318 => aci318::SOURCE,
            Self::Flowing => flowing::SOURCE,
            Self::Practice => practice::SOURCE,
            Self::Tested => tested::SOURCE,
        }
    }

    /// What a strength of this family is.
    pub fn statistic(self) -> &'static str {
        match self {
            Self::En206 | Self::Flowing | Self::Tested => "characteristic",
            Self::Aci318 | Self::Practice => "specified",
        }
    }

    /// The rules of one of its classes.
    pub fn rules(self, class: &str, setting: &Setting) -> Rules {
        match self {
            Self::En206 => Rules::Known(en206::rules(class, setting)),
            Self::Aci318 => aci318::rules(class, setting),
            Self::Flowing => Rules::Known(flowing::rules()),
            Self::Practice => Rules::Known(practice::rules()),
            Self::Tested => tested::rules(class),
        }
    }

    /// The family of a class.
    pub fn of(class: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|family| family.classes().iter().any(|known| known == class))
    }
}
