//! Reasons: what each binding limit costs, and why nothing fits.

use super::units::Units;
use crate::analysis::{Conflict, ConflictMember, Price, Repair};
use crate::finding::{Place, Sources};
use crate::problem::{Member, Problem, Requirement, Wanted, convert};
use crate::quantity::{Unit, as_written, trimmed};
use crate::standard::Side;

/// What moving one binding limit does to the goal.
#[derive(Clone, Debug)]
pub struct PriceLine {
    /// The file it stands in, if that is an included one.
    pub file: Option<String>,
    /// Line in the statement.
    pub line: usize,
    /// The limit's name.
    pub name: String,
    /// Its side.
    pub side: Side,
    /// How far the limit is moved for the figures, in `unit`.
    pub step: f64,
    /// The limit's unit.
    pub unit: Unit,
    /// Goal lost when it is tightened by the step, in the goal's unit.
    pub tightening: Option<f64>,
    /// Goal gained when it is loosened by the step, in the goal's unit.
    pub loosening: Option<f64>,
    /// A remark where there are no figures.
    pub remark: Option<Remark>,
}

impl PriceLine {
    /// How far the limit is moved, with its unit: `1 MPa`, `0.01`.
    pub fn step_in_words(&self) -> String {
        self.unit.with_number(&trimmed(self.step, 2))
    }
}

/// Why moving a limit has no figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remark {
    /// These choices allow no tighter limit.
    AtItsEnd,
    /// The limit is the end of a region.
    Trial,
    /// Two quantities of the mix are compared.
    Comparison,
    /// The multipliers do not agree with what was solved again.
    Unreliable,
}

impl Remark {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::AtItsEnd => "cannot be tightened with these choices",
            Self::Trial => "end of a region: make a trial there",
            Self::Comparison => "compares two quantities of the mix",
            Self::Unreliable => "no reliable price",
        }
    }
}

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
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Nearest {
    /// No value nearer to what was asked mends.
    Proven,
    /// Nearer ones may.
    BestFound,
}

impl MendedBy {
    /// In words: `at most 26.3 GPa, proven least`.
    pub fn words(&self) -> String {
        match self {
            Self::Value(side, value, unit, nearest) => {
                let known = match nearest {
                    Nearest::Proven => "proven least",
                    Nearest::BestFound => "best found",
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
    /// The share by which every limit must give way, if all give way alike.
    pub compromise: Option<f64>,
}

/// The file in which a place stands, if that is an included one.
pub fn included(problem: &Problem, place: Place, sources: &Sources) -> Option<String> {
    (place.source != problem.place.source).then(|| sources.name(place.source).to_owned())
}

/// Share of the goal below which a price is what rounding leaves of none.
const NO_PRICE: f64 = 1e-9;

/// Prices in the reader's units, of a mix whose goal has this value in its unit. Goals that are not linear have none.
pub fn price_lines(
    problem: &Problem,
    prices: &[(usize, Price)],
    sources: &Sources,
    units: Units,
    (value, goal): (f64, &Unit),
) -> Vec<PriceLine> {
    if problem.goal.level.is_some() {
        return Vec::new();
    }
    prices
        .iter()
        .map(|(index, price)| {
            let requirement = &problem.requirements[*index];
            let unit = units.shown(&requirement.unit, &problem.currency);
            let step = step_of(requirement, &unit);
            // Base goal per requirement unit to goal unit per step of the shown unit.
            let scaled = |price: f64| {
                let price = goal.difference_from_base(price) * step * unit.factor / requirement.unit.factor;
                if price.abs() <= NO_PRICE * value.abs() { 0.0 } else { price }
            };
            let (tightening, loosening, remark) = match price {
                Price::Single(price) => (Some(scaled(*price)), Some(scaled(*price)), None),
                Price::Between { tightening, loosening } => {
                    let remark = tightening.is_none().then_some(Remark::AtItsEnd);
                    (tightening.map(scaled), Some(scaled(*loosening)), remark)
                }
                Price::Trial => (None, None, Some(Remark::Trial)),
                Price::Comparison => (None, None, Some(Remark::Comparison)),
                Price::Unreliable => (None, None, Some(Remark::Unreliable)),
            };
            PriceLine {
                file: included(problem, requirement.place, sources),
                line: sources.line(requirement.place),
                name: requirement.name.clone(),
                side: requirement.side,
                step,
                unit,
                tightening,
                loosening,
                remark,
            }
        })
        .collect()
}

/// A round step of about a tenth to a hundredth of what is wanted: 1 MPa on 38 MPa, 0.01 on 0.42.
fn step_of(requirement: &Requirement, unit: &Unit) -> f64 {
    let Wanted::Value(wanted) = requirement.wanted else { return 1.0 };
    let wanted = convert(wanted, &requirement.unit, unit).abs();
    if wanted == 0.0 { 1.0 } else { 10_f64.powf(wanted.log10().floor() - 1.0) }
}

/// A conflict in the reader's units.
pub fn conflict_lines(
    problem: &Problem,
    conflict: &Conflict,
    sources: &Sources,
    units: Units,
) -> ConflictLines {
    let members =
        conflict.members.iter().map(|member| member_line(problem, member, sources, units)).collect();
    ConflictLines { members, compromise: conflict.compromise.as_ref().map(|(share, _)| *share) }
}

fn member_line(problem: &Problem, member: &ConflictMember, sources: &Sources, units: Units) -> MemberLine {
    let (place, name, asked) = match member.member {
        Member::Requirement(index) => {
            let requirement = &problem.requirements[index];
            (requirement.place, requirement.name.clone(), asked(problem, requirement, units))
        }
        Member::Logic(index) => {
            let logic = &problem.logic[index];
            (logic.place, logic.name.clone(), Asked::Choice)
        }
        Member::Need(index) => {
            let need = &problem.needs[index];
            let material = &problem.mixture.catalogue.materials[need.material].name;
            (need.place, need.name.clone(), Asked::Needs(material.clone()))
        }
        Member::IfUsed(index) => {
            let switch = &problem.switches[index];
            let material = &problem.mixture.catalogue.materials[switch.material];
            let place = switch.bounds.as_ref().map_or(material.place, |bounds| bounds.place);
            (place, format!("if used: {}", material.name), Asked::BoundsIfUsed)
        }
    };
    let repair = match (&member.repair, member.member) {
        (Repair::MoveTo { value, proven }, Member::Requirement(index)) => {
            let requirement = &problem.requirements[index];
            let unit = units.shown(&requirement.unit, &problem.currency);
            let moved = rounded(convert(*value, &requirement.unit, &unit), requirement.side);
            let nearest = if *proven { Nearest::Proven } else { Nearest::BestFound };
            MendedBy::Value(requirement.side, moved, unit, nearest)
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
