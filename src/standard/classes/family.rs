//! Families of classes: which family knows which class.

use super::rule::{Rules, Setting};
use super::{aci318, alkali, durable, en206, flowing, fresh, practice, repair, tested};
use crate::standard::strength::Statistic;

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

/// What a class may be about, as far as other limits usually stand beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// Where the concrete is exposed to something.
    Exposure,
    /// Corrosion of reinforcement.
    Corrosion,
    /// Frost with deicing salt.
    DeicingSalt,
    /// Concrete that flows by itself.
    Flow,
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
            Self::Aci318 => return aci318::names(),
            Self::Tested => return tested::names(),
            Self::Flowing => flowing::NAMES,
            Self::Practice => practice::NAMES,
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
    pub fn statistic(self) -> Statistic {
        match self {
            Self::En206 | Self::Flowing | Self::Tested | Self::Fresh | Self::Durable | Self::Repair => {
                Statistic::Characteristic
            }
            Self::Aci318 | Self::Practice | Self::Alkali => Statistic::Specified,
        }
    }

    /// Whether one of its classes is about this.
    pub fn is_about(self, class: &str, what: About) -> bool {
        match (self, what) {
            (Self::En206 | Self::Aci318, About::Exposure) => true,
            (Self::En206, About::Corrosion) => en206::is_corrosion(class),
            (Self::Aci318, About::Corrosion) => aci318::is_corrosion(class),
            (Self::En206, About::DeicingSalt) => en206::is_deicing_salt(class),
            (Self::Aci318, About::DeicingSalt) => aci318::is_deicing_salt(class),
            (Self::Tested, About::Flow) => tested::is_flow(class),
            (Self::Flowing | Self::Practice | Self::Fresh, About::Flow) => true,
            (_, About::Exposure | About::Corrosion | About::DeicingSalt | About::Flow) => false,
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
