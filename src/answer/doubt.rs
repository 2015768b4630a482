//! What uncertainty about fitted responses costs, as facts in the reader's units.

use crate::listed::Id;
use schemars::JsonSchema;
use serde::Serialize;

use super::goal_value::goal_value;
use crate::analysis::Uncertainty;
use crate::problem::{Problem, Requirement, convert};
use crate::quantity::Unit;
use crate::study::{Doubtful, Front, FrontPoint};

/// Share of the goal below which what a region costs is not told.
const TOLD: f64 = 1e-4;

/// What uncertainty does to an answer.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct UncertaintyLines {
    /// Goal that is paid because coefficients are estimates: leverage in the margins, scatter and regions kept.
    pub paid: Option<f64>,
    /// Regions that bind, and the goal without them.
    pub beyond: Option<(Vec<String>, f64)>,
    /// How many limits hold with a confidence, and how sure they are together.
    pub together: Option<(usize, f64)>,
}

/// The facts at a mix with this value of the goal in its unit; nothing where there is nothing to tell.
pub fn uncertainty_lines(
    problem: &Problem,
    uncertainty: &Uncertainty,
    (here, unit): (Option<f64>, &Unit),
) -> Option<UncertaintyLines> {
    let value = |mix: &[f64]| goal_value(problem, mix, unit);
    let here = here?;
    let paid = uncertainty.sure.as_ref().and_then(|mix| value(mix)).map(|sure| (here - sure).abs());
    let beyond = uncertainty.beyond.as_ref().and_then(|(requirements, mix)| {
        let name = |index: &Id<Requirement>| problem.requirements[*index].name.clone();
        let mut names: Vec<String> = requirements.iter().map(name).collect();
        names.dedup();
        // What a region costs below the solver's own tolerance is nothing to try.
        value(mix).filter(|goal| TOLD * here.abs() < (here - goal).abs()).map(|goal| (names, goal))
    });
    let lines = UncertaintyLines { paid, beyond, together: uncertainty.together };
    (lines.paid.is_some() || lines.beyond.is_some() || lines.together.is_some()).then_some(lines)
}

/// What uncertainty about fitted responses does to a point, in the reader's unit of the goal that was made best.
pub fn point_doubt(point: &FrontPoint, front: &Front, shown: &[Unit]) -> Doubtful {
    let (from, to) = (&front.goals[point.best].unit, &shown[point.best]);
    let zero = convert(0.0, from, to);
    Doubtful {
        paid: point.doubt.paid.map(|paid| convert(paid, from, to) - zero),
        beyond: point.doubt.beyond.map(|goal| convert(goal, from, to)),
    }
}

/// Whether any point has something to tell of uncertainty.
pub fn is_doubtful(front: &Front) -> bool {
    front.points.iter().any(|point| point.doubt.paid.is_some() || point.doubt.beyond.is_some())
}
