//! A problem with one thing changed: a limit moved or dropped, a choice dropped, another goal.
//!
//! Requirements keep their indices, so that answers of the changed problem can be held against the author's.

use super::cracking::restrained;
use super::goal::{Direction, Goal, GoalKind, Level};
use super::requirement::{Margin, Origin, Requirement, Subject, Wanted};
use super::stated::is_column_bound;
use super::switch::{Logic, Need, Switch};
use super::whole::{Draft, Problem};
use crate::listed::Id;
use crate::material::Material;
use crate::mixture::{Affine, Column, Measure};
use crate::number::Interval;
use crate::standard::Side;

/// One thing the author asked for that can be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Member {
    /// A requirement, by index.
    Requirement(Id<Requirement>),
    /// A condition on decisions, by index.
    Logic(Id<Logic>),
    /// An "if used, at least so much of that", by index.
    Need(Id<Need>),
    /// The bounds of a switch that hold if its material is used, by index.
    IfUsed(Id<Switch>),
}

impl Problem {
    /// Everything that can be left out: regions first, then bounds of materials, choices, limits.
    pub fn members(&self) -> Vec<Member> {
        let of = |wanted: fn(Origin) -> bool| {
            self.requirements
                .named()
                .filter(move |(_, requirement)| wanted(requirement.origin))
                .map(|(index, _)| Member::Requirement(index))
        };
        let regions = of(|origin| matches!(origin, Origin::Region { .. } | Origin::Leverage(_)));
        let materials = of(|origin| matches!(origin, Origin::Material(_)));
        let limits = of(|origin| origin == Origin::Limit);
        let bounded = self.switches.named().filter(|(_, switch)| switch.bounds.is_some());
        let used = bounded.map(|(index, _)| Member::IfUsed(index));
        let choices = self.logic.ids().map(Member::Logic).chain(self.needs.ids().map(Member::Need));
        regions.chain(materials).chain(used).chain(choices).chain(limits).collect()
    }

    /// The problem without some members.
    #[must_use]
    pub fn without(&self, members: &[Member]) -> Self {
        let divisors =
            if self.divisors.is_empty() && !members.is_empty() { self.above_zero() } else { Vec::new() };
        self.varied(|draft| {
            draft.divisors.extend(divisors);
            for member in members {
                draft.leave_out(*member);
            }
        })
    }
    /// The problem with the plain number of a requirement moved, in the requirement's own unit.
    #[must_use]
    pub fn with_wanted(&self, index: Id<Requirement>, value: f64) -> Self {
        self.varied(|draft| {
            let requirement = &mut draft.requirements[index];
            requirement.wanted = Wanted::Value(value);
            requirement.margin = requirement.margin.at(value, &requirement.unit);
            if let (Origin::Material(material), true) = (requirement.origin, is_column_bound(requirement)) {
                let amount = requirement.unit.to_base(value);
                let column = &mut draft.mixture.columns[material.index()];
                match requirement.side {
                    Side::AtLeast => column.low = amount,
                    Side::AtMost => column.high = amount,
                }
            }
        })
    }

    /// Whether the most extreme figure of a requirement also is the severest limit that any mix meets: not where its
    /// margin holds the leverage of the mix, since another mix with a smaller margin may meet a severer one.
    pub fn is_severest_at_extreme(&self, index: Id<Requirement>) -> bool {
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
    pub fn with_extreme(&self, index: Id<Requirement>) -> Option<Self> {
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
        let column = self.mixture.columns.len() - usize::from(self.goal.level.is_some());
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
        let direction = if most { Direction::Most } else { Direction::Least };
        let kind = match &level {
            Some(Level::Response(_)) => GoalKind::Response,
            Some(Level::Ratio(_)) | None => GoalKind::Quantity,
        };
        let unit = requirement.unit.clone();
        let has_level = level.is_some();
        let goal = Goal {
            kind,
            name,
            direction,
            objective,
            level,
            carbon_price: None,
            unit,
            place: requirement.place,
        };
        Some(self.varied(|draft| {
            draft.mixture.columns.truncate(column);
            if has_level {
                draft.mixture.columns.push(Column::level());
            }
            draft.goal = goal;
        }))
    }

    /// Whether the goal is the cost of the materials, so that their prices decide.
    pub fn is_about_cost(&self) -> bool {
        self.goal.kind == GoalKind::Cost && self.goal.direction == Direction::Least
    }

    /// The problem with another price of a material, currency per kg of its reference state; the goal is cost.
    #[must_use]
    pub fn with_price(&self, material: Id<Material>, price: f64) -> Self {
        self.varied(|draft| {
            let described = &mut draft.mixture.catalogue.materials[material];
            let change = price - described.price;
            described.price = price;
            draft.goal.objective = draft.goal.objective.clone().plus(change, &Affine::amount(material));
        })
    }

    /// The problem with other margins of some requirements.
    #[must_use]
    pub fn with_margins(&self, margins: &[(Id<Requirement>, Margin)]) -> Self {
        self.varied(|draft| {
            for (requirement, margin) in margins {
                draft.requirements[*requirement].margin = *margin;
            }
        })
    }

    /// The problem with at most so much of some materials, kg per m3 of their reference states; `None` where it must have
    /// more of one.
    pub fn with_most(&self, most: &[(Id<Material>, f64)]) -> Option<Self> {
        if most.iter().any(|(material, most)| *most < self.mixture.columns[material.index()].low) {
            return None;
        }
        Some(self.varied(|draft| {
            for (material, most) in most {
                let column = &mut draft.mixture.columns[material.index()];
                column.high = column.high.min(*most);
            }
        }))
    }
}

impl Draft {
    fn leave_out(&mut self, member: Member) {
        match member {
            Member::Requirement(index) => self.drop_requirement(index),
            Member::Logic(index) => {
                self.logic[index].low = f64::NEG_INFINITY;
                self.logic[index].high = f64::INFINITY;
            }
            Member::Need(index) => self.needs[index].least = 0.0,
            Member::IfUsed(index) => {
                let switch = &mut self.switches[index];
                switch.bounds = None;
                let material = &self.mixture.catalogue.materials[switch.material];
                self.mixture.columns[switch.material.index()].high = material.density;
            }
        }
    }

    fn drop_requirement(&mut self, index: Id<Requirement>) {
        self.dropped[index.index()] = true;
        let requirement = &self.requirements[index];
        match requirement.origin {
            Origin::Material(material) if is_column_bound(requirement) => {
                let column = &mut self.mixture.columns[material.index()];
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
                self.dropped[index.index()] = false;
            }
            _ => {}
        }
    }
}

/// How far beyond the end of a region that is left out a factor may go, in widths of the region: further out a surface
/// says nothing at all.
const BEYOND: f64 = 1.0;
