//! A problem with one thing changed: a limit moved or dropped, a choice dropped, another goal.
//!
//! Requirements keep their indices, so that answers of the changed problem can be held against the author's.

use super::Problem;
use super::condition::{Condition, ConditionOrigin, Form, conditions};
use super::cracking::{mark_ages, restrained};
use super::goal::{Direction, Goal, GoalKind, Level};
use super::reach::{Reach, reach};
use super::requirement::{Margin, Origin, Requirement, Subject, Wanted};
use crate::mixture::{Affine, Column, Measure};
use crate::number::Interval;
use crate::standard::Side;

/// One thing the author asked for that can be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Member {
    /// A requirement, by index.
    Requirement(usize),
    /// A condition on decisions, by index.
    Logic(usize),
    /// An "if used, at least so much of that", by index.
    Need(usize),
    /// The bounds of a switch that hold if its material is used, by index.
    IfUsed(usize),
}

impl Problem {
    /// Everything that can be left out: regions first, then bounds of materials, choices, limits.
    pub fn members(&self) -> Vec<Member> {
        let of = |wanted: fn(Origin) -> bool| {
            self.requirements
                .iter()
                .enumerate()
                .filter(move |(_, requirement)| wanted(requirement.origin))
                .map(|(index, _)| Member::Requirement(index))
        };
        let regions = of(|origin| matches!(origin, Origin::Region { .. } | Origin::Leverage(_)));
        let materials = of(|origin| matches!(origin, Origin::Material(_)));
        let limits = of(|origin| origin == Origin::Limit);
        let bounded = self.switches.iter().enumerate().filter(|(_, switch)| switch.bounds.is_some());
        let used = bounded.map(|(index, _)| Member::IfUsed(index));
        let choices = (0..self.logic.len()).map(Member::Logic).chain((0..self.needs.len()).map(Member::Need));
        regions.chain(materials).chain(used).chain(choices).chain(limits).collect()
    }

    /// The problem without some members.
    #[must_use]
    pub fn without(&self, members: &[Member]) -> Self {
        let mut changed = self.clone();
        if changed.divisors.is_empty() && !members.is_empty() {
            changed.divisors = self.above_zero();
        }
        for member in members {
            match member {
                Member::Requirement(index) => changed.drop_requirement(*index),
                Member::Logic(index) => {
                    changed.logic[*index].low = f64::NEG_INFINITY;
                    changed.logic[*index].high = f64::INFINITY;
                }
                Member::Need(index) => changed.needs[*index].least = 0.0,
                Member::IfUsed(index) => {
                    let switch = &mut changed.switches[*index];
                    switch.bounds = None;
                    let material = &changed.mixture.catalogue.materials[switch.material];
                    changed.mixture.columns[switch.material].high = material.density;
                }
            }
        }
        changed.refreshed()
    }

    fn drop_requirement(&mut self, index: usize) {
        self.dropped[index] = true;
        let requirement = &self.requirements[index];
        match requirement.origin {
            Origin::Material(material) if is_column_bound(requirement) => {
                let column = &mut self.mixture.columns[material];
                match requirement.side {
                    Side::AtLeast => column.low = 0.0,
                    Side::AtMost => column.high = self.mixture.catalogue.materials[material].density,
                }
            }
            Origin::Region { response, factor } => {
                // A surface is a polynomial beyond its region too, if nobody asks whether it is true there: the region
                // becomes wider, and not without end.
                let region = &mut self.responses[response].factors[factor].region;
                let width = BEYOND * region.width();
                // Not across zero: laws divide by ratios.
                let (low, high) = (region.low(), region.high());
                let lower = if 0.0 < low { (low - width).max(0.5 * low) } else { low - width };
                let (end, wider) = match requirement.side {
                    Side::AtLeast => (lower, Interval::new(lower, high)),
                    Side::AtMost => (high + width, Interval::new(low, high + width)),
                };
                *region = wider;
                self.requirements[index].wanted = Wanted::Value(end);
                self.dropped[index] = false;
            }
            _ => {}
        }
    }

    /// The problem with the plain number of a requirement moved, in the requirement's own unit.
    #[must_use]
    pub fn with_wanted(&self, index: usize, value: f64) -> Self {
        let mut changed = self.clone();
        let requirement = &mut changed.requirements[index];
        requirement.wanted = Wanted::Value(value);
        requirement.margin = requirement.margin.at(value, &requirement.unit);
        let requirement = &changed.requirements[index];
        if let (Origin::Material(material), true) = (requirement.origin, is_column_bound(requirement)) {
            let amount = requirement.unit.to_base(value);
            let column = &mut changed.mixture.columns[material];
            match requirement.side {
                Side::AtLeast => column.low = amount,
                Side::AtMost => column.high = amount,
            }
        }
        changed.refreshed()
    }

    /// Whether the most extreme figure of a requirement also is the severest limit that any mix meets: not where its
    /// margin holds the leverage of the mix, since another mix with a smaller margin may meet a severer one.
    pub fn is_severest_at_extreme(&self, index: usize) -> bool {
        let requirement = &self.requirements[index];
        match requirement.subject {
            Subject::Response(response) => {
                requirement.margin.doubt.is_none() || self.responses[response].covariance.is_none()
            }
            Subject::Quantity(_) => true,
        }
    }

    /// The problem with the extreme of a requirement's subject as its goal: the most of what must be at least so
    /// much, the least of what must be at most so much. `None` if the subject is compared with something that
    /// itself depends on the mix.
    #[must_use]
    pub fn with_extreme(&self, index: usize) -> Option<Self> {
        let requirement = &self.requirements[index];
        let most = requirement.side == Side::AtLeast;
        // An age at cracking need not exist: it cannot be made as large as possible.
        let is_age = matches!(requirement.subject, Subject::Response(about) if restrained(&self.responses[about]).is_some());
        if !matches!(requirement.wanted, Wanted::Value(_))
            || matches!(requirement.origin, Origin::Leverage(_))
            || is_age
        {
            return None;
        }
        let mut changed = self.clone();
        if changed.goal.level.is_some() {
            changed.mixture.columns.pop();
        }
        let column = changed.mixture.columns.len();
        let (objective, level, name) = match &requirement.subject {
            Subject::Quantity(quantity) => match &quantity.measure {
                Measure::Linear(affine) => (affine.clone(), None, quantity.label.clone()),
                ratio @ Measure::Ratio(_) => {
                    (Affine::column(column), Some(Level::Ratio(ratio.clone())), quantity.label.clone())
                }
            },
            Subject::Response(response) => {
                let name = self.responses[*response].name.clone();
                (Affine::column(column), Some(Level::Response(*response)), name)
            }
        };
        if level.is_some() {
            changed.mixture.columns.push(Column {
                label: "level of the goal".to_owned(),
                low: -1e6,
                high: 1e6,
            });
        }
        let direction = if most { Direction::Most } else { Direction::Least };
        let kind = match &level {
            Some(Level::Response(_)) => GoalKind::Response,
            Some(Level::Ratio(_)) | None => GoalKind::Quantity,
        };
        let unit = requirement.unit.clone();
        changed.goal = Goal {
            kind,
            name,
            direction,
            objective,
            level,
            carbon_price: None,
            unit,
            place: requirement.place,
        };
        Some(changed.refreshed())
    }

    /// Whether the goal is the cost of the materials, so that their prices decide.
    pub fn is_about_cost(&self) -> bool {
        self.goal.kind == GoalKind::Cost && self.goal.direction == Direction::Least
    }

    /// The problem with another price of a material, currency per kg of its reference state; the goal is cost.
    #[must_use]
    pub fn with_price(&self, material: usize, price: f64) -> Self {
        let mut changed = self.clone();
        let described = &mut changed.mixture.catalogue.materials[material];
        let change = price - described.price;
        described.price = price;
        changed.goal.objective = changed.goal.objective.plus(change, &Affine::column(material));
        changed
    }

    /// The problem with other margins of some requirements.
    #[must_use]
    pub fn with_margins(&self, margins: &[(usize, Margin)]) -> Self {
        let mut changed = self.clone();
        for (requirement, margin) in margins {
            changed.requirements[*requirement].margin = *margin;
        }
        changed.refreshed()
    }

    /// The problem with at most so much of some materials, kg per m3 of their reference states; `None` where it must have
    /// more of one.
    pub fn with_most(&self, most: &[(usize, f64)]) -> Option<Self> {
        let mut changed = self.clone();
        for (material, most) in most {
            let column = &mut changed.mixture.columns[*material];
            if *most < column.low {
                return None;
            }
            column.high = column.high.min(*most);
        }
        Some(changed.refreshed())
    }

    /// Conditions and reach computed anew.
    #[must_use]
    pub fn refreshed(mut self) -> Self {
        refresh_conditions(&mut self);
        refresh_reach(&mut self);
        self
    }
}

/// How far beyond the end of a region that is left out a factor may go, in widths of the region: further out a surface
/// says nothing at all.
const BEYOND: f64 = 1.0;

/// States the requirements that hold, and the goal's own, as conditions.
pub fn refresh_conditions(problem: &mut Problem) {
    mark_ages(problem);
    let list: Vec<Condition> = problem
        .requirements
        .iter()
        .enumerate()
        .filter(|(index, requirement)| !problem.dropped[*index] && !is_column_bound(requirement))
        .flat_map(|(index, requirement)| conditions(problem, index, requirement))
        .collect();
    problem.conditions = list;
    for divisor in &problem.divisors {
        let form = Form::Linear(divisor.clone());
        problem.conditions.push(Condition { origin: ConditionOrigin::Divisor, form, scale: 1.0 });
    }
    if let Some(curved) = problem.goal.curved() {
        problem.conditions.push(Condition {
            origin: ConditionOrigin::Goal,
            form: Form::Curved(curved),
            scale: 1.0,
        });
    }
}

/// The lowest value within the columns' own bounds.
fn lowest(affine: &Affine, columns: &[Column]) -> f64 {
    let end = |(column, factor): &(usize, f64)| {
        let Column { low, high, .. } = &columns[*column];
        factor * if 0.0 < *factor { low } else { high }
    };
    affine.constant + affine.terms.iter().map(end).sum::<f64>()
}

/// Bounds on amounts are the columns' own.
fn is_column_bound(requirement: &Requirement) -> bool {
    match (&requirement.origin, &requirement.subject) {
        (Origin::Material(material), Subject::Quantity(quantity)) => {
            quantity.measure == Measure::Linear(Affine::column(*material))
        }
        _ => false,
    }
}

/// The box of columns that the linear conditions leave; the columns' own where they leave nothing.
pub fn refresh_reach(problem: &mut Problem) {
    let mut rows: Vec<Affine> = Vec::new();
    for condition in &problem.conditions {
        let Form::Linear(affine) = &condition.form else { continue };
        rows.push(affine.clone());
    }
    for counted in &problem.mixture.counted {
        let column = Affine::column(counted.column).times(-1.0);
        rows.push(column.clone().plus(1.0, &counted.addition));
        rows.push(column.plus(1.0, &counted.cap));
    }
    for switch in &problem.switches {
        let Some(bounds) = &switch.bounds else { continue };
        let Some(high) = bounds.high.filter(|_| !bounds.used.base.terms.is_empty()) else { continue };
        // Unused, nothing of it is below any share of what cannot be negative.
        if 0.0 <= lowest(&bounds.used.base, &problem.mixture.columns) {
            rows.push(bounds.used.below(high));
        }
    }
    let start: Vec<(f64, f64)> =
        problem.mixture.columns.iter().map(|column| (column.low, column.high)).collect();
    let balance = problem.reach.balance.clone();
    // Where the limits leave nothing at all, that is for the solver to say, as a verdict with its conflict.
    problem.reach = reach(start.clone(), &rows, balance.clone()).unwrap_or(Reach {
        columns: start,
        balance,
        rows: Vec::new(),
    });
    if let (Some(level), Some(column)) = (&problem.goal.level, problem.goal.objective.terms.first()) {
        let bounds = match level {
            super::Level::Response(response) => {
                Some(problem.responses[*response].bounds(&problem.responses[*response].region()))
            }
            super::Level::Ratio(measure) => problem.reach.of_measure(measure),
        };
        if let Some(bounds) = bounds {
            problem.reach.columns[column.0] = (bounds.low(), bounds.high());
        }
    }
}
