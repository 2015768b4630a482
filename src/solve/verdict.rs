//! What a solve came to, and the audit every mix passes before anybody sees it.

use super::branch_and_bound::Proof;
use super::settings::Effort;
use super::traces::{LEAST, traces};
use crate::listed::Id;
use crate::material::Material;
use crate::model::Frame;
use crate::problem::{Measured, Problem, Requirement, TOLERANCE, WHOLE};

/// One requirement at the mix.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// The requirement's index.
    pub requirement: Id<Requirement>,
    /// Wanted, got, slack; `None` where nothing stands below a ratio, which then limits nothing.
    pub measured: Option<Measured>,
}

/// A mix measured against the unlinearised problem.
#[derive(Clone, Debug, PartialEq)]
pub struct Audit {
    /// Every requirement, in the problem's order.
    pub lines: Vec<Line>,
    /// Sum of volumes less one, m3.
    pub volume_error: f64,
    /// Names of choices that the mix breaks.
    pub broken_choices: Vec<String>,
    /// The largest violation, relative to what is wanted.
    pub worst: f64,
    /// Materials of which there is less than can be weighed out: no polish could do without, or a given mix has them.
    pub traces: Vec<Id<Material>>,
}

impl Audit {
    /// Whether the mix meets everything within tolerance.
    pub fn passes(&self) -> bool {
        self.worst <= TOLERANCE && self.broken_choices.is_empty() && self.volume_error.abs() <= 1e-9
    }
}

/// A mix that passed the audit.
#[derive(Clone, Debug)]
pub struct Found {
    /// Values of the problem's columns.
    pub mix: Vec<f64>,
    /// The goal's value in base units (for a curved goal: on its own scale, see `Goal`).
    pub goal: f64,
    /// The audit.
    pub audit: Audit,
    /// Largest difference between line and truth at the last step, relative to what is wanted.
    pub linearisation_error: f64,
    /// What it took.
    pub effort: Effort,
    /// What was proven, if a proof was asked for.
    pub certainty: Option<Certainty>,
}

/// How certain an answer is: a bound proven by multipliers, without trust in any solver's word.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Certainty {
    /// No mix does better than this on the goal's scale (base units, or the level of a curved goal): a lower
    /// bound where the least is wanted, an upper one where the most is. Infinite if no mix exists.
    pub bound: f64,
    /// Whether the whole space was covered within the gap asked for; without a mix: whether none exists.
    pub complete: bool,
    /// Parts of the space looked at.
    pub nodes: usize,
    /// Parts left open.
    pub open: usize,
}

impl Certainty {
    /// A proof in the problem's own terms.
    pub fn new(proof: &Proof, frame: &Frame<'_>) -> Self {
        let sign = frame.problem.goal.direction.sign();
        Self {
            bound: sign * proof.bound * frame.goal_scale,
            complete: proof.complete,
            nodes: proof.nodes,
            open: proof.open,
        }
    }
}

/// The mix that comes nearest when none meets everything.
#[derive(Clone, Debug)]
pub struct Nothing {
    /// Values of the problem's columns.
    pub mix: Vec<f64>,
    /// The audit: which limits failed and by how much.
    pub audit: Audit,
    /// What it took.
    pub effort: Effort,
    /// What was proven, if a proof was asked for.
    pub certainty: Option<Certainty>,
}

/// What a solve came to. Only a found mix is a proposal.
#[derive(Clone, Debug)]
pub enum Verdict {
    /// The best mix found, with what is proven about better ones.
    Found(Found),
    /// No mix was found that meets everything.
    Nothing(Nothing),
    /// The loop stopped while truth and line still differ.
    Unsettled(Nothing),
    /// The solver failed.
    Failed(String),
}

/// Which materials a mix uses.
pub fn used(problem: &Problem, mix: &[f64]) -> Vec<bool> {
    problem.mixture.catalogue.materials.iter().zip(mix).map(|(_, amount)| LEAST <= *amount).collect()
}

/// Measures a mix against the unlinearised problem.
pub fn audit(problem: &Problem, mix: &[f64]) -> Audit {
    let lines: Vec<Line> = problem
        .requirements
        .named()
        .map(|(index, requirement)| Line { requirement: index, measured: problem.measure(requirement, mix) })
        .collect();
    let mut worst = lines
        .iter()
        .filter(|line| !problem.dropped[line.requirement.index()])
        // What has no value, such as a ratio over nothing, is not met.
        .map(|line| line.measured.map_or(f64::INFINITY, |measured| measured.violation()))
        .fold(0.0, f64::max);
    for ((value, column), _) in mix.iter().zip(&problem.mixture.columns).zip(0..problem.mixture.materials()) {
        let outside = (column.low - value).max(value - column.high).max(0.0);
        worst = worst.max(outside / column.high.abs().max(1e-9));
    }
    let volume_error = problem.reach.balance.at(mix);
    Audit {
        lines,
        volume_error,
        broken_choices: broken_choices(problem, mix),
        worst,
        traces: traces(problem, mix),
    }
}

fn broken_choices(problem: &Problem, mix: &[f64]) -> Vec<String> {
    let used = used(problem, mix);
    let assignment: Vec<bool> = problem.switches.iter().map(|switch| used[switch.material.index()]).collect();
    let mut broken: Vec<String> = problem
        .logic
        .iter()
        .filter(|logic| !logic.holds(&assignment))
        .map(|logic| logic.name.clone())
        .collect();
    for (switch, on) in problem.switches.iter().zip(&assignment) {
        let Some(bounds) = switch.bounds.as_ref().filter(|_| *on) else { continue };
        let (amount, base) = (bounds.used.part.at(mix), bounds.used.base.at(mix));
        let low = bounds.low.unwrap_or(0.0) * base;
        let high = bounds.high.unwrap_or(f64::INFINITY) * base;
        if amount < low * (1.0 - TOLERANCE) || high * (1.0 + TOLERANCE) < amount {
            broken.push(format!("if used: {}", problem.mixture.catalogue.materials[switch.material].name));
        }
    }
    for count in &problem.counts {
        let steps = problem.steps_in(&count.step, mix).unwrap_or(f64::NAN);
        let is_whole = (steps - steps.round()).abs() <= WHOLE * steps.abs().max(1.0);
        if !is_whole && mix[count.step.material.index()] != 0.0 {
            broken
                .push(format!("steps of {}", problem.mixture.catalogue.materials[count.step.material].name));
        }
    }
    if let Some(column) = problem.weighed_for {
        let (value, ends) = (mix[column], &problem.mixture.columns[column]);
        if value < ends.low * (1.0 - TOLERANCE) || ends.high * (1.0 + TOLERANCE) < value {
            broken.push("yield band".to_owned());
        }
    }
    for need in &problem.needs {
        let least = need.least * need.used.base.at(mix);
        if assignment[need.switch.index()] && need.used.part.at(mix) < least * (1.0 - TOLERANCE) {
            broken.push(need.name.clone());
        }
    }
    broken
}
