//! Why nothing fits, in the reader's units: what cannot hold together, what would mend it, and the mixes that would do.
//!
//! What enters: a conflict of a problem. What leaves: lines, and mixes as plain figures.

use super::goal_value::goal_value;
use super::reasons::included;
use super::units::Units;
use crate::analysis::{Conflict, ConflictMember, Repair};
use crate::finding::{Place, Sources};
use crate::problem::{Member, Problem, Requirement, Wanted, convert};
use crate::quantity::{Unit, as_written};
use crate::solve::used;
use crate::standard::Side;

/// One member of a conflict.
#[derive(Clone, Debug)]
pub struct MemberLine {
    /// The file it stands in, if that is an included one.
    pub file: Option<String>,
    /// Line in the statement.
    pub line: usize,
    /// Its name.
    pub name: String,
    /// What it asks.
    pub asked: Asked,
    /// What would mend everything while all others stay.
    pub repair: MendedBy,
    /// Whether it was shown that the others can hold without it.
    pub settled: bool,
}

/// What a member of a conflict asks.
#[derive(Clone, Debug, PartialEq)]
pub enum Asked {
    /// A value on a side, in its unit.
    Value(Side, f64, Unit),
    /// A side of something else that the mix brings about, by name.
    Beside(Side, String),
    /// A choice among materials.
    Choice,
    /// That a material is used beside another.
    Needs(String),
    /// Bounds that hold if a material is used.
    BoundsIfUsed,
}

impl Asked {
    /// In words: `at most 26.3 GPa`.
    pub fn words(&self) -> String {
        match self {
            Self::Value(side, value, unit) => valued(*side, *value, unit),
            Self::Beside(side, name) => format!("{} {name}", side.words()),
            Self::Choice => "choice".to_owned(),
            Self::Needs(material) => format!("choice: needs {material}"),
            Self::BoundsIfUsed => "bounds if used".to_owned(),
        }
    }
}

/// What mends a conflict at one of its members while all others stay.
#[derive(Clone, Debug, PartialEq)]
pub enum MendedBy {
    /// This value on its side, rounded to the side that is easier to meet; proven to be the nearest, or the best found.
    Value(Side, f64, Unit, Nearest),
    /// Leaving it out.
    LeavingOut,
    /// None of this alone.
    NothingAlone,
    /// It was not settled.
    NotSettled,
}

/// What is known of a value that mends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Nearest {
    /// No value nearer to what was asked mends.
    Proven,
    /// Nearer ones may.
    BestFound,
    /// Nearer ones may, but none up to this value does: proven.
    BeyondOnly(f64),
}

impl MendedBy {
    /// In words: `at most 26.3 GPa, proven least`.
    pub fn words(&self) -> String {
        match self {
            Self::Value(side, value, unit, nearest) => {
                let known = match nearest {
                    Nearest::Proven => "proven least".to_owned(),
                    Nearest::BestFound => "best found".to_owned(),
                    Nearest::BeyondOnly(short) => {
                        format!("best found; {} is proven not to do", valued(*side, *short, unit))
                    }
                };
                format!("{}, {known}", valued(*side, *value, unit))
            }
            Self::LeavingOut => "leaving it out".to_owned(),
            Self::NothingAlone => "none of this alone".to_owned(),
            Self::NotSettled => "not settled".to_owned(),
        }
    }
}

fn valued(side: Side, value: f64, unit: &Unit) -> String {
    format!("{} {}", side.words(), unit.with_number(&as_written(value)))
}

/// Why nothing fits.
#[derive(Clone, Debug)]
pub struct ConflictLines {
    /// Members; none can be left out.
    pub members: Vec<MemberLine>,
    /// Names of bounds of materials, choices and regions of which it is not settled whether they belong here.
    pub unsettled: Vec<String>,
    /// The share by which every limit must give way, if all give way alike.
    pub compromise: Option<f64>,
    /// A share of which it is proven that it is not enough.
    pub not_enough: Option<f64>,
    /// The nearest mix and those of single repairs: the nearest first where there is one.
    pub mixes: Vec<RepairedMix>,
}

impl ConflictLines {
    /// The member whose repair allows the mix that is shown, where no equal share of all limits does.
    pub fn shown_alone(&self) -> Option<usize> {
        if self.compromise.is_some() {
            return None;
        }
        self.mixes.iter().find_map(|mix| mix.member)
    }
}

/// A mix that meets everything once something gives way.
#[derive(Clone, Debug)]
pub struct RepairedMix {
    /// The member that gives way, by its place in the list; all limits alike without a number.
    pub member: Option<usize>,
    /// The goal's value in its unit.
    pub goal: Option<f64>,
    /// Materials with amounts, kg per m3 in their reference states; only those used.
    pub amounts: Vec<(String, f64)>,
}

/// A conflict in the reader's units; goals are in the unit given.
pub fn conflict_lines(
    problem: &Problem,
    conflict: &Conflict,
    sources: &Sources,
    units: Units,
    goal: &Unit,
) -> ConflictLines {
    let members =
        conflict.members.iter().map(|member| member_line(problem, member, sources, units)).collect();
    let mixed = |member: Option<usize>, mix: &[f64]| {
        let in_use = used(problem, mix);
        let shelf = problem.mixture.catalogue.materials.iter().zip(mix).zip(&in_use);
        let amounts = shelf.filter(|(_, used)| **used);
        RepairedMix {
            member,
            goal: goal_value(problem, mix, goal),
            amounts: amounts.map(|((material, amount), _)| (material.name.clone(), *amount)).collect(),
        }
    };
    let nearest = conflict.compromise.iter().map(|compromise| mixed(None, &compromise.mix));
    let repaired = conflict.members.iter().enumerate();
    let repaired = repaired.filter_map(|(at, member)| Some(mixed(Some(at), member.mix.as_ref()?)));
    let named = |member: &Member| placed(problem, *member).1;
    ConflictLines {
        members,
        unsettled: conflict.unsettled.iter().map(named).collect(),
        compromise: conflict.compromise.as_ref().map(|compromise| compromise.share),
        not_enough: conflict.compromise.as_ref().map(|c| c.not_enough).filter(|share| 0.0 < *share),
        mixes: nearest.chain(repaired).collect(),
    }
}

/// Where a member stands, and its name.
fn placed(problem: &Problem, member: Member) -> (Place, String) {
    match member {
        Member::Requirement(index) => {
            let requirement = &problem.requirements[index];
            (requirement.place, requirement.name.clone())
        }
        Member::Logic(index) => (problem.logic[index].place, problem.logic[index].name.clone()),
        Member::Need(index) => (problem.needs[index].place, problem.needs[index].name.clone()),
        Member::IfUsed(index) => {
            let switch = &problem.switches[index];
            let material = &problem.mixture.catalogue.materials[switch.material];
            let place = switch.bounds.as_ref().map_or(material.place, |bounds| bounds.place);
            (place, format!("if used: {}", material.name))
        }
    }
}

fn member_line(problem: &Problem, member: &ConflictMember, sources: &Sources, units: Units) -> MemberLine {
    let (place, name) = placed(problem, member.member);
    let asked = match member.member {
        Member::Requirement(index) => asked(problem, &problem.requirements[index], units),
        Member::Logic(_) => Asked::Choice,
        Member::Need(index) => {
            let material = &problem.mixture.catalogue.materials[problem.needs[index].material].name;
            Asked::Needs(material.clone())
        }
        Member::IfUsed(_) => Asked::BoundsIfUsed,
    };
    let repair = match (&member.repair, member.member) {
        (Repair::MoveTo { value, proven, not_to }, Member::Requirement(index)) => {
            let requirement = &problem.requirements[index];
            let (side, unit) = (requirement.side, units.shown(&requirement.unit, &problem.currency));
            let shown = |value: f64| convert(value, &requirement.unit, &unit);
            let nearest = match (proven, not_to) {
                (true, _) => Nearest::Proven,
                (false, None) => Nearest::BestFound,
                (false, Some(short)) => Nearest::BeyondOnly(rounded(shown(*short), side.opposite())),
            };
            MendedBy::Value(side, rounded(shown(*value), side), unit, nearest)
        }
        (Repair::MoveTo { .. } | Repair::Drop, _) => MendedBy::LeavingOut,
        (Repair::NoneOfThisAlone, _) => MendedBy::NothingAlone,
        (Repair::Unsettled, _) => MendedBy::NotSettled,
    };
    MemberLine {
        file: included(problem, place, sources),
        line: sources.line(place),
        name,
        asked,
        repair,
        settled: member.settled,
    }
}

/// What a requirement asks, in the reader's unit.
fn asked(problem: &Problem, requirement: &Requirement, units: Units) -> Asked {
    let side = requirement.side;
    match &requirement.wanted {
        Wanted::Value(value) => {
            let unit = units.shown(&requirement.unit, &problem.currency);
            Asked::Value(side, convert(*value, &requirement.unit, &unit), unit)
        }
        Wanted::Quantity(_, quantity) => Asked::Beside(side, quantity.label.clone()),
        Wanted::Response(_, index) => Asked::Beside(side, problem.responses[*index].name.clone()),
    }
}

/// Four digits, rounded so that the shown value still repairs.
fn rounded(value: f64, side: Side) -> f64 {
    if value == 0.0 {
        return 0.0;
    }
    let step = 10_f64.powf(value.abs().log10().floor() - 3.0);
    match side {
        Side::AtLeast => (value / step).floor() * step,
        Side::AtMost => (value / step).ceil() * step,
    }
}
