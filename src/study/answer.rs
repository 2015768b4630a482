//! What one case came to, as plain figures.

use crate::finding::Findings;
use crate::mixture::Quantities;
use crate::problem::{Level, Origin, Problem, Subject, convert};
use crate::quantity::Unit;
use crate::solve::{Audit, Certainty, Effort, Found, Nothing, Verdict, audit, used};

/// What a case came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// A mix, proven to be the best within the gap asked for.
    Optimal,
    /// A mix, the best that was found.
    BestFound,
    /// Proven that no mix meets everything.
    Infeasible,
    /// No mix was found.
    NothingFound,
    /// Line and truth still differed when the loop stopped.
    Unsettled,
    /// The solver failed.
    Failed,
    /// The statement of the case is wrong; it was not solved.
    Wrong,
}

impl Outcome {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Optimal,
        Self::BestFound,
        Self::Infeasible,
        Self::NothingFound,
        Self::Unsettled,
        Self::Failed,
        Self::Wrong,
    ];

    /// In words; reports say the same.
    pub fn words(self) -> &'static str {
        match self {
            Self::Optimal => "optimal",
            Self::BestFound => "best found",
            Self::Infeasible => "proven infeasible",
            Self::NothingFound => "nothing found",
            Self::Unsettled => "unsettled",
            Self::Failed => "failed",
            Self::Wrong => "wrong",
        }
    }

    /// Whether there is a mix that meets everything.
    pub fn has_mix(self) -> bool {
        matches!(self, Self::Optimal | Self::BestFound)
    }
}

/// One figure of a case: a total or a response.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Its name.
    pub name: String,
    /// Its unit in a study; the author's own for responses.
    pub unit: Unit,
}

/// What one case came to. Figures are there only where there is a mix that meets everything.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// What it came to.
    pub outcome: Outcome,
    /// The goal, in the study's goal unit.
    pub goal: Option<f64>,
    /// No mix does better than this, in the same unit, where a proof was asked for.
    pub bound: Option<f64>,
    /// Distance between goal and bound, relative to the goal.
    pub gap: Option<f64>,
    /// Materials in file order, each with its amount in kg per m3 in its reference state; only those used.
    pub mix: Vec<(String, f64)>,
    /// Names of limits, bounds and regions that the mix stands at, in the order of the statement.
    pub binding: Vec<String>,
    /// The study's figures, in its order and units; absent where there is no number.
    pub figures: Vec<Option<f64>>,
    /// Values of the columns of the case's problem, from which everything can be told again.
    pub columns: Vec<f64>,
    /// Parts of the space that a proof looked at.
    pub nodes: usize,
    /// Parts left open.
    pub open: usize,
    /// What is wrong, or why the solver failed.
    pub told: String,
}

impl Answer {
    /// No figures.
    pub fn without_mix(outcome: Outcome, told: String) -> Self {
        Self {
            outcome,
            goal: None,
            bound: None,
            gap: None,
            mix: Vec::new(),
            binding: Vec::new(),
            figures: Vec::new(),
            columns: Vec::new(),
            nodes: 0,
            open: 0,
            told,
        }
    }

    /// Names of the materials used.
    pub fn used(&self) -> Vec<&str> {
        self.mix.iter().map(|(name, _)| name.as_str()).collect()
    }

    /// The answer in a verdict. Goals are told in `unit`, figures as `wanted`.
    pub fn of(problem: &Problem, verdict: &Verdict, unit: &Unit, wanted: &[Figure]) -> Self {
        let proven = |certainty: &Option<Certainty>| certainty.is_some_and(|certainty| certainty.complete);
        match verdict {
            Verdict::Found(found) => {
                let outcome = if proven(&found.certainty) { Outcome::Optimal } else { Outcome::BestFound };
                Self::found(problem, found, outcome, unit, wanted)
            }
            Verdict::Nothing(nothing) => {
                let outcome =
                    if proven(&nothing.certainty) { Outcome::Infeasible } else { Outcome::NothingFound };
                Self::nothing(nothing, outcome)
            }
            Verdict::Unsettled(nothing) => Self::nothing(nothing, Outcome::Unsettled),
            Verdict::Failed(reason) => Self::without_mix(Outcome::Failed, reason.clone()),
        }
    }

    fn nothing(nothing: &Nothing, outcome: Outcome) -> Self {
        let (nodes, open) = nothing.certainty.map_or((0, 0), |certainty| (certainty.nodes, certainty.open));
        Self { nodes, open, ..Self::without_mix(outcome, String::new()) }
    }

    fn found(problem: &Problem, found: &Found, outcome: Outcome, unit: &Unit, wanted: &[Figure]) -> Self {
        let mix = &found.mix;
        let in_use = used(problem, mix);
        let materials = &problem.mixture.catalogue.materials;
        let goal = goal_in(problem, mix, unit);
        let bound = found
            .certainty
            .map(|certainty| level_in(problem, certainty.bound, unit))
            .filter(|bound| bound.is_finite());
        let gap = goal.zip(bound).map(|(goal, bound)| (goal - bound).abs() / goal.abs().max(1e-6));
        let (nodes, open) = found.certainty.map_or((0, 0), |certainty| (certainty.nodes, certainty.open));
        Self {
            outcome,
            goal,
            bound,
            gap,
            mix: materials
                .iter()
                .zip(mix)
                .zip(&in_use)
                .filter(|(_, used)| **used)
                .map(|((material, amount), _)| (material.name.clone(), *amount))
                .collect(),
            binding: binding(problem, &found.audit),
            figures: figures(problem, mix, wanted),
            columns: mix.clone(),
            nodes,
            open,
            told: String::new(),
        }
    }

    /// The verdict again, audited anew: what a report is made from; `unit` is that of the goal and bound. `None` without
    /// a mix.
    pub fn verdict(&self, problem: &Problem, unit: &Unit) -> Option<Verdict> {
        if !self.outcome.has_mix() || self.columns.len() != problem.mixture.columns.len() {
            return None;
        }
        let bound = self.bound.map(|bound| level_from(problem, bound, unit));
        let complete = self.outcome == Outcome::Optimal;
        let certainty = bound.map(|bound| Certainty { bound, complete, nodes: self.nodes, open: self.open });
        Some(Verdict::Found(Found {
            mix: self.columns.clone(),
            goal: problem.goal.objective.at(&self.columns),
            audit: audit(problem, &self.columns),
            linearisation_error: 0.0,
            effort: Effort::default(),
            certainty,
        }))
    }
}

/// The goal of a mix in a unit.
pub fn goal_in(problem: &Problem, mix: &[f64], unit: &Unit) -> Option<f64> {
    match &problem.goal.level {
        None => Some(unit.from_base(problem.goal.objective.at(mix))),
        Some(Level::Response(index)) => {
            Some(convert(problem.predict(*index, mix)?.value, &problem.responses[*index].unit, unit))
        }
        Some(Level::Ratio(measure)) => Some(unit.from_base(measure.at(mix)?)),
    }
}

/// A number on the goal's own scale in a unit: a bound, or the objective at a mix.
pub fn level_in(problem: &Problem, level: f64, unit: &Unit) -> f64 {
    match &problem.goal.level {
        Some(Level::Response(index)) => {
            let response = &problem.responses[*index];
            convert(response.natural(level), &response.unit, unit)
        }
        Some(Level::Ratio(_)) | None => unit.from_base(level),
    }
}

/// The way back.
fn level_from(problem: &Problem, bound: f64, unit: &Unit) -> f64 {
    match &problem.goal.level {
        Some(Level::Response(index)) => {
            let response = &problem.responses[*index];
            response.on_link(convert(bound, unit, &response.unit))
        }
        Some(Level::Ratio(_)) | None => unit.to_base(bound),
    }
}

fn binding(problem: &Problem, audit: &Audit) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for line in &audit.lines {
        let requirement = &problem.requirements[line.requirement];
        let stands_at = line.measured.is_some_and(|measured| measured.is_binding());
        if !stands_at {
            continue;
        }
        let about = match &requirement.subject {
            Subject::Quantity(quantity) => quantity.label.as_str(),
            Subject::Response(index) => problem.responses[*index].name.as_str(),
        };
        // Several responses may be known within the same range of one factor: it is named once.
        let name = match requirement.origin {
            Origin::Region { .. } => format!("region of {about}"),
            Origin::Leverage(response) => format!("leverage of {}", problem.responses[response].name),
            Origin::Limit | Origin::Material(_) => requirement.name.clone(),
        };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// The total of declared carbon.
const CARBON: &str = "carbon";

/// Totals told with every case, besides the responses.
const TOTALS: &[&str] = &["cost", CARBON, "water-binder ratio", "binder", "paste volume"];

/// The figures told of every case of a study.
pub fn figures_of(problem: &Problem) -> Vec<Figure> {
    let quantities = Quantities::new(&problem.mixture, &problem.currency, &[], &mut Findings::default());
    let totals = TOTALS.iter().filter(|name| is_whole(problem, name)).filter_map(|name| {
        let quantity = quantities.named(name)?;
        Some(Figure { name: (*name).to_owned(), unit: quantity.unit })
    });
    let responses = problem
        .responses
        .iter()
        .map(|response| Figure { name: response.name.clone(), unit: response.unit.clone() });
    totals.chain(responses).collect()
}

/// Whether a total is one: carbon that some material does not declare adds up to nothing.
fn is_whole(problem: &Problem, name: &str) -> bool {
    name != CARBON || problem.mixture.catalogue.declares_carbon()
}

fn figures(problem: &Problem, mix: &[f64], wanted: &[Figure]) -> Vec<Option<f64>> {
    let quantities = Quantities::new(&problem.mixture, &problem.currency, &[], &mut Findings::default());
    wanted.iter().map(|figure| value_of(problem, &quantities, mix, figure)).collect()
}

fn value_of(problem: &Problem, quantities: &Quantities<'_>, mix: &[f64], figure: &Figure) -> Option<f64> {
    let response = problem.responses.find_id(|response| response.name == figure.name);
    let value = if let Some(index) = response {
        let response = &problem.responses[index];
        if response.unit.dimension != figure.unit.dimension {
            return None;
        }
        convert(problem.predict(index, mix)?.value, &response.unit, &figure.unit)
    } else {
        if !is_whole(problem, &figure.name) {
            return None;
        }
        figure.unit.from_base(quantities.named(&figure.name)?.measure.at(mix)?)
    };
    value.is_finite().then_some(value)
}
