//! Recommended limits of concrete by exposure class.
//!
//! Source: EN 206-1:2000, table F.1: 50 years, cement of class 32.5, aggregate of 20 to 32 mm (assumptions:
//! value from memory). National annexes differ, and govern.

/// Exposure class.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[rustfmt::skip]
#[allow(missing_docs, reason = "names of the standard: carbonation, sea water, other chlorides, frost, chemicals")]
pub enum Exposure {
    X0, XC1, XC2, XC3, XC4, XS1, XS2, XS3, XD1, XD2, XD3, XF1, XF2, XF3, XF4, XA1, XA2, XA3,
}

/// Limits on the concrete; what is not limited is none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Largest water-cement ratio by mass.
    pub water_cement: Option<f64>,
    /// Least characteristic strength, MPa: cylinder and cube.
    pub strength: (f64, f64),
    /// Least cement content, kg/m3.
    pub cement: Option<f64>,
    /// Least air content, %.
    pub air: Option<f64>,
}

impl Exposure {
    /// Every class, in the order of the table.
    #[rustfmt::skip]
    pub const ALL: [Self; 18] = [
        Self::X0, Self::XC1, Self::XC2, Self::XC3, Self::XC4, Self::XS1, Self::XS2, Self::XS3, Self::XD1,
        Self::XD2, Self::XD3, Self::XF1, Self::XF2, Self::XF3, Self::XF4, Self::XA1, Self::XA2, Self::XA3,
    ];

    /// The class of that name, such as `XC4`.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|class| format!("{class:?}") == name)
    }

    /// Whether the class stands against carbonation, or freezing and thawing.
    pub fn is_carbonation_or_frost(self) -> bool {
        match self {
            Self::XC1 | Self::XC2 | Self::XC3 | Self::XC4 => true,
            Self::XF1 | Self::XF2 | Self::XF3 | Self::XF4 => true,
            Self::X0 | Self::XS1 | Self::XS2 | Self::XS3 | Self::XD1 | Self::XD2 | Self::XD3 => false,
            Self::XA1 | Self::XA2 | Self::XA3 => false,
        }
    }

    /// Whether the class is about corrosion of reinforcement.
    pub fn is_corrosion(self) -> bool {
        match self {
            Self::XC1 | Self::XC2 | Self::XC3 | Self::XC4 => true,
            Self::XS1 | Self::XS2 | Self::XS3 | Self::XD1 | Self::XD2 | Self::XD3 => true,
            Self::X0 | Self::XF1 | Self::XF2 | Self::XF3 | Self::XF4 => false,
            Self::XA1 | Self::XA2 | Self::XA3 => false,
        }
    }

    /// Whether the class is about frost with deicing salt.
    pub fn is_deicing_salt(self) -> bool {
        matches!(self, Self::XF2 | Self::XF4)
    }

    /// The limits of the class.
    pub fn limits(self) -> Limits {
        let row = |ratio: f64, cylinder: f64, cube: f64, cement: f64, air: Option<f64>| Limits {
            water_cement: Some(ratio),
            strength: (cylinder, cube),
            cement: Some(cement),
            air,
        };
        match self {
            Self::X0 => Limits { water_cement: None, strength: (12.0, 15.0), cement: None, air: None },
            Self::XC1 => row(0.65, 20.0, 25.0, 260.0, None),
            Self::XC2 => row(0.60, 25.0, 30.0, 280.0, None),
            Self::XC3 => row(0.55, 30.0, 37.0, 280.0, None),
            Self::XC4 | Self::XS1 => row(0.50, 30.0, 37.0, 300.0, None),
            Self::XS2 | Self::XD3 => row(0.45, 35.0, 45.0, 320.0, None),
            Self::XS3 => row(0.45, 35.0, 45.0, 340.0, None),
            Self::XD1 | Self::XD2 | Self::XF1 | Self::XA1 => row(0.55, 30.0, 37.0, 300.0, None),
            Self::XF2 => row(0.55, 25.0, 30.0, 300.0, Some(4.0)),
            Self::XF3 => row(0.50, 30.0, 37.0, 320.0, Some(4.0)),
            Self::XF4 => row(0.45, 30.0, 37.0, 340.0, Some(4.0)),
            Self::XA2 => row(0.50, 30.0, 37.0, 320.0, None),
            Self::XA3 => row(0.45, 35.0, 45.0, 360.0, None),
        }
    }
}

impl Limits {
    /// The limits that meet all classes: the most severe of each.
    pub fn of_all(classes: &[Exposure]) -> Self {
        let least = Exposure::X0.limits();
        classes.iter().map(|class| class.limits()).fold(least, |all, one| Self {
            water_cement: severer(all.water_cement, one.water_cement, f64::min),
            strength: if one.strength.0 > all.strength.0 { one.strength } else { all.strength },
            cement: severer(all.cement, one.cement, f64::max),
            air: severer(all.air, one.air, f64::max),
        })
    }
}

fn severer(one: Option<f64>, other: Option<f64>, choose: impl Fn(f64, f64) -> f64) -> Option<f64> {
    match (one, other) {
        (Some(one), Some(other)) => Some(choose(one, other)),
        (one, other) => one.or(other),
    }
}
