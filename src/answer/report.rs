//! The neutral report: every figure a reader is told, before it becomes text.

use super::acceptance::AcceptanceLine;
use super::approval::ApprovalLine;
use super::changes::Changes;
use super::conflict::ConflictLines;
use super::curing::CuringLine;
use super::doubt::UncertaintyLines;
use super::grading::GradingLine;
use super::phrase::{Digits, Figure, Phrase};
use super::reasons::PriceLine;
use super::restraint::CrackingLine;
use super::since::Since;
pub use super::state::{Audience, Standing, State};
use super::units::Units;
use crate::material::{Role, State as MoistureState};
use crate::problem::{Measured, Origin};
use crate::quantity::Unit;
use crate::solve::Effort;
use crate::standard::Side;

/// One material of the mix.
#[derive(Clone, Debug)]
pub struct AmountLine {
    /// Its name.
    pub material: String,
    /// Its role.
    pub role: Role,
    /// The state of `amount`.
    pub state: MoistureState,
    /// In the reference state, base units.
    pub amount: f64,
    /// Oven-dry, for aggregates.
    pub dry: Option<f64>,
    /// As weighed with aggregates as delivered: water is less by what they bring. Absent where that is not known.
    pub delivered: Option<f64>,
    /// Absolute volume, share.
    pub volume: f64,
    /// Cost per m3 of concrete; absent where it is not told.
    pub cost: Option<f64>,
    /// Carbon per m3 of concrete, if declared.
    pub carbon: Option<f64>,
}

/// One total.
#[derive(Clone, Debug)]
pub struct TotalLine {
    /// Its name.
    pub label: String,
    /// Its value in `unit`; absent where nothing stands below a ratio.
    pub value: Option<f64>,
    /// Its unit.
    pub unit: Unit,
}

/// One requirement.
#[derive(Clone, Debug)]
pub struct LimitLine {
    /// Line in the statement.
    pub line: usize,
    /// The file it stands in, if that is an included one.
    pub file: Option<String>,
    /// Its name.
    pub name: String,
    /// The same where its origin is told beside it: a region by its response and what the factor is.
    pub beside_origin: String,
    /// For a region: the response, and what the factor is.
    pub region: Option<(String, String)>,
    /// Its side.
    pub side: Side,
    /// Name of the quantity it is compared with, if it is not a plain number.
    pub against: Option<String>,
    /// Figures in `unit`.
    pub measured: Option<Measured>,
    /// Unit.
    pub unit: Unit,
    /// Where it stands.
    pub standing: Standing,
    /// Whether it is the author's limit, a bound on a material, or a region.
    pub origin: Origin,
    /// The author's note.
    pub note: Option<String>,
    /// Name of the response it is about, if it is about one.
    pub response: Option<String>,
    /// Last day looked at, in `unit`, where an age at cracking is limited.
    pub last: Option<f64>,
}

impl LimitLine {
    /// What the mix gives, in `unit`: an age that there is none of is no number.
    pub fn got(&self) -> Phrase {
        let figure = |value: f64, digits| Figure::new(value, digits).of(&self.unit);
        match (self.measured, self.last) {
            (Some(measured), Some(last)) if measured.got.is_infinite() => {
                Phrase::from("none by ").and(figure(last, Digits::Trimmed(4)))
            }
            (Some(measured), _) => figure(measured.got, Digits::Significant(4)).into(),
            (None, _) => Phrase::empty(),
        }
    }
}

impl ResponseLine {
    /// The value with its unit and base, or what is told of an age at cracking.
    pub fn value_told(&self) -> Phrase {
        if let Some(cracking) = &self.cracking {
            return cracking.phrase();
        }
        let value = Phrase::from(Figure::new(self.value, Digits::Significant(4)).of(&self.unit));
        value.and(self.base.map(|base| format!(" of {base}")))
    }
}

/// One factor of a response.
#[derive(Clone, Debug)]
pub struct FactorLine {
    /// The quantity's name.
    pub name: String,
    /// Its value in `unit`.
    pub value: f64,
    /// Region in `unit`.
    pub region: (f64, f64),
    /// Unit.
    pub unit: Unit,
    /// Whether the value stands at an end of the region.
    pub at_edge: bool,
}

impl FactorLine {
    /// Whether the value lies outside the region.
    pub fn is_beyond(&self) -> bool {
        let (low, high) = self.region;
        let width = high - low;
        self.value < low - 1e-6 * width || high + 1e-6 * width < self.value
    }
}

/// One response.
#[derive(Clone, Debug)]
pub struct ResponseLine {
    /// Its name.
    pub name: String,
    /// Its value in `unit`.
    pub value: f64,
    /// One standard deviation of a new result below and above, in `unit`, if known.
    pub deviation: Option<(f64, f64)>,
    /// Leverage, if known.
    pub leverage: Option<f64>,
    /// Unit.
    pub unit: Unit,
    /// Base of a dose.
    pub base: Option<&'static str>,
    /// The built-in law that it follows, if it does: formulas for one property differ.
    pub law: Option<&'static str>,
    /// Whether the value is a median: of a response fitted to logarithms.
    pub is_median: bool,
    /// Whether own results correct the law.
    pub is_corrected: bool,
    /// What it is, if it is a strength.
    pub strength: Option<String>,
    /// What is told of it, if it is an age at cracking; its value is infinite where nothing cracks.
    pub cracking: Option<CrackingLine>,
    /// Materials of the mix meant to act on it that it takes no account of, where anything is asked of it.
    pub unheeded: Vec<String>,
    /// Factors.
    pub factors: Vec<FactorLine>,
}

/// A measured value of a given mix.
#[derive(Clone, Debug)]
pub struct MeasuredLine {
    /// What was measured.
    pub name: String,
    /// The measured value in `unit`.
    pub value: f64,
    /// What is predicted, in `unit`; absent where there is no number.
    pub predicted: Option<f64>,
    /// One standard deviation of a result around the prediction, if known.
    pub deviation: Option<f64>,
    /// From where to where the test's scatter lets an age at cracking fall, in `unit`; infinite where none cracks.
    pub scatter: Option<(f64, f64)>,
    /// What is asked of it, and whether the measured value meets it.
    pub demands: Vec<JudgedLine>,
    /// Unit.
    pub unit: Unit,
}

/// One demand on a measured value.
#[derive(Clone, Debug)]
pub struct JudgedLine {
    /// The limit, or class and figure.
    pub name: String,
    /// What is wanted, in words.
    pub wanted: String,
    /// Whether the value meets it.
    pub met: bool,
}

impl MeasuredLine {
    /// What is asked of it and whether it is met, in words; empty where nothing is asked.
    pub fn meets(&self) -> String {
        let told = |line: &JudgedLine| {
            let word = if line.met { "meets" } else { "does NOT meet" };
            format!("{word} {} {}", line.name, line.wanted)
        };
        self.demands.iter().map(told).collect::<Vec<_>>().join("; ")
    }

    /// How far the measured value lies from the prediction; empty where no scatter is known.
    pub fn judged(&self) -> Phrase {
        let end = |value: f64| Figure::new(value, Digits::Trimmed(3));
        if let Some((early, late)) = self.scatter {
            let within = early <= self.value && self.value <= late;
            let word = if within { "within" } else { "OUTSIDE" };
            let phrase = Phrase::from(format!("{word} the test's scatter, ")).and(end(early)).and(" .. ");
            return if late.is_finite() { phrase.and(end(late).of(&self.unit)) } else { phrase.and("none") };
        }
        let deviation = self.predicted.zip(self.deviation.filter(|deviation| 0.0 < *deviation));
        deviation.map_or_else(Phrase::empty, |(predicted, deviation)| {
            let count = (self.value - predicted).abs() / deviation;
            Phrase::from(Figure::new(count, Digits::Significant(2))).and(" standard deviations")
        })
    }
}

/// One choice that a mix breaks.
#[derive(Clone, Debug)]
pub struct ChoiceLine {
    /// Its name.
    pub name: String,
}

/// A demand of a class that nothing checks.
#[derive(Clone, Debug)]
pub struct UncheckedLine {
    /// Line in the statement.
    pub line: usize,
    /// Class and figure, as a limit would be named.
    pub name: String,
    /// What is demanded, in words.
    pub demand: String,
    /// Why it is not checked.
    pub why: String,
}

impl UncheckedLine {
    /// In a sentence, without an end.
    pub fn words(&self) -> String {
        format!("{} {} not checked: {}", self.name, self.demand, self.why)
    }
}

/// What was proven.
#[derive(Clone, Copy, Debug)]
pub struct CertaintyLine {
    /// No mix does better than this, in the goal's unit; absent without a mix.
    pub bound: Option<f64>,
    /// How far the goal may be from the best, relative; absent without a mix.
    pub gap: Option<f64>,
    /// Whether the whole space was covered.
    pub complete: bool,
    /// Parts of the space looked at.
    pub parts: usize,
    /// Parts left open.
    pub open: usize,
}

/// A goal of cost and priced carbon, as the sum it is.
#[derive(Clone, Debug)]
pub struct SumLine {
    /// Cost, in the goal's unit.
    pub cost: f64,
    /// What the carbon costs, in the goal's unit.
    pub priced: f64,
    /// Carbon of one m3 of concrete, kg.
    pub carbon: f64,
    /// The price of carbon as its author wrote it.
    pub price: String,
}

/// Everything a reader is told.
#[derive(Clone, Debug)]
pub struct Report {
    /// Whom it is for.
    pub audience: Audience,
    /// Title of the statement.
    pub title: Option<String>,
    /// Note of the statement.
    pub note: Option<String>,
    /// The goal in words.
    pub goal: String,
    /// What the goal is about, without its direction.
    pub goal_name: String,
    /// The side on which a value of the goal is better.
    pub better: Side,
    /// The goal's value in its unit.
    pub goal_value: Option<f64>,
    /// The goal's unit.
    pub goal_unit: Unit,
    /// The goal as cost and priced carbon, if it is their sum.
    pub sum: Option<SumLine>,
    /// What it came to.
    pub state: State,
    /// Why, if the solver failed.
    pub reason: Option<String>,
    /// The currency.
    pub currency: String,
    /// Units of the reader.
    pub units: Units,
    /// Air, share.
    pub air: f64,
    /// Materials used, in file order.
    pub amounts: Vec<AmountLine>,
    /// Materials not used.
    pub unused: Vec<String>,
    /// Requirements: limits, bounds, regions.
    pub limits: Vec<LimitLine>,
    /// What classes demand and nothing checks.
    pub unchecked: Vec<UncheckedLine>,
    /// Choices broken.
    pub broken_choices: Vec<ChoiceLine>,
    /// Volume that a given mix fills, m3 per m3 of concrete.
    pub fills: Option<f64>,
    /// Measured values of a given mix.
    pub measured: Vec<MeasuredLine>,
    /// Responses.
    pub responses: Vec<ResponseLine>,
    /// Totals.
    pub totals: Vec<TotalLine>,
    /// Internal curing, if the statement says what is wanted.
    pub curing: Option<CuringLine>,
    /// The combined grading, where limits on it are a curve.
    pub grading: Option<GradingLine>,
    /// Largest violation relative to what is wanted.
    pub worst: f64,
    /// Largest difference between line and truth at the last step.
    pub linearisation_error: Option<f64>,
    /// What it took.
    pub effort: Effort,
    /// What was proven.
    pub certainty: Option<CertaintyLine>,
    /// What is said about the classes whose limits were taken.
    pub bases: Vec<String>,
    /// How strengths designed to a target fare by the acceptance criteria of their standard; in words among the bases.
    pub acceptance: Vec<AcceptanceLine>,
    /// What each binding limit costs.
    pub prices: Vec<PriceLine>,
    /// What uncertainty about fitted responses does.
    pub uncertainty: Option<UncertaintyLines>,
    /// Why nothing fits, where that was proven.
    pub conflict: Option<ConflictLines>,
    /// The mix beside what was approved, where the statement says that.
    pub approval: Option<ApprovalLine>,
    /// What became of the mix since an earlier run, where one was named.
    pub since: Option<Since>,
    /// Changes from a given mix, where one was asked for.
    pub changes: Option<Changes>,
    /// Cautions.
    pub cautions: Vec<String>,
}

impl Report {
    /// Limits, bounds and regions that the mix stands at, each with its side.
    pub fn stands_at(&self) -> Vec<String> {
        let binding = self.limits.iter().filter(|line| line.standing == Standing::Binding);
        binding.map(|line| format!("{} ({})", line.name, line.side.words())).collect()
    }

    /// Names of limits, bounds, regions and choices that the mix misses, each once.
    pub fn misses(&self) -> Vec<String> {
        let violated = self.limits.iter().filter(|line| line.standing == Standing::Violated);
        let choices = self.broken_choices.iter().map(|choice| &choice.name);
        let mut names: Vec<String> = Vec::new();
        for name in violated.map(|line| &line.name).chain(choices) {
            if !names.contains(name) {
                names.push(name.clone());
            }
        }
        names
    }
}
