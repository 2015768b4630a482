//! One statement of several: what is told of it in a line, as programs read it and as [`earlier`](super::earlier) reads it again.
//!
//! What enters: a [`Report`] with the prices that it was solved at, or what was wrong with the statement. What leaves: lines as
//! JSON; as a table they leave in [`office`](crate::answer::office).

use schemars::JsonSchema;
use serde::Serialize;

use super::json::written;
use crate::answer::approval::ApprovalLine;
use crate::answer::cautions::cautioned;
use crate::answer::material_price::MaterialPrice;
use crate::answer::report::Report;
use crate::answer::since::Since;
use crate::quantity::{Unit, tidied};

/// One statement of several.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub struct SummaryLine {
    /// The file.
    pub file: String,
    /// The title of the statement.
    pub title: Option<String>,
    /// What it came to, in words.
    pub state: String,
    /// The goal in words.
    pub goal: Option<String>,
    /// Its value in `unit`.
    pub value: Option<f64>,
    /// The goal's unit.
    pub unit: Option<String>,
    /// Relative gap between the goal and its proven bound.
    pub gap: Option<f64>,
    /// Its change since an earlier run, in `unit`.
    pub change: Option<f64>,
    /// What else became of it since an earlier run.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub since: Option<Since>,
    /// The limits that the mix stands at, with their sides.
    pub stands_at: Vec<String>,
    /// The mix beside what the statement calls approved.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub approved: Option<ApprovalLine>,
    /// What classes demand and nothing checks.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_checked: Vec<String>,
    /// Air of the mix.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air: Option<Valued>,
    /// The mix: materials in their reference states.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub mix: Vec<MixAmount>,
    /// Cost, totals, and the responses of which anything is asked.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub figures: Vec<NamedFigure>,
    /// The file that holds the whole report.
    pub report: Option<String>,
    /// The prices of all materials of the statement.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub prices: Vec<MaterialPrice>,
    /// The cautions that the mix calls for.
    #[serde(skip)]
    pub cautions: Vec<String>,
}

/// A value with its unit.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Valued {
    /// The value, if there is one.
    pub value: Option<f64>,
    /// Its unit.
    pub unit: String,
}

/// One material of a mix.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct MixAmount {
    /// The material.
    pub material: String,
    /// Its amount per volume of concrete.
    pub amount: Valued,
}

/// A figure of a mix.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct NamedFigure {
    /// What it is.
    pub name: String,
    /// Its value, if there is one.
    pub value: Option<f64>,
    /// Its unit.
    pub unit: String,
    /// What kind of figure it is: they stand in this order.
    #[serde(skip)]
    pub kind: FigureKind,
}

/// What kind of figure one is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FigureKind {
    /// Cost or carbon of the whole.
    Whole,
    /// A total, such as the water-binder ratio.
    Total,
    /// A response.
    Response,
}

impl SummaryLine {
    /// The line of a solved statement; figures only where the mix is a proposal.
    pub fn solved(file: String, report: &Report, prices: Vec<MaterialPrice>) -> Self {
        let found = report.state.is_proposal();
        let line = Self {
            file,
            title: report.title.clone(),
            state: report.state.words().to_owned(),
            goal: Some(report.goal.clone()),
            unit: Some(report.goal_unit.text.clone()),
            change: report.since.as_ref().and_then(|since| since.change),
            since: report.since.clone(),
            not_checked: report
                .unchecked
                .iter()
                .map(|demand| format!("{} {}", demand.name, demand.demand))
                .collect(),
            cautions: report.cautions.clone(),
            prices,
            ..Self::default()
        };
        if found { line.with_mix(report) } else { line }
    }

    /// The line of a mix that was given.
    pub fn given(name: &str, report: &Report, prices: Vec<MaterialPrice>) -> Self {
        Self::solved(name.to_owned(), report, prices).with_mix(report)
    }

    fn with_mix(self, report: &Report) -> Self {
        let (content, percent) = (report.units.content(), Unit::known("%"));
        let amount = |unit: &Unit, base: f64| Valued {
            value: Some(tidied(unit.from_base(base))),
            unit: unit.text.clone(),
        };
        Self {
            value: report.goal_value.map(tidied),
            gap: report.certainty.and_then(|certainty| certainty.gap).map(tidied),
            stands_at: report.stands_at(),
            approved: report.approval.clone(),
            air: Some(amount(&percent, report.air)),
            mix: (report.amounts.iter())
                .map(|line| MixAmount {
                    material: line.material.clone(),
                    amount: amount(&content, line.amount),
                })
                .collect(),
            figures: figures(report),
            ..self
        }
    }

    /// The line of a statement that was not solved.
    pub fn not_solved(file: String, state: &str) -> Self {
        Self { file, state: state.to_owned(), ..Self::default() }
    }
}

/// The figures of a mix for an office: cost and carbon of the whole, totals, and responses of which anything is asked.
fn figures(report: &Report) -> Vec<NamedFigure> {
    let (cost, carbon) = (report.units.cost(&report.currency), report.units.carbon());
    let whole = |name: &str, base: Option<f64>, unit: &Unit| NamedFigure {
        name: name.to_owned(),
        value: base.map(|base| tidied(unit.from_base(base))),
        unit: unit.text.clone(),
        kind: FigureKind::Whole,
    };
    let mut list = vec![whole("cost", report.amounts.iter().map(|line| line.cost).sum(), &cost)];
    // Carbon is a figure of the whole only where every material declares it.
    let carbon_of_all: Option<f64> = report.amounts.iter().map(|line| line.carbon).sum();
    list.extend(carbon_of_all.map(|base| whole("carbon", Some(base), &carbon)));
    list.extend(report.totals.iter().map(|total| NamedFigure {
        name: total.label.clone(),
        value: total.value.map(tidied),
        unit: total.unit.text.clone(),
        kind: FigureKind::Total,
    }));
    let asked = |name: &String| {
        report.goal_name == *name || report.limits.iter().any(|line| line.response.as_ref() == Some(name))
    };
    list.extend(report.responses.iter().filter(|line| asked(&line.name)).map(|line| NamedFigure {
        name: line.name.clone(),
        value: Some(tidied(line.value)).filter(|value| value.is_finite()),
        unit:
            line.base.map_or_else(|| line.unit.text.clone(), |base| format!("{} of {base}", line.unit.text)),
        kind: FigureKind::Response,
    }));
    list
}

/// The lines as JSON: what [`earlier`](super::earlier) reads.
pub fn json(lines: &[SummaryLine]) -> String {
    written(&cautioned(lines))
}
