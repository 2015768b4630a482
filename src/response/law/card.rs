//! What a law says about itself: its inputs with their units and limits, its formula, its source and worked
//! examples.

use crate::standard::Statistic;

/// One input of a law. Every constant that an author may override is an input too.
#[derive(Clone, Copy, Debug)]
pub struct Input {
    /// Name in words, as written in a statement.
    pub name: &'static str,
    /// Unit, such as `MPa`, `d`, `kg/m3`, `microstrain`, `mm`, `%`; `1` for a pure number.
    pub unit: &'static str,
    /// What it is.
    pub meaning: &'static str,
    /// Where the law is known to hold, in that unit.
    pub range: (f64, f64),
    /// What makes sense at all, in that unit.
    pub allowed: (f64, f64),
    /// Published value, where there is one.
    pub default: Option<f64>,
    /// Which statistic of a strength it takes, if it takes one only.
    pub statistic: Option<Statistic>,
}

impl Input {
    /// An input that the author must give.
    pub const fn given(
        name: &'static str,
        unit: &'static str,
        meaning: &'static str,
        range: (f64, f64),
        allowed: (f64, f64),
    ) -> Self {
        Self { name, unit, meaning, range, allowed, default: None, statistic: None }
    }

    /// The same input with a published value that the author may override.
    #[must_use]
    pub const fn or(self, default: f64) -> Self {
        Self { default: Some(default), ..self }
    }

    /// The same input with another region of validity.
    #[must_use]
    pub const fn within(self, low: f64, high: f64) -> Self {
        Self { range: (low, high), ..self }
    }

    /// The same input as a strength of that statistic alone.
    #[must_use]
    pub const fn of(self, statistic: Statistic) -> Self {
        Self { statistic: Some(statistic), ..self }
    }

    /// The same input as a strength of any statistic.
    #[must_use]
    pub const fn of_any_statistic(self) -> Self {
        Self { statistic: None, ..self }
    }

    /// The same input under another name.
    #[must_use]
    pub const fn called(self, name: &'static str, meaning: &'static str) -> Self {
        Self { name, meaning, ..self }
    }
}

/// An example with a known answer.
#[derive(Clone, Copy, Debug)]
pub struct Worked {
    /// Inputs by name; the others take their defaults.
    pub inputs: &'static [(&'static str, f64)],
    /// Expected output, in the law's unit.
    pub expected: f64,
    /// Absolute tolerance, in the law's unit.
    pub tolerance: f64,
    /// Where the expected value comes from.
    pub note: &'static str,
}

/// What the output of a law is, as far as strengths go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Output {
    /// A compressive strength of that statistic.
    Strength(Statistic),
    /// A compressive strength of the statistic that the input at this place has.
    StrengthLike(usize),
    /// A stress at failure in tension or bending, of that statistic.
    Tension(Statistic),
    /// No strength.
    Other,
}

impl Output {
    /// The statistic that the law itself fixes.
    pub fn statistic(self) -> Option<Statistic> {
        match self {
            Self::Strength(statistic) | Self::Tension(statistic) => Some(statistic),
            Self::StrengthLike(_) | Self::Other => None,
        }
    }
}

/// Everything that a law says about itself.
#[derive(Clone, Copy, Debug)]
pub struct Card {
    /// Name in words.
    pub name: &'static str,
    /// Topic.
    pub group: &'static str,
    /// Formula in plain text.
    pub formula: &'static str,
    /// Standard, report or paper with its edition.
    pub source: &'static str,
    /// Inputs in the order of evaluation.
    pub inputs: &'static [Input],
    /// Unit of the output.
    pub unit: &'static str,
    /// What the output is.
    pub meaning: &'static str,
    /// Whether the output is a strength, and which.
    pub output: Output,
    /// Examples with known answers.
    pub worked: &'static [Worked],
}

/// Share of a sum of volumes and similar numbers between nothing and all.
pub const SHARE: (f64, f64) = (0.0, 1.0);
/// Anything above zero.
pub const POSITIVE: (f64, f64) = (1e-9, 1e9);
/// Zero or more.
pub const NOT_NEGATIVE: (f64, f64) = (0.0, 1e9);
/// Any finite number.
pub const ANY: (f64, f64) = (-1e9, 1e9);

/// Age of the concrete since casting.
pub const AGE: Input = Input::given("age", "d", "age since casting", (0.5, 36_500.0), (1e-3, 1e6));
/// Age at which drying starts.
pub const DRYING_AGE: Input =
    Input::given("drying age", "d", "age since casting when drying starts", (0.5, 180.0), (0.0, 1e6));
/// Age at which load is applied.
pub const LOADING_AGE: Input =
    Input::given("loading age", "d", "age since casting when load is applied", (1.0, 3650.0), (0.1, 1e6));
/// Relative humidity of the air.
pub const HUMIDITY: Input =
    Input::given("humidity", "%", "relative humidity of the air", (40.0, 99.0), (0.0, 100.0));
/// Notional size.
pub const NOTIONAL_SIZE: Input = Input::given(
    "notional size",
    "mm",
    "twice the cross-section over its drying perimeter",
    (50.0, 1600.0),
    (1.0, 1e5),
);
/// Volume to surface ratio.
pub const VOLUME_SURFACE: Input = Input::given(
    "volume surface ratio",
    "mm",
    "volume over drying surface, half the notional size",
    (12.0, 400.0),
    (0.5, 5e4),
);
/// Mean cylinder strength at 28 d.
pub const MEAN_STRENGTH: Input =
    Input::given("mean strength", "MPa", "mean cylinder strength at 28 d", (20.0, 98.0), (1.0, 300.0))
        .of(Statistic::Mean);
/// Mean cylinder strength at 28 d, as far as the fib Model Code 2010 goes.
pub const MODEL_CODE_STRENGTH: Input = MEAN_STRENGTH.within(20.0, 130.0);
/// Characteristic cylinder strength at 28 d.
pub const CHARACTERISTIC_STRENGTH: Input = Input::given(
    "characteristic strength",
    "MPa",
    "characteristic cylinder strength at 28 d",
    (12.0, 90.0),
    (1.0, 300.0),
)
.of(Statistic::Characteristic);
/// Specified cylinder strength.
pub const SPECIFIED_STRENGTH: Input =
    Input::given("specified strength", "MPa", "specified cylinder strength", (14.0, 83.0), (1.0, 300.0))
        .of(Statistic::Specified);
/// Water over binder by mass.
pub const WATER_BINDER: Input = Input::given(
    "water binder ratio",
    "1",
    "free water over (equivalent) binder by mass",
    (0.25, 0.8),
    (0.05, 5.0),
);
/// Oven-dry density of lightweight concrete.
pub const DENSITY: Input =
    Input::given("density", "kg/m3", "oven-dry density of the concrete", (1400.0, 2200.0), (300.0, 4000.0));
