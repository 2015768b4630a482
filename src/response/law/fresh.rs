//! Classes and measures of fresh self-compacting concrete, and the fibre factor.
//!
//! Results are judged as they stand; nothing here predicts flow from proportions.

/// Slump-flow class.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SlumpFlow {
    /// SF1: unreinforced or lightly reinforced.
    First,
    /// SF2: most ordinary uses.
    Second,
    /// SF3: very congested forms.
    Third,
}

impl SlumpFlow {
    /// Every class.
    pub const ALL: [Self; 3] = [Self::First, Self::Second, Self::Third];

    /// Name in the guidelines.
    pub fn name(self) -> &'static str {
        ["SF1", "SF2", "SF3"][self as usize]
    }

    /// Slump flow of the class, mm. Source: European Guidelines for Self-Compacting Concrete 2005; neighbours
    /// overlap.
    pub fn range(self) -> (f64, f64) {
        [(550.0, 650.0), (660.0, 750.0), (760.0, 850.0)][self as usize]
    }

    /// Slump flow that still conforms, mm. Source: the same guidelines, table A.6.
    pub fn conforming(self) -> (f64, f64) {
        [(520.0, 700.0), (640.0, 800.0), (740.0, 900.0)][self as usize]
    }

    /// The class whose range holds a slump flow in mm, if any: 10 mm between classes belong to none.
    pub fn of(flow: f64) -> Option<Self> {
        Self::ALL.into_iter().find(|class| within(flow, class.range()))
    }
}

/// Whether a slump flow (mm) conforms to a target value (mm): 80 mm either way. Source: European Guidelines
/// 2005, table A.6.
pub fn flow_meets_target(flow: f64, target: f64) -> bool {
    f64::abs(flow - target) <= 80.0
}

fn within(value: f64, (low, high): (f64, f64)) -> bool {
    low <= value && value <= high
}

/// Other conformity limits of the European Guidelines 2005, table A.6.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Conformity {
    /// VF1: V-funnel time, s.
    FastFunnel,
    /// VF2: V-funnel time, s.
    SlowFunnel,
    /// PA: L-box passing ratio, 1.
    Passing,
    /// SR1: sieve segregation, %.
    FirstSegregation,
    /// SR2: sieve segregation, %.
    SecondSegregation,
}

impl Conformity {
    /// Whether a result, in the unit of its test, conforms.
    pub fn met(self, result: f64) -> bool {
        let limits = match self {
            Self::FastFunnel => (0.0, 10.0),
            Self::SlowFunnel => (7.0, 27.0),
            Self::Passing => (0.75, f64::INFINITY),
            Self::FirstSegregation => (0.0, 23.0),
            Self::SecondSegregation => (0.0, 18.0),
        };
        within(result, limits)
    }
}

/// Viscosity class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Viscosity {
    /// VS1 or VF1: low.
    Low,
    /// VS2 or VF2: high.
    High,
}

/// Viscosity by the time to 500 mm of flow, s. Source: European Guidelines 2005 (limit: value from memory).
pub fn viscosity_by_flow_time(time: f64) -> Viscosity {
    if time <= 2.0 { Viscosity::Low } else { Viscosity::High }
}

/// Viscosity by V-funnel time, s; times that no class holds give none. Source: European Guidelines 2005.
pub fn viscosity_by_funnel(time: f64) -> Option<Viscosity> {
    match time {
        _ if within(time, (0.0, 8.0)) => Some(Viscosity::Low),
        _ if within(time, (9.0, 25.0)) => Some(Viscosity::High),
        _ => None,
    }
}

/// Blocking seen in the J-ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Blocking {
    /// No visible blocking.
    None,
    /// Minimal to noticeable blocking.
    Minimal,
    /// Noticeable to extreme blocking.
    Extreme,
}

/// Blocking by slump flow less J-ring flow, mm. Source: ASTM C1621 (value from memory).
pub fn blocking(difference: f64) -> Blocking {
    match difference {
        _ if difference <= 25.0 => Blocking::None,
        _ if difference <= 50.0 => Blocking::Minimal,
        _ => Blocking::Extreme,
    }
}

/// Static segregation in the column, %, from coarse aggregate (kg) of the top and the bottom; none at all if
/// the top holds as much. Source: ASTM C1610 (value from memory); up to 10 % is usual.
pub fn column_segregation(top: f64, bottom: f64) -> f64 {
    f64::max(0.0, 200.0 * (bottom - top) / (bottom + top))
}

/// Resistance to segregation by penetration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SegregationResistance {
    /// Resistant.
    Resistant,
    /// Moderately resistant.
    Moderate,
    /// Not resistant.
    None,
}

/// Resistance by penetration depth, mm; 10 mm is resistant and 25 mm is not, as printed.
/// Source: ASTM C1712 (value from memory).
pub fn segregation_resistance(depth: f64) -> SegregationResistance {
    match depth {
        _ if depth <= 10.0 => SegregationResistance::Resistant,
        _ if depth < 25.0 => SegregationResistance::Moderate,
        _ => SegregationResistance::None,
    }
}

/// Fibre factor: volume (share of concrete) times length over diameter (one unit for both). A measure of how
/// much fibres stiffen the fresh concrete. Source: common practice, no source.
pub fn fibre_factor(volume: f64, length: f64, diameter: f64) -> f64 {
    volume * length / diameter
}
