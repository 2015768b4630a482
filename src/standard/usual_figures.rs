//! Figures that a specification usually holds, as the codes of Europe or of the United States have them.
//!
//! What enters: which codes. What leaves: the figure in words with its source, and an example in the units that go with them.
//! Every figure is written down from memory unless it says otherwise; none is imposed.

use super::Family;
use crate::quantity::{System, Unit};

/// Whose codes are cited.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Codes {
    /// Codes of Europe, SI units.
    European,
    /// Codes of the United States, customary units.
    American,
}

/// A figure with its source, and what would be written for it.
pub type Figure = (&'static str, &'static str);

impl Codes {
    /// The practice whose units a statement is written in.
    pub fn of(system: System) -> Self {
        match system {
            System::Si => Self::European,
            System::Customary => Self::American,
        }
    }

    /// The practice that a class belongs to; sets of the trade are used in both.
    pub fn of_class(family: Family, system: System) -> Self {
        match family {
            Family::En206 => Self::European,
            Family::Aci318 | Family::Practice => Self::American,
            Family::Flowing
            | Family::Tested
            | Family::Fresh
            | Family::Durable
            | Family::Repair
            | Family::Alkali => Self::of(system),
        }
    }

    /// A strength that is predicted and not asked for.
    pub fn strength(self) -> &'static str {
        match self {
            Self::European => "at least 30 MPa",
            Self::American => "at least 4000 psi",
        }
    }

    /// The largest water-binder ratio of durable concrete.
    pub fn water(self) -> Figure {
        match self {
            Self::European => (
                "usual: at most 0.45 to 0.65 by class (EN 206, table F.1, values from memory)",
                "water-binder ratio: at most 0.50",
            ),
            Self::American => (
                "usual: at most 0.40 to 0.55 by class (ACI 318-19, table 19.3.2.1, values from memory)",
                "water-binder ratio: at most 0.45",
            ),
        }
    }

    /// Chlorides beside reinforcement.
    pub fn chlorides(self) -> Figure {
        match self {
            Self::European => (
                "usual: at most 0.40 % of cement with bars, 0.20 % with tendons (EN 206, classes Cl 0,40 and \
                 Cl 0,20, values from memory)",
                "content of chlorides: at most 0.40 % of cement",
            ),
            Self::American => (
                "usual: at most 0.30 % of binder where moist, 0.15 % under chlorides, 0.06 % with tendons, soluble in \
                 water (ACI 318-19, table 19.3.2.1, values from memory)",
                "content of chlorides: at most 0.15 % of binder",
            ),
        }
    }

    /// Alkalis beside aggregate that may react.
    pub fn alkalis(self) -> Figure {
        match self {
            Self::European => (
                "usual with aggregate that may react: at most about 3 kg/m3 of equivalent Na2O (common practice, \
                 no source)",
                "content of alkalis: at most 3 kg/m3",
            ),
            Self::American => (
                "usual with aggregate that may react: at most 5, 4 or 3 lb/yd3 of equivalent Na2O from portland cement, \
                 by the level of prevention (ASTM C1778, values from memory)",
                "content of alkalis: at most 4 lb/yd3",
            ),
        }
    }

    /// Scaling under deicing salt.
    pub fn scaling(self) -> &'static str {
        match self {
            Self::European => {
                "usual: at most 1000 g/m2 after 56 cycles (EN 13877-2, class FT2, tested by CEN/TS 12390-9)"
            }
            Self::American => {
                "usual: a visual rating of at most 3 of 5 after 50 cycles (ASTM C672, withdrawn, value from memory)"
            }
        }
    }

    /// Shares of additions under deicing salt.
    pub fn additions_under_salt(self) -> &'static str {
        match self {
            Self::European => {
                "EN 206 leaves them to national rules; elsewhere fly ash and pozzolan 25 %, slag 50 %, silica fume 10 % \
                 of the binder (ACI 318-19, table 26.4.2.2(b), values from memory)"
            }
            Self::American => {
                "usual shares of the binder: fly ash and pozzolan 25 %, slag 50 %, silica fume 10 % \
                 (ACI 318-19, table 26.4.2.2(b), values from memory)"
            }
        }
    }

    /// Fibres.
    pub fn fibres(self) -> Figure {
        let figure = "too many fibres ball and cannot be placed (common practice, no source)";
        match self {
            Self::European => (figure, "amount: at most 9 kg/m3"),
            Self::American => (figure, "amount: at most 15 lb/yd3"),
        }
    }

    /// Admixtures.
    pub fn admixtures(self) -> Figure {
        let figure = "the maker gives a largest dose (common practice, no source)";
        match self {
            Self::European => (figure, "dose: at most 2 % of binder"),
            Self::American => (figure, "dose: at most 20 fl oz/cwt of binder"),
        }
    }

    /// A little of a material.
    pub fn some(self) -> &'static str {
        match self {
            Self::European => "at least 50 kg/m3",
            Self::American => "at least 80 lb/yd3",
        }
    }

    /// The unit of amounts per volume of concrete.
    pub fn content(self) -> Unit {
        Unit::known(match self {
            Self::European => "kg/m3",
            Self::American => "lb/yd3",
        })
    }

    /// What a strength is, written out.
    pub fn described_strength(self) -> &'static str {
        match self {
            Self::European => {
                "strength: {specimen: cylinder 150 x 300 mm, statistic: mean, age: 28 d, curing: moist}"
            }
            Self::American => {
                "strength: {specimen: cylinder 4 x 8 in, statistic: mean, age: 28 d, curing: moist}"
            }
        }
    }

    /// A margin between a mean and what is specified.
    pub fn margin(self) -> &'static str {
        match self {
            Self::European => {
                "add `margin: 8 MPa`, `margin: 1.64 deviations`, or the margin your standard asks for"
            }
            Self::American => {
                "add `margin: 1200 psi`, `margin: 1.34 deviations`, or `margin: {rule: aci 318}`"
            }
        }
    }
}
